"""One sigma and plus-or-minus limits are two types."""

from __future__ import annotations

import random
import statistics

import pytest

from pitwright.units.spread import Limit, Sigma, sigma_from


def test_sigma_of_limits_is_that_of_a_uniform_draw() -> None:
    """Independent: the standard deviation of 200,000 draws."""
    dice = random.Random(4)
    drawn = statistics.pstdev(dice.uniform(-0.5, 0.5) for _ in range(200_000))
    assert sigma_from(Limit(0.5)).one == pytest.approx(drawn, rel=5e-3)


def test_the_two_are_never_equal() -> None:
    assert Sigma(1.0) != Limit(1.0)  # type: ignore[comparison-overlap]
