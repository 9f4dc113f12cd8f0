from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import lsq_linear

from pitwright.algebra.bounded import bounded_least_squares
from pitwright.algebra.least_squares import least_squares
from pitwright.errors import Malformed
from tests.algebra.strategies import Rows, shapes_and_matrices


@given(shapes_and_matrices(), st.integers(0, 2**32 - 1))
def test_the_residual_is_as_small_as_a_numeric_library_finds(a: Rows, seed: int) -> None:
    dice = np.random.default_rng(seed)
    n = len(a[0])
    b = dice.standard_normal(len(a)) * 3.0
    low = dice.uniform(-1.0, 0.5, n)
    high = low + dice.uniform(0.0, 1.0, n) + 1e-9
    ours = bounded_least_squares(a, b.tolist(), low.tolist(), high.tolist())
    theirs = lsq_linear(np.array(a), b, (low, high), tol=1e-14, max_iter=1000)
    best = float(np.linalg.norm(np.array(a) @ theirs.x - b))
    assert ours.settled
    assert all(lo <= x <= hi for lo, x, hi in zip(low, ours.x, high, strict=True))
    assert ours.residual <= best * (1.0 + 1e-9) + 1e-9
    assert np.linalg.norm(np.array(a) @ ours.x - b) == pytest.approx(ours.residual, abs=1e-10)


@given(shapes_and_matrices(most=10), st.integers(0, 2**32 - 1))
def test_the_answer_proves_itself(a: Rows, seed: int) -> None:
    """No unknown can leave its limit, or move between its limits, to any gain."""
    dice = np.random.default_rng(seed)
    n, b = len(a[0]), dice.standard_normal(len(a)) * 3.0
    low = [-math.inf if dice.random() < 0.3 else float(dice.uniform(-1, 0)) for _ in range(n)]
    high = [math.inf if dice.random() < 0.3 else float(dice.uniform(0, 1)) for _ in range(n)]
    ours = bounded_least_squares(a, b.tolist(), low, high)
    m, x = np.array(a), np.array(ours.x)
    pull = m.T @ (b - m @ x)
    scale = float(np.linalg.norm(m)) * (
        float(np.linalg.norm(b)) + float(np.linalg.norm(m)) * float(np.linalg.norm(x))
    )
    for g, v, lo, hi in zip(pull, ours.x, low, high, strict=True):
        assert v >= hi or g <= 1e-10 * scale
        assert v <= lo or g >= -1e-10 * scale


@given(shapes_and_matrices(), st.integers(0, 2**32 - 1))
def test_without_limits_it_is_plain_least_squares(a: Rows, seed: int) -> None:
    b = np.random.default_rng(seed).standard_normal(len(a)).tolist()
    n = len(a[0])
    free = bounded_least_squares(a, b, [-math.inf] * n, [math.inf] * n)
    rounding = 1e-13 * (1.0 + float(np.linalg.norm(a) * np.linalg.norm(free.x)))
    best = least_squares(a, b).residual
    assert free.residual == pytest.approx(best, rel=1e-7, abs=rounding)


def test_equal_limits_hold_an_unknown_still() -> None:
    fit = bounded_least_squares([[1.0, 1.0]], [5.0], [2.0, -9.0], [2.0, 9.0])
    assert fit.x == pytest.approx((2.0, 3.0))


def test_limits_that_cross_are_refused_by_name() -> None:
    with pytest.raises(Malformed, match=r"low\[0\] must not exceed high \(1.0\) \(got 2.0\)"):
        bounded_least_squares([[1.0]], [1.0], [2.0], [1.0])
    with pytest.raises(Malformed, match="high must have 1 entries"):
        bounded_least_squares([[1.0]], [1.0], [2.0], [1.0, 4.0])
