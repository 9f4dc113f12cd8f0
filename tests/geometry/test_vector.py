"""Small vectors."""

from __future__ import annotations

import math

import pytest
from hypothesis import given

from pitwright.geometry.vector import Vec, across, angle_between, cross, dot, norm, turned, without
from tests.strategies import angles, directions, points


@given(directions())
def test_the_pair_across_an_axis_is_square_and_right_handed(axis: Vec) -> None:
    first, second = across(axis)
    assert dot(first, axis) == pytest.approx(0.0, abs=1e-12)
    assert dot(second, axis) == pytest.approx(0.0, abs=1e-12)
    assert dot(cross(axis, first), second) == pytest.approx(1.0, abs=1e-12)


@given(directions(), angles)
def test_turning_the_pit_in_plan_turns_the_pair_with_it(axis: Vec, angle: float) -> None:
    """Gravity picks the pair, not the page, wherever the axis is not plumb."""
    if norm(without((0.0, 0.0, 1.0), axis)) < 1e-3:
        return
    up = (0.0, 0.0, 1.0)
    there = [turned(v, up, angle) for v in across(axis)]
    assert all(
        math.dist(a, b) < 1e-9 for a, b in zip(across(turned(axis, up, angle)), there, strict=True)
    )


@given(points, directions(), angles)
def test_turning_keeps_length_and_share_along_the_axis(a: Vec, axis: Vec, angle: float) -> None:
    after = turned(a, axis, angle)
    assert norm(after) == pytest.approx(norm(a), abs=1e-12)
    assert dot(after, axis) == pytest.approx(dot(a, axis), abs=1e-12)


def test_angles_stay_exact_near_nothing_and_near_half_a_turn() -> None:
    """An arc cosine would lose half the digits here."""
    tiny = 1e-9
    assert angle_between((1, 0, 0), (math.cos(tiny), math.sin(tiny), 0)) == pytest.approx(tiny)
    almost = math.pi - tiny
    assert angle_between((1, 0, 0), (math.cos(almost), math.sin(almost), 0)) == pytest.approx(
        almost, abs=1e-15
    )
