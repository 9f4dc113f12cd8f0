"""What a survey leaves in doubt: readings nothing checks, angles by eye, parts not measured."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass

from pitwright.catalogue.identify.candidates import Identified
from pitwright.catalogue.parts import Pipe
from pitwright.catalogue.shelf import Shelf
from pitwright.findings import Finding, Weight, finding
from pitwright.survey.parts import OwnPart, on_shelf
from pitwright.survey.readings import Reading
from pitwright.survey.stubs import Stub
from pitwright.survey.valves import ValveBody
from pitwright.survey.zones import Zone

__all__ = ["doubts", "readings_within"]

WEAK_DIRECTION = math.radians(1.0)
"""A direction less sure than this decides whether a train closes. [rad] Design study: at one
degree the angle at one stub made 88 % of the closing error's variance."""


def readings_within(thing: object) -> Iterator[Reading]:
    """Every reading held anywhere in a dataclass or tuple, in the order of its fields, once.

    The shelf is left out. Source: none needed.
    """
    seen: set[str] = set()
    for reading in _walk(thing):
        if reading.id not in seen:
            seen.add(reading.id)
            yield reading


def _walk(thing: object) -> Iterator[Reading]:
    if isinstance(thing, Reading):
        yield thing
    elif isinstance(thing, tuple):
        for one in thing:
            yield from _walk(one)
    elif is_dataclass(thing) and not isinstance(thing, Shelf | Pipe | Identified):
        for field in fields(thing):
            yield from _walk(getattr(thing, field.name))


def doubts(
    stubs: Iterable[Stub],
    zones: Iterable[Zone],
    valves: Iterable[ValveBody],
    parts: Iterable[OwnPart] = (),
    shelf: Shelf | None = None,
) -> tuple[Finding, ...]:
    """Everything to read again or to measure better before the first cut, in file order."""
    found: list[Finding] = []
    unchecked: list[str] = []
    zones = tuple(zones)
    for stub in stubs:
        found += stub.findings
        found += _stub(stub, zones)
        unchecked.append(stub.tip_path)
    for valve in valves:
        used = any(valve.name in (z.valve, z.shut_off) for z in zones)
        names = {"valve": valve.name}
        if used and valve.made_up is None:
            found.append(finding("made-up-not-measured", Weight.CHECK, names=names))
        if not used:
            found.append(finding("valve-not-asked-for", names=names))
        else:
            unchecked.append(valve.length.id)
    found += [
        finding("zone-asks-for-nothing", names={"zone": z.id})
        for z in zones
        if not z.planned and z.shut_off is None
    ]
    found += [
        finding("part-not-on-shelf", names={"part": p.name})
        for p in parts
        if shelf is not None and on_shelf(p, shelf) is None
    ]
    numbers = {"count": float(len(unchecked))}
    names = {"readings": ", ".join(unchecked)}
    return (*found, finding("nothing-checks", numbers=numbers, names=names))


def _stub(stub: Stub, zones: tuple[Zone, ...]) -> Iterator[Finding]:
    names = {"stub": str(stub.id)}
    if not any(stub.id in (z.inlet, z.outlet) for z in zones):
        yield finding("stub-serves-no-zone", names=names)
    if stub.outward_sigma > WEAK_DIRECTION:
        numbers = {"sigma": stub.outward_sigma}
        yield finding("direction-by-eye", Weight.CHECK, numbers=numbers, names=names)
    if not stub.bare:
        yield finding("bare-path-not-given", Weight.CHECK, names=names)
    if stub.condition in ("cracked", "chalky"):
        yield finding(f"pipe-{stub.condition}", Weight.STOP, names=names)
