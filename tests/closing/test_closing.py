from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.closing.closing import (
    DEFAULT_PLAY,
    MOST_PLAY,
    Joint,
    RigidTrain,
    Slide,
    close,
    misfit,
)
from pitwright.closing.ends import FlexEnd, RigidEnd, between
from pitwright.errors import OutOfRange
from pitwright.flex.compliance import tip_compliance
from pitwright.flex.path import bare_path
from pitwright.geometry.pose import Pose
from pitwright.geometry.vector import Vec, cross, sub, turned, unit
from pitwright.units.kinds import INCH
from tests.closing import conic
from tests.closing.pits import HANDS, Job, job
from tests.flex.inch import path
from tests.strategies import directions, points, poses

seeds = st.integers(0, 10_000)


@pytest.mark.parametrize("first", range(0, 90, 10))
def test_a_conic_library_finds_its_optimum_between_the_bounds(first: int) -> None:
    """90 random jobs; the peer keeps equilibrium as equations, we reduce them away."""
    for seed in range(first, first + 10):
        j = job(seed, play=[0.0, 0.25, 0.5][seed % 3])
        best, ours = conic.optimum(j.ends, j.train), close(j.ends, j.train)
        slack = 1e-6 * max(1.0, best)
        assert ours.lower <= best + slack, seed
        assert ours.upper >= best - slack, seed
        assert ours.upper <= max(0.002, 1.02 * ours.lower), seed


@settings(max_examples=30)
@given(seeds)
def test_what_comes_back_closes_when_put_together_again(seed: int) -> None:
    """Tilts, lengths and both stubs' movements under the wrench add up to the misfit."""
    j = job(seed)
    closed = close(j.ends, j.train)
    assert isinstance(j.ends.inlet, FlexEnd) and isinstance(j.ends.outlet, FlexEnd)
    taken = np.zeros(6)
    for end in (j.ends.inlet, j.ends.outlet):
        taken += np.array(tip_compliance(end.path, j.ends.at)) @ np.array(closed.wrench)
    for joint, tilt in zip(j.train.joints, closed.tilts, strict=True):
        assert math.hypot(*tilt) <= joint.play * (1.0 + 1e-9)
        taken += np.array([*cross(tilt, sub(j.ends.at, joint.at)), *tilt])
    for axis, longer in closed.longer:
        taken[:3] += np.array(axis) * longer
    left = np.array(closed.misfit) - taken
    left[3:] -= np.array(j.ends.axis) * float(left[3:] @ np.array(j.ends.axis))  # free to roll
    assert np.abs(left).max() <= 1e-9
    assert max(closed.strain, closed.push) == pytest.approx(closed.upper, rel=1e-6, abs=1e-9)


def moved(j: Job, pose: Pose, flip: float = 1.0) -> Job:
    """The same job elsewhere; mirrored first when flip is -1."""

    def point(v: Vec) -> Vec:
        return pose.point((flip * v[0], v[1], v[2]))

    def way(v: Vec) -> Vec:
        return pose.direction((flip * v[0], v[1], v[2]))

    ends = []
    for end in (j.ends.inlet, j.ends.outlet):
        assert isinstance(end, FlexEnd)
        p = end.path
        corners = bare_path([point(c) for c in p.points], p.beam, p.soil)
        ends.append(FlexEnd(corners, end.strain))
    t = j.train
    joints = tuple(Joint(point(x.at), way(x.axis), x.play, x.seat) for x in t.joints)
    slides = tuple(Slide(way(s.axis), s.low, s.high) for s in t.slides)
    train = RigidTrain(point(t.end), way(t.way), joints, slides)
    return Job(between(ends[0], ends[1], HANDS), train)


@settings(max_examples=25)
@given(seeds, poses(), st.sampled_from([1.0, -1.0]))
def test_a_pit_turned_or_mirrored_closes_alike(seed: int, pose: Pose, flip: float) -> None:
    here = job(seed)
    there = moved(here, pose, flip)
    ours = close(here.ends, here.train, within=1e-5, nothing=1e-6)
    again = close(there.ends, there.train, within=1e-5, nothing=1e-6)
    assert again.upper == pytest.approx(ours.upper, rel=3e-5, abs=2e-6)


