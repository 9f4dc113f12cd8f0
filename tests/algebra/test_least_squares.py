from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.algebra.least_squares import least_squares
from pitwright.errors import Malformed
from tests.algebra.strategies import Rows, shapes_and_matrices


@given(shapes_and_matrices(), st.integers(0, 2**32 - 1))
def test_the_answer_is_the_shortest_best_one_of_a_numeric_library(a: Rows, seed: int) -> None:
    b = np.random.default_rng(seed).standard_normal(len(a))
    s = np.linalg.svd(a, compute_uv=False)
    big = max(float(s[0]), 1e-300)
    if any(1e-14 * big < x < 1e-8 * big for x in s):
        return  # no library can say what its rank is
    ours = least_squares(a, b.tolist())
    theirs, _, rank, _ = np.linalg.lstsq(np.array(a), b, rcond=1e-11)
    assert ours.rank == rank
    smallest = min((float(x) for x in s if x > 1e-11 * big), default=big)
    slack = 1e-13 * big / smallest
    assert np.linalg.norm(np.array(ours.x) - theirs) <= slack * (
        np.linalg.norm(theirs) + 1.0 / big + 1.0 / smallest
    )
    best = float(np.linalg.norm(np.array(a) @ theirs - b))
    rounding = 1e-14 * (1.0 + big * float(np.linalg.norm(theirs)))
    assert ours.residual == pytest.approx(best, rel=1e-9, abs=rounding)
    assert np.linalg.norm(np.array(a) @ ours.x - b) == pytest.approx(best, rel=1e-9, abs=rounding)


def test_a_straight_line_through_four_points_is_the_one_worked_by_hand() -> None:
    """y = 3.5 + 1.4 x by the normal equations 4 c + 10 m = 28, 10 c + 30 m = 77."""
    fit = least_squares([[1.0, 1.0], [1.0, 2.0], [1.0, 3.0], [1.0, 4.0]], [6.0, 5.0, 7.0, 10.0])
    assert fit.x == pytest.approx((3.5, 1.4))
    assert fit.residual == pytest.approx(math.sqrt(4.2))
    assert fit.rank == 2


def test_a_matrix_of_nothing_gives_nothing() -> None:
    fit = least_squares([[0.0, 0.0]], [2.0])
    assert (fit.x, fit.rank, fit.residual) == ((0.0, 0.0), 0, 2.0)


def test_a_right_side_that_does_not_fit_is_refused() -> None:
    with pytest.raises(Malformed, match="right side must have 1 entries"):
        least_squares([[1.0]], [1.0, 2.0])
