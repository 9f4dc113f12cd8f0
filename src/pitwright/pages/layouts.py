"""Typical layouts: names and ways that most pits have, so that only lengths are left to measure.

Nothing here is a length that somebody would have to measure, but for the datum's own zero.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitwright.pages.readings import Path
from pitwright.pages.standing import Pit

__all__ = ["LAYOUTS", "MOST_ZONES", "Layout", "readings_for", "tags_of", "zones_said"]

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


def zones_said(pit: Pit) -> tuple[str, ...]:
    """The zones as they were named when the pit was added, each once, those that can be names."""
    fact = pit.fact("pit")
    value = fact.value("zones") if fact else ""
    said = ", ".join(map(str, value)) if isinstance(value, list | tuple) else str(value or "")
    parts = (
        " ".join(re.sub(r"^zones?\s+", "", p.strip(), flags=re.I).split())
        for p in re.split(r"[,;]|\band\b", said)
    )
    fit = [p.casefold() for p in parts if re.fullmatch(r"[\w -]{1,20}", p)]
    return tuple(dict.fromkeys(fit))[:MOST_ZONES]


def tags_of(said: Sequence[str], count: int) -> tuple[str, ...]:
    """What each of so many zones' stubs are called by: the zone's own name, else a number."""
    free = (str(n) for n in range(1, 2 * MOST_ZONES + 1) if str(n) not in said)
    return (*said[:count], *(next(free) for _ in range(count - len(said[:count]))))


def readings_for(
    layout: Layout, tags: Sequence[str], pipe_in: str, pipe_out: str, size: str
) -> Iterator[tuple[Path, str]]:
    """What a layout says of a pit with these zones: names, sides, ways, pipes; no lengths."""
    yield ("pit", "unit"), "in"
    yield ("pit", "datum"), f"middle of the open end of in-{tags[0]}"
    yield ("valve", "new", "ends"), "female thread"
    yield ("valve", "new", "size"), size
    for tag in tags:
        inlet, outlet = f"in-{tag}", f"out-{tag}"
        zone = f"zone-{tag}" if tag.isdecimal() else tag
        yield ("stub", inlet, "side"), "inlet"
        if tag == tags[0]:
            yield ("stub", inlet, "tip"), "0, 0, 0"
        yield ("stub", inlet, "faces"), layout.inlet
        yield ("stub", inlet, "pipe"), pipe_in
        yield ("stub", outlet, "side"), "outlet"
        yield ("stub", outlet, "faces"), layout.outlet
        yield ("stub", outlet, "pipe"), pipe_out
        yield ("zone", zone, "inlet"), inlet
        yield ("zone", zone, "outlet"), outlet
        yield ("zone", zone, "valve"), "new"
