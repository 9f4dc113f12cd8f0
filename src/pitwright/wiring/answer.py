"""The whole answer after some readings: places, what is not told apart, the next test, when to dig.

A pure function of harness and readings: an edited reading gives what typing it so would have given.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log

from pitwright.errors import BadInput, Contradiction
from pitwright.findings import Finding, Refusal, Weight, finding
from pitwright.inference.choice import Worth
from pitwright.survey.harness import Harness
from pitwright.wiring.belief import Belief, Model, Priors, model, start
from pitwright.wiring.choose import look_first, next_tests
from pitwright.wiring.clues import clue_factors
from pitwright.wiring.control import refused_control
from pitwright.wiring.evidence import shortfall
from pitwright.wiring.faults import NO_PLACE, Fault, Place, place_of
from pitwright.wiring.fit import EDGE, fit_set, fits
from pitwright.wiring.guard import Doubt, doubtful, impossible, merged
from pitwright.wiring.measuring import MeterTest, Reading, Site
from pitwright.wiring.pairs import best_state, fix_first, with_pairs
from pitwright.wiring.tables import type_weights

__all__ = ["DIG_AT", "LEAST_BITS", "Answer", "Desk", "PlaceChance", "answer", "desk"]

DIG_AT = 0.95
"""Chance of a place at which it is time to go there and mend. Judgement, tried in ``bench/``."""
LEAST_BITS = 0.02
"""Below this the best test left is not worth making. [bit] Judgement."""
_WIDE = 40
_KEPT = 64


@dataclass(frozen=True, slots=True)
class PlaceChance:
    """A place and its chance with and without the clues [-]; the likeliest fault there.

    ``metres`` along the route from the controller and one sigma, where the readings favour a part
    of the segment. [m]
    """

    place: Place
    chance: float
    without_clues: float
    fault: Fault
    metres: float | None = None
    metres_sd: float | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """What the readings amount to.

    ``step`` is "dig", "test" or "stop" (nothing left that tells enough). ``by_experience`` marks
    a leading place that the readings do not set apart from the next: the weights decided.
    ``doubt`` is the reading to take again; ``pair`` what to mend first when two faults lead;
    ``look`` the test at the place itself that is worth making before anything is cut.
    """

    readings: tuple[Reading, ...]
    places: tuple[PlaceChance, ...]
    alike: tuple[Fault, ...]
    tests: tuple[Worth[MeterTest], ...]
    step: str
    by_experience: bool
    pair: tuple[Fault, Fault] | None
    doubt: Doubt | None
    findings: tuple[Finding, ...]
    refusal: Refusal | None = None
    look: MeterTest | None = None


@dataclass(frozen=True, slots=True)
class Desk:
    """A harness made ready: the model with its clues, and each fault's weight without them. [nat]

    ``plain`` is empty when there are no clues.
    """

    harness: Harness
    made: Model
    plain: dict[Fault, float]


def desk(harness: Harness, priors: Priors | None = None) -> Desk:
    """Lay a harness out once for many answers. Raises UnknownName or Missing for bad clues."""
    factors = clue_factors(harness)
    made = model(harness, priors, factors)
    plain: dict[Fault, float] = {}
    if factors:
        bare = model(harness, priors)
        plain = {f.faults[0]: f.log_prior for f in bare.families}
    return Desk(harness, made, plain)


def believed(made: Model, readings: Sequence[Reading]) -> Belief:
    """The belief after ``readings``, pairs included where no single fault explains them.

    What was believed after fewer of the same readings is taken up again, not worked out again.
    """
    done = tuple(readings)
    for length in range(len(done), -1, -1):
        now = made.kept.get(done[:length])
        if now is not None:
            break
    else:
        length, now = 0, start(made)
    for reading in done[length:]:
        now = now.after(reading)
        if len(made.kept) >= _KEPT:
            made.kept.clear()
        made.kept[now.readings] = now
    return with_pairs(now)


def _without_clues(ready: Desk, now: Belief) -> dict[Place, float]:
    """Chance of each place had no clue been given: the same evidence, other weights."""
    logs = []
    for fam, e in zip(now.model.families, now.evidence(), strict=True):
        prior = sum(ready.plain[f] for f in fam.faults)
        logs.append(e + prior + (log(type_weights()["pair"]) if len(fam.faults) > 1 else 0.0))
    top = max(logs)
    weights = [exp(x - top) for x in logs]
    total = sum(weights)
    found: dict[Place, float] = {}
    for fam, w in zip(now.model.families, weights, strict=True):
        for place in {place_of(f) for f in fam.faults}:
            found[place] = found.get(place, 0.0) + w / total
    return found


def answer(ready: Desk, readings: Sequence[Reading], site: Site | None = None) -> Answer:
    """The answer after ``readings``; ``site`` says what is open already. Chances sum to one.

    Raises Contradiction for readings that no harness gives.
    """
    refusal = refused_control(ready.harness, readings)
    if refusal is not None:
        return Answer(tuple(readings), (), (), (), "refused", False, None, None, (), refusal)
    kept, said = merged(readings)
    said = (*said, *impossible(ready.harness, kept))
    stop = next((f for f in said if f.weight is Weight.STOP), None)
    if stop is not None:
        raise _contradiction(stop)
    now = believed(ready.made, kept)
    missed = shortfall(best_state(now)[1]) - 0.5 * len(kept)
    doubt = doubtful(ready.made, kept, missed)
    if missed > EDGE * 3 and doubt is None and kept:
        said = (*said, finding("wiring.nothing-fits", Weight.CHECK, numbers={"nats": missed}))
    places = _places(ready, now)
    where = site or Site(frozenset(ready.harness.opened))
    tests = next_tests(now, where) if doubt is None else ()
    tests = tuple(t for t in tests if t.bits >= LEAST_BITS)
    top = places[0]
    step = "test" if tests else "stop"
    if top.chance >= DIG_AT and top.place != NO_PLACE and doubt is None:
        step = "dig"
    return Answer(
        tuple(readings),
        places,
        _alike(now, kept),
        tests,
        step,
        _by_experience(now),
        fix_first(now),
        doubt,
        said,
        None,
        look_first(now, top.place) if step == "dig" else None,
    )


def _contradiction(stop: Finding) -> BadInput:
    if stop.code == "wiring.zero-ohms":
        return Contradiction(
            "readings",
            f"0 ohm at {stop.name('stations')}",
            "would mean every one of these pairs is dead shorted",
            "which range was it (0.03 on 20K is 30 ohm), and which wires were lifted?",
        )
    return Contradiction(
        "readings",
        f"{stop.number('volts'):g} V, {stop.name('test')}",
        f"is more than this source can give ({stop.number('most'):.0f} V)",
        "check the function and the range of the meter",
    )


def _places(ready: Desk, now: Belief) -> tuple[PlaceChance, ...]:
    with_clues = now.places()
    bare = _without_clues(ready, now) if ready.plain else with_clues
    likely: dict[Place, tuple[float, Fault, int]] = {}
    for number, (fam, p) in enumerate(zip(now.model.families, now.probabilities(), strict=True)):
        for fault in fam.faults:
            place = place_of(fault)
            if p > likely.get(place, (-1.0, fault, 0))[0]:
                likely[place] = (p, fault, number)
    ranked = sorted(with_clues.items(), key=lambda t: (-t[1], t[0]))
    found = []
    for place, chance in ranked[:_WIDE]:
        _, fault, number = likely[place]
        metres, sd = _along(ready.harness, now, number, fault)
        found.append(PlaceChance(place, chance, bare.get(place, 0.0), fault, metres, sd))
    return tuple(found)


def _along(
    harness: Harness, now: Belief, number: int, fault: Fault
) -> tuple[float | None, float | None]:
    """Where along the route a fault in a wire lies, if the readings favour some cells. [m]"""
    fam, states = now.model.families[number], now.states[number]
    if fault.part != "wire" or len(states) == 1 or len({a.position for a in fam.atoms}) < 2:
        return None, None
    top = max(s[0] for s in states)
    weights = [a.share * exp(s[0] - top) for a, s in zip(fam.atoms, states, strict=True)]
    total = sum(weights)
    mean = sum(w * a.position for w, a in zip(weights, fam.atoms, strict=True)) / total
    spread = (
        sum(
            w * ((a.position - mean) ** 2 + a.position_sd**2)
            for w, a in zip(weights, fam.atoms, strict=True)
        )
        / total
    )
    if spread > 0.95 / 12.0:
        return None, None
    stretch = harness.box(fault.segment)
    before = harness.length_to(fault.segment) - stretch.length
    return before + mean * stretch.length, stretch.length * float(spread**0.5)


def _alike(now: Belief, readings: Sequence[Reading]) -> tuple[Fault, ...]:
    """Single faults that fit the readings as well as the best: not told apart."""
    if not readings:
        return ()
    tops = [
        (max(s[0] for s in states), fam)
        for fam, states in zip(now.model.families, now.states, strict=True)
    ]
    best = max(t for t, _ in tops)
    near = [n for n, (t, fam) in enumerate(tops) if t > best - 6.0 and len(fam.faults) == 1]
    if not near:
        return ()
    return tuple(sorted(f.family.faults[0] for f in fit_set(fits(now, near))))


def _by_experience(now: Belief) -> bool:
    """Whether the two leading places are tied in evidence, so that the weights decided."""
    evidence: dict[Place, float] = {}
    for fam, e in zip(now.model.families, now.evidence(), strict=True):
        place = fam.place
        evidence[place] = max(evidence.get(place, -1e300), e)
    ranked = sorted(now.places().items(), key=lambda t: (-t[1], t[0]))
    if len(ranked) < 2 or ranked[0][0] not in evidence:
        return False
    lead = evidence[ranked[0][0]]
    others = [evidence[p] for p, _ in ranked[1:] if p in evidence]
    return bool(others) and max(others) > lead - log(3.0)
