"""Eigenvalues of small symmetric matrices."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.algebra.dense import EPSILON, Matrix, checked_matrix, identity

__all__ = ["Eigen", "pseudo_inverse", "symmetric"]

_SWEEPS = 60


@dataclass(frozen=True, slots=True)
class Eigen:
    """values (n), ascending [unit of a], and vectors (n, n): row i is that of value i. [-]"""

    values: tuple[float, ...]
    vectors: tuple[tuple[float, ...], ...]


def _rotate(a: list[list[float]], v: list[list[float]], p: int, q: int) -> None:
    """Turn rows and columns p and q so that a[p][q] vanishes; v collects the turns."""
    theta = (a[q][q] - a[p][p]) / (2.0 * a[p][q])
    t = math.copysign(1.0, theta) / (abs(theta) + math.hypot(theta, 1.0))
    c = 1.0 / math.hypot(t, 1.0)
    s = t * c
    a[p][p] -= t * a[p][q]
    a[q][q] += t * a[p][q]
    a[p][q] = a[q][p] = 0.0
    for k in range(len(a)):
        if k not in (p, q):
            kp, kq = a[k][p], a[k][q]
            a[k][p] = a[p][k] = c * kp - s * kq
            a[k][q] = a[q][k] = s * kp + c * kq
        vp, vq = v[p][k], v[q][k]
        v[p][k], v[q][k] = c * vp - s * vq, s * vp + c * vq


def symmetric(a: Matrix) -> Eigen:
    """All eigenvalues and eigenvectors of a symmetric matrix (n, n), its upper half read. [-]

    Raises Malformed for a matrix that is not square or not finite. Source: cyclic Jacobi
    rotations, textbook linear algebra.
    """
    n, _ = checked_matrix(a, "symmetric matrix", square=True)
    work = [[a[min(i, j)][max(i, j)] for j in range(n)] for i in range(n)]
    turns = identity(n)
    scale = max((abs(x) for row in work for x in row), default=0.0)
    for _ in range(_SWEEPS):
        moved = False
        for p in range(n - 1):
            for q in range(p + 1, n):
                if abs(work[p][q]) > 0.01 * EPSILON * scale:
                    _rotate(work, turns, p, q)
                    moved = True
        if not moved:
            break
    order = sorted(range(n), key=lambda i: work[i][i])
    return Eigen(tuple(work[i][i] for i in order), tuple(tuple(turns[i]) for i in order))


def pseudo_inverse(a: Matrix, flat: float = 1e-11) -> tuple[list[list[float]], int]:
    """The Moore-Penrose inverse (n, n) of a symmetric matrix (n, n), and its rank.

    Eigenvalues smaller than ``flat`` [-] times the largest count as zero. [1 over unit of a]
    Raises Malformed as :func:`symmetric`. Source: textbook linear algebra.
    """
    eigen = symmetric(a)
    n = len(eigen.values)
    largest = max((abs(x) for x in eigen.values), default=0.0)
    out = [[0.0] * n for _ in range(n)]
    rank = 0
    for value, vector in zip(eigen.values, eigen.vectors, strict=True):
        if abs(value) <= flat * largest:
            continue
        rank += 1
        for i in range(n):
            by = vector[i] / value
            row = out[i]
            for j in range(n):
                row[j] += by * vector[j]
    return out, rank
