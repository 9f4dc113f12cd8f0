"""Move the cut: where the next straight begins, and how sure that is."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Short, StubId
from pitwright.geometry.vector import Vec, add, angle_between, dot, minus, norm, scale, sub
from pitwright.renewal.move_cut import past_the_bend, taken_along
from pitwright.survey.pit import load_survey
from pitwright.survey.stubs import Straight, Stub
from pitwright.units.kinds import INCH

HOUSE = Path(__file__).resolve().parents[2] / "examples" / "wash-house.pit.toml"
SHELF = load_shelf()


def green() -> Stub:
    return next(s for s in load_survey(HOUSE, SHELF).stubs if s.id == "green")


def test_the_new_tip_lies_on_the_next_straight_clear_of_the_old_elbow() -> None:
    old = green()
    new = past_the_bend(old, SHELF)
    assert isinstance(new, Stub)
    down = old.bare[1].direction
    assert angle_between(new.outward, minus(down)) == pytest.approx(0.0, abs=1e-9)
    elbow = SHELF.fitting("elbow", "1", 90.0, "40")
    assert elbow is not None
    face = elbow.ports[0].takeout.value + elbow.ports[0].depth.value
    off = sub(new.tip.mean, old.tip.mean)
    assert dot(off, down) == pytest.approx(face + INCH / 8, abs=INCH / 16)
    assert new.bare[0].length == pytest.approx(old.bare[1].length - face - INCH / 8)
    assert new.cut_back <= new.bare[0].length


def test_a_worked_out_tip_is_less_sure_than_a_measured_one() -> None:
    old = green()
    new = past_the_bend(old, SHELF)
    assert isinstance(new, Stub)
    for n in range(3):
        assert new.tip.covariance[n][n] > old.tip.covariance[n][n]
    assert new.outward_sigma > old.outward_sigma
    assert norm(sub(new.tip.mean, old.tip.mean)) > INCH


def test_without_a_next_straight_or_with_a_short_one_it_is_refused() -> None:
    old = green()
    none = past_the_bend(replace(old, bare=old.bare[:1]), SHELF)
    assert isinstance(none, Short)
    assert none.code == "NO_NEXT"
    stub = replace(old.bare[1], length=2 * INCH)
    short = past_the_bend(replace(old, bare=(old.bare[0], stub)), SHELF)
    assert isinstance(short, Short)
    assert (short.code, short.unit) == ("NEXT_SHORT", "m")
    assert short.missed == pytest.approx(short.need - short.have)


def hanging_at(at: Vec) -> Stub:
    """A neighbour whose second straight ends at a point, a foot to the side of its tip."""
    old = green()
    read = old.bare[0].reading
    side, down = (1.0, 0.0, 0.0), (0.0, 0.0, -1.0)
    corner = sub(at, scale(side, 8 * INCH))
    tip = add(corner, scale(down, -6 * INCH))
    bare = (Straight(down, 6 * INCH, read), Straight(side, 8 * INCH, read))
    where = replace(old.tip, mean=tip)
    return replace(old, id=StubId("neighbour"), tip=where, outward=minus(down), bare=bare)


def test_what_hangs_on_the_pipe_that_would_come_out_is_named() -> None:
    old = green()
    new = past_the_bend(old, SHELF)
    assert isinstance(new, Stub)
    corner = add(old.tip.mean, scale(old.bare[0].direction, old.bare[0].length))
    short = taken_along(old, new, [hanging_at(corner)])
    assert short is not None
    assert (short.code, short.where, short.tried) == ("TAKES_NEIGHBOUR", "green", "neighbour")


def test_what_hangs_on_the_pipe_that_stays_or_only_passes_by_is_left_in_peace() -> None:
    old = green()
    new = past_the_bend(old, SHELF)
    assert isinstance(new, Stub)
    below = add(new.tip.mean, scale(minus(new.outward), 6 * INCH))
    aside = add(new.tip.mean, (0.0, 4 * INCH, 0.0))
    assert taken_along(old, new, [hanging_at(below), hanging_at(aside)]) is None
