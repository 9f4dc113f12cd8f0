"""Symmetric positive definite systems: a = L Lᵀ."""

from __future__ import annotations

import math

from pitwright.algebra.dense import EPSILON, Matrix, Vector, checked_matrix, checked_vector

__all__ = ["Factor", "factor", "inverse", "log_determinant", "solve"]

Factor = tuple[tuple[float, ...], ...]
"""L by rows, row i with its i + 1 entries only."""


def factor(a: Matrix) -> Factor | None:
    """L (n, n, lower) with a = L Lᵀ, or None when a is not positive definite to working precision.

    Only the lower half of a (n, n) is read. [square root of a's unit] A pivot that falls below
    n ε times its own diagonal entry counts as zero. Raises Malformed for a matrix that is not
    square or not finite. Source: textbook linear algebra.
    """
    n, _ = checked_matrix(a, "cholesky matrix", square=True)
    small = n * EPSILON
    rows: list[tuple[float, ...]] = []
    for i in range(n):
        source = a[i]
        row: list[float] = []
        for j in range(i):
            other = rows[j]
            total = source[j]
            for k in range(j):
                total -= row[k] * other[k]
            row.append(total / other[j])
        pivot = source[i]
        for value in row:
            pivot -= value * value
        if pivot <= small * abs(source[i]):
            return None
        row.append(math.sqrt(pivot))
        rows.append(tuple(row))
    return tuple(rows)


def _forward(lower: Factor, b: Vector) -> list[float]:
    y: list[float] = []
    for row, value in zip(lower, b, strict=True):
        total = value
        for coefficient, known in zip(row, y, strict=False):
            total -= coefficient * known
        y.append(total / row[-1])
    return y


def solve(lower: Factor, b: Vector) -> list[float]:
    """x (n) with L Lᵀ x = b (n). [unit of b over unit of a]

    Raises Malformed when b does not fit. Source: textbook linear algebra.
    """
    n = len(lower)
    checked_vector(b, "right side", n)
    x = _forward(lower, b)
    for i in range(n - 1, -1, -1):
        row = lower[i]
        value = x[i] / row[i]
        x[i] = value
        for j in range(i):
            x[j] -= row[j] * value
    return x


def inverse(lower: Factor) -> list[list[float]]:
    """(L Lᵀ)⁻¹ (n, n), symmetric to the last bit. [1 over unit of a]

    From the inverse of L. Source: textbook linear algebra.
    """
    n = len(lower)
    columns: list[list[float]] = []  # column j of L⁻¹, from row j down
    for j in range(n):
        column = [1.0 / lower[j][j]]
        for i in range(j + 1, n):
            row = lower[i]
            total = 0.0
            for k in range(j, i):
                total -= row[k] * column[k - j]
            column.append(total / row[i])
        columns.append(column)
    out = [[0.0] * n for _ in range(n)]
    for i in range(n):
        for j in range(i + 1):
            left, right = columns[i], columns[j]
            total = 0.0
            for k in range(i, n):
                total += left[k - i] * right[k - j]
            out[i][j] = out[j][i] = total
    return out


def log_determinant(lower: Factor) -> float:
    """The natural logarithm of det(L Lᵀ). [-] Source: textbook linear algebra."""
    return 2.0 * sum(math.log(row[-1]) for row in lower)
