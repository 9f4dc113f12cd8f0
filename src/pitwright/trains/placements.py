"""Where a train may lie when the walls of the pit count: all lengths, not only the shortest.

For fixed directions the lengths that close form a flat set with as many free numbers as there are
legs beyond what the directions span: none (a point), one (a stretch), two (a polygon) or, for five
legs in one plane, three (a solid). Bounds of the legs and walls before or behind a bend's centre
are half-planes in those numbers, so the set is clipped by each in turn and its corners are known
exactly. Obstacles are not convex: they
are tested at the corners and at points between.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import NamedTuple

from pitwright.geometry.clearance import HalfSpace
from pitwright.geometry.vector import Vec, dot
from pitwright.trains.lengths import SLACK, Basis, Tableau

__all__ = ["placements"]

Point = tuple[float, ...]
_FAR = 10.0
"""No leg in a pit is longer. [m]"""


class _Half(NamedTuple):
    """slope · t <= most in the free numbers t."""

    slope: Point
    most: float


def placements(
    chain: Tableau,
    directions: Sequence[Vec],
    tip: Vec,
    low: Sequence[float],
    high: Sequence[float],
    walls: Sequence[HalfSpace],
) -> tuple[tuple[float, ...], ...] | HalfSpace | None:
    """Lengths at the corners of what may be, and between them; the wall that leaves nothing.

    Parameters
    ----------
    tip : Vec
        The inlet's tip. [m]
    low, high : sequence of float
        Bounds of each leg. [m]
    walls : sequence of HalfSpace
        Planes that no bend's centre may pass. [m]

    None when the bounds alone leave nothing. Source: clipping by half-planes, textbook.
    """
    basis = chain.bases[0] if chain.bases else None
    if basis is None:
        return None
    free = len(basis.placed)
    legs = _legs(basis, chain.legs)
    region = _Flat(_whole(free)) if free < 3 else _Solid.whole(free)
    for (const, grade), least, most in zip(legs, low, high, strict=True):
        region = region.clipped(_Half(tuple(-g for g in grade), const - least))
        region = region.clipped(_Half(grade, min(most, _FAR) - const))
        if not region.points:
            return None
    for wall in walls:
        reach, slope = dot(wall.normal, tip), (0.0,) * free
        for (const, grade), direction in zip(legs[:-1], directions, strict=False):
            share = dot(wall.normal, direction)
            reach += share * const
            slope = tuple([s + share * g for s, g in zip(slope, grade, strict=True)])
            region = region.clipped(_Half(slope, wall.most - reach))
            if not region.points:
                return wall
    return tuple(tuple([_length(leg, t) for leg in legs]) for t in _spread(region.points))


def _legs(basis: Basis, count: int) -> list[tuple[float, Point]]:
    """Each leg's length as a constant and a slope in the free numbers. [m]"""
    free = len(basis.placed)
    legs: list[tuple[float, Point]] = [(0.0, ())] * count
    for k, j in enumerate(basis.placed):
        legs[j] = (0.0, tuple(1.0 if n == k else 0.0 for n in range(free)))
    for i, j in enumerate(basis.solved):
        legs[j] = (basis.beta[i], tuple(-column[i] for column in basis.alpha))
    return legs


def _length(leg: tuple[float, Point], t: Point) -> float:
    length, slope = leg
    for s, x in zip(slope, t, strict=True):
        length += s * x
    return length


@dataclass(frozen=True, slots=True)
class _Flat:
    """A point, a stretch or a polygon by its corners in order."""

    points: tuple[Point, ...]

    def clipped(self, half: _Half) -> _Flat:
        left = _clipped(self.points, half)
        return self if left is self.points else _Flat(left)


