"""Matrices as rows of floats: products, transposes and the shape check every solver makes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pitwright.errors import Malformed

__all__ = [
    "EPSILON",
    "Matrix",
    "Vector",
    "checked_matrix",
    "checked_vector",
    "identity",
    "inner",
    "length",
    "product",
    "times",
    "transposed",
]

Vector = Sequence[float]
Matrix = Sequence[Sequence[float]]

EPSILON = 2.0**-52
"""The step from 1.0 to the next float."""


def inner(a: Vector, b: Vector) -> float:
    """a·b of two vectors of one length n. [unit of a times unit of b] Source: arithmetic."""
    total = 0.0
    for x, y in zip(a, b, strict=True):
        total += x * y
    return total


def length(a: Vector) -> float:
    """The Euclidean length of a vector (n), safe from overflow. [its own unit]

    Source: arithmetic.
    """
    return math.hypot(*a)


def transposed(a: Matrix) -> list[list[float]]:
    """The transpose (n, m) of a matrix (m, n). [its own unit] Source: arithmetic."""
    return [list(column) for column in zip(*a, strict=True)]


def times(a: Matrix, x: Vector) -> list[float]:
    """The vector a x (m) of a matrix (m, n) and a vector (n). [unit of a times unit of x]

    Source: arithmetic.
    """
    return [inner(row, x) for row in a]


def product(a: Matrix, b: Matrix) -> list[list[float]]:
    """The matrix a b (m, k) of matrices (m, n) and (n, k). [unit of a times unit of b]

    Source: arithmetic.
    """
    columns = list(zip(*b, strict=True))
    return [[inner(row, column) for column in columns] for row in a]


def identity(n: int) -> list[list[float]]:
    """The unit matrix (n, n). [-] Source: arithmetic."""
    return [[1.0 if i == j else 0.0 for j in range(n)] for i in range(n)]


def checked_matrix(a: Matrix, name: str, *, square: bool = False) -> tuple[int, int]:
    """The shape (rows, columns) of a matrix (m, n) of finite numbers. [-]

    ``name`` is what a message calls it. Raises Malformed for ragged or unequal rows, for a number
    that is not finite and, when ``square`` is asked for, for m unlike n. Source: none needed.
    """
    rows = len(a)
    columns = len(a[0]) if rows else 0
    for i, row in enumerate(a):
        if len(row) != columns:
            raise Malformed(
                f"{name}[{i}]", len(row), f"must have {columns} columns", "give rows of one length"
            )
        checked_vector(row, f"{name}[{i}]", columns)
    if square and rows != columns:
        raise Malformed(
            name, f"{rows} x {columns}", "must be square", "give as many rows as columns"
        )
    return rows, columns


def checked_vector(b: Vector, name: str, size: int) -> None:
    """Pass a vector (``size``) of finite numbers, in any unit [-], raise Malformed for others.

    ``name`` is what a message calls it. Source: none needed.
    """
    if len(b) != size:
        raise Malformed(name, len(b), f"must have {size} entries", "give one entry per row")
    for i, value in enumerate(b):
        if not math.isfinite(value):
            raise Malformed(f"{name}[{i}]", value, "must be a finite number", "check what made it")
