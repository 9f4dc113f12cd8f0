"""Two faults at once, looked for only when no single fault explains the readings.

A pair can at best explain every reading perfectly. While the best single fault already does nearly
that, no pair can win and none is spelt out. Otherwise the singles that explain the most readings
are each joined with every fault that reaches a reading they leave unexplained.
"""

from __future__ import annotations

from dataclasses import replace
from math import log

from pitwright.wiring.atoms import Atom, Loop
from pitwright.wiring.belief import Belief, Family, Model, fed, start, updater
from pitwright.wiring.evidence import DROPPED, EMPTY, State, shortfall
from pitwright.wiring.faults import Fault, place_of
from pitwright.wiring.tables import type_weights

__all__ = ["UNEXPLAINED", "best_state", "fix_first", "with_pairs"]

UNEXPLAINED = 6.0
"""Nats by which the best single fault must miss a perfect fit before pairs are tried: a second
fault's own weight costs at least that much, so below it no pair can win. Judgement."""
_ENOUGH = 6.0
"""A reading missed by more than this counts as missed, no matter by how much. [nat]"""
FIRSTS, SECONDS, CELLS = 5, 30, 4


def best_state(now: Belief) -> tuple[Family, State]:
    """The likeliest family and its likeliest cell's state."""
    logs = now.log_weights()
    number = max(range(len(logs)), key=lambda i: logs[i])
    return now.model.families[number], max(now.states[number], key=lambda s: s[0])


def with_pairs(now: Belief) -> Belief:
    """The same belief with the pairs worth considering among its hypotheses, if any are needed.

    A function of the model and the readings alone. Pair weights follow ``type_weights.csv``.
    """
    least = _missed(now)
    if now.pruned and least > 2 * UNEXPLAINED:
        # nothing fits: what was dropped on the way may fit after all
        now = start(now.model, now.readings, pruned=False)
        least = _missed(now)
    if least < UNEXPLAINED:
        return now
    made = now.model
    firsts = _firsts(now)
    families: dict[tuple[Fault, ...], Family] = {}
    for first, cell in firsts:
        for second in _seconds(now, first, cell):
            both = tuple(sorted((first.faults[0], second.faults[0])))
            if both not in families:
                families[both] = _pair(first, _near(first, cell), second, both)
    ranked = sorted(families.values(), key=lambda f: (-f.log_prior, f.faults))
    if not ranked:
        return now
    bigger = Model(made.harness, made.net, (*made.families, *ranked), made.pull, made.benches)
    extra = start(
        Model(made.harness, made.net, tuple(ranked), made.pull, made.benches), now.readings
    )
    return Belief(bigger, now.readings, (*now.states, *extra.states), False)


def _missed(now: Belief) -> float:
    """How far the best cell lies below what that many readings usually give. [nat]"""
    best = min(
        shortfall(max(states, key=lambda s: s[0]))
        for states in now.states
        if any(s is not DROPPED for s in states)
    )
    return best - 0.5 * len(now.readings)


def _alone(made: Model, atom: Atom, now: Belief) -> list[float]:
    """How far each reading by itself is missed by one cell, at most :data:`_ENOUGH`. [nat]"""
    found = []
    for reading in now.readings:
        b = made.bench(reading.test, atom.swap, reading)
        state = updater(made, reading)(b, atom, EMPTY)
        found.append(min(shortfall(state), _ENOUGH))
    return found


def _simple(fam: Family) -> bool:
    return fam.faults[0].kind in ("open", "series", "part-short", "leak", "earth")


def _firsts(now: Belief) -> list[tuple[Family, Atom]]:
    """The single faults that leave the fewest readings unexplained, one cell each."""
    made = now.model
    scored: list[tuple[float, float, Family, Atom]] = []
    for fam in made.families:
        if not _simple(fam):
            continue
        if not any(fed(made.bench(r.test, reading=r), fam) for r in now.readings):
            continue
        step = max(len(fam.atoms) // 5, 1)
        best = min(
            ((sum(_alone(made, a, now)), i) for i, a in enumerate(fam.atoms[::step])),
            key=lambda t: t[0],
        )
        scored.append((best[0], -fam.log_prior, fam, fam.atoms[::step][best[1]]))
    scored.sort(key=lambda t: (t[0], t[1], t[2].faults))
    return [(fam, atom) for _, _, fam, atom in scored[:FIRSTS]]


def _seconds(now: Belief, first: Family, cell: Atom) -> list[Family]:
    """Faults that reach a reading the first one leaves unexplained."""
    made = now.model
    missed = [r for r, gap in zip(now.readings, _alone(made, cell, now), strict=True) if gap > 2.0]
    found = []
    for fam in made.families:
        if fam is first or not _simple(fam) or _same_edge(fam, first):
            continue
        if any(fed(made.bench(r.test, reading=r), fam) for r in missed):
            found.append(fam)
    found.sort(key=lambda f: (-f.log_prior, f.faults))
    return found[:SECONDS]


def _same_edge(a: Family, b: Family) -> bool:
    x, y = a.atoms[0].series, b.atoms[0].series
    return bool(x and y and x[0][0] == y[0][0])


def _near(fam: Family, cell: Atom) -> list[Atom]:
    """The best cell of the first fault and its neighbours in severity."""
    some = sorted(
        _thin(fam, 99), key=lambda a: abs(log((a.severity + 1e-9) / (cell.severity + 1e-9)))
    )
    return some[:3]


def _pair(a: Family, cells: list[Atom], b: Family, both: tuple[Fault, ...]) -> Family:
    weight = type_weights()["pair"]
    atoms = []
    for x in cells:
        for y in _thin(b, CELLS):
            joined = _join(x, y)
            if joined is not None:
                atoms.append(joined)
    share = 1.0 / max(len(atoms), 1)
    atoms = [replace(atom, share=share) for atom in atoms]
    return Family(
        both,
        place_of(both[0]),
        log(weight) + a.log_prior + b.log_prior,
        tuple(atoms),
        tuple(log(share) for _ in atoms),
    )


def _thin(fam: Family, most: int) -> list[Atom]:
    """A few cells of a family, in the middle of its segment, spread over its severities."""
    atoms = [a for a in fam.atoms if abs(a.position - 0.5) <= 0.25] or list(fam.atoms)
    seen: dict[float, Atom] = {}
    for atom in atoms:
        seen.setdefault(atom.severity, atom)
    some = list(seen.values())
    step = -(-len(some) // most)
    return some[step // 2 :: step]


def _join(x: Atom, y: Atom) -> Atom | None:
    """Both changes at once. Series changes come first, and their spreads with them."""
    if len(x.series) > 1 or len(y.series) > 1:
        return None
    if x.loops and y.series:
        x, y = y, x
    loops: tuple[Loop, ...] = (*x.loops, *y.loops)
    return Atom(
        1.0,
        (*x.series, *y.series),
        loops,
        x.spread,
        x.position,
        0.0,
        severity=x.severity,
        spread2=y.spread,
    )


def fix_first(now: Belief) -> tuple[Fault, Fault] | None:
    """The likeliest pair when a pair leads: the first is to be mended, then tested again.

    Source: none; the second fault is mostly hidden until the first is mended.
    """
    logs = now.log_weights()
    number = max(range(len(logs)), key=lambda i: logs[i])
    faults = now.model.families[number].faults
    if len(faults) < 2:
        return None
    a, b = faults
    opens = [f for f in (a, b) if f.kind == "open"]
    first = opens[0] if opens else a
    return first, b if first is a else a