@dataclass(frozen=True, slots=True)
class _Solid:
    """A body of three free numbers or more by its corners, each with the half-planes it lies on.

    An edge joins two corners when no third lies on all the half-planes that both lie on.
    """

    corners: tuple[tuple[Point, frozenset[int]], ...]
    halves: int

    @classmethod
    def whole(cls, free: int) -> _Solid:
        ends = (-_FAR, 2 * _FAR)
        made = []
        for picked in product((0, 1), repeat=free):
            point = tuple(ends[p] for p in picked)
            made.append((point, frozenset(2 * n + p for n, p in enumerate(picked))))
        return cls(tuple(made), 2 * free)

    @property
    def points(self) -> tuple[Point, ...]:
        return tuple(point for point, _ in self.corners)

    def clipped(self, half: _Half) -> _Solid:
        """What lies on the allowed side, with new corners where edges cross the half-plane."""
        at = self.halves
        inside: list[tuple[Point, frozenset[int], float]] = []
        outside: list[tuple[Point, frozenset[int], float]] = []
        for p, on in self.corners:
            value = sum(s * x for s, x in zip(half.slope, p, strict=True)) - half.most
            if value > SLACK:
                outside.append((p, on, value))
            else:
                inside.append((p, on | {at} if value > -SLACK else on, value))
        made = {_spot(p): (p, on) for p, on, _ in inside}
        for p, on, vp in inside:
            for q, also, vq in outside:
                shared = on & also
                if at in on or len(shared) < len(half.slope) - 1 or not self._edge(shared):
                    continue
                by = vp / (vp - vq)
                point = tuple(a + (b - a) * by for a, b in zip(p, q, strict=True))
                known = made.get(_spot(point))
                made[_spot(point)] = (point, shared | {at} | (known[1] if known else shared))
        return _Solid(tuple(made.values()), at + 1)

    def _edge(self, shared: frozenset[int]) -> bool:
        """Whether just two corners lie on all these half-planes: then an edge joins them."""
        return sum(shared <= on for _, on in self.corners) == 2


def _spot(point: Point) -> Point:
    """Corners nearer than this are one corner."""
    return tuple(round(x, 8) for x in point)


def _whole(free: int) -> tuple[Point, ...]:
    """Everything of two free numbers at most, far larger than any pit."""
    if free == 0:
        return ((),)
    if free == 1:
        return ((-_FAR,), (2 * _FAR,))
    a, b = -_FAR, 2 * _FAR
    return ((a, a), (b, a), (b, b), (a, b))


def _clipped(region: tuple[Point, ...], half: _Half) -> tuple[Point, ...]:
    """What lies on the allowed side, corners in order (Sutherland and Hodgman's walk)."""
    most = half.most
    if len(half.slope) == 2:
        sx, sy = half.slope
        values = [sx * p[0] + sy * p[1] - most for p in region]
    else:
        values = [sum(s * x for s, x in zip(half.slope, p, strict=True)) - most for p in region]
    if not values or max(values) <= SLACK:
        return region
    kept: list[Point] = []
    count = len(region)
    for i in range(count):
        p, q = region[i], region[(i + 1) % count]
        vp, vq = values[i], values[(i + 1) % count]
        if vp <= SLACK:
            kept.append(p)
        if (vp > SLACK) != (vq > SLACK) and vp != vq and count > 1:
            share = vp / (vp - vq)
            kept.append(tuple(a + (b - a) * share for a, b in zip(p, q, strict=True)))
        if count == 2 and i == 0:
            # a stretch has two ends, not two sides: its return leg adds nothing
            if vq <= SLACK:
                kept.append(q)
            break
    return tuple(kept)


def _spread(region: Sequence[Point]) -> tuple[Point, ...]:
    """The corners, then points between them and the middle, all inside."""
    points = list(region)
    if len(region) < 2:
        return tuple(points)
    middle = tuple(math.fsum(c) / len(region) for c in zip(*region, strict=True))
    for p in region:
        for share in (0.15, 0.4, 0.7):
            points.append(tuple(a + (m - a) * share for a, m in zip(p, middle, strict=True)))
    points.append(middle)
    for p, q in zip(region, [*region[1:], region[0]], strict=True):
        points.append(tuple((a + b) / 2 for a, b in zip(p, q, strict=True)))
    return tuple(points)
