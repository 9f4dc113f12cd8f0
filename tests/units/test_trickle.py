"""A trickle as people say it."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput
from pitwright.units.kinds import DRIP, FLOW
from pitwright.units.measure import measure
from pitwright.units.trickle import plain_flow

ML_MIN = 1e-6 / 60


@pytest.mark.parametrize(
    ("said", "ml_min"),
    [
        ("20 drips a minute", 20 / 3),
        ("20 drips/min", 20 / 3),
        ("1 drip/s", 20),
        ("a drip every 3 seconds", 20 / 3),
        ("2 drops every 3 s", 40 / 3),
        ("a cup an hour", 236.5882365 / 60),
        ("1 cup/h", 236.5882365 / 60),
        ("half", None),
        ("2 tablespoons a minute", 2 * 14.78676478125),
        ("1/2 cup a minute", 236.5882365 / 2),
        ("a spoonful per minute", 14.78676478125),
        ("1 teaspoon each minute", 4.92892159375),
        ("40 mL/min", 40),
        ("40", 40),
        ("0.1 gpm", 378.5411784),
        ("10-20 drips a minute", 5),
    ],
)
def test_a_seep_is_read_in_drips_spoons_and_cups(said: str, ml_min: float | None) -> None:
    if ml_min is None:
        with pytest.raises(BadInput, match="20 drips a minute"):
            measure(said, FLOW, default="mL/min")
        return
    got = measure(said, FLOW, default="mL/min")
    assert got.si / ML_MIN == pytest.approx(ml_min, rel=1e-6)


@pytest.mark.published("USGS-DRIP", "between 1/5 and 1/3 of a millilitre at taps")
def test_a_drip_is_the_largest_that_was_measured_at_taps() -> None:
    assert 0.2e-6 < DRIP <= 1e-6 / 3


@pytest.mark.parametrize("said", ["4 3/8", "a drip every 0 s", "drip", "7 psi", ""])
def test_what_is_no_trickle_is_left_as_it_is(said: str) -> None:
    assert plain_flow(said) in (said, said.replace("a drip", "1 drip"))
