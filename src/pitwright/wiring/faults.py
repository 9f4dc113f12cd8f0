"""Faults and the places a technician goes to.

A :class:`Fault` is what may be wrong; its :class:`Place` is where somebody must go. Several faults
share one place (both splices and the coil are all "the valve end"), and the answer is given by
place, because no test from the controller tells them apart.

Source: none; the words and shares of this room.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.survey.harness import Harness

__all__ = ["NO_FAULT", "NO_PLACE", "Fault", "Place", "place_of", "single_faults", "weight_kind"]


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One fault.

    ``kind``: none, open, series, part-short, leak, earth, swap, double, wrong-common.
    ``on``: conductor or station; ``part``: wire, hot, return, coil or sensor; ``segment``: the box
    a stretch leads to; ``other``: the second conductor, station or common.
    """

    kind: str
    on: str = ""
    part: str = ""
    segment: str = ""
    other: str = ""


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where to go.

    ``kind``: none, valve (valve end of ``on``), wire (``on`` in ``segment``), between (``on`` and
    ``other`` in ``segment``), terminals (``on`` and ``other`` at the controller), sensor.
    """

    kind: str
    on: str = ""
    segment: str = ""
    other: str = ""


NO_FAULT = Fault("none")
NO_PLACE = Place("none")


def place_of(fault: Fault) -> Place:
    """The place a fault sends somebody to. Source: none; a choice of this room."""
    if fault.kind == "none":
        return NO_PLACE
    if fault.kind == "swap":
        return Place("terminals", fault.on, "", fault.other)
    if fault.kind == "leak":
        return Place("between", fault.on, fault.segment, fault.other)
    if fault.part == "sensor":
        return Place("sensor")
    if fault.part == "wire":
        return Place("wire", fault.on, fault.segment)
    return Place("valve", fault.on)


def weight_kind(fault: Fault) -> str:
    """The row of ``type_weights.csv`` a fault belongs to."""
    if fault.part == "sensor":
        return "sensor"
    if fault.kind == "series":
        return "series-wire" if fault.part == "wire" else "series-splice"
    if fault.kind == "open":
        return {"wire": "open-wire", "coil": "open-coil"}.get(fault.part, "open-splice")
    return fault.kind


def single_faults(harness: Harness) -> tuple[tuple[Fault, float], ...]:
    """Every single fault with its share of its kind. [-]

    Wires share by length, splices, coils and swaps evenly, leaks between two conductors by the
    length they lie together. Shares of one kind sum to one.
    """
    found: list[tuple[Fault, float]] = [(NO_FAULT, 1.0)]
    live = [c.id for c in harness.commons] + [s.id for s in harness.stations]
    for wire in live:
        for segment in harness.segments(wire):
            metres = harness.box(segment).length
            found += [
                (Fault(kind, wire, "wire", segment), metres) for kind in ("open", "series", "earth")
            ]
    for segment in (b.id for b in harness.boxes):
        here = [w for w in live if segment in harness.segments(w)]
        metres = harness.box(segment).length
        found += [
            (Fault("leak", a, "wire", segment, b), metres)
            for i, a in enumerate(here)
            for b in here[i + 1 :]
        ]
    for station in harness.stations:
        for part in ("hot", "return"):
            found += [(Fault(kind, station.id, part), 1.0) for kind in ("open", "series")]
        found += [
            (Fault("open", station.id, "coil"), 1.0),
            (Fault("part-short", station.id, "coil"), 1.0),
        ]
        found += [
            (Fault("double", station.id, "hot", "", other.id), 1.0)
            for other in harness.stations
            if other.id != station.id and station.box in harness.route(other.box)
        ]
        found += [
            (Fault("wrong-common", station.id, "return", "", common.id), 1.0)
            for common in harness.commons
            if common.id != station.common and station.box in harness.segments(common.id)
        ]
    names = [s.id for s in harness.stations]
    found += [
        (Fault("swap", a, "", "", b), 1.0) for i, a in enumerate(names) for b in names[i + 1 :]
    ]
    if harness.sensors:
        found += [(Fault("open", "sensor", "sensor"), 1.0)]
    totals: dict[str, float] = {}
    for fault, share in found:
        totals[weight_kind(fault)] = totals.get(weight_kind(fault), 0.0) + share
    return tuple((f, share / totals[weight_kind(f)]) for f, share in found)
