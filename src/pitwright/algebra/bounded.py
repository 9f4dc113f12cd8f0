"""Least squares when every unknown has a lower and an upper limit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.algebra.dense import (
    EPSILON,
    Matrix,
    Vector,
    checked_matrix,
    checked_vector,
    inner,
    length,
)
from pitwright.algebra.least_squares import least_squares
from pitwright.errors import Malformed

__all__ = ["Bounded", "bounded_least_squares"]


_STEPS_EACH, _STEPS_MORE = 10, 20
_GAIN = 1e-13


@dataclass(frozen=True, slots=True)
class Bounded:
    """x (n) within its limits; residual |a x - b| [unit of b]; steps taken; proved best or not."""

    x: tuple[float, ...]
    residual: float
    steps: int
    settled: bool


def bounded_least_squares(a: Matrix, b: Vector, low: Vector, high: Vector) -> Bounded:
    """x that makes |a x - b| least with low <= x <= high; a (m, n), b (m), low and high (n).

    Limits may be infinite or equal. When several x are equally good, any of them.
    ``settled`` is False when the search was stopped before its optimality test held (after
    10 n + 20 steps). [unit of b over unit of a] Raises Malformed for shapes that do not fit, for
    numbers that are not finite and for a low limit above its high one.
    Source: active sets, Stark and Parker (1995), from memory.
    """
    m, n = checked_matrix(a, "matrix")
    checked_vector(b, "right side", m)
    _check_limits(low, high, n)
    columns = [[row[j] for row in a] for j in range(n)]
    sizes = [length(c) for c in columns]
    x = [min(max(0.0, lo), hi) for lo, hi in zip(low, high, strict=True)]
    free: set[int] = set()
    refused: set[int] = set()
    rest = _residual(columns, b, x)
    for step in range(_STEPS_EACH * n + _STEPS_MORE):
        j = _worst(columns, sizes, rest, x, low, high, free | refused)
        if j is None:
            return Bounded(tuple(x), length(rest), step, True)
        moved, kept = _settled(columns, rest, x, low, high, free | {j})
        left = _residual(columns, b, moved)
        if length(left) < (1.0 - _GAIN) * length(rest):
            x, free, rest = moved, kept, left
            refused.clear()
        else:  # its pull was rounding
            refused.add(j)
    return Bounded(tuple(x), length(rest), _STEPS_EACH * n + _STEPS_MORE, False)


def _check_limits(low: Vector, high: Vector, n: int) -> None:
    for name, limit in (("low", low), ("high", high)):
        if len(limit) != n:
            raise Malformed(name, len(limit), f"must have {n} entries", "give one per unknown")
    for i, (lo, hi) in enumerate(zip(low, high, strict=True)):
        if not lo <= hi or lo == math.inf or hi == -math.inf:
            raise Malformed(f"low[{i}]", lo, f"must not exceed high ({hi})", "swap or mend them")


def _residual(columns: list[list[float]], b: Vector, x: list[float]) -> list[float]:
    rest = list(b)
    for column, value in zip(columns, x, strict=True):
        if value != 0.0:
            for i, c in enumerate(column):
                rest[i] -= c * value
    return rest


def _worst(
    columns: list[list[float]],
    sizes: list[float],
    rest: list[float],
    x: list[float],
    low: Vector,
    high: Vector,
    passed: set[int],
) -> int | None:
    """The unknown at a limit that most wants to leave it; None when none does."""
    most, pick = EPSILON * length(rest), None
    for j, column in enumerate(columns):
        if j in passed or sizes[j] == 0.0 or low[j] == high[j]:
            continue
        pull = inner(column, rest) / sizes[j]
        if (x[j] <= low[j] and pull < 0.0) or (x[j] >= high[j] and pull > 0.0):
            continue
        if abs(pull) > most:
            most, pick = abs(pull), j
    return pick


def _settled(
    columns: list[list[float]],
    rest: list[float],
    start: list[float],
    low: Vector,
    high: Vector,
    names: set[int],
) -> tuple[list[float], set[int]]:
    """The named unknowns at their best, and which of them met no limit on the way."""
    x, rest, free = list(start), list(rest), sorted(names)
    while free:
        part = least_squares([[columns[j][i] for j in free] for i in range(len(rest))], rest).x
        share, stopped, met = 1.0, None, 0.0
        for j, move in zip(free, part, strict=True):
            limit = high[j] if move > 0.0 else low[j]
            if move != 0.0 and abs(move) * share > abs(limit - x[j]):
                share, stopped, met = abs(limit - x[j]) / abs(move), j, limit
        for j, move in zip(free, part, strict=True):
            x[j] = min(max(x[j] + share * move, low[j]), high[j])
            for i, c in enumerate(columns[j]):
                rest[i] -= share * move * c
        if stopped is None:
            break
        x[stopped] = met
        free.remove(stopped)
    return x, set(free)
