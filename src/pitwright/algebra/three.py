"""Three equations in three unknowns, by columns: a c1 + b c2 + c c3 = d."""

from __future__ import annotations

import math

__all__ = ["Triple", "determinant3", "inverse3", "solve3"]

Triple = tuple[float, float, float]

_FLAT = 1e-12


def determinant3(a: Triple, b: Triple, c: Triple) -> float:
    """a·(b × c): the determinant of three columns, or rows, of 3. [product of their units]

    Source: arithmetic.
    """
    return (
        a[0] * (b[1] * c[2] - b[2] * c[1])
        + a[1] * (b[2] * c[0] - b[0] * c[2])
        + a[2] * (b[0] * c[1] - b[1] * c[0])
    )


def _too_flat(volume: float, a: Triple, b: Triple, c: Triple, flat: float) -> bool:
    return abs(volume) <= flat * math.hypot(*a) * math.hypot(*b) * math.hypot(*c)


def solve3(a: Triple, b: Triple, c: Triple, d: Triple, flat: float = _FLAT) -> Triple | None:
    """(x, y, z) with x a + y b + z c = d, all of 3; None when the columns lie in a plane.

    They count as planar when the box they span holds no more than ``flat`` [-] of the volume its
    edges could enclose. [unit of d over unit of the columns] Source: Cramer's rule.
    """
    volume = determinant3(a, b, c)
    if _too_flat(volume, a, b, c, flat):
        return None
    return (
        determinant3(d, b, c) / volume,
        determinant3(a, d, c) / volume,
        determinant3(a, b, d) / volume,
    )


def inverse3(
    rows: tuple[Triple, Triple, Triple], flat: float = _FLAT
) -> tuple[Triple, Triple, Triple] | None:
    """The inverse (3, 3) of a matrix given by rows (3, 3); None when its rows lie in a plane.

    ``flat`` [-] as in :func:`solve3`. [1 over unit of the matrix] Source: Cramer's rule.
    """
    (a, b, c), (d, e, f), (g, h, i) = rows
    volume = determinant3(*rows)
    if _too_flat(volume, *rows, flat):
        return None
    by = 1.0 / volume
    return (
        ((e * i - f * h) * by, (c * h - b * i) * by, (b * f - c * e) * by),
        ((f * g - d * i) * by, (a * i - c * g) * by, (c * d - a * f) * by),
        ((d * h - e * g) * by, (b * g - a * h) * by, (a * e - b * d) * by),
    )
