"""The chance that a closing error lies within a ball, and what a trim-last piece takes out of it.

All by one sigma: covariances are in square metres of one-sigma errors, never of limits.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from pitwright.algebra.basis import orthonormal_basis
from pitwright.algebra.dense import Matrix, checked_matrix
from pitwright.algebra.eigen import symmetric
from pitwright.errors import Contradiction, Malformed, OutOfRange
from pitwright.geometry.vector import Vec
from pitwright.units.spread import Sigma

__all__ = ["chance_within", "trimmed_last"]

_ROUND, _OUT = 32, 32
_FAR = 8.5
"""Beyond so many sigmas nothing counts: 2e-16 of the whole."""
_NOTHING = 1e-14


def _three(covariance: Matrix) -> None:
    if checked_matrix(covariance, "covariance", square=True) != (3, 3):
        raise Malformed("covariance", len(covariance), "must be 3 x 3", "give x, y and z")


def chance_within(covariance: Matrix, radius: float) -> float:
    """The chance that a normal error (3) with a covariance (3, 3) [m²] lies within a radius [m].

    A covariance may be flat, or nothing: then the chance is that of the errors that are left.
    Polar coordinates over the two axes most alike, the third by the error function; within 1e-6
    as long as no axis is more than ten times the radius. [-] Raises Malformed for a matrix that
    is not 3 x 3 or not finite, OutOfRange for a negative radius, Contradiction for a covariance
    with a negative axis. Source: textbook probability; nodes by Gauss and Legendre.
    """
    _three(covariance)
    if not radius >= 0.0:
        raise OutOfRange("radius", radius, 0.0, "any", "give it in metres")
    values = symmetric(covariance).values
    top = values[-1]
    if values[0] < -1e-9 * max(abs(top), 1e-300):
        raise Contradiction(
            "covariance", values[0], "must have no negative axis", "check what made it"
        )
    small, middle, large = (math.sqrt(v) if v > _NOTHING * top else 0.0 for v in values)
    if large == 0.0:
        return 1.0
    if radius == 0.0:
        return 0.0
    if middle * _FAR > radius and middle * middle > large * small:
        return _over_plane(radius, large, middle, small)
    return _over_plane(radius, middle, small, large)


def _over_plane(radius: float, wide: float, narrow: float, alone: float) -> float:
    """Polar over the axes wide and narrow (sigmas), the one left alone by the error function."""
    if wide == 0.0:
        return math.erf(radius / (alone * math.sqrt(2.0)))
    squeeze = math.sqrt(wide / max(narrow, min(wide, radius / _FAR)))
    total = 0.0
    for i in range(_ROUND):
        turn = 0.5 * math.pi * (i + 0.5) / _ROUND
        c, s = math.cos(turn), math.sin(turn)
        weight = squeeze / (c * c + squeeze * squeeze * s * s)
        size = math.hypot(c, squeeze * s)
        width = math.hypot(wide * c / size, narrow * squeeze * s / size)
        total += weight * _slice(radius, width, alone)
    return min(1.0, total / _ROUND)


def _slice(radius: float, width: float, alone: float) -> float:
    """One direction of the plane: integral of t exp(-t²/2) erf(...) outward."""
    root = max(alone, 1e-300) * math.sqrt(2.0)
    total = 0.0
    if width * _FAR <= radius:
        for x, w in _nodes(_OUT):
            t = _FAR * x
            rest = math.sqrt(max(0.0, radius * radius - (t * width) ** 2))
            total += w * _FAR * t * math.exp(-0.5 * t * t) * math.erf(rest / root)
        return total
    square = (radius / width) ** 2
    for x, w in _nodes(_OUT):  # t² = T² (1 - c²), c = x³: close to the rim, where erf rises
        c = x * x * x
        fall = math.exp(-0.5 * square * (1.0 - c * c))
        total += w * 3.0 * x * x * square * c * fall * math.erf(radius * c / root)
    return total


@cache
def _nodes(n: int) -> tuple[tuple[float, float], ...]:
    """Gauss-Legendre nodes and weights on 0 to 1, by Newton on the Legendre polynomial."""
    out = []
    for i in range(n):
        x = math.cos(math.pi * (i + 0.75) / (n + 0.5))
        slope = 1.0
        for _ in range(20):
            p0, p1 = 1.0, x
            for k in range(2, n + 1):
                p0, p1 = p1, ((2 * k - 1) * x * p1 - (k - 1) * p0) / k
            slope = n * (x * p1 - p0) / (x * x - 1.0)
            step = p1 / slope
            x -= step
            if abs(step) < 1e-16:
                break
        out.append((0.5 * (1.0 + x), 1.0 / ((1.0 - x * x) * slope * slope)))
    return tuple(out)


def trimmed_last(
    covariance: Matrix, directions: Sequence[Vec], marked: Sigma
) -> tuple[tuple[float, ...], ...]:
    """The covariance (3, 3) [m²] when pieces along ``directions`` are marked in place and cut last.

    Whatever lies in the room of the directions [-] (trim-last pieces; a joint left dry gives the
    direction in which rolling it moves the end) is taken out and replaced by ``marked``, the one
    sigma of a mark and a cut in place. [m] Q S Q + sigma² A A', A an orthonormal basis,
    Q = 1 - A A'. Raises Malformed for a matrix that is not 3 x 3. Source: design study.
    """
    _three(covariance)
    basis = orthonormal_basis(directions) if directions else []
    hold = [[sum(a[i] * a[j] for a in basis) for j in range(3)] for i in range(3)]
    keep = [[(1.0 if i == j else 0.0) - hold[i][j] for j in range(3)] for i in range(3)]
    once = [
        [sum(keep[i][k] * covariance[k][j] for k in range(3)) for j in range(3)] for i in range(3)
    ]
    square = marked.one**2
    return tuple(
        tuple(
            sum(once[i][k] * keep[k][j] for k in range(3)) + square * hold[i][j] for j in range(3)
        )
        for i in range(3)
    )
