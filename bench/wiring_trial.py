"""One simulated visit: take readings of a true system in some order and keep what was believed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

from bench.truth.harness import Meter, System, TrueFault, draw_fault, draw_system, measure
from pitwright.survey.harness import Box, Coil, Common, Harness, Source, Station
from pitwright.wiring.belief import Belief
from pitwright.wiring.faults import Place
from pitwright.wiring.measuring import Reading, Site, MeterTest


def as_found(system: System) -> Harness:
    """What the technician knows of a system."""
    coil = Coil(system.coil_dc, system.coil_in, system.coil_hold)
    return Harness(
        "trial",
        tuple(Box(b, p, m) for b, p, m in system.boxes),
        tuple(Common(c, awg) for c, awg in system.commons),
        tuple(Station(s, b, c, awg, coil) for s, b, c, awg in system.stations),
        source=Source(system.volts, system.source),
        splice_ohm=system.splice,
        cap_per_m=system.cap_per_m,
    )


def place_of_truth(fault: TrueFault) -> Place:
    """Where somebody would have to go."""
    if fault.kind == "swap":
        return Place("terminals", fault.on, "", fault.other)
    if fault.kind == "leak":
        return Place("between", fault.on, fault.segment, fault.other)
    if fault.part == "wire":
        return Place("wire", fault.on, fault.segment)
    return Place("valve", fault.on)


@dataclass
class Step:
    """What was believed after a reading."""

    minutes: float
    places: list[tuple[Place, float]]
    rank: int
    test: str
    gain: float = 0.0


@dataclass
class Visit:
    """One whole visit."""

    seed: int
    system: System
    symptom: bool
    steps: list[Step] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)


Order = Callable[[Belief, Site, System], MeterTest | None]


def complaint(system: System, dice: Random) -> tuple[str, frozenset[str], bool]:
    """The station somebody complains about: one that misbehaves, else any."""
    odd = []
    for s, *_ in system.stations:
        moved = measure(system, dice, "moves", s)
        assert isinstance(moved, frozenset)
        if moved != {s}:
            odd.append((s, moved))
    if odd:
        s, moved = dice.choice(odd)
        return s, moved, True
    s = dice.choice([s for s, *_ in system.stations])
    return s, frozenset({s}), False


def draw(seed: int, weights: dict[str, float], faults: int = 1, **options: float) -> System:
    dice = Random(seed)
    system = draw_system(dice, **options)  # type: ignore[arg-type]
    for _ in range(faults):
        system.faults.append(draw_fault(system, dice, weights))
    return system


def take(system: System, dice: Random, test: MeterTest, meter: Meter) -> Reading:
    value = measure(system, dice, test.kind, test.a, test.b, test.box, test.sense, meter)
    return Reading(test, value)


def ranks(now: Belief) -> list[tuple[Place, float]]:
    places = now.places()
    return sorted(places.items(), key=lambda item: (-item[1], item[0]))


def rank_of(system: System, ranked: list[tuple[Place, float]]) -> int:
    """The best rank of any true place, from 1."""
    true = {place_of_truth(f) for f in system.faults}
    return next((i for i, (p, _) in enumerate(ranked, 1) if p in true), len(ranked) + 1)
