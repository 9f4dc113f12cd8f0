"""Soil as springs: what its kinds give back, and the figures they come from."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import UnknownName
from pitwright.flex.limits import sources
from pitwright.flex.soil import LEAST_DEPTH, SOILS, foundation
from pitwright.units.kinds import FOOT, INCH, PSI

DEPTHS = st.floats(-1.0, 6.0)


@pytest.mark.parametrize(
    ("soil", "depth", "psi"),
    [
        ("loose sand", 12, 7 * 2000 / 144),
        ("firm sand", 12, 21 * 2000 / 144),
        ("wet loose sand", 24, 2 * 4 * 2000 / 144),
        ("wet firm sand", 6, 14 * 1000 / 144),
        ("stiff clay", 12, 75 / 1.5 * 2000 / 144),
    ],
)
def test_each_soil_gives_back_what_its_coefficient_says_at_a_depth(
    soil: str, depth: float, psi: float
) -> None:
    """Short tons a cubic foot times the depth; a foot-wide plate's, over 1.5, for clay."""
    assert foundation(soil, depth * INCH).value == pytest.approx(psi * PSI, rel=1e-12)


@given(st.sampled_from(SOILS), DEPTHS, DEPTHS)
def test_deeper_soil_never_holds_less_and_shallow_soil_still_holds(
    soil: str, one: float, two: float
) -> None:
    low, high = sorted((one, two))
    assert 0.0 < foundation(soil, low).value <= foundation(soil, high).value
    assert foundation(soil, -1.0) == foundation(soil, LEAST_DEPTH)


@given(DEPTHS)
def test_wet_sand_gives_back_less_than_moist_and_loose_less_than_firm(depth: float) -> None:
    loose, firm = (foundation(k, depth).value for k in ("loose sand", "firm sand"))
    assert foundation("wet loose sand", depth).value < loose < firm
    assert loose < foundation("wet firm sand", depth).value < firm


def test_every_soil_names_a_source_that_is_told_and_that_it_is_from_memory() -> None:
    for soil in SOILS:
        found = foundation(soil, FOOT)
        assert found.source in sources()
        assert found.status == "memory"


def test_a_soil_without_a_figure_is_told_with_those_that_have_one() -> None:
    with pytest.raises(UnknownName, match="loose sand"):
        foundation("peat", FOOT)
