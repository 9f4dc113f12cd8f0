"""Bits: entropy and information by hand, and their bounds for all tables."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.inference.bits import entropy, information


def test_a_fair_coin_is_one_bit() -> None:
    assert entropy([0.5, 0.5]) == pytest.approx(1.0)
    assert entropy([1.0, 0.0]) == 0.0


def test_a_test_that_tells_two_places_apart_for_sure_is_worth_one_bit() -> None:
    assert information([1, 1], ["a", "b"], [{"x": 1.0}, {"y": 1.0}]) == pytest.approx(1.0)


def test_telling_hypotheses_of_one_place_apart_is_worth_nothing() -> None:
    assert information([1, 1], ["a", "a"], [{"x": 1.0}, {"y": 1.0}]) == 0.0


def test_a_binary_symmetric_channel_of_eleven_per_cent_is_half_a_bit() -> None:
    """1 - H(0.11) = 0.5001 bit, a textbook value."""
    noisy = [{"x": 0.89, "y": 0.11}, {"x": 0.11, "y": 0.89}]
    assert information([0.5, 0.5], ["a", "b"], noisy) == pytest.approx(0.5001, abs=1e-4)


@given(
    st.lists(
        st.tuples(st.floats(0.01, 1.0), st.sampled_from("abc"), st.floats(0.0, 1.0)),
        min_size=1,
        max_size=12,
    )
)
def test_information_is_never_below_zero_nor_above_either_entropy(
    rows: list[tuple[float, str, float]],
) -> None:
    weights = [w for w, _, _ in rows]
    groups = [g for _, g, _ in rows]
    tables = [{"x": p, "y": 1.0 - p} for _, _, p in rows]
    got = information(weights, groups, tables)
    share = {g: sum(w for w, h, _ in rows if h == g) / sum(weights) for g in groups}
    assert -1e-12 <= got <= min(1.0, entropy(share.values())) + 1e-9
