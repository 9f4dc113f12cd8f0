"""Offsets: laws, checked by geometry that knows no formula of theirs."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from pitwright.errors import BadInput, Contradiction, Missing, OutOfRange
from pitwright.findings import Refusal
from pitwright.trains.offset import (
    STANDARD_BENDS,
    End,
    Piece,
    band,
    cut_by_faces,
    cut_length,
    least_offset,
    nearest_bend,
    piece_between,
    run_left,
    solve,
    stagger,
    travel_of,
)
from pitwright.units.kinds import DEGREE, INCH

lengths = st.floats(0.01, 10.0)
bends = st.sampled_from(STANDARD_BENDS)
lean_bends = st.sampled_from([b for b in STANDARD_BENDS if b < 89 * DEGREE])
Points = NDArray[np.float64]


def polyline(rise: float, roll: float, advance: float, before: float, after: float) -> Points:
    """Run along x, offset to (roll, rise) in y and z, run along x again."""
    first = np.array([before, 0.0, 0.0])
    second = first + np.array([advance, roll, rise])
    return np.array([np.zeros(3), first, second, second + np.array([after, 0.0, 0.0])])


def corner_angle(a: Points, b: Points, c: Points) -> float:
    """Change of direction at b, by cross and dot product."""
    u, v = b - a, c - b
    return float(np.arctan2(np.linalg.norm(np.cross(u, v)), u @ v))


@given(lengths, lengths, bends)
def test_the_offset_closes_when_it_is_drawn(rise: float, roll: float, bend: float) -> None:
    """Drawn in space, both corners bend by the fitting's angle and the middle is the travel."""
    found = solve(rise=rise, roll=roll, bend=bend)
    points = polyline(rise, roll, found.advance, 1.0, 1.0)

    assert corner_angle(*points[:3]) == pytest.approx(bend, abs=1e-9)
    assert corner_angle(*points[1:]) == pytest.approx(bend, abs=1e-9)
    assert np.linalg.norm(points[2] - points[1]) == pytest.approx(found.travel, rel=1e-12)


@given(lengths, bends, st.floats(0.0, math.pi / 2))
def test_a_rolling_offset_is_a_plain_one_turned_about_the_run(
    true: float, bend: float, roll_angle: float
) -> None:
    rise, roll = true * math.sin(roll_angle), true * math.cos(roll_angle)
    assume(min(rise, roll) > 1e-9)
    plain, rolling = solve(true=true, bend=bend), solve(rise=rise, roll=roll, bend=bend)

    assert rolling.travel == pytest.approx(plain.travel, rel=1e-12)
    assert rolling.advance == pytest.approx(plain.advance, rel=1e-12, abs=1e-15)
    assert rolling.roll_angle == pytest.approx(roll_angle, abs=1e-9)
    assert rolling.rolling
    assert not plain.rolling


@given(lengths, lengths, bends, st.floats(0.01, 100.0))
def test_twice_as_large_is_twice_as_long(
    rise: float, roll: float, bend: float, scale: float
) -> None:
    small = solve(rise=rise, roll=roll, bend=bend)
    large = solve(rise=rise * scale, roll=roll * scale, bend=bend)

    for name in ("true", "travel", "advance"):
        assert getattr(large, name) == pytest.approx(getattr(small, name) * scale, rel=1e-12)
    assert large.roll_angle == pytest.approx(small.roll_angle, abs=1e-12)


@given(lengths, lean_bends)
def test_any_two_knowns_give_the_same_offset(true: float, bend: float) -> None:
    whole = solve(true=true, bend=bend)
    known = {"true": true, "bend": bend, "travel": whole.travel, "advance": whole.advance}
    for pair in combinations(known, 2):
        again = solve(**{name: known[name] for name in pair})
        assert again.true == pytest.approx(whole.true, rel=1e-6), pair
        assert again.bend == pytest.approx(whole.bend, rel=1e-6), pair
        assert again.travel == pytest.approx(whole.travel, rel=1e-6), pair


@given(lengths, lengths, bends)
def test_the_side_that_is_not_given_is_worked_out(rise: float, roll: float, bend: float) -> None:
    whole = solve(rise=rise, roll=roll, bend=bend)
    by_rise = solve(rise=rise, true=whole.true, bend=bend)
    by_roll = solve(roll=roll, travel=whole.travel, bend=bend)

    assert by_rise.roll == pytest.approx(roll, rel=1e-4, abs=1e-4)
    assert by_roll.rise == pytest.approx(rise, rel=1e-4, abs=1e-4)


def apart(p: Points, direction: Points, q: Points) -> float:
    """Distance of a point from a line."""
    return float(np.linalg.norm(np.cross(q - p, direction)) / np.linalg.norm(direction))


@given(lengths, bends, st.floats(0.0, math.pi / 2), st.floats(0.05, 2.0), st.integers(1, 4))
def test_staggered_pipes_keep_their_spacing_before_in_and_after_the_offset(
    true: float, bend: float, roll_angle: float, spacing: float, number: int
) -> None:
    """A level row of pipes; each is the first one moved aside, and back along the run."""
    rise, roll = true * math.sin(roll_angle), true * math.cos(roll_angle)
    first = polyline(rise, roll, solve(true=true, bend=bend).advance, 5.0, 5.0)
    later = stagger(spacing, bend, roll_angle) * number
    moved = first + np.array([later, -spacing * number, 0.0])  # away from the offset's side
    expected = spacing * number
    for piece in range(3):
        direction = first[piece + 1] - first[piece]
        for end in (moved[piece], moved[piece + 1]):
            assert apart(first[piece], direction, end) == pytest.approx(expected, rel=1e-9)


