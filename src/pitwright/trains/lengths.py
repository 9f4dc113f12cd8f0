"""How long the legs are: one tableau per chain of directions, shared by all its problems.

The legs of a train point along fixed unit directions w_j and must add up to the way D between the
tips: sum of a_j w_j = D, with each a_j between its bounds. Among all answers the shortest is
wanted: a linear programme with at most three rows. Its optimum lies on a basis: as many legs as
the directions span are solved for, the others stand at a bound. For each basis only one placing
of the others can be optimal (at its lower bound where lengthening costs, at the upper where it
saves), so the first basis whose solved legs keep their bounds is the answer. The products
basis⁻¹ D and basis⁻¹ w_j depend on the chain alone and are worked out once.

Where D does not lie in the span (straight and planar chains), the part outside is the *miss*.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations, product
from typing import NamedTuple

from pitwright.geometry.vector import Vec, add, cross, dot, norm, scale, sub
from pitwright.trains.triples import determinants, shares, triples

__all__ = ["Basis", "Lack", "Legs", "Tableau", "first_fit", "nearest_lack", "shortest", "tableau"]

INDEPENDENT = 1e-7
"""Directions closer to one plane or line than this count as lying in it. [-]"""
_SPANS = 1e-6
"""Three directions whose determinant is larger span space beyond any doubt. [-]"""
SLACK = 1e-9
"""A bound missed by less is kept: float noise, a hundred thousand times below a pencil line. [m]"""
_EARLIER_COSTS_MORE = 1e-6
"""Ties between equal lengths fall to the later leg: work near the inlet stays short. [-]"""


class Basis(NamedTuple):
    """Which legs are solved for and which stand at a bound, and what that makes of them. [m]"""

    solved: tuple[int, ...]
    placed: tuple[int, ...]
    at_upper: tuple[bool, ...]
    beta: tuple[float, ...]
    alpha: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Tableau:
    """What depends on the chain alone. ``miss`` is the way that no lengths can cover. [m]"""

    legs: int
    miss: Vec
    bases: tuple[Basis, ...]


@dataclass(frozen=True, slots=True)
class Legs:
    """The shortest leg lengths that close. [m]"""

    lengths: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Lack:
    """No lengths close; the nearest attempt breaks this leg's bound by the least. [m]"""

    leg: int
    have: float
    bound: float

    @property
    def missed(self) -> float:
        """How much is lacking. [m]"""
        return abs(self.have - self.bound)


def _span(directions: Sequence[Vec]) -> tuple[Vec, ...]:
    """An orthonormal basis of what the directions span, largest remainder first. [-]"""
    basis: list[Vec] = []
    rest = list(directions)
    while len(basis) < 3:
        sizes = [norm(r) for r in rest]
        best = max(range(len(rest)), key=lambda i: (sizes[i], -i))
        if sizes[best] < INDEPENDENT:
            break
        e = scale(rest[best], 1.0 / sizes[best])
        basis.append(e)
        rest = [sub(r, scale(e, dot(r, e))) for r in rest]
    return tuple(basis)


def _solver(columns: Sequence[tuple[float, ...]]) -> tuple[tuple[float, ...], ...] | None:
    """The inverse of a 1x1, 2x2 or 3x3 matrix given by columns, or None when it has none. [-]"""
    if len(columns) == 1:
        (a,) = columns[0]
        return ((1.0 / a,),) if abs(a) > INDEPENDENT else None
    if len(columns) == 2:
        (a, c), (b, d) = columns
        det = a * d - b * c
        if abs(det) < INDEPENDENT:
            return None
        return ((d / det, -b / det), (-c / det, a / det))
    u, v, w = ((c[0], c[1], c[2]) for c in columns)
    rows = (cross(v, w), cross(w, u), cross(u, v))
    det = dot(u, rows[0])
    if abs(det) < INDEPENDENT:
        return None
    return tuple(scale(r, 1.0 / det) for r in rows)


def tableau(directions: Sequence[Vec], way: Vec) -> Tableau:
    """The tableau of a chain of unit ``directions`` that must cover ``way``. [m]

    Up to five legs. Source: linear programming; the sharing is ours, docs/decisions/0003.
    """
    if len(directions) >= 3:
        pairs, dets = determinants(directions)
        if max(dets) > _SPANS or min(dets) < -_SPANS:
            return Tableau(len(directions), (0.0, 0.0, 0.0), _spatial(pairs, dets, way))
    return _projected(directions, way)


