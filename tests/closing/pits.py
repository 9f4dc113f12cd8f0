"""Random stubs, a few degrees out of true, and trains between them. Also used by the bench."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from pitwright.closing.closing import Joint, RigidTrain, Slide
from pitwright.closing.ends import Ends, FlexEnd, between
from pitwright.flex.path import bare_path
from pitwright.flex.section import beam
from pitwright.geometry.vector import Vec, add, minus, scale, turned, unit
from pitwright.units.kinds import INCH

SIZES = [(1.05, 0.113), (1.315, 0.133), (1.66, 0.14)]
HANDS = 222.4


@dataclass(frozen=True, slots=True)
class Job:
    """One closing: two stubs and the train between them."""

    ends: Ends
    train: RigidTrain


def _vec(a: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))


def _askew(dice: np.random.Generator, v: Vec, degrees: float) -> Vec:
    axis = unit(_vec(dice.standard_normal(3)))
    return turned(v, axis, math.radians(degrees) * float(dice.standard_normal()))


def _stub(dice: np.random.Generator, tip: Vec, outward: Vec, strain: float) -> FlexEnd:
    od, wall = SIZES[int(dice.integers(len(SIZES)))]
    corners, way = [tip], minus(outward)
    for _ in range(int(dice.integers(1, 4))):
        corners.append(add(corners[-1], scale(way, float(dice.uniform(6, 36)) * INCH)))
        turn = [(0.0, 0.0, -1.0), (0.0, 1.0, 0.0), (1.0, 0.0, 0.0)][int(dice.integers(3))]
        way = _askew(dice, turn, 3.0)
    soil = float(dice.uniform(1e6, 5e6)) if dice.random() < 0.2 else None
    path = bare_path(reversed(corners), beam(od * INCH, wall * INCH, 2.76e9, 0.38), soil)
    return FlexEnd(path, strain)


def job(seed: int, *, askew: float = 2.0, play: float = 0.25) -> Job:
    """A job by its number: zero to three bends, joints every few inches, a length still free."""
    dice = np.random.default_rng(seed)
    way: Vec = (1.0, 0.0, 0.0)
    at: Vec = (0.0, 0.0, 0.0)
    inlet = _stub(dice, at, _askew(dice, way, askew), float(dice.choice([0.001, 0.002, 0.005])))
    joints, ways = [], [way]
    bends = [(0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), (0.0, 0.7071067812, 0.7071067812)]
    for leg in range(int(dice.integers(1, 5))):
        if leg:
            way = unit(add(way, scale(bends[int(dice.integers(4))], 1.0)))
            ways.append(way)
        for _ in range(2):
            seat = float(dice.choice([0.0, 1 / 32])) * INCH
            joints.append(Joint(at, way, math.radians(play), seat))
            at = add(at, scale(way, float(dice.uniform(2, 9)) * INCH))
    slides: tuple[Slide, ...] = ()
    if dice.random() < 0.5:
        slides = (Slide(ways[int(dice.integers(len(ways)))], -0.05 * INCH, 0.1 * INCH),)
    miss = scale(unit(_vec(dice.standard_normal(3))), float(dice.exponential(0.3)) * INCH)
    outlet = _stub(dice, add(at, miss), _askew(dice, minus(way), askew), 0.002)
    return Job(between(inlet, outlet, HANDS), RigidTrain(at, way, tuple(joints), slides))
