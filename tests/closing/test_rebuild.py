"""The rebuilt train: by hand, against a walker of matrices, and what it must not swallow."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.closing.rebuild import close_pieces, rebuilt, walk
from pitwright.geometry.vector import Vec, minus, norm, scale
from pitwright.trains.cut_list import Bend, CutList, Item, Piece
from pitwright.trains.rows import Body
from pitwright.units.kinds import INCH
from tests.pits import walker
from tests.strategies import directions, points

Y = (0.0, 1.0, 0.0)
ORIGIN = (0.0, 0.0, 0.0)


def piece(length: float) -> Piece:
    return Piece("A", length, "valve", "bend 1", 0.03, 0.03, 0.0, ())


def bend(degrees: float, clock: float, before: float = 0.02, after: float = 0.02) -> Bend:
    return Bend("bend", math.radians(degrees), math.radians(clock), before, after, ())


LENGTHS = st.floats(0.0, 0.6)
ITEMS = st.lists(
    st.one_of(
        st.builds(lambda a: Body("valve", a, ()), LENGTHS),
        st.builds(piece, LENGTHS),
        st.builds(
            bend,
            st.sampled_from([22.5, 45.0, 90.0]),
            st.floats(-180.0, 180.0),
            st.floats(0.0, 0.05),
            st.floats(0.0, 0.05),
        ),
    ),
    min_size=1,
    max_size=9,
)


def document(cuts: CutList) -> dict[str, Any]:
    """The list as the printed document holds it."""
    items: list[dict[str, Any]] = []
    for item in cuts.items:
        if isinstance(item, Bend):
            clock, angle = (math.degrees(a) for a in (item.clock, item.angle))
            items.append({"kind": "bend", "clock_deg": clock, "angle_deg": angle,
                          "takeouts_m": [item.before, item.after]})  # fmt: skip
        else:
            items.append({"kind": "piece", "length_m": item.length})
    return {"cut_off": [{"cut_m": cuts.inlet_cut}, {"cut_m": cuts.outlet_cut}], "items": items}


@given(ITEMS, points, directions(), points, directions(), LENGTHS, LENGTHS)
def test_any_list_ends_where_the_matrices_end(
    items: list[Item], tip: Vec, u: Vec, there: Vec, v: Vec, first: float, last: float
) -> None:
    cuts = CutList(first, last, tuple(items))
    off, angle = rebuilt(cuts, (tip, u), (there, v))
    theirs = walker.missed(document(cuts), (tip, u), (there, v))
    assert norm(off) == pytest.approx(theirs[0], abs=1e-12)
    assert angle == pytest.approx(theirs[1], abs=1e-9)


def test_an_offset_of_two_45s_by_hand() -> None:
    """0.1 along, 0.2 at 45 degrees down, 0.1 along."""
    items = (piece(0.1), bend(45, 180, 0, 0), piece(0.2), bend(45, 180, 0, 0), piece(0.1))
    fall = 0.2 * math.sqrt(0.5)
    end = (0.0, 0.2 + fall, -fall)
    off, angle = rebuilt(CutList(0.0, 0.0, items), (ORIGIN, Y), (end, minus(Y)))
    assert norm(off) < 1e-12
    assert angle < 1e-9


def test_what_comes_off_a_stub_moves_where_the_train_begins_and_must_end() -> None:
    cuts = CutList(0.02, 0.03, (Body("valve", 0.25, ()),))
    off, angle = rebuilt(cuts, (ORIGIN, Y), ((0.0, 0.2, 0.0), minus(Y)))
    assert norm(off) < 1e-15
    assert angle == 0.0


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_piece_a_sixteenth_off_misses_by_a_sixteenth(sign: float) -> None:
    ends = ((ORIGIN, Y), ((0.0, 0.3, 0.0), minus(Y)))
    off, _ = rebuilt(CutList(0.0, 0.0, (piece(0.3 + sign * INCH / 16),)), *ends)
    assert off == pytest.approx(scale(Y, -sign * INCH / 16))


def test_the_walk_gives_a_place_for_every_item_and_one_for_the_end() -> None:
    items = (piece(0.1), bend(90, 0), piece(0.2))
    poses = list(walk(CutList(0.0, 0.0, items), ORIGIN, Y))
    assert len(poses) == 4
    assert poses[0].at == ORIGIN
    assert poses[-1].at == pytest.approx((0.0, 0.12, 0.22))
    assert poses[-1].z == pytest.approx((0.0, 0.0, 1.0))


def test_a_piece_that_cannot_fill_its_sockets_is_found() -> None:
    """Two depths and the gap; a 64th, a pencil's width, is forgiven and no more."""
    gap = INCH / 8
    least = 0.06 + gap
    cuts = CutList(0.0, 0.0, (piece(least), piece(least - INCH / 60), piece(least - INCH / 70)))
    assert close_pieces(cuts, gap) == (cuts.pieces[1],)
    assert close_pieces(replace(cuts, items=()), gap) == ()
