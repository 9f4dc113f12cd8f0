"""Least squares by Householder reflections with column pivots."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.algebra.basis import orthonormal_basis
from pitwright.algebra.dense import Matrix, Vector, checked_matrix, checked_vector, inner, length

__all__ = ["LeastSquares", "least_squares"]


@dataclass(frozen=True, slots=True)
class LeastSquares:
    """x (n), the shortest of the best; rank of a; residual |a x - b| [unit of b]."""

    x: tuple[float, ...]
    rank: int
    residual: float


def _reflect(columns: list[list[float]], right: list[float], k: int) -> None:
    """Turn column k into a multiple of unit vector k, and everything right of it alike."""
    head = columns[k]
    alpha = -math.copysign(length(head[k:]), head[k])
    v = head[k:]
    v[0] -= alpha
    by = 2.0 / inner(v, v)
    for column in (*columns[k + 1 :], right):
        share = by * inner(v, column[k:])
        for i, part in enumerate(v):
            column[k + i] -= share * part
    head[k] = alpha


def _triangular(columns: list[list[float]], rank: int, right: list[float]) -> list[float]:
    """Solve the leading triangle for one right side (rank)."""
    x = list(right[:rank])
    for k in range(rank - 1, -1, -1):
        x[k] /= columns[k][k]
        for i in range(k):
            x[i] -= columns[k][i] * x[k]
    return x


def least_squares(a: Matrix, b: Vector, flat: float = 1e-12) -> LeastSquares:
    """x that makes |a x - b| least, for a (m, n) and b (m), of any shape and rank.

    When several x are equally good the shortest is returned. A column whose remainder is
    shorter than ``flat`` [-] times the longest column adds nothing to the rank. Weights: scale
    rows of a and b by 1/sigma first. [unit of b over unit of a] Raises Malformed for shapes that
    do not fit and for numbers that are not finite. Source: textbook linear algebra.
    """
    m, n = checked_matrix(a, "matrix")
    checked_vector(b, "right side", m)
    columns = [[row[j] for row in a] for j in range(n)]
    right = list(b)
    order = list(range(n))
    longest = max((length(c) for c in columns), default=0.0)
    rank = 0
    for k in range(min(m, n)):
        size, pivot = max((length(columns[j][k:]), -j) for j in range(k, n))
        if size <= flat * longest or size == 0.0:
            break
        j = -pivot
        columns[k], columns[j] = columns[j], columns[k]
        order[k], order[j] = order[j], order[k]
        _reflect(columns, right, k)
        rank += 1
    x = _triangular(columns, rank, right) + [0.0] * (n - rank)
    if rank < n:
        x = _shortest(columns, rank, x)
    out = [0.0] * n
    for place, value in zip(order, x, strict=True):
        out[place] = value
    return LeastSquares(tuple(out), rank, length(right[rank:]) if right[rank:] else 0.0)


def _shortest(columns: list[list[float]], rank: int, x: list[float]) -> list[float]:
    """x without its share in the null space of the triangle [R S]."""
    n = len(columns)
    free = []
    for j in range(rank, n):
        tail = [1.0 if i == j else 0.0 for i in range(rank, n)]
        free.append([-v for v in _triangular(columns, rank, columns[j])] + tail)
    for q in orthonormal_basis(free):
        share = inner(q, x)
        x = [u - share * v for u, v in zip(x, q, strict=True)]
    return x
