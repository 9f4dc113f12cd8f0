"""How each reading's and each cut's error moves the closing joint, and which matters most.

misfit error = eB - eA - tA x (q - pA) - sum_j t_j x (q - p_j) - sum_k a_k e_k, all independent and
of one sigma: e of points, t of directions and bends, e_k of lengths along a_k; q closes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pitwright.errors import Malformed
from pitwright.geometry.vector import Vec, across, cross, scale
from pitwright.tolerance.chance import chance_within, trimmed_last
from pitwright.units.spread import Sigma

__all__ = [
    "Covariance",
    "ErrorSource",
    "Trim",
    "added_up",
    "bend_error",
    "best_trim",
    "direction_error",
    "length_error",
    "point_error",
    "shares",
]

Covariance = tuple[Vec, Vec, Vec]
"""Symmetric, by rows. [m²]"""


@dataclass(frozen=True, slots=True)
class ErrorSource:
    """One error and what it does at the closing joint: its name and covariance. [m²]"""

    name: str
    covariance: Covariance


@dataclass(frozen=True, slots=True)
class Trim:
    """A piece to trim last, by its index; the chance with it and how much that gains. [-]"""

    piece: int
    chance: float
    gain: float


def _outer(effects: Iterable[Vec]) -> Covariance:
    """The sum of v v' over effects of one sigma each (k, 3)."""
    rows = [[0.0] * 3 for _ in range(3)]
    for v in effects:
        for i in range(3):
            for j in range(3):
                rows[i][j] += v[i] * v[j]
    return _rows(rows)


def _rows(rows: Sequence[Sequence[float]]) -> Covariance:
    a, b, c = ((r[0], r[1], r[2]) for r in rows)
    return (a, b, c)


def point_error(name: str, covariance: Sequence[Sequence[float]]) -> ErrorSource:
    """A located point, with its covariance (3, 3), moves the joint by its own error. [m²]

    Raises Malformed when it is not 3 x 3. Source: arithmetic.
    """
    if len(covariance) != 3 or any(len(r) != 3 for r in covariance):
        raise Malformed(f"{name} covariance", len(covariance), "must be 3 x 3", "give x, y, z")
    return ErrorSource(name, _rows(covariance))


def direction_error(name: str, outward: Vec, lever: Vec, sigma: float) -> ErrorSource:
    """A stub's direction known to ``sigma`` to either side [rad], ``lever`` [m] from the joint.

    Its roll moves nothing. [m²] Source: small rotations.
    """
    turns = [scale(axis, sigma) for axis in across(outward)]
    return ErrorSource(name, _outer(cross(turn, lever) for turn in turns))


def bend_error(name: str, normal: Vec, lever: Vec, sigma: float) -> ErrorSource:
    """A fitting whose angle is off by ``sigma`` [rad] about its plane's normal (unit). [m²]

    ``lever`` from the fitting's centre to the closing joint. [m] Source: small rotations.
    """
    return ErrorSource(name, _outer([cross(scale(normal, sigma), lever)]))


def length_error(name: str, axis: Vec, sigma: float, count: int = 1) -> ErrorSource:
    """``count`` independent lengths (cuts, seats, thread stops) of ``sigma`` [m] along an axis.

    [m²] Source: arithmetic.
    """
    return ErrorSource(name, _outer([scale(axis, sigma)] * count))


def added_up(sources: Iterable[ErrorSource]) -> Covariance:
    """The covariance (3, 3) of the closing error: independent errors add. [m²]

    Source: textbook probability.
    """
    total = [[0.0] * 3 for _ in range(3)]
    for source in sources:
        for i in range(3):
            for j in range(3):
                total[i][j] += source.covariance[i][j]
    return _rows(total)


def shares(sources: Sequence[ErrorSource]) -> tuple[tuple[str, float], ...]:
    """Each error's part of the total variance, the largest first; names alike are one. [-]

    Empty when nothing errs. Source: textbook probability.
    """
    parts: dict[str, float] = {}
    for source in sources:
        trace = sum(source.covariance[i][i] for i in range(3))
        parts[source.name] = parts.get(source.name, 0.0) + trace
    whole = sum(parts.values())
    if whole <= 0.0:
        return ()
    ranked = sorted(parts.items(), key=lambda item: (-item[1], item[0]))
    return tuple((name, part / whole) for name, part in ranked)


def best_trim(
    covariance: Covariance, pieces: Sequence[Vec], marked: Sigma, radius: float
) -> tuple[Trim, ...]:
    """What trimming each piece last would gain, the best first; pieces by their axes (k, 3). [-]

    The chance of closing within ``radius`` [m] when that one piece is marked in place and cut to
    ``marked`` [m]. Ties go to the first. Source: design study.
    """
    before = chance_within(covariance, radius)
    trims = []
    for i, axis in enumerate(pieces):
        chance = chance_within(trimmed_last(covariance, [axis], marked), radius)
        trims.append(Trim(i, chance, chance - before))
    return tuple(sorted(trims, key=lambda t: (-round(t.chance, 12), t.piece)))
