"""Where a train may lie when the walls of the pit count: all lengths, not only the shortest.

For fixed directions the lengths that close form a flat set with as many free numbers as there are
legs beyond what the directions span: none (a point), one (a stretch) or two (a polygon). Bounds
of the legs and walls before or behind a bend's centre are half-planes in those numbers, so the
set is clipped by each in turn and its corners are known exactly. Obstacles are not convex: they
are tested at the corners and at points between.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.geometry.clearance import HalfSpace
from pitwright.geometry.vector import Vec, dot
from pitwright.trains.lengths import SLACK, Tableau

__all__ = ["placements"]

Point = tuple[float, ...]
_FAR = 10.0
"""No leg in a pit is longer. [m]"""


@dataclass(frozen=True, slots=True)
class _Half:
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

    def lengths(t: Point) -> tuple[float, ...]:
        out = [0.0] * chain.legs
        for k, j in enumerate(basis.placed):
            out[j] = t[k]
        for i, j in enumerate(basis.solved):
            shares = (basis.alpha[k][i] * t[k] for k in range(free))
            out[j] = basis.beta[i] - math.fsum(shares)
        return tuple(out)

    def half(coefficients: Sequence[float], most: float) -> _Half:
        slope = [coefficients[j] for j in basis.placed]
        for i, j in enumerate(basis.solved):
            most -= coefficients[j] * basis.beta[i]
            for k in range(free):
                slope[k] -= coefficients[j] * basis.alpha[k][i]
        return _Half(tuple(slope), most)

    region = _whole(free)
    for j in range(chain.legs):
        one = [0.0] * chain.legs
        one[j] = -1.0
        region = _clipped(region, half(one, -low[j]))
        one[j] = 1.0
        region = _clipped(region, half(one, min(high[j], _FAR)))
        if not region:
            return None
    for wall in walls:
        shares = [dot(wall.normal, w) for w in directions]
        start = dot(wall.normal, tip)
        for bend in range(1, chain.legs):
            upto = [*shares[:bend], *[0.0] * (chain.legs - bend)]
            region = _clipped(region, half(upto, wall.most - start))
            if not region:
                return wall
    return tuple(lengths(t) for t in _spread(region))


def _whole(free: int) -> tuple[Point, ...]:
    """Everything: a point, a stretch, or a square far larger than any pit."""
    if free == 0:
        return ((),)
    if free == 1:
        return ((-_FAR,), (2 * _FAR,))
    a, b = -_FAR, 2 * _FAR
    return ((a, a), (b, a), (b, b), (a, b))


def _clipped(region: Sequence[Point], half: _Half) -> tuple[Point, ...]:
    """What lies on the allowed side, corners in order (Sutherland and Hodgman's walk)."""
    values = [sum(s * x for s, x in zip(half.slope, p, strict=True)) - half.most for p in region]
    if all(v <= SLACK for v in values):
        return tuple(region)
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