@given(lengths, lean_bends, st.floats(0.05, 2.0))
def test_without_the_stagger_the_pipes_come_closer(
    true: float, bend: float, spacing: float
) -> None:
    """Why it is done: unstaggered, the spacing in the offset shrinks by the bend's cosine."""
    first = polyline(0.0, true, solve(true=true, bend=bend).advance, 5.0, 5.0)
    moved = first + np.array([0.0, -spacing, 0.0])
    direction = first[2] - first[1]

    assert apart(first[1], direction, moved[1]) == pytest.approx(spacing * math.cos(bend))


@given(lengths, st.floats(0, 0.05), st.floats(0, 0.05), st.floats(0, 0.05), st.floats(0, 0.05))
def test_by_centres_and_by_faces_is_one_length(
    centres: float, takeout_a: float, takeout_b: float, depth_a: float, depth_b: float
) -> None:
    by_centres = cut_length(centres, [takeout_a, takeout_b])
    faces = [takeout_a + depth_a, takeout_b + depth_b]

    assert cut_by_faces(centres, faces, [depth_a, depth_b]) == pytest.approx(by_centres, abs=1e-12)


@given(bends, st.floats(0, 0.05), st.floats(0.01, 0.05), st.floats(0, 0.02))
def test_the_least_offset_is_the_edge_of_what_fits(
    bend: float, takeout: float, depth: float, nipple: float
) -> None:
    ends = [End(takeout, depth), End(takeout / 2, depth)]
    least = least_offset(bend, ends, nipple)
    fits = piece_between(travel_of(least * (1 + 1e-6), bend), ends, nipple)
    short = piece_between(travel_of(least * (1 - 1e-6), bend), ends, nipple)

    assert isinstance(fits, Piece)
    assert fits.bare == pytest.approx(nipple, abs=1e-6)
    assert fits.length == pytest.approx(2 * depth + nipple, abs=1e-6)
    assert isinstance(short, Refusal)
    assert short.because[0].missed == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(
    ("bend", "takeout", "depth", "nipple", "least"),
    [(45, 0.3125, 0.875, 0.125, 1.77), (90, 0.6875, 0.875, 0.125, 3.25)],
)
def test_least_offsets_of_the_design_study(
    bend: float, takeout: float, depth: float, nipple: float, least: float
) -> None:
    """The study's figures, with its own minimum depths. [in]"""
    ends = [End(takeout, depth)] * 2
    assert least_offset(bend * DEGREE, ends, nipple) == pytest.approx(least, abs=0.005)


@given(lengths, st.floats(0.0, 0.01), bends)
def test_the_band_holds_every_value_inside_the_limits(
    true: float, half: float, bend: float
) -> None:
    low, high = band([(true, true + half)], lambda v: travel_of(v[0], bend))
    for share in (0.0, 0.3, 1.0):
        assert low - 1e-12 <= travel_of(true + share * half, bend) <= high + 1e-12


def test_nearest_bends() -> None:
    assert [round(nearest_bend(d * DEGREE) / DEGREE, 2) for d in (3, 20, 44, 65, 88)] == [
        11.25, 22.5, 45.0, 60.0, 90.0,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("known", "error", "words"),
    [
        ({"true": 0.3}, Missing, "give two of"),
        ({}, Missing, "give two of"),
        ({"true": 0.3, "bend": 0.0}, OutOfRange, "0 deg"),
        ({"true": 0.3, "bend": 135 * DEGREE}, OutOfRange, "45, not 135"),
        ({"true": -0.3, "bend": 1.0}, OutOfRange, "-0.3"),
        ({"true": math.inf, "bend": 1.0}, OutOfRange, "inf"),
        ({"true": math.nan, "bend": 1.0}, OutOfRange, "nan"),
        ({"true": 0.3, "travel": 0.2}, Contradiction, "at least the true offset"),
        ({"travel": 0.2, "advance": 0.3}, Contradiction, "at least its advance"),
        ({"advance": 0.3, "bend": 90 * DEGREE}, OutOfRange, "90 deg"),
        ({"rise": 0.5, "true": 0.3, "bend": 1.0}, Contradiction, "the rise"),
        ({"true": 0.3, "bend": 45 * DEGREE, "travel": 0.45}, Contradiction, "does not agree"),
        ({"rise": 0.3, "roll": 0.4, "true": 0.51, "bend": 1.0}, Contradiction, "does not agree"),
    ],
)
def test_what_cannot_be_an_offset_is_told(
    known: dict[str, float], error: type[BadInput], words: str
) -> None:
    with pytest.raises(error, match=words):
        solve(**known)


def test_readings_beyond_need_are_let_through_when_they_agree() -> None:
    """16 15/16 read where 16.97 is right: within 1/32 in. [m]"""
    found = solve(true=12 * INCH, bend=45 * DEGREE, travel=(16 + 15.5 / 16) * INCH)
    assert found.travel == pytest.approx(12 * math.sqrt(2) * INCH)


def test_a_run_shorter_than_the_advance_is_told() -> None:
    with pytest.raises(Contradiction, match="steeper bend"):
        run_left(0.1, 0.2)
