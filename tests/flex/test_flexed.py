from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import Malformed
from pitwright.flex.compliance import Vec6
from pitwright.flex.flexed import ALL_HELD, TURNING_FREE, Held, moved, pushed, turning_cost
from pitwright.flex.path import BarePath
from pitwright.units.kinds import INCH
from tests.flex.inch import path
from tests.flex.strategies import paths

small = st.floats(-0.05, 0.05)
movements = st.tuples(small, small, small, small, small, small)
masks = st.tuples(*[st.booleans()] * 6).filter(any)


@given(paths(), movements, masks)
def test_the_tip_goes_where_it_is_told_and_is_left_alone_elsewhere(
    path: BarePath, movement: Vec6, held: Held
) -> None:
    flexed = moved(path, movement, held)
    for i in range(6):
        if held[i]:
            assert flexed.movement[i] == pytest.approx(movement[i], abs=1e-9)
        else:
            assert flexed.wrench[i] == 0.0


@given(paths(), movements)
def test_moving_is_pushing_backwards(path: BarePath, movement: Vec6) -> None:
    flexed = moved(path, movement)
    again = pushed(path, flexed.wrench)
    assert again.movement == pytest.approx(movement, abs=1e-8)
    assert again.strain == pytest.approx(flexed.strain, rel=1e-9)


@given(paths(), movements, masks)
def test_holding_more_never_takes_less_work(path: BarePath, movement: Vec6, held: Held) -> None:
    free, whole = moved(path, movement, held), moved(path, movement, ALL_HELD)
    assert np.dot(whole.wrench, whole.movement) >= np.dot(free.wrench, free.movement) * (1 - 1e-6)


@given(paths(), movements, st.floats(0.1, 3.0))
def test_twice_the_movement_is_twice_the_strain(path: BarePath, movement: Vec6, by: float) -> None:
    a, b, c, d, e, f = (by * x for x in movement)
    once, more = moved(path, movement), moved(path, (a, b, c, d, e, f))
    assert more.strain == pytest.approx(by * once.strain, rel=1e-7, abs=1e-15)
    assert more.force == pytest.approx(by * once.force, rel=1e-7, abs=1e-9)


def test_holding_a_straight_tip_from_turning_doubles_its_strain() -> None:
    straight = path((0.0, 0.0, 0.0), (20.0, 0.0, 0.0))
    assert turning_cost(straight, (0.0, INCH, 0.0, 0.0, 0.0, 0.0)) == pytest.approx(2.0)
    assert turning_cost(straight, (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)) == 1.0


def test_holding_a_bent_tip_from_turning_can_cost_far_more() -> None:
    """A long riser under a short level leg, lifted: free it swings, held it must bow."""
    riser = path((0.0, 0.0, -60.0), (0.0, 0.0, 0.0), (3.0, 0.0, 0.0))
    assert turning_cost(riser, (0.0, 0.0, 0.25 * INCH, 0.0, 0.0, 0.0)) > 4.0


def test_force_counts_beside_strain_when_hands_are_given() -> None:
    """A straight run pulled along its axis hardly strains but nobody can pull it."""
    straight = path((0.0, 0.0, 0.0), (20.0, 0.0, 0.0))
    flexed = moved(straight, (INCH / 16.0, 0.0, 0.0, 0.0, 0.0, 0.0), TURNING_FREE)
    assert flexed.ratio(0.005) == 0.0
    assert flexed.ratio(0.005, 222.0) > 10.0
    assert flexed.ratio(0.0) == np.inf


def test_holding_nothing_is_refused() -> None:
    with pytest.raises(Malformed, match="must hold something"):
        moved(path((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)), (0.0,) * 6, (False,) * 6)
