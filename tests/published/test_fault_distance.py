"""Murray and Varley loops as textbooks work them."""

from __future__ import annotations

import pytest

from pitwright.wiring.distance import by_murray, by_varley, murray_share


@pytest.mark.published("Principles of Power System", "Ex. 11.21: P=45 Q=15, 300 m -> 150 m")
def test_murray_with_arms_of_45_and_15() -> None:
    assert by_murray(15, 45, 300.0).metres == pytest.approx(150.0, abs=0.5)


@pytest.mark.published("Principles of Power System", "Ex. 11.22: P=3Q, 500 m -> 250 m")
def test_murray_with_arms_three_to_one() -> None:
    assert by_murray(1, 3, 500.0).metres == pytest.approx(250.0, abs=0.5)


@pytest.mark.published("Principles of Power System", "Ex. 11.23: unequal conductors -> 433 m")
def test_murray_with_unequal_conductors() -> None:
    got = by_murray(1.0, 2.75, 500.0, bad_per_metre=1e-3, good_per_metre=2.25e-3)
    assert got.metres == pytest.approx(433.0, abs=0.5)


@pytest.mark.published("Principles of Power System", "Ex. 11.24: Varley, S=200 -> x 300 ohm, 15 km")
def test_varley_with_equal_arms() -> None:
    """Loop of 800 ohm at 20 ohm/km."""
    got = by_varley(800.0, 200.0, 20.0 / 1000.0)
    assert got.metres == pytest.approx(15_000.0, abs=0.5)


@pytest.mark.published("Hawkins Electrical Guide vol. 3", "fig. 597: A=332 of 1000 -> 1.09 mile")
def test_murray_on_a_slide_wire() -> None:
    loop_ohm, per_mile = 54.07, 16.46
    assert murray_share(332, 668) * loop_ohm / per_mile == pytest.approx(1.09, abs=0.005)


@pytest.mark.published("state utility exam 2021-07-30", "600 m, Q/P = 1/3 -> 300 m")
def test_murray_of_an_exam_paper() -> None:
    assert by_murray(1, 3, 600.0).metres == pytest.approx(300.0, abs=0.5)
