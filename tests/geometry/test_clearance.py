"""Distances between capsules and before walls."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from scipy.optimize import minimize

from pitwright.geometry.clearance import Capsule, HalfSpace, between, segment_distance, to_wall
from pitwright.geometry.pose import Pose
from pitwright.geometry.vector import Vec
from tests.strategies import directions, points, poses


@given(points, points, points, points)
def test_the_nearest_points_are_those_an_optimiser_finds(a: Vec, b: Vec, c: Vec, d: Vec) -> None:
    """Independent: a bounded quasi-Newton search over the two places along the segments."""
    p, q, r, s = (np.array(x) for x in (a, b, c, d))

    def apart(x: np.ndarray) -> float:
        return float(np.sum((p + (q - p) * x[0] - r - (s - r) * x[1]) ** 2))

    best = min(
        float(minimize(apart, start, bounds=[(0, 1), (0, 1)], tol=1e-14).fun)
        for start in ((0.5, 0.5), (0.0, 1.0), (1.0, 0.0))
    )
    ours = segment_distance(a, b, c, d)
    assert ours <= math.sqrt(best) + 1e-9
    assert ours == pytest.approx(math.sqrt(best), abs=2e-5)


@given(points, points, points, points)
def test_it_does_not_matter_which_is_named_first(a: Vec, b: Vec, c: Vec, d: Vec) -> None:
    ours = segment_distance(a, b, c, d)
    assert segment_distance(c, d, a, b) == pytest.approx(ours, abs=1e-9)
    assert segment_distance(b, a, d, c) == pytest.approx(ours, abs=1e-9)


@given(points, points, points, points, poses())
def test_a_rigid_move_keeps_the_gap(a: Vec, b: Vec, c: Vec, d: Vec, pose: Pose) -> None:
    one, other = Capsule(a, b, 0.02), Capsule(c, d, 0.03)
    moved = [
        Capsule(pose.point(x.a), pose.point(x.b), x.radius) for x in (one, other)
    ]  # fmt: skip
    assert between(moved[0], moved[1]) == pytest.approx(between(one, other), abs=1e-9)


@pytest.mark.parametrize(
    ("c", "d", "gap"),
    [
        ((0.0, 0.2, 0.0), (1.0, 0.2, 0.0), 0.1),
        ((0.5, -1.0, 0.3), (0.5, 1.0, 0.3), 0.2),
        ((2.0, 0.0, 0.0), (3.0, 0.0, 0.0), 0.9),
        ((0.5, 0.0, 0.0), (0.5, 0.0, 0.0), -0.1),
        ((0.25, 0.05, 0.0), (0.75, 0.05, 0.0), -0.05),
    ],
    ids=["side by side", "crossing", "end to end", "a point inside", "overlapping"],
)
def test_cases_worked_by_hand(c: Vec, d: Vec, gap: float) -> None:
    one = Capsule((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 0.04)
    assert between(one, Capsule(c, d, 0.06)) == pytest.approx(gap)


@given(points, points, directions())
def test_the_gap_to_a_wall_is_that_of_its_nearest_point(a: Vec, b: Vec, normal: Vec) -> None:
    """Independent: the least over a hundred points along the segment."""
    one, wall = Capsule(a, b, 0.05), HalfSpace(normal, 0.3)
    along = [tuple(x + (y - x) * k / 100 for x, y in zip(a, b, strict=True)) for k in range(101)]
    nearest = min(0.3 - sum(n * x for n, x in zip(normal, p, strict=True)) for p in along)
    assert to_wall(one, wall) == pytest.approx(nearest - 0.05, abs=1e-12)
