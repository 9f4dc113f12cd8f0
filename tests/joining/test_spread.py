from __future__ import annotations

import math

import numpy as np
import pytest

from pitwright.errors import OutOfRange
from pitwright.flex.compliance import stations, tip_compliance
from pitwright.flex.path import BarePath, bare_path
from pitwright.flex.section import beam
from pitwright.geometry.vector import Vec, across, add, minus, scale, unit
from pitwright.joining.spread import SpreadSide, spread
from pitwright.units.kinds import INCH, POUND_FORCE
from tests.flex.inch import path
from tests.joining import conic

HANDS = 50.0 * POUND_FORCE
AXIS: Vec = (1.0, 0.0, 0.0)


def vec(a: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Vec:
    return (float(a[0]), float(a[1]), float(a[2]))


def two_sides(seed: int) -> tuple[list[BarePath], Vec]:
    """Two random bent stubs that meet near a joint on the x axis."""
    dice = np.random.default_rng(seed)
    of = beam(1.315 * INCH, 0.133 * INCH, 2.76e9, 0.38)
    out = []
    for sign in (-1.0, 1.0):
        corners: list[Vec] = [(sign * float(dice.uniform(2, 12)) * INCH, 0.0, 0.0)]
        way: Vec = (sign, 0.0, 0.0)
        for _ in range(int(dice.integers(1, 4))):
            corners.append(add(corners[-1], scale(way, float(dice.uniform(6, 40)) * INCH)))
            way = unit(vec(dice.standard_normal(3)))
        out.append(bare_path(reversed(corners), of, 2e6 if dice.random() < 0.2 else None))
    return out, scale(AXIS, float(dice.uniform(0.05, 1.0)) * INCH)


@pytest.mark.parametrize("seed", range(40))
def test_a_conic_library_finds_its_optimum_between_the_bounds(seed: int) -> None:
    paths, opening = two_sides(seed)
    roll = AXIS if seed % 2 else None
    play = 0.004 if seed % 4 == 1 else 0.0
    strains = (0.005, 0.002)
    best = conic.optimum(
        list(zip(paths, strains, strict=True)), (0.0, 0.0, 0.0), opening, HANDS, roll, play
    )
    sides = [SpreadSide(p, s) for p, s in zip(paths, strains, strict=True)]
    ours = spread(sides[0], sides[1], (0.0, 0.0, 0.0), opening, HANDS, roll_axis=roll, play=play)
    assert ours.lower <= best * (1.0 + 1e-4)
    assert ours.upper >= best * (1.0 - 1e-6)
    assert ours.upper <= 1.02 * ours.lower * (1.0 + 1e-12)


@pytest.mark.parametrize("seed", range(10))
def test_the_two_wrenches_open_the_joint_by_its_push_and_no_more(seed: int) -> None:
    paths, opening = two_sides(seed)
    ours = spread(
        SpreadSide(paths[0], 0.005),
        SpreadSide(paths[1], 0.005),
        (0.0, 0.0, 0.0),
        opening,
        HANDS,
        roll_axis=AXIS,
    )
    there = np.array(tip_compliance(paths[1], (0.0, 0.0, 0.0))) @ np.array(ours.outlet)
    here = np.array(tip_compliance(paths[0], (0.0, 0.0, 0.0))) @ np.array(ours.inlet)
    moved = there - here
    assert moved[:3] == pytest.approx(np.array(opening), abs=1e-9)
    for axis in across(AXIS):
        assert float(moved[3:] @ np.array(axis)) == pytest.approx(0.0, abs=1e-9)
    strain = max(
        s.strain(w) / 0.005
        for p, w in ((paths[0], ours.inlet), (paths[1], ours.outlet))
        for s in stations(p, (0.0, 0.0, 0.0))
    )
    push = max(math.hypot(*w[:3]) / HANDS for w in (ours.inlet, ours.outlet))
    assert strain == pytest.approx(ours.strain, rel=1e-6, abs=1e-9)
    assert push == pytest.approx(ours.push, rel=1e-9)
    assert max(strain, push) == pytest.approx(ours.upper, rel=1e-6)


def test_case_41_a_straight_run_cannot_be_sprung_open() -> None:
    """Design study, inches and pounds: 30 in stubs in line, a socket of 7/8 in last."""
    ours = spread(
        SpreadSide(path((0, 0, 0), (30, 0, 0)), 0.0025),
        SpreadSide(path((76, 0, 0), (46, 0, 0)), 0.0025),
        scale(AXIS, 46 * INCH),
        scale(AXIS, 0.875 * INCH),
        HANDS,
    )
    assert ours.upper == pytest.approx(57.61900838699747, rel=1e-6)
    assert ours.cannot and not ours.opens and ours.governs == "force"


def test_case_43_a_riser_lets_a_union_seat_open() -> None:
    """Design study: 12 in riser with 4 in level, straight 12 in on the far side, 0.06 in."""
    ours = spread(
        SpreadSide(path((0, 0, -12), (0, 0, 0), (4, 0, 0)), 0.0025),
        SpreadSide(path((32, 0, 0), (20, 0, 0)), 0.0025),
        scale(AXIS, 12 * INCH),
        scale(AXIS, 0.06 * INCH),
        HANDS,
        within=1e-3,
    )
    assert ours.upper == pytest.approx(0.4082255957028942, rel=1.1e-3)
    assert ours.lower <= 0.4082255957028942 * (1.0 + 1e-6)
    assert ours.opens


def test_play_and_a_second_side_that_gives_never_make_it_harder() -> None:
    paths, opening = two_sides(3)
    stiff = SpreadSide(None, 0.002)
    soft = [SpreadSide(p, 0.005) for p in paths]
    at = (0.0, 0.0, 0.0)
    alone = spread(soft[0], stiff, at, opening, HANDS, roll_axis=AXIS)
    both = spread(soft[0], soft[1], at, opening, HANDS, roll_axis=AXIS)
    loose = spread(soft[0], soft[1], at, opening, HANDS, roll_axis=AXIS, play=0.01)
    assert both.lower <= alone.upper and loose.lower <= both.upper
    assert alone.outlet == (0.0,) * 6


def test_two_joints_the_same_way_round_need_no_opening_at_all() -> None:
    """A U dropped over two risers: the pushes cancel."""
    paths, opening = two_sides(5)
    sides = [SpreadSide(p, 0.005) for p in paths]
    ours = spread(sides[0], sides[1], (0.0, 0.0, 0.0), add(opening, minus(opening)), HANDS)
    assert (ours.upper, ours.rounds) == (0.0, 0)


def test_sides_that_cannot_move_never_open() -> None:
    fixed = SpreadSide(None, 0.002)
    ours = spread(fixed, fixed, (0.0, 0.0, 0.0), (0.01, 0.0, 0.0), HANDS)
    assert ours.cannot and ours.stub is None


def test_limits_that_are_none_are_named() -> None:
    paths, opening = two_sides(1)
    good, bad = SpreadSide(paths[0], 0.005), SpreadSide(paths[1], 0.0)
    with pytest.raises(OutOfRange, match="outlet strain limit"):
        spread(good, bad, (0.0, 0.0, 0.0), opening, HANDS)
    with pytest.raises(OutOfRange, match="hand force"):
        spread(good, good, (0.0, 0.0, 0.0), opening, 0.0)