@cache
def _costs(legs: int) -> tuple[float, ...]:
    return tuple(1.0 + _EARLIER_COSTS_MORE * (legs - j) for j in range(legs))


def _spatial(pairs: Sequence[Vec], dets: Sequence[float], way: Vec) -> tuple[Basis, ...]:
    """Every basis of a chain that spans space, by Cramer's rule."""
    parts = shares(pairs, way)
    legs = 3 if len(dets) == 1 else 4 if len(dets) == 4 else 5
    cost = _costs(legs)
    bases: list[Basis] = []
    for triple, det in zip(triples(legs), dets, strict=True):
        if -INDEPENDENT < det < INDEPENDENT:
            continue
        by = 1.0 / det
        (i, j, k), placed, (jk, ik, ij), columns = triple
        beta = (parts[jk] * by, -parts[ik] * by, parts[ij] * by)
        alpha = []
        choices: list[tuple[bool, ...]] = []
        for leg, ((s, a), (t, b), (u, c)) in zip(placed, columns, strict=True):
            column = (s * dets[a] * by, t * dets[b] * by, u * dets[c] * by)
            alpha.append(column)
            save = cost[leg] - (cost[i] * column[0] + cost[j] * column[1] + cost[k] * column[2])
            choices.append(_EITHER if -1e-12 < save < 1e-12 else _UPPER if save < 0.0 else _LOWER)
        for upper in product(*choices):
            bases.append(Basis(triple.solved, placed, upper, beta, tuple(alpha)))
    return tuple(bases)


_EITHER, _UPPER, _LOWER = (False, True), (True,), (False,)


def _projected(directions: Sequence[Vec], way: Vec) -> Tableau:
    """The same for chains of one or two legs, and for flat and straight ones: within their span."""
    n = len(directions)
    span = _span(directions)
    inside = [dot(way, e) for e in span]
    flat = [tuple(dot(w, e) for e in span) for w in directions]
    covered = (0.0, 0.0, 0.0)
    for e, share in zip(span, inside, strict=True):
        covered = add(covered, scale(e, share))
    cost = _costs(n)
    bases: list[Basis] = []
    for solved in combinations(range(n), len(span)):
        inverse = _solver([flat[j] for j in solved])
        if inverse is None:
            continue
        placed = tuple(j for j in range(n) if j not in solved)
        beta = tuple(math.fsum(r * x for r, x in zip(row, inside, strict=True)) for row in inverse)
        alpha = tuple(
            tuple(sum(r * x for r, x in zip(row, flat[j], strict=True)) for row in inverse)
            for j in placed
        )
        saves = [
            cost[j] - sum(cost[k] * x for k, x in zip(solved, column, strict=True))
            for j, column in zip(placed, alpha, strict=True)
        ]
        choices = [_EITHER if abs(s) < 1e-12 else _UPPER if s < 0.0 else _LOWER for s in saves]
        bases += [Basis(solved, placed, upper, beta, alpha) for upper in product(*choices)]
    return Tableau(n, sub(way, covered), tuple(bases))


def shortest(chain: Tableau, low: Sequence[float], high: Sequence[float]) -> Legs | Lack:
    """The shortest lengths within their bounds, or what is lacking.

    Parameters
    ----------
    low, high : sequence of float
        One a leg; ``high`` may be infinite. [m]

    Source: linear programming, see the module.
    """
    found = first_fit(chain, low, high)
    return Legs(tuple(found)) if found is not None else _nearest(chain, low, high)


def first_fit(chain: Tableau, low: Sequence[float], high: Sequence[float]) -> list[float] | None:
    """The shortest lengths [m], or None; the plain loop that the search spends its time in.

    Source: linear programming, see the module.
    """
    if chain.legs == _FIVE and chain.bases and len(chain.bases[0].placed) == _FIVE - 3:
        return _first_of_five(chain, low, high)
    for basis in chain.bases:
        lengths = _solve(basis, low, high)
        if lengths is None:
            continue
        for j in basis.solved:
            value = lengths[j]
            if value < low[j] - SLACK or value > high[j] + SLACK:
                break
        else:
            return lengths
    return None


