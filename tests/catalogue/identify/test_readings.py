"""Readings of an unknown pipe: tools, their sigmas, limits, words."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from pitwright.catalogue.identify.readings import (
    Reading,
    Tool,
    inside_reading,
    known_word,
    outside_reading,
)
from pitwright.errors import OutOfRange, UnknownName
from pitwright.units.kinds import INCH
from pitwright.units.measure import Measure, measure


def typed(text: str) -> tuple[Measure, ...]:
    return (measure(text, default="in"),)


def test_each_tool_has_its_own_sigma_and_the_strings_is_on_the_circumference() -> None:
    """Design study, section 3: calliper 0.005, tape 1/16, string 1/32 on the circumference."""
    sigma = {t: outside_reading(t, typed("3")).sigma / INCH for t in Tool}
    assert sigma[Tool.CALLIPER] == pytest.approx(0.005)
    assert sigma[Tool.ACROSS] == pytest.approx(1 / 16)
    assert sigma[Tool.AROUND] == pytest.approx(1 / 32 / pi)


def test_typed_limits_are_hard_and_a_string_divides_them_by_pi() -> None:
    reading = outside_reading(Tool.AROUND, typed("3.3 +- 0.1"))
    assert reading.limit is not None
    assert reading.limit / INCH == pytest.approx(0.1 / pi)
    assert reading.near == reading.far == reading.limit


@given(st.floats(-0.05, 0.05), st.floats(0.001, 0.05))
def test_density_is_that_of_a_uniform_part_seen_through_a_normal_reading(
    off: float, width: float
) -> None:
    """Independent: the integral done numerically by another library."""
    low, high = 1.0, 1.0 + width
    reading = Reading("outside", "", 1.0 + off, 0.01, None)
    ours = reading.density(low, high)
    theirs, _ = integrate.quad(lambda x: stats.norm.pdf(1.0 + off, x, 0.01) / width, low, high)
    assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-12)


@pytest.mark.parametrize("text", ["0.1", "9", "0"])
def test_a_pipe_thinner_than_a_straw_or_wider_than_a_bucket_is_refused(text: str) -> None:
    with pytest.raises(OutOfRange, match="outside diameter by calliper"):
        outside_reading(Tool.CALLIPER, typed(text))


def test_a_wall_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRange, match="the wall"):
        inside_reading("wall", measure("0", default="in"))


@pytest.mark.parametrize(
    ("what", "word", "ours"),
    [
        ("material", "Poly", "pe"),
        ("material", "galvanized", "steel"),
        ("colour", "Gray", "grey"),
        ("stiffness", "flexible", "bends"),
        ("colour", None, None),
    ],
)
def test_words_are_taken_as_people_say_them(what: str, word: str | None, ours: str | None) -> None:
    assert known_word(what, word) == ours


def test_an_unknown_word_names_the_known_ones() -> None:
    with pytest.raises(UnknownName, match="copper"):
        known_word("material", "wood")
