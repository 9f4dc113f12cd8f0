"""Simulated visits: a true system, readings in some order, and what was believed after each."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, field
from random import Random
from typing import Any

from bench.truth.harness import (
    KINDS,
    STUDY_WEIGHTS,
    System,
    TrueFault,
    draw_fault,
    draw_system,
)
from bench.truth.meter import Meter, measure
from pitwright.survey.harness import Box, Coil, Common, Harness, Source, Station
from pitwright.wiring.answer import DIG_AT, LEAST_BITS
from pitwright.wiring.belief import Belief, model, start
from pitwright.wiring.choose import look_first, next_tests
from pitwright.wiring.faults import NO_PLACE, Place
from pitwright.wiring.measuring import MeterTest, Reading, Site
from pitwright.wiring.pairs import with_pairs

MOST_TESTS = 12
SURE = 0.995
EVEN_WEIGHTS = dict.fromkeys(KINDS, 1.0)


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


@dataclass(frozen=True)
class World:
    """How the truth is drawn and how far it departs from what the engine takes for granted."""

    name: str
    weights: dict[str, float]
    faults: int = 1
    coil_scatter: float = 0.05
    length_scatter: float = 0.0
    meter: float = 1.0
    minutes_scatter: float = 0.0


MATCHED = World("matched", STUDY_WEIGHTS)
EVEN = World("every kind equally likely", EVEN_WEIGHTS)
OFF = World(
    "kinds even, meters, coils, lengths and minutes off", EVEN_WEIGHTS, 1, 0.07, 0.05, 1.5, 0.4
)
PAIRS = World("two faults", STUDY_WEIGHTS, 2)


@dataclass
class Step:
    """What was believed before the next test: minutes so far, best place's chance, true rank."""

    minutes: float
    chance: float
    place: str
    rank: int
    both: int = 0


@dataclass
class Visit:
    """One whole visit."""

    seed: int
    kind: str
    stations: int
    boxes: int
    symptom: bool
    steps: list[Step] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)
    said_at: int = -1

    def as_dict(self) -> dict[str, Any]:
        """For a file of results."""
        return asdict(self)


Order = Callable[[Belief, Site, System, str], MeterTest | None]


def by_worth(now: Belief, site: Site, system: System, station: str) -> MeterTest | None:
    """Pitwright's order: most bits about the place per minute."""
    best = next_tests(now, site, 1)
    return best[0].test if best and best[0].bits >= LEAST_BITS else None


def by_textbook(now: Belief, site: Site, system: System, station: str) -> MeterTest | None:
    """A fixed order, as a troubleshooting sheet has it, with the same inference behind it."""
    made = {r.test for r in now.readings}
    return next((t for t in textbook(system, station) if t not in made), None)


def textbook(system: System, station: str) -> Iterator[MeterTest]:
    """Complaint first: ohms, volts, amps, two neighbours, its box, boxes between, the rest."""
    names = [s for s, *_ in system.stations]
    at = names.index(station)
    yield MeterTest("ohms", station)
    yield MeterTest("volts", station)
    yield MeterTest("amps", station)
    for other in (at - 1, at + 1):
        if 0 <= other < len(names):
            yield MeterTest("ohms", names[other])
    yield MeterTest("volts-coil", station)
    yield MeterTest("coil", station)
    yield MeterTest("joined", station)
    for box in reversed(system.route(system.box_of(station))[:-1]):
        yield MeterTest("volts-box", station, box=box)
    yield MeterTest("parted", station)
    yield MeterTest("insulation", system.common_of(station))
    yield MeterTest("insulation", station)
    yield MeterTest("capacitance", station)
    for name in names:
        yield MeterTest("ohms", name)


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


def draw(seed: int, world: World, stations: int | None = None, boxes: int | None = None) -> System:
    """A system with its hidden faults, the same for the same seed."""
    dice = Random(seed)
    system = draw_system(dice, stations, boxes, world.coil_scatter, world.length_scatter)
    while len(system.faults) < world.faults:
        fault = draw_fault(system, dice, world.weights)
        if all(
            (f.on, f.part, f.segment) != (fault.on, fault.part, fault.segment)
            for f in system.faults
        ):
            system.faults.append(fault)
    return system


def believed(now: Belief) -> tuple[Belief, list[tuple[Place, float]]]:
    """The belief with pairs where needed, and its places ranked."""
    whole = with_pairs(now)
    return whole, sorted(whole.places().items(), key=lambda item: (-item[1], item[0]))


def visit(
    seed: int, world: World, order: Order = by_worth, look: bool = False, sure: float = SURE
) -> Visit:
    """One visit until ``sure``, nothing useful left, or :data:`MOST_TESTS`."""
    system = draw(seed, world)
    dice = Random(seed * 7919 + 13)
    station, moved, symptom = complaint(system, dice)
    harness = as_found(system)
    now = start(model(harness), [Reading(MeterTest("moves", station), moved)])
    site, minutes = Site(), 0.0
    kinds = " + ".join(f.kind for f in system.faults)
    done = Visit(seed, kinds, len(system.stations), len(system.boxes), symptom)
    true = {place_of_truth(f) for f in system.faults}
    pace = Random(seed + 5)
    looked = False
    for number in range(MOST_TESTS + 1):
        began = time.perf_counter()
        whole, ranked = believed(now)
        rank = next((i for i, (p, _) in enumerate(ranked, 1) if p in true), len(ranked) + 1)
        both = sum(p in true for p, _ in ranked[:3])
        top, chance = ranked[0]
        done.steps.append(Step(minutes, chance, top.kind, rank, both))
        test: MeterTest | None = None
        ripe = chance >= (DIG_AT if look else sure) and top != NO_PLACE
        if look and ripe and not looked:
            test = look_first(whole, top)
            looked = True
        if test is None:
            if ripe or number == MOST_TESTS:
                break
            test = order(whole, site, system, station)
        if test is None:
            break
        done.seconds.append(time.perf_counter() - began)
        minutes += site.cost(harness, test) * 2.0 ** (world.minutes_scatter * pace.gauss(0, 1))
        site = site.after(harness, test)
        value = measure(
            system, dice, test.kind, test.a, test.b, test.box, test.sense, Meter(world.meter)
        )
        began = time.perf_counter()
        now = now.after(Reading(test, value))
        done.seconds[-1] += time.perf_counter() - began
    return done
