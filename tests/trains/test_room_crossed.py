"""Room for a train: it may not go through itself."""

from __future__ import annotations

import pytest

from pitwright.findings import Short
from pitwright.geometry.vector import Vec
from pitwright.trains.kit import Girth
from pitwright.trains.room import Laid, Room, clearest
from pitwright.trains.rows import Row

TIP = (0.0, 0.0, 0.0)
ON, UP, BACK, DOWN = (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0)
ROOM = Room((), (), Girth(0.0167, 0.0225))


def tried(directions: tuple[Vec, ...], *candidates: tuple[float, ...]) -> Laid | Short:
    rows = tuple(Row((), 0.02, 0.0) for _ in directions)
    return clearest([Laid(c, 0.0) for c in candidates], directions, rows, TIP, ROOM, "loop")


def test_a_loop_that_comes_down_on_its_own_first_leg_is_refused_by_how_deep_it_lies_in_it() -> None:
    got = tried((ON, UP, BACK, DOWN), (0.5, 0.2, 0.3, 0.4))
    assert isinstance(got, Short)
    assert (got.code, got.where, got.unit) == ("CROSSED", "leg 1", "m")
    assert got.missed == pytest.approx(2 * 0.0167)
    assert got.tried == "loop: leg 4"


def test_one_that_stops_short_of_it_or_goes_by_beside_it_is_not() -> None:
    short = tried((ON, UP, BACK, DOWN), (0.5, 0.2, 0.3, 0.16))
    assert isinstance(short, Laid)
    beyond = tried((ON, UP, BACK, DOWN), (0.5, 0.2, 0.6, 0.4))
    assert isinstance(beyond, Laid)


def test_the_next_place_is_taken_where_the_first_goes_through_itself() -> None:
    got = tried((ON, UP, BACK, DOWN), (0.5, 0.2, 0.3, 0.4), (0.5, 0.2, 0.6, 0.4))
    assert isinstance(got, Laid)
    assert got.lengths[2] == 0.6


def test_legs_two_apart_are_kept_apart_by_the_bend_between_and_are_not_asked() -> None:
    assert isinstance(tried((ON, UP, BACK), (0.5, 0.1, 0.3)), Laid)
