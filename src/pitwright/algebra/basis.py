"""Which directions a set of vectors spans, and which it leaves free."""

from __future__ import annotations

from collections.abc import Sequence

from pitwright.algebra.dense import Vector, checked_matrix, identity, inner, length

__all__ = ["complement", "independent", "orthonormal_basis"]

_FLAT = 1e-9


def _pivoted(vectors: Sequence[Vector], flat: float) -> tuple[list[list[float]], list[int]]:
    """Orthonormal vectors and the indices they came from, the longest remainder first."""
    checked_matrix(vectors, "vectors")
    left = {i: list(v) for i, v in enumerate(vectors)}
    longest = max((length(v) for v in vectors), default=0.0)
    basis: list[list[float]] = []
    picked: list[int] = []
    while left:
        size, i = max((length(v), -i) for i, v in left.items())
        if size <= flat * longest or size == 0.0:
            break
        q = [x / size for x in left.pop(-i)]
        for p in basis:  # once more: what one pass leaves is rounding, not direction
            q = [x - inner(p, q) * y for x, y in zip(q, p, strict=True)]
        size = length(q)
        q = [x / size for x in q]
        basis.append(q)
        picked.append(-i)
        for j, v in left.items():
            share = inner(q, v)
            left[j] = [x - share * y for x, y in zip(v, q, strict=True)]
    return basis, picked


def orthonormal_basis(vectors: Sequence[Vector], flat: float = _FLAT) -> list[list[float]]:
    """Unit vectors (r, n), square to each other, that span the same room as vectors (k, n). [-]

    r is the rank: what remains shorter than ``flat`` [-] times the longest vector counts as
    nothing. Raises Malformed for ragged or unfinished numbers. Source: Gram-Schmidt with pivots.
    """
    return _pivoted(vectors, flat)[0]


def independent(vectors: Sequence[Vector], flat: float = _FLAT) -> tuple[int, ...]:
    """Indices, ascending, of vectors (k, n) that span all of them, none to spare. [-]

    ``flat`` [-] and errors as in :func:`orthonormal_basis`. Source: Gram-Schmidt with pivots.
    """
    return tuple(sorted(_pivoted(vectors, flat)[1]))


def complement(vectors: Sequence[Vector], n: int, flat: float = _FLAT) -> list[list[float]]:
    """Unit vectors (n - r, n), square to each other and to every one of vectors (k, n). [-]

    The null space of the matrix whose rows are the vectors. ``flat`` [-] and errors as in
    :func:`orthonormal_basis`. Source: Gram-Schmidt with pivots.
    """
    taken = orthonormal_basis(vectors, flat)
    out: list[list[float]] = []
    rest = identity(n)
    while len(taken) + len(out) < n:
        for k, v in enumerate(rest):
            for _ in range(2):
                for q in (*taken, *out):
                    share = inner(q, v)
                    v = [x - share * y for x, y in zip(v, q, strict=True)]
            rest[k] = v
        k = max(range(len(rest)), key=lambda i: (length(rest[i]), -i))
        size = length(rest[k])
        out.append([x / size for x in rest.pop(k)])
    return out
