"""What a survey leaves in doubt: readings nothing checks, angles by eye, parts not measured."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass

from pitwright.catalogue.parts import Pipe
from pitwright.catalogue.shelf import Shelf
from pitwright.findings import Finding, Weight, finding
from pitwright.survey.readings import Reading
from pitwright.survey.stubs import Measured, Stub
from pitwright.survey.valves import ValveBody
from pitwright.survey.zones import Zone

__all__ = ["doubts", "outside_diameter", "readings_within"]

WEAK_DIRECTION = math.radians(1.0)
"""A direction less sure than this decides whether a train closes. [rad] Design study: at one
degree the angle at one stub made 88 % of the closing error's variance."""
_SURE = 3.0
"""Sigmas beyond which two readings disagree. [-] Judgement."""


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
    elif is_dataclass(thing) and not isinstance(thing, Shelf | Pipe):
        for field in fields(thing):
            yield from _walk(getattr(thing, field.name))


def outside_diameter(measured: Measured) -> tuple[float, float] | None:
    """The pipe's outside diameter and its one sigma, from the surest tool used. [m]

    A string's length is that of its own middle: OD = around / pi - thickness. Source: geometry.
    """
    if measured.calliper:
        return measured.calliper.value, measured.calliper.sigma.one
    if measured.around:
        thick = measured.string.value if measured.string else 0.0
        doubt = measured.string.sigma.one if measured.string else 0.0
        sigma = math.hypot(measured.around.sigma.one / math.pi, doubt)
        return measured.around.value / math.pi - thick, sigma
    if measured.across:
        return measured.across.value, measured.across.sigma.one
    return None


def doubts(
    stubs: Iterable[Stub], zones: Iterable[Zone], valves: Iterable[ValveBody]
) -> tuple[Finding, ...]:
    """Everything to read again or to measure better before the first cut, in file order."""
    found: list[Finding] = []
    zones = tuple(zones)
    for stub in stubs:
        found += stub.findings
        found += _stub(stub, zones)
    for valve in valves:
        used = any(z.valve == valve.name for z in zones)
        names = {"valve": valve.name}
        if used and valve.made_up is None:
            found.append(finding("made-up-not-measured", Weight.CHECK, names=names))
        if not used:
            found.append(finding("valve-not-asked-for", names=names))
        else:
            where = f"{valve.length.id}"
            found.append(finding("nothing-checks", names={"reading": where}))
    found += [
        finding("zone-asks-for-nothing", names={"zone": z.id}) for z in zones if z.valve is None
    ]
    return tuple(found)


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
    if stub.pipe and stub.measured:
        yield from _thickness(stub, stub.pipe, stub.measured)
    yield finding("nothing-checks", names={"reading": stub.tip_path})


def _thickness(stub: Stub, pipe: Pipe, measured: Measured) -> Iterator[Finding]:
    """Whether the pipe as named can measure what was measured."""
    got = outside_diameter(measured)
    if got is None:
        return
    diameter, sigma = got
    low, high = pipe.od.low - _SURE * sigma, pipe.od.high + _SURE * sigma
    if not low <= diameter <= high:
        yield finding(
            "pipe-measures-otherwise",
            Weight.CHECK,
            numbers={"diameter": diameter, "low": pipe.od.low, "high": pipe.od.high},
            names={"stub": str(stub.id), "pipe": pipe.name},
        )
