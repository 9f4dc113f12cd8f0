"""How far a tip may be moved: what is told really is the limit, in every direction."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.flex.flexed import ALL_HELD, TURNING_FREE, moved
from pitwright.flex.path import BarePath
from pitwright.flex.reach import SMALL, reach
from pitwright.flex.straight import free_reach, guided_reach
from pitwright.geometry.vector import across, add, scale
from pitwright.units.kinds import INCH
from tests.flex.inch import path, pipe
from tests.flex.strategies import paths

HANDS = 222.0


@given(paths(soil=False), st.booleans(), st.floats(0.0, math.pi))
def test_the_least_reach_is_safe_whichever_way_the_tip_goes(
    path: BarePath, turning: bool, turn: float
) -> None:
    """Between the directions tried the ratio rises by less than a hundredth."""
    held = ALL_HELD if turning else TURNING_FREE
    got = reach(path, held, 0.002, HANDS)
    one, two = across(path.outward)
    way = add(scale(one, math.cos(turn)), scale(two, math.sin(turn)))
    u = scale(way, got.least)
    assert moved(path, (*u, 0.0, 0.0, 0.0), held).ratio(0.002, HANDS) <= 1.01
    assert got.least <= got.most <= SMALL * path.length + 1e-12


@given(paths(soil=False), st.booleans())
def test_at_the_reach_what_governs_stands_at_its_limit(path: BarePath, turning: bool) -> None:
    held = ALL_HELD if turning else TURNING_FREE
    got = reach(path, held, 0.002, HANDS)
    at = moved(path, (*scale(got.way, got.least), 0.0, 0.0, 0.0), held)
    assert got.strain == pytest.approx(at.strain, rel=1e-9)
    assert got.force == pytest.approx(at.force, rel=1e-9)
    assert got.peak == at.peak
    limit = {"strain": at.strain / 0.002, "force": at.force / HANDS}
    limit["length"] = got.least / (SMALL * path.length)
    assert limit[got.governs] == pytest.approx(1.0)


def test_a_straight_pipe_reaches_as_far_as_the_closed_formulas_say() -> None:
    bare = path((0, 0, 0), (0, 30, 0))
    for held, formula in ((TURNING_FREE, free_reach), (ALL_HELD, guided_reach)):
        got = reach(bare, held, 0.001, 1e9)
        assert got.least == pytest.approx(formula(30 * INCH, 1.315 * INCH, 0.001), rel=1e-9)
        assert got.most == pytest.approx(got.least, rel=1e-9)
        assert got.governs == "strain"
        # free, only the soil's end is bent most; guided, both ends alike
        assert got.peak.from_tip == pytest.approx(30 * INCH if held == TURNING_FREE else 0.0)


def test_a_short_stout_pipe_is_stopped_by_the_hands() -> None:
    """A 2 in pipe, 8 in bare: long before it strains, nobody can push that hard."""
    got = reach(path((0, 0, 0), (0, 8, 0), of=pipe(2.375, 0.218)), TURNING_FREE, 0.01, HANDS)
    assert got.governs == "force"
    assert got.force == pytest.approx(HANDS)