@settings(max_examples=25)
@given(seeds, st.floats(0.0, 0.5), st.floats(0.0, 0.3))
def test_more_play_and_more_length_never_make_it_worse(seed: int, play: float, more: float) -> None:
    less, ends = job(seed, play=play).train, job(seed).ends
    joints = tuple(
        Joint(x.at, x.axis, x.play + math.radians(0.1), x.seat + more * INCH) for x in less.joints
    )
    tight = close(ends, less)
    loose = close(ends, RigidTrain(less.end, less.way, joints, less.slides))
    assert loose.lower <= tight.upper * (1.0 + 1e-9)


@settings(max_examples=20)
@given(seeds)
def test_early_stops_never_change_the_verdict(seed: int) -> None:
    j = job(seed, askew=4.0)
    whole, short = close(j.ends, j.train), close(j.ends, j.train, above=1.0)
    assert short.cannot == whole.cannot
    assert not (short.cannot and whole.closes)


@given(points, directions(), points, directions())
def test_the_misfit_turns_the_train_into_the_stub(
    end: Vec, way: Vec, tip: Vec, outward: Vec
) -> None:
    whole = misfit(end, way, tip, outward)
    turn = (whole[3], whole[4], whole[5])
    angle = math.hypot(*turn)
    assert angle <= math.pi + 1e-12
    assert whole[:3] == pytest.approx(sub(tip, end))
    if angle > 0.0:
        into = turned(way, unit(turn), angle)
        assert into == pytest.approx((-outward[0], -outward[1], -outward[2]), abs=1e-9)


def test_a_train_that_fits_closes_without_a_push() -> None:
    flex = FlexEnd(path((0, 0, 0), (20, 0, 0)), 0.002)
    far = FlexEnd(path((60, 0, 0), (40, 0, 0)), 0.002)
    closed = close(between(flex, far, HANDS), RigidTrain((40 * INCH, 0, 0), (1, 0, 0)))
    assert (closed.upper, closed.lower, closed.force) == (0.0, 0.0, 0.0)
    assert closed.closes and not closed.cannot and closed.springing == (0.0, 0.0)


def test_two_rigid_ends_close_only_what_play_and_seats_take_up() -> None:
    left = RigidEnd((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    right = RigidEnd((1.003, 0.0, 0.0), (-1.0, 0.0, 0.0))
    ends = between(left, right, HANDS)
    tight = RigidTrain((1.0, 0.0, 0.0), (1.0, 0.0, 0.0))
    assert close(ends, tight).cannot
    seats = (Joint((0.5, 0.0, 0.0), (1.0, 0.0, 0.0), 0.0, 0.004),)
    loose = close(ends, RigidTrain(tight.end, tight.way, seats))
    assert loose.closes and loose.peak is None and loose.stub is None
    assert loose.longer[0][1] == pytest.approx(0.003, abs=2e-5)


def test_seats_and_lengths_of_one_way_are_one_range_also_when_told_backwards() -> None:
    ends = job(3).ends
    forth = RigidTrain((0.3, 0, 0), (1, 0, 0), (), (Slide((1, 0, 0), -0.01, 0.02),) * 2)
    back = RigidTrain((0.3, 0, 0), (1, 0, 0), (), (Slide((-1, 0, 0), -0.04, 0.02),))
    one, other = close(ends, forth), close(ends, back)
    assert len(one.longer) == 1
    assert one.upper == pytest.approx(other.upper, rel=1e-6)


def test_the_default_play_is_a_quarter_degree_and_half_at_most() -> None:
    """Pin: design, taper play at 1 in; nothing outside says more."""
    assert math.degrees(DEFAULT_PLAY) == pytest.approx(0.25)
    assert math.degrees(MOST_PLAY) == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("train", "named"),
    [
        (RigidTrain((1, 0, 0), (1, 0, 0), (Joint((0, 0, 0), (1, 0, 0), -0.1),)), "joint 0 play"),
        (RigidTrain((1, 0, 0), (1, 0, 0), (Joint((0, 0, 0), (1, 0, 0), 0, -1),)), "joint 0 seat"),
        (RigidTrain((1, 0, 0), (1, 0, 0), (), (Slide((1, 0, 0), 1.0, 0.0),)), "free length"),
    ],
)
def test_a_train_that_cannot_be_is_named(train: RigidTrain, named: str) -> None:
    with pytest.raises(OutOfRange, match=named):
        close(job(1).ends, train)
