"""Valves to be fitted."""

from __future__ import annotations

import math

import pytest

from pitwright.catalogue.parts import JointKind
from pitwright.errors import BadInput, Contradiction, Malformed, Missing, OutOfRange, UnknownName
from pitwright.survey.valves import ValveBody
from pitwright.units.kinds import INCH, PSI
from tests.survey.pits import blocks, small

VALVE = '[valve.new]\nbody = "4 3/4"\nends = "female thread"\nsize = "1"\n'


def valve(text: str) -> ValveBody:
    return small(text).valve("new")


def test_a_valve_needs_little() -> None:
    got = valve(VALVE)
    assert got.length.value / INCH == pytest.approx(4.75)
    assert got.joint is JointKind.FEMALE_THREAD
    assert got.made_up is None
    assert got.swing_with_bonnet is None
    assert math.degrees(got.tilt_limit) == pytest.approx(10)
    assert got.known_from == "measured"


def test_everything_of_a_valve_is_kept() -> None:
    text = next(b for b in blocks() if b.startswith("[valve.new]") and "cv" in b)
    got = valve(text)
    for reading, inches in (
        (got.width, 3), (got.below, 1.25), (got.height, 5.25), (got.swing_with_bonnet, 4.625),
        (got.swing_without, 2.125), (got.made_up, 5.5625), (got.adapter, 0.9375),
    ):  # fmt: skip
        assert reading is not None
        assert reading.value / INCH == pytest.approx(inches)
    assert got.cv == 9.5
    assert [p.drop.value / PSI for p in got.loss] == pytest.approx([2.3, 2.6, 5.5])
    assert got.least_flow is not None
    assert got.coil is not None
    assert (got.coil.value, got.known_from, got.note) == (26.0, "sheet", "bonnet screws on")


@pytest.mark.parametrize(
    ("old", "new", "kind", "match"),
    [
        ('body = "4 3/4"\n', "", Missing, r"^pit\.toml:1: valve\.new\.body is missing: measure"),
        ('"4 3/4"', '"4 ft"', OutOfRange, r'valve\.new\.body must be .*\(got "4 ft"\)'),
        ('size = "1"\n', "", Missing, r"valve\.new\.size is missing"),
        ("size", "made_up = 2\nsize", Contradiction, "must go with a body of 4 3/4"),
        ('"female thread"', '"male thread"', UnknownName, "female thread"),
        ("size", 'loss = "5"\nsize', Malformed, "list of pairs"),
        ("size", 'loss = [["5 gpm"]]\nsize', Malformed, r"valve\.new\.loss\.0"),
        ("size", 'loss = [["5", "1"], ["4", "2"]]\nsize', Contradiction, "must rise"),
        ("size", "cv = -1\nsize", OutOfRange, r"valve\.new\.cv must be"),
        ("size", "cv = '9'\nsize", Malformed, "must be a number"),
        ("size", "cv = nan\nsize", OutOfRange, r"valve\.new\.cv"),
        ("size", "tilt = '200 deg'\nsize", OutOfRange, r"valve\.new\.tilt"),
    ],
)  # fmt: skip
def test_a_valve_that_cannot_be_is_told(
    old: str, new: str, kind: type[BadInput], match: str
) -> None:
    with pytest.raises(kind, match=match):
        valve(VALVE.replace(old, new, 1))


def test_a_valve_nobody_knows_is_told() -> None:
    with pytest.raises(UnknownName, match=r"valve is not a known valve .*new"):
        small().valve("now")
