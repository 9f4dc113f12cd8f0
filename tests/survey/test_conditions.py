"""Conditions on the day."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput
from pitwright.survey.conditions import Conditions
from tests.survey.pits import EXAMPLES, SMALL, blocks, changed, read, small

METRIC = (EXAMPLES / "allotment.pit.toml").read_text(encoding="utf-8")


def conditions(text: str, unit: str = "in") -> Conditions:
    base = SMALL if unit == "in" else METRIC
    got = read(changed(f"[conditions]\n{text}\n", base)).conditions
    assert got is not None
    return got


def test_conditions_are_read_whole() -> None:
    got = small(next(b for b in blocks() if b.startswith("[conditions]"))).conditions
    assert got is not None
    assert got.air is not None
    assert got.air.value == pytest.approx((58 - 32) / 1.8 + 273.15)
    assert got.pipe is not None
    assert got.pipe.value == pytest.approx(285.15)
    assert got.pipe.sigma.one == 1.0
    assert (got.humidity, got.cement, got.now) == (0.7, "medium", "2026-04-11 09:15")
    assert small().conditions is None


def test_a_bare_temperature_is_in_the_degrees_of_the_unit() -> None:
    fahrenheit, celsius = conditions('air = "50"').air, conditions('air = "10"', "cm").air
    assert fahrenheit is not None
    assert celsius is not None
    assert fahrenheit.value == pytest.approx(celsius.value) == pytest.approx(283.15)


@pytest.mark.parametrize(("typed", "share"), [('"60 %"', 0.6), ("60", 0.6), ('"7.5"', 0.075)])
def test_humidity_is_a_percentage(typed: str, share: float) -> None:
    assert conditions(f"humidity = {typed}").humidity == pytest.approx(share)


@pytest.mark.parametrize(
    ("line", "match"),
    [
        ('air = "200 F"', r"conditions\.air must be -58\.27 F to 157\.73 F"),
        ('air = "60 psi"', "unit of temperature"),
        ('humidity = "damp"', "must be a percentage"),
        ("humidity = true", "must be a percentage"),
        ('humidity = "130 %"', "must be 0 % to 100 %"),
        ('cement = "blue"', "is not a known word here"),
        ("now = 2026-04-11", "must be text"),
    ],
)
def test_conditions_that_cannot_be_are_told(line: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        conditions(line)
