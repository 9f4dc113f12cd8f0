"""Fractions are drawn, measures do not break, lines fit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.paper.marks import Glyphs, Stroke
from pitwright.paper.words import (
    LEAST_SIZE,
    Plain,
    Vulgar,
    drop,
    phrase,
    rise,
    runs_of,
    shortened,
    spoken,
    width_of,
    wrap,
)


def test_a_measure_is_whole_numerator_denominator_and_a_line() -> None:
    assert runs_of("4 3/16 in") == (Plain("4\xa0"), Vulgar(3, 16), Plain("\xa0in"))


@pytest.mark.parametrize(
    ("text", "fractions"),
    [
        ("3/4 in", 1),
        ("1-1/4 in", 1),
        ("1 1/4 x 3/4", 2),
        ("3/16/24", 0),
        ("24/7", 0),
        ("16/16", 0),
        ("0/4", 0),
        ("3/5", 0),
        ("13/4", 0),
        ("1.5/8", 0),
        ("3/8.5", 0),
        ("3/8.", 1),
        ("(3/8)", 1),
    ],
)
def test_only_a_tapes_fractions_are_drawn_as_such(text: str, fractions: int) -> None:
    runs = runs_of(text)
    assert sum(isinstance(r, Vulgar) for r in runs) == fractions
    assert spoken(runs) == text


@given(st.integers(0, 99), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_no_digit_of_a_fraction_ever_stands_beside_the_whole(
    whole: int, top: int, bottom: int
) -> None:
    """Law: on the page the numerator lies wholly above the line, the denominator wholly below."""
    if top >= bottom:
        return
    marks = phrase((10.0, 50.0), runs_of(f"{whole} {top}/{bottom} in"), 4.0).marks
    shapes = [m for m in marks if isinstance(m, Glyphs) and m.as_shape]
    line = next(m for m in marks if isinstance(m, Stroke))
    y = line.path[0][1][1]
    assert [m.text for m in shapes] == [str(top), str(bottom)]
    assert shapes[0].at[1] < y  # its baseline is above the line
    assert shapes[1].at[1] - 0.729 * shapes[1].size > y  # its top is below the line
    assert all(
        str(top) not in m.text
        for m in marks
        if isinstance(m, Glyphs)
        and m.shown
        and not m.as_shape
        and not m.text.startswith(str(whole))
    )
    left, right = (p[1][0] for p in line.path)
    first = next(m for m in marks if isinstance(m, Glyphs))
    assert first.at[0] + first.width <= left < right


@given(st.floats(3.175, 12))
def test_no_digit_is_smaller_than_nine_points(size: float) -> None:
    marks = phrase((0, 0), runs_of("4 3/16 in"), size).marks
    assert min(m.size for m in marks if isinstance(m, Glyphs)) >= LEAST_SIZE


def test_a_measure_and_its_unit_stay_on_one_line() -> None:
    lines = wrap(runs_of("cut to 4 3/16 in (106 mm) now"), 4.0, 22.0)
    assert [spoken(line) for line in lines] == ["cut to", "4 3/16 in", "(106 mm)", "now"]


@given(st.text(max_size=200), st.floats(8, 200), st.floats(3.2, 7))
def test_no_line_is_longer_than_the_column(text: str, width: float, size: float) -> None:
    """Law, for columns wider than any one character."""
    for line in wrap(runs_of(text), size, width):
        assert width_of(line, size) <= width + 1e-6 or len(spoken(line)) <= 5


@given(st.text(max_size=200), st.floats(8, 200))
def test_wrapping_loses_nothing_but_spaces(text: str, width: float) -> None:
    runs = runs_of(text)
    wrapped = "".join(spoken(line) for line in wrap(runs, 4.0, width))
    assert wrapped.replace(" ", "") == spoken(runs).replace(" ", "")


def test_a_fraction_makes_its_line_higher() -> None:
    plain, tall = runs_of("cut"), runs_of("cut 3/16")
    assert rise(tall, 3.9) > rise(plain, 3.9)
    assert drop(tall, 3.9) > drop(plain, 3.9)


@given(st.text(max_size=120), st.floats(6, 80))
def test_what_is_cut_off_shows_as_an_ellipsis(text: str, most: float) -> None:
    kept = shortened(text, 4.0, most)
    if width_of(runs_of(text), 4.0) <= most:
        assert kept == runs_of(text)
    else:
        assert width_of(kept, 4.0) <= most
        assert spoken(kept).endswith("…")
