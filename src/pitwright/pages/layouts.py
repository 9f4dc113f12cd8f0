"""Typical layouts: names and ways that most pits have, so that only lengths are left to measure.

Nothing here is a length that somebody would have to measure, but for the datum's own zero.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pitwright.pages.readings import Path

__all__ = ["LAYOUTS", "MOST_ZONES", "Layout", "readings_for"]

MOST_ZONES = 8
"""Valves in one box that a layout names. [-]"""


@dataclass(frozen=True, slots=True)
class Layout:
    """One typical layout: its words, and which way its inlets and outlets look."""

    name: str
    words: str
    inlet: str = "downstream"
    outlet: str = "upstream"
    bare: str = ""


LAYOUTS = (
    Layout("across", "Straight across: each zone's two ends look at each other"),
    Layout(
        "riser", "Inlets rise from below and bend: their bare pipe goes down", bare="6; 18 down"
    ),
    Layout("down", "Outlets drop away: the zone's pipe comes up into the box", outlet="up"),
)


def readings_for(
    layout: Layout, zones: int, pipe_in: str, pipe_out: str, size: str
) -> Iterator[tuple[Path, str]]:
    """What a layout says of a pit with so many valves: names, sides, ways, pipes; no lengths."""
    yield ("pit", "unit"), "in"
    yield ("pit", "datum"), "middle of the open end of in-1"
    yield ("valve", "new", "ends"), "female thread"
    yield ("valve", "new", "size"), size
    for n in range(1, zones + 1):
        inlet, outlet = f"in-{n}", f"out-{n}"
        yield ("stub", inlet, "side"), "inlet"
        if n == 1:
            yield ("stub", inlet, "tip"), "0, 0, 0"
        yield ("stub", inlet, "faces"), layout.inlet
        yield ("stub", inlet, "pipe"), pipe_in
        yield ("stub", outlet, "side"), "outlet"
        yield ("stub", outlet, "faces"), layout.outlet
        yield ("stub", outlet, "pipe"), pipe_out
        yield ("zone", f"zone-{n}", "inlet"), inlet
        yield ("zone", f"zone-{n}", "outlet"), outlet
        yield ("zone", f"zone-{n}", "valve"), "new"
