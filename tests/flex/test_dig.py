from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import OutOfRange
from pitwright.findings import Refusal
from pitwright.flex.compliance import Vec6
from pitwright.flex.dig import Dig, dig
from pitwright.flex.flexed import ALL_HELD, TURNING_FREE, moved
from pitwright.flex.path import BarePath
from pitwright.flex.straight import free_length, guided_length
from pitwright.units.kinds import INCH
from tests.flex.inch import path
from tests.flex.strategies import paths

small = st.floats(-0.02, 0.02)
SIDEWAYS: Vec6 = (0.0, 0.5 * INCH, 0.0, 0.0, 0.0, 0.0)


@given(paths(most=3), st.tuples(small, small, small), st.booleans(), st.sampled_from([None, 222.0]))
def test_the_length_to_dig_really_meets_the_limit_and_a_step_less_does_not(
    path: BarePath, u: tuple[float, float, float], turning: bool, hands: float | None
) -> None:
    held = ALL_HELD if turning else TURNING_FREE
    movement = (*u, 0.0, 0.0, 0.0)
    found = dig(path, movement, 0.004, hands=hands, held=held, most=0.6)
    if isinstance(found, Refusal):
        for i in range(8):
            assert moved(path.dug(0.6 * i / 7), movement, held).ratio(0.004, hands) > 1.0
        return
    assert moved(path.dug(found.extra), movement, held).ratio(0.004, hands) <= 1.0
    assert found.then <= 1.0 and found.safe_to >= found.extra
    if found.extra > 0.0:
        less = moved(path.dug(found.extra - 2e-6), movement, held).ratio(0.004, hands)
        assert less > 1.0 and found.now > 1.0


@pytest.mark.parametrize(("held", "rule"), [(ALL_HELD, guided_length), (TURNING_FREE, free_length)])
def test_a_straight_needs_what_the_closed_formula_says(
    held: tuple[bool, ...], rule: object
) -> None:
    assert callable(rule)
    a, b, c, d, e, f = held
    found = dig(path((0, 0, 0), (6, 0, 0)), SIDEWAYS, 0.005, held=(a, b, c, d, e, f))
    assert isinstance(found, Dig)
    needed = rule(0.5 * INCH, 1.315 * INCH, 0.005)
    assert found.extra + 6 * INCH == pytest.approx(needed, abs=2e-6)


def test_a_pull_along_the_pipe_is_never_dug_for() -> None:
    found = dig(path((0, 0, 0), (20, 0, 0)), (0.25 * INCH, 0, 0, 0, 0, 0), 0.005, hands=222.0)
    assert isinstance(found, Refusal)
    (short,) = found.because
    assert (short.code, short.lift) == ("NEVER_BY_DIGGING", "telescoping coupling")
    assert short.missed == pytest.approx(short.have - 1.0) and short.need == 1.0
    assert found.looked_at == math.ceil(1.524 / 0.00635) + 1


def test_a_push_across_a_short_level_leg_is_spared_by_elbows() -> None:
    """However long the riser below, the 3 in leg must bend to be lifted without turning."""
    riser = path((0, 0, -12), (0, 0, 0), (3, 0, 0))
    found = dig(riser, (0, 0, 0.5 * INCH, 0, 0, 0), 0.002)
    assert isinstance(found, Refusal) and found.because[0].lift == "elbow box"


def test_what_is_safe_already_needs_no_digging() -> None:
    found = dig(path((0, 0, 0), (40, 0, 0)), SIDEWAYS, 0.005)
    assert isinstance(found, Dig) and found.extra == 0.0 and found.now == found.then


def test_no_depth_is_negative() -> None:
    with pytest.raises(OutOfRange, match="most to dig"):
        dig(path((0, 0, 0), (40, 0, 0)), SIDEWAYS, 0.005, most=-1.0)
