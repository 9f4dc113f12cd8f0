from __future__ import annotations

import numpy as np
from hypothesis import given

from pitwright.algebra.basis import complement, independent, orthonormal_basis
from tests.algebra.strategies import Rows, shapes_and_matrices


def clear_rank(a: Rows) -> int | None:
    """The rank, where no singular value is in doubt."""
    s = np.linalg.svd(a, compute_uv=False)
    big = float(s[0]) if len(s) else 0.0
    if any(1e-11 * big < x < 1e-7 * big for x in s):
        return None
    return int(sum(x > 1e-9 * big for x in s))


@given(shapes_and_matrices())
def test_a_basis_is_square_to_itself_and_spans_every_vector(a: Rows) -> None:
    q = np.array(orthonormal_basis(a)).reshape(-1, len(a[0]))
    assert np.allclose(q @ q.T, np.eye(len(q)), rtol=0.0, atol=1e-13)
    m = np.array(a)
    left = m - m @ q.T @ q
    assert np.linalg.norm(left) <= 2e-9 * len(a) * max(float(np.linalg.norm(m)), 1e-300)
    rank = clear_rank(a)
    assert rank is None or len(q) == rank


@given(shapes_and_matrices())
def test_the_complement_is_square_to_every_vector_and_fills_the_room(a: Rows) -> None:
    n = len(a[0])
    free = np.array(complement(a, n)).reshape(-1, n)
    assert np.allclose(free @ free.T, np.eye(len(free)), rtol=0.0, atol=1e-13)
    assert len(free) + len(orthonormal_basis(a)) == n
    m = np.array(a)
    assert np.abs(m @ free.T).max(initial=0.0) <= 2e-9 * max(float(np.linalg.norm(m)), 1e-300)


@given(shapes_and_matrices())
def test_the_independent_rows_are_as_many_as_the_rank_and_have_it(a: Rows) -> None:
    rank = clear_rank(a)
    if rank is not None:
        picked = independent(a)
        assert len(picked) == rank
        kept = np.array([a[i] for i in picked]).reshape(-1, len(a[0]))
        assert np.linalg.matrix_rank(kept, tol=1e-9 * np.linalg.norm(a)) == rank


def test_nothing_spans_nothing_and_leaves_all_free() -> None:
    assert orthonormal_basis([]) == []
    assert orthonormal_basis([[0.0, 0.0]]) == []
    assert complement([], 2) == [[1.0, 0.0], [0.0, 1.0]]
