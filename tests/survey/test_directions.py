"""Directions and chains in words."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import BadInput, Contradiction, Malformed, Missing, OutOfRange, UnknownName
from pitwright.geometry.vector import Vec, angle_between, norm, sub, unit
from pitwright.survey.directions import (
    WORDS,
    chain,
    facing_from_vector,
    facing_in_words,
    facing_through,
    leans,
    turn_in_words,
)
from pitwright.survey.readings import Located, default_tools, diagonal
from pitwright.units.kinds import INCH

TOOLS = default_tools()
TAPE, EYE = TOOLS["tape"], TOOLS["eye"]
CORNER = Located((-0.1, -0.05, 0.2), diagonal(1e-6, 2e-6, 3e-6), ())
POINTS = {"corner A": CORNER}


def steps(text: str) -> Located:
    return chain(text, POINTS, TAPE, unit_name="in", where="stub.a.tip")


def point(x: float, y: float, z: float, sigma: float = INCH / 16) -> Located:
    return Located((x, y, z), diagonal(sigma**2, sigma**2, sigma**2), ())


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("4 1/2 right, 13 downstream, 2 1/4 up", (4.5, 13.0, 2.25)),
        ("4 1/2 left, 13 upstream, 2 1/4 down", (-4.5, -13.0, -2.25)),
        ("13 Downstream,  2 1/4 in UP , 0 right", (0.0, 13.0, 2.25)),
        ("2 right, 3 downstream, 1 right, 1 up, 4 upstream", (3.0, -1.0, 1.0)),
        ("from datum, 1 right, 10 cm downstream, 4-5 up", (1.0, 3.937007874, 4.5)),
    ],
)
def test_a_chain_adds_its_steps(text: str, inches: tuple[float, float, float]) -> None:
    assert [c / INCH for c in steps(text).mean] == pytest.approx(list(inches))


@pytest.mark.parametrize("word", ["from", "start at", "From"])
def test_a_chain_starts_from_a_named_point_and_takes_its_doubt_along(word: str) -> None:
    got = steps(f"{word} corner A, 4 right, 13 downstream, 2 down, 1 right")
    assert got.start == "corner A"
    assert got.mean == pytest.approx((-0.1 + 5 * INCH, -0.05 + 13 * INCH, 0.2 - 2 * INCH))
    tape = (INCH / 16) ** 2
    spread = [got.covariance[i][i] for i in range(3)]
    assert spread == pytest.approx([1e-6 + 2 * tape, 2e-6 + tape, 3e-6 + tape])
    assert [r.id for r in got.readings] == [f"stub.a.tip.{i}" for i in range(4)]
    assert [r.text for r in got.readings] == ["4", "13", "2", "1"]


@pytest.mark.parametrize(
    ("text", "kind", "match"),
    [
        ("from corner B, 1 right, 1 up, 1 upstream", UnknownName, "did you mean corner A"),
        ("1 right, 1 downstream", Missing, r"stub\.a\.tip is missing: say how far up or down"),
        ("from corner A", Missing, "say how far right or left"),
        ("1 right, 1 downstream, 1 north", Malformed, r'got "1 north"'),
        ("", Malformed, "must be steps"),
        ("right, 1 downstream, 1 up", Malformed, "must be steps"),
        ("4 psi right, 1 downstream, 1 up", BadInput, "unit of length"),
        ("1 right,, 1 up", Malformed, "must be steps"),
        ("4000 right, 1 downstream, 1 up", OutOfRange, "400 in"),
    ],
)
def test_a_chain_that_cannot_be_followed_is_told(
    text: str, kind: type[BadInput], match: str
) -> None:
    with pytest.raises(kind, match=match):
        steps(text)


def test_words_lean_by_their_angles() -> None:
    got = facing_in_words("downstream, 3 deg right, 2 deg down", TOOLS, where="x")
    expected = unit((math.tan(math.radians(3)), 1.0, -math.tan(math.radians(2))))
    assert got.direction == pytest.approx(expected)
    assert math.degrees(got.sigma) == pytest.approx(2.0)
    assert [r.id for r in got.readings] == ["x.0", "x.1"]


@pytest.mark.parametrize(
    ("text", "sigma"),
    [
        ("down", 2.0),
        ("down, by protractor", 0.5),
        ("down, 2 right, by protractor", 0.5),
        ("down, 2 +- 1 deg right, 3 deg upstream, by protractor", 1 / math.sqrt(3)),
        ("down, 2 +- 1 deg right", 2.0),
        ("down, 1-4 deg right, 1-3 deg upstream", 1.5 / math.sqrt(3)),
    ],
)
def test_a_direction_is_as_sure_as_its_worse_lean(text: str, sigma: float) -> None:
    """An angle nobody gave is as doubtful as the tool."""
    got = facing_in_words(text, TOOLS, where="x")
    assert math.degrees(got.sigma) == pytest.approx(sigma)
    assert norm(got.direction) == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("text", "kind", "match"),
    [
        ("north", Malformed, "must begin with right, left, downstream"),
        ("", Malformed, "must begin with"),
        ("up, 3 deg down", Contradiction, "square to its first word"),
        ("up, 3 deg left, 2 deg right", Contradiction, "to each side once"),
        ("up, 70 deg left", OutOfRange, "-60 deg to 60 deg"),
        ("up, 3 in left", BadInput, "unit of angle"),
        ("up, by tape", UnknownName, "tool for angles"),
        ("by protractor", Malformed, "must begin with"),
        ("up, left", Malformed, "must be steps"),
    ],
)
def test_words_that_give_no_direction_are_told(text: str, kind: type[BadInput], match: str) -> None:
    with pytest.raises(kind, match=match):
        facing_in_words(text, TOOLS, where="x")


@given(st.sampled_from(sorted(WORDS)), st.floats(-44.0, 44.0), st.floats(-44.0, 44.0))
def test_a_direction_said_back_is_the_direction_read(word: str, a: float, b: float) -> None:
    sides = [w for w in ("right", "downstream", "up") if abs(sub(WORDS[w], WORDS[word])[0]) != 2]
    sides = [w for w in sides if angle_between(WORDS[w], WORDS[word]) == pytest.approx(math.pi / 2)]
    text = f"{word}, {a:.9f} deg {sides[0]}, {b:.9f} deg {sides[1]}"
    read = facing_in_words(text, TOOLS, where="x").direction
    back, found = leans(read)
    again = f"{back}, " + ", ".join(f"{math.degrees(x):.9f} deg {w}" for x, w in found)
    assert back == word
    assert angle_between(facing_in_words(again, TOOLS, where="x").direction, read) < 1e-9


def test_a_vector_may_have_any_length_but_none() -> None:
    assert facing_from_vector([0, -3.0, 4], EYE, where="x").direction == pytest.approx(
        (0.0, -0.6, 0.8)
    )
    with pytest.raises(OutOfRange, match="a zero direction faces nowhere"):
        facing_from_vector([0, 0.0, 0], EYE, where="x")


@pytest.mark.parametrize(
    "values", [[1, 2], [1, 2, 3, 4], [1, 2, "3"], [True, 0, 0], [math.nan, 0, 0], [math.inf, 0, 0],
               [1, 2, 1e9], []]
)  # fmt: skip
def test_what_is_no_vector_is_told(values: list[object]) -> None:
    with pytest.raises(BadInput):
        facing_from_vector(values, EYE, where="x")


def test_two_points_far_apart_beat_an_angle_gauge() -> None:
    """Root two times the tape's sigma over the distance: 0.42 degrees in twelve inches."""
    got = facing_through(point(0, 0, 0), point(0, -12 * INCH, 0), where="x")
    assert got.direction == (0.0, 1.0, 0.0)
    assert got.sigma == pytest.approx(math.sqrt(2) / 16 / 12)
    assert math.degrees(got.sigma) == pytest.approx(0.42, abs=0.005)


