"""Pose algebra."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from pitwright.geometry.pose import IDENTITY, Pose, facing
from pitwright.geometry.vector import Vec, angle_between, dot, norm
from tests.strategies import angles, directions, points, poses


@given(poses(), poses())
def test_there_and_back_is_no_move_at_all(a: Pose, b: Pose) -> None:
    """A pose times its inverse leaves every other pose where it was."""
    assert (a @ b @ b.inverse()).near(a)
    assert (a.inverse() @ a).near(IDENTITY)


@given(poses(), poses(), poses())
def test_it_does_not_matter_which_pair_is_joined_first(a: Pose, b: Pose, c: Pose) -> None:
    assert ((a @ b) @ c).near(a @ (b @ c))


@given(poses(), points, points)
def test_a_rigid_move_keeps_distances(a: Pose, p: Vec, q: Vec) -> None:
    moved = math.dist(a.point(p), a.point(q))
    assert moved == pytest.approx(math.dist(p, q), abs=1e-12)


@given(poses(), angles)
def test_a_roll_turns_about_the_own_axis_by_its_angle(a: Pose, angle: float) -> None:
    rolled = a.rolled(angle)
    assert rolled.z == a.z
    assert rolled.angle_to(a) == pytest.approx(abs(angle), abs=1e-7)


@given(points, directions())
def test_facing_looks_where_it_is_told(at: Vec, z: Vec) -> None:
    pose = facing(at, z)
    assert pose.z == z
    assert dot(pose.x, pose.y) == pytest.approx(0.0, abs=1e-12)
    assert norm(pose.x) == pytest.approx(1.0, abs=1e-12)


def matrix(pose: Pose) -> NDArray[np.float64]:
    return np.array([pose.x, pose.y, pose.z]).T


@given(poses(), poses())
def test_products_and_angles_agree_with_an_independent_library(a: Pose, b: Pose) -> None:
    """scipy's rotations turn the same way and by the same angle."""
    theirs = Rotation.from_matrix(matrix(a)) * Rotation.from_matrix(matrix(b))
    assert np.allclose(matrix(a @ b), theirs.as_matrix(), atol=1e-9)
    angle = (Rotation.from_matrix(matrix(a)).inv() * Rotation.from_matrix(matrix(b))).magnitude()
    assert a.angle_to(b) == pytest.approx(float(angle), abs=1e-6)


@given(directions(), directions())
def test_the_angle_between_agrees_with_the_arc_cosine_away_from_its_ends(a: Vec, b: Vec) -> None:
    c = dot(a, b)
    if abs(c) < 0.99:
        assert angle_between(a, b) == pytest.approx(math.acos(c), abs=1e-9)