_FIVE = 5
"""Legs of four bends: there are so many such chains that they have a loop of their own. [-]"""


def _first_of_five(
    chain: Tableau, low: Sequence[float], high: Sequence[float]
) -> list[float] | None:
    """The same for five legs that span space: two placed, three solved, one after another."""
    endless = math.inf
    for solved, (p, q), (p_up, q_up), beta, (with_p, with_q) in chain.bases:
        x = high[p] if p_up else low[p]
        y = high[q] if q_up else low[q]
        if x == endless or y == endless:
            continue
        i, j, k = solved
        a = beta[0] - with_p[0] * x - with_q[0] * y
        if a < low[i] - SLACK or a > high[i] + SLACK:
            continue
        b = beta[1] - with_p[1] * x - with_q[1] * y
        if b < low[j] - SLACK or b > high[j] + SLACK:
            continue
        c = beta[2] - with_p[2] * x - with_q[2] * y
        if c < low[k] - SLACK or c > high[k] + SLACK:
            continue
        lengths = [0.0] * _FIVE
        lengths[p], lengths[q], lengths[i], lengths[j], lengths[k] = x, y, a, b, c
        return lengths
    return None


def _solve(basis: Basis, low: Sequence[float], high: Sequence[float]) -> list[float] | None:
    """Lengths with the placed legs at their bounds, or None where that bound is endless."""
    solved = list(basis.beta)
    lengths = [0.0] * (len(basis.solved) + len(basis.placed))
    for k, j in enumerate(basis.placed):
        at = high[j] if basis.at_upper[k] else low[j]
        if at == math.inf:
            return None
        lengths[j] = at
        column = basis.alpha[k]
        for i in range(len(solved)):
            solved[i] -= column[i] * at
    for i, j in enumerate(basis.solved):
        lengths[j] = solved[i]
    return lengths


def nearest_lack(directions: Sequence[Vec], way: Vec, low: Sequence[float]) -> Lack | None:
    """What a chain lacks whose legs may be as long as they like; None where it may close. [m]

    The same as :func:`shortest` says of such legs, without making the tableau. Chains that do not
    span space beyond doubt are let through. Source: Caratheodory's theorem: a way beyond the lower
    bounds that the legs can cover is covered by three of them.
    """
    if len(directions) < 3:
        return None
    pairs, dets = determinants(directions)
    if max(dets) <= _SPANS and min(dets) >= -_SPANS:
        return None
    x, y, z = way
    for (a, b, c), length in zip(directions, low, strict=True):
        x, y, z = x - a * length, y - b * length, z - c * length
    parts = shares(pairs, (x, y, z))
    nearest, leg = math.inf, 0
    for (solved, _, (jk, ik, ij), _), det in zip(triples(len(directions)), dets, strict=True):
        if -INDEPENDENT < det < INDEPENDENT:
            continue
        by = -1.0 / det
        worst, at = parts[jk] * by, solved[0]
        other = -parts[ik] * by
        if other > worst:
            worst, at = other, solved[1]
        other = parts[ij] * by
        if other > worst:
            worst, at = other, solved[2]
        if worst <= SLACK:
            return None
        if worst < nearest - SLACK:
            nearest, leg = worst, at
    return Lack(leg, low[leg] - nearest, low[leg])


def _nearest(chain: Tableau, low: Sequence[float], high: Sequence[float]) -> Lack:
    """The attempt whose worst broken bound is broken least."""
    best: Lack | None = None
    for basis in chain.bases:
        lengths = _solve(basis._replace(at_upper=(False,) * len(basis.placed)), low, high) or []
        worst: Lack | None = None
        for j in basis.solved:
            have = lengths[j]
            bound = low[j] if have < low[j] else high[j]
            broken = low[j] - have if have < low[j] else have - high[j]
            if broken > SLACK and (worst is None or broken > worst.missed):
                worst = Lack(j, have, bound)
        if worst is not None and (best is None or worst.missed < best.missed - SLACK):
            best = worst
    if best is None:
        # every leg could stand at its lower bound and close: only an upper bound forbids it
        j = next((j for j in range(chain.legs) if high[j] < low[j]), 0)
        return Lack(j, high[j], low[j])
    return best
