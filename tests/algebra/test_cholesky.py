from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given

from pitwright.algebra import cholesky
from pitwright.errors import Malformed
from tests.algebra.strategies import Rows, symmetric_positive


@given(symmetric_positive())
def test_the_factor_multiplies_back_to_the_matrix(a: Rows) -> None:
    lower = cholesky.factor(a)
    assert lower is not None
    n = len(a)
    full = np.array([[*row, *([0.0] * (n - len(row)))] for row in lower])
    assert np.allclose(full @ full.T, a, rtol=0.0, atol=1e-14 * n)


@given(symmetric_positive())
def test_solutions_agree_with_a_numeric_library_as_far_as_the_matrix_allows(a: Rows) -> None:
    lower = cholesky.factor(a)
    assert lower is not None
    b = [float(i + 1) for i in range(len(a))]
    ours, theirs = cholesky.solve(lower, b), np.linalg.solve(a, b)
    slack = 1e-14 * len(a) * float(np.linalg.cond(a))
    assert np.linalg.norm(ours - theirs) <= slack * np.linalg.norm(theirs)


@given(symmetric_positive())
def test_inverse_and_determinant_agree_with_a_numeric_library(a: Rows) -> None:
    lower = cholesky.factor(a)
    assert lower is not None
    ours, theirs = np.array(cholesky.inverse(lower)), np.linalg.inv(a)
    slack = 1e-14 * len(a) * float(np.linalg.cond(a))
    assert np.linalg.norm(ours - theirs) <= slack * np.linalg.norm(theirs)
    assert (ours == ours.T).all()
    sign, log = np.linalg.slogdet(a)
    assert sign == 1.0
    assert cholesky.log_determinant(lower) == pytest.approx(log, abs=slack + 1e-12)


@pytest.mark.parametrize(
    "a",
    [
        [[0.0]],
        [[-1.0]],
        [[1.0, 2.0], [2.0, 1.0]],
        [[1.0, 1.0], [1.0, 1.0]],
        [[4.0, 2.0, 6.0], [2.0, 1.0, 3.0], [6.0, 3.0, 9.0]],
    ],
)
def test_what_is_not_positive_definite_has_no_factor(a: Rows) -> None:
    assert cholesky.factor(a) is None


def test_a_right_side_that_does_not_fit_is_refused() -> None:
    lower = cholesky.factor([[2.0]])
    assert lower is not None
    with pytest.raises(Malformed, match="right side must have 1 entries"):
        cholesky.solve(lower, [1.0, 2.0])