def test_the_sigma_of_two_points_is_that_of_many_drawn_pits() -> None:
    """Independent: the scatter of directions drawn at random agrees with the formula."""
    dice = random.Random(4)
    tip, back = (0.05, 0.4, -0.03), (0.02, 0.1, -0.01)
    s = INCH / 16
    true = unit(sub(tip, back))
    side = unit((true[1], -true[0], 0.0))

    def off(p: Vec) -> Vec:
        return (p[0] + dice.gauss(0, s), p[1] + dice.gauss(0, s), p[2] + dice.gauss(0, s))

    drawn = []
    for _ in range(20000):
        d = unit(sub(off(tip), off(back)))
        drawn.append(sum(d[i] * side[i] for i in range(3)))
    scatter = math.sqrt(sum(x * x for x in drawn) / len(drawn))
    got = facing_through(point(*tip), point(*back), where="x")
    assert got.sigma == pytest.approx(scatter, rel=0.02)


def test_two_points_at_one_place_give_no_direction() -> None:
    with pytest.raises(OutOfRange, match="take the second point as far along the pipe"):
        facing_through(point(0, 0, 0), point(0, -0.02, 0), where="x")


def test_a_box_turned_to_the_left_counts_up() -> None:
    assert turn_in_words("2 deg left", EYE, where="x").value == pytest.approx(math.radians(2))
    assert turn_in_words("2 right", EYE, where="x").value == pytest.approx(-math.radians(2))
    for wrong in ("2 deg", "2 deg up", 2, "left", "", ["2 deg left"]):
        with pytest.raises(Malformed, match="to the right or left"):
            turn_in_words(wrong, EYE, where="x")
