"""The supply."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput
from pitwright.survey.water import Water
from pitwright.units.kinds import GALLON, PSI
from tests.survey.pits import blocks, small


def water(text: str) -> Water:
    got = small(f"[water]\n{text}\n").water
    assert got is not None
    return got


def test_a_supply_is_read_whole() -> None:
    got = small(next(b for b in blocks() if b.startswith("[water]"))).water
    assert got is not None
    assert got.source == "well"
    assert got.static is not None
    assert got.static.value / PSI == pytest.approx(58)
    assert [p.pressure.value / PSI for p in got.pump] == pytest.approx([70, 55, 38])
    assert got.tank is not None
    assert got.tank.on is not None
    assert got.tank.on.value / PSI == pytest.approx(40)
    assert got.elevation is not None
    assert got.elevation.value == pytest.approx(0.6096)
    assert small().water is None


def test_a_timed_bucket_is_a_flow() -> None:
    """Field report F7 of the design study: 5 gal in 23 s is 13.0 gpm."""
    got = water('bucket = { volume = "5 gal", time = "23 s" }').bucket
    assert got is not None
    assert got.flow * 60 / GALLON == pytest.approx(13.04, abs=0.005)


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ('static = "40 psi"\nrunning = "50 psi"', "must not be above the static pressure"),
        ('static = "40 gpm"', "unit of pressure"),
        ('source = "river"', "is not a known word here"),
        ('bucket = { volume = "5 gal" }', r"water\.bucket\.time is missing"),
        ('bucket = { time = "5 s" }', r"water\.bucket\.volume is missing"),
        ('bucket = { volume = "5 gal", time = "0 s" }', r"water\.bucket\.time must be"),
        ('tank = { on = "60 psi", off = "40 psi" }', "above the switch-on pressure"),
        ("tank = 4", "must be a table"),
        ("pump = 4", "list of pairs"),
        ("pump = [4]", r"water\.pump\.0 must be a flow and its pressure"),
        ('pump = [["0", "40"], ["5", "50"]]', "more flow and no more pressure"),
        ('pump = [["5", "40"], ["5", "30"]]', "more flow and no more pressure"),
    ],
)
def test_a_supply_that_cannot_be_is_told(text: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        water(text)
