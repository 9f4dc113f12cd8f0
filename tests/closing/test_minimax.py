from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.closing.minimax import Disc, Five, minimax, packed

ZERO: Five = (0.0, 0.0, 0.0, 0.0, 0.0)
ONE: Five = (1.0, 0.0, 0.0, 0.0, 0.0)


def five(values: object) -> Five:
    a, b, c, d, e = np.asarray(values, dtype=float).tolist()
    return (a, b, c, d, e)


def problem(seed: int) -> tuple[list[list[Five]], Five, list[Disc]]:
    dice = np.random.default_rng(seed)
    sections = [
        [five(r) for r in dice.standard_normal((2, 5))] for _ in range(int(dice.integers(3, 9)))
    ]
    discs: list[Disc] = []
    for _ in range(int(dice.integers(0, 7))):
        one, two = dice.standard_normal((2, 5)) * dice.uniform(0.0, 0.5)
        discs.append((five(one), five(two) if dice.random() < 0.6 else ZERO))
    return sections, five(dice.standard_normal(5)), discs


@given(st.integers(0, 2**32 - 1))
def test_the_upper_bound_is_reached_by_the_shares_that_come_with_it(seed: int) -> None:
    sections, xi, discs = problem(seed)
    bounds = minimax([packed(s) for s in sections], xi, discs)
    y = np.array(xi)
    for (one, two), (a, b) in zip(discs, bounds.shares, strict=True):
        assert math.hypot(a, b) <= 1.0
        y = y - a * np.array(one) - b * np.array(two)
    assert y == pytest.approx(np.array(bounds.y), abs=1e-12)
    worst = max(float(np.linalg.norm(np.array(s) @ y)) for s in sections)
    assert bounds.upper == pytest.approx(worst, rel=1e-9, abs=1e-9)


@given(st.integers(0, 2**32 - 1), st.integers(0, 2**32 - 1))
def test_no_other_shares_beat_the_lower_bound(seed: int, other: int) -> None:
    sections, xi, discs = problem(seed)
    bounds = minimax([packed(s) for s in sections], xi, discs)
    dice = np.random.default_rng(other)
    for _ in range(20):
        y = np.array(xi)
        for one, two in discs:
            a, b = dice.standard_normal(2)
            size = max(1.0, math.hypot(a, b) / float(dice.uniform(0.5, 1.0)))
            y = y - a / size * np.array(one) - b / size * np.array(two)
        assert max(float(np.linalg.norm(np.array(s) @ y)) for s in sections) >= bounds.lower - 1e-9


@given(st.integers(0, 2**32 - 1))
def test_the_bounds_meet_within_two_in_a_hundred(seed: int) -> None:
    sections, xi, discs = problem(seed)
    bounds = minimax([packed(s) for s in sections], xi, discs)
    assert bounds.upper <= max(0.002, 1.02 * bounds.lower)


@given(st.integers(0, 2**32 - 1), st.floats(1e-4, 1e4))
def test_the_unit_of_length_does_not_matter(seed: int, by: float) -> None:
    sections, xi, discs = problem(seed)
    once = minimax([packed(s) for s in sections], xi, discs, nothing=0.0)
    scaled = [(five(np.array(a) * by), five(np.array(b) * by)) for a, b in discs]
    again = minimax(
        [packed([five(np.array(r) / by) for r in s]) for s in sections],
        five(np.array(xi) * by),
        scaled,
        nothing=0.0,
    )
    assert again.upper == pytest.approx(once.upper, rel=0.021, abs=1e-6)


def test_nothing_to_share_is_worked_out_at_once() -> None:
    bounds = minimax([packed([ONE])], (0.5, 9.0, 0.0, 0.0, 0.0), [])
    assert (bounds.upper, bounds.lower, bounds.rounds) == (0.5, 0.5, 0)
    empty = minimax([packed([ONE])], (0.5, 9.0, 0.0, 0.0, 0.0), [(ZERO, ZERO)])
    assert (empty.upper, empty.lower, empty.shares) == (0.5, 0.5, ((0.0, 0.0),))


def test_a_range_takes_what_it_can() -> None:
    """|3 - x| with |x| <= 1 leaves 2."""
    bounds = minimax([packed([ONE])], (3.0, 0.0, 0.0, 0.0, 0.0), [(ONE, ZERO)], within=1e-6)
    assert bounds.lower == pytest.approx(2.0, rel=1e-5)
    assert bounds.upper == pytest.approx(2.0, rel=1e-5)


def test_it_stops_as_soon_as_it_is_proved_impossible() -> None:
    sections, xi, discs = problem(7)
    whole = minimax([packed(s) for s in sections], xi, discs, within=1e-6)
    short = minimax([packed(s) for s in sections], xi, discs, within=1e-6, above=0.5 * whole.lower)
    assert short.rounds < whole.rounds and short.lower > 0.5 * whole.lower
