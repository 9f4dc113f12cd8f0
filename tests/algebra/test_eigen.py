from __future__ import annotations

import numpy as np
from hypothesis import given

from pitwright.algebra.eigen import pseudo_inverse, symmetric
from tests.algebra.strategies import Rows, shapes_and_matrices, symmetric_positive


def symmetrised(a: Rows) -> Rows:
    m = np.array(a)
    rows: Rows = (m @ m.T - np.eye(len(a))).tolist()
    return rows


@given(shapes_and_matrices())
def test_eigenvalues_agree_with_a_numeric_library(a: Rows) -> None:
    s = symmetrised(a)
    eigen = symmetric(s)
    theirs = np.linalg.eigvalsh(s)
    scale = max(1e-300, float(np.abs(theirs).max()))
    assert np.allclose(eigen.values, theirs, rtol=0.0, atol=1e-13 * scale)
    v = np.array(eigen.vectors)
    assert np.allclose(v @ v.T, np.eye(len(s)), rtol=0.0, atol=1e-13)
    assert np.allclose(v @ np.array(s), np.diag(eigen.values) @ v, rtol=0.0, atol=1e-12 * scale)


@given(symmetric_positive())
def test_small_eigenvalues_keep_their_absolute_accuracy(a: Rows) -> None:
    assert np.allclose(symmetric(a).values, np.linalg.eigvalsh(a), rtol=0.0, atol=1e-14 * len(a))


@given(shapes_and_matrices(most=6))
def test_the_pseudo_inverse_obeys_the_rules_of_penrose(a: Rows) -> None:
    m = np.array(a)
    s = m @ m.T
    values = np.linalg.eigvalsh(s)
    big = max(1e-300, float(values[-1]))
    if any(1e-13 * big < x < 1e-7 * big for x in values):
        return
    ours, rank = pseudo_inverse(s.tolist())
    p = np.array(ours)
    assert rank == sum(x > 1e-10 * big for x in values)
    assert np.linalg.norm(s @ p @ s - s) <= 1e-8 * max(float(np.linalg.norm(s)), 1e-300)
    assert np.linalg.norm(p @ s @ p - p) <= 1e-7 * max(float(np.linalg.norm(p)), 1e-300)
    assert np.allclose(s @ p, (s @ p).T, rtol=0.0, atol=1e-7)
