"""The box: walls, ground, gravel, and who lies inside."""

from __future__ import annotations

import math

import pytest

from pitwright.errors import BadInput, Contradiction, Malformed, Missing, UnknownName
from pitwright.survey.box import box_covers
from pitwright.survey.readings import Located, diagonal
from pitwright.units.kinds import INCH
from tests.survey.pits import small

RECTANGLE = """[box]
mouth = { left = "-5", right = "7", upstream = "-4", downstream = "16" }
soil = { left = "-5", right = "7", upstream = "-4", downstream = "30" }
grade = "9"
floor = "-5"
"""
ROUND = """[box]
shape = "round"
mouth = { centre = ["1", "7"], across = "20" }
grade = "9"
floor = "-5"
"""


def at(x: float, y: float, z: float, sigma: float = 0.0) -> Located:
    v = (sigma * INCH) ** 2
    return Located((x * INCH, y * INCH, z * INCH), diagonal(v, v, v), ())


def test_a_rectangle_is_read_wall_by_wall() -> None:
    box = small(RECTANGLE).box
    assert [c / INCH for c in (*box.mouth.least, *box.mouth.most)] == pytest.approx([-5, -4, 7, 16])
    assert box.bottom == box.mouth
    assert box.soil.most[1] / INCH == pytest.approx(30)
    assert (box.grade.value / INCH, box.floor.value / INCH) == pytest.approx((9, -5))
    assert box.turn == 0.0


@pytest.mark.parametrize(
    ("point", "inches"),
    [
        ((0, 0, 0), 4.0),
        ((6, 10, 0), 1.0),
        ((0, 24, 0), 5.0),
        ((0, 0, 8), 1.0),
        ((0, 0, -6), -1.0),
        ((9, 10, 0), -2.0),
        ((0, 31, 0), -1.0),
    ],
)
def test_room_is_the_way_to_the_nearest_wall(
    point: tuple[float, float, float], inches: float
) -> None:
    """In the box or the dug soil, below the ground, above the gravel."""
    box = small(RECTANGLE).box
    assert box.room(at(*point).mean) / INCH == pytest.approx(inches)


def test_a_round_box_has_room_to_all_sides_alike() -> None:
    box = small(ROUND).box
    assert box.shape == "round"
    for angle in range(0, 360, 30):
        x, y = 1 + 6 * math.cos(angle), 7 + 6 * math.sin(angle)
        assert box.room(at(x, y, 2).mean) / INCH == pytest.approx(4.0)


def test_a_turned_box_is_the_box_seen_from_turned_axes() -> None:
    """A corner of the box, turned with it, still lies on its walls."""
    box = small(RECTANGLE + 'turned = "30 deg left"\n').box
    c, s = math.cos(math.radians(30)), math.sin(math.radians(30))
    for x, y in ((-5.0, -4.0), (7.0, 16.0), (7.0, -4.0)):
        assert box.room(at(c * x - s * y, s * x + c * y, 0).mean) == pytest.approx(0.0, abs=1e-12)


def test_three_sigmas_and_the_spare_are_allowed_outside() -> None:
    box = small(RECTANGLE).box
    assert box_covers(box, at(8.0, 5, 0), 1.01 * INCH)
    assert not box_covers(box, at(8.0, 5, 0), 0.9 * INCH)
    assert box_covers(box, at(8.0, 5, 0, sigma=0.2), 0.5 * INCH)


@pytest.mark.parametrize(
    ("old", "new", "kind", "match"),
    [
        ('grade = "9"\n', "", Missing, r"pit\.toml:1: box\.grade is missing: the ground's height"),
        ('floor = "-5"', 'floor = "10"', Contradiction, "must lie below the ground"),
        ('right = "7", upstream', 'right = "-6", upstream', Contradiction, "beyond the left wall"),
        ('left = "-5", ', "", Missing, r"box\.mouth\.left is missing"),
        ('left = "-5", ', 'lift = "-5", ', UnknownName, "did you mean left"),
        ("[box]", '[box]\nshape = "square"', UnknownName, "is not a known word here"),
        ("[box]", '[box]\nshape = "round"', UnknownName, "left"),
        ("[box]", "[box]\nshape = 4", Malformed, "one word in quotes"),
        ("[box]", '[box]\nturned = "4 deg"', Malformed, "to the right or left"),
        ("[box]", '[box]\nbottom = "7 in"', Malformed, "must be a table"),
    ],
)  # fmt: skip
def test_a_box_that_cannot_be_is_told(old: str, new: str, kind: type[BadInput], match: str) -> None:
    assert old in RECTANGLE
    with pytest.raises(kind, match=match):
        small(RECTANGLE.replace(old, new, 1))


@pytest.mark.parametrize(
    ("old", "new", "match"),
    [
        ('centre = ["1", "7"], ', "", r"box\.mouth\.centre is missing"),
        ('["1", "7"]', '["1", "7", "0"]', "two lengths"),
        (', across = "20"', "", r"box\.mouth\.across is missing"),
        ('across = "20"', 'across = "1"', r"box\.mouth\.across must be"),
        ('["1", "7"]', '["1", "7 psi"]', r"box\.mouth\.centre\.1"),
    ],
)
def test_a_round_box_needs_its_middle_and_its_width(old: str, new: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        small(ROUND.replace(old, new, 1))


def test_a_box_must_be_measured_somehow() -> None:
    with pytest.raises(Missing, match=r"box\.mouth is missing: write it as \{ left"):
        small('[box]\ngrade = "9"\nfloor = "-5"\n')
