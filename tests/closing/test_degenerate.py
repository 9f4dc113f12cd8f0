"""Stubs in line, square, flat, dead short or dead right: where numbers like to break."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pitwright.closing.closing import Joint, RigidTrain, Slide, close
from pitwright.closing.ends import FlexEnd, between
from pitwright.flex.path import BarePath, bare_path
from pitwright.geometry.vector import add, scale, sub, turned, unit
from pitwright.units.kinds import INCH
from tests.closing import conic
from tests.closing.pits import HANDS, Job, job
from tests.flex.inch import Inches, path

NEAR: list[tuple[Inches, ...]] = [
    ((0, 0, 0), (24, 0, 0)),
    ((14, 0, -18), (14, 0, 0), (24, 0, 0)),
    ((0, -6, 0), (20, -6, 0), (20, 0, 0), (24, 0, 0)),
    ((0, -6, 0), (12, -6, 0), (12, 0, 0), (24, 0, 0)),
]
FAR: list[tuple[Inches, ...]] = [
    ((30, 0, 0), (0, 0, 0)),
    ((12, 0, -20), (12, 0, 0), (0, 0, 0)),
    ((12, -15, 0), (12, 0, 0), (0, 0, 0)),
]


def _askew(stub: BarePath, dice: np.random.Generator) -> BarePath:
    axis = unit((0.0, float(dice.random()), 1.0))
    angle = math.radians(float(dice.uniform(-5, 5)))
    corners = [add(stub.tip, turned(sub(p, stub.tip), axis, angle)) for p in stub.points]
    return bare_path(corners, stub.beam)


def square_job(seed: int) -> Job:
    """Square stubs, missed by round numbers or not at all; play, seats and length by choice."""
    dice = np.random.default_rng(seed)
    length = float(dice.choice([10, 16, 24]))
    x = 24.0 + length + float(dice.choice([0, 0, 0.05, 0.25, 0.5, -0.1]))
    y, z = float(dice.choice([0, 0, 0.3, 1, 2])), float(dice.choice([0, 0, -0.4, 0.2]))
    near = path(*NEAR[int(dice.integers(len(NEAR)))])
    far = path(*[(x + a, y + b, z + c) for a, b, c in FAR[int(dice.integers(len(FAR)))]])
    if dice.random() < 0.3:
        far = _askew(far, dice)
    play = math.radians(float(dice.choice([0, 0.25, 0.5, 1])))
    seat = float(dice.choice([0, 1 / 16])) * INCH
    low, high = [(0.0, 0.0), (-0.1, 0.1), (0.0, 0.2)][int(dice.integers(3))]
    way = near.outward
    joints = tuple(
        Joint(add(near.tip, scale(way, s * INCH)), way, play, seat)
        for s in (0.0, 3.0, length - 3.0, length)
    )
    end = add(near.tip, scale(way, length * INCH))
    train = RigidTrain(end, way, joints, (Slide(way, low * INCH, high * INCH),))
    strain = float(dice.choice([0.001, 0.0025, 0.005]))
    return Job(between(FlexEnd(near, strain), FlexEnd(far, 0.0025), HANDS), train)


def check(j: Job) -> None:
    best, ours = conic.optimum(j.ends, j.train), close(j.ends, j.train)
    slack = 1e-6 + 1e-5 * best
    assert ours.lower <= best + slack
    assert ours.upper >= best - slack
    assert ours.upper <= max(0.002, 1.02 * ours.lower)


@pytest.mark.parametrize("first", range(0, 80, 10))
def test_square_pits_are_proved_too(first: int) -> None:
    for seed in range(first, first + 10):
        check(square_job(seed))


@pytest.mark.nightly
def test_a_thousand_square_pits_and_a_thousand_crooked_ones() -> None:
    for seed in range(1000):
        check(square_job(seed))
        check(job(seed, askew=float(seed % 6), play=0.25 * (seed % 5)))
