"""Field cases F1, the elbow box, four 90s between two pipes that cannot move, and F2, the window.

Take-outs and depths as the design study read them off shelf fittings; the least gap is four
take-outs and two socket depths, and what is left bare between the two faces of the U.
"""

from __future__ import annotations

import math

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.closing.rebuild import rebuilt
from pitwright.geometry.vector import Vec, norm, unit
from pitwright.trains.connectors import window
from pitwright.trains.cut_list import exact_list
from pitwright.trains.kit import Corner, Coupler, EndWay, Kit, Seat, StubEnd
from pitwright.trains.rows import Body
from pitwright.trains.search import Allowance, on_bends
from pitwright.trains.train import Train
from pitwright.units.kinds import INCH

FOUR = (math.pi / 2,) * 4
ALLOW = Allowance(1e-6, math.radians(1.0))
STUDY = {"3/4": (9 / 16, 15 / 16, 23 / 32, 4.125, 3.69), "1": (11 / 16, 1.125, 7 / 8, 5.0, 4.5)}
"""Size: take-out, depth, the standard's least depth; least gap with faces touching, and what it
would be with least depths. [in]"""


def least_gap(takeout: float, depth: float, bare: float) -> float:
    """By hand: each stub's elbow, then the U with its two sockets facing each other."""
    return 4 * takeout + 2 * depth + bare


def ends(gap: float) -> tuple[tuple[Vec, Vec], tuple[Vec, Vec]]:
    """Two stubs a gap apart [in], out of line and out of true by a hair, as pipes are."""
    tip = (0.01 * INCH, gap * INCH, 0.0)
    return ((0.0, 0.0, 0.0), (0.0, 1.0, 0.0)), (tip, unit((0.0033, -1.0, 0.005)))


def boxes(gap: float, takeout: float, depth: float, bare: float) -> list[Train]:
    """Every train of four 90s between those stubs. [in]"""
    seat = Seat(takeout * INCH, depth * INCH)
    corner = Corner(math.pi / 2, seat, seat, ("elbow 90",))
    way = (EndWay("direct", 0.0),)
    kit = Kit((corner,), way, way, bare * INCH, None, 4)
    a, b = (StubEnd(*end, 0.0) for end in ends(gap))
    return [t for t in on_bends(FOUR, (a, b), kit, ALLOW) if isinstance(t, Train)]


@pytest.mark.parametrize("size", STUDY)
def test_f1_least_gap_is_four_take_outs_and_two_sockets(size: str) -> None:
    takeout, depth, least, touching, too_small = STUDY[size]
    assert least_gap(takeout, depth, 0.0) == touching
    assert least_gap(takeout, depth, 1 / 8) == touching + 1 / 8
    assert least_gap(takeout, least, 0.0) == pytest.approx(too_small, abs=0.005)


@pytest.mark.parametrize("size", STUDY)
@pytest.mark.parametrize("bare", [0.0, 1 / 8])
def test_f1_the_search_finds_the_box_from_that_gap_on_and_not_below(size: str, bare: float) -> None:
    takeout, depth, *_ = STUDY[size]
    edge = least_gap(takeout, depth, bare)
    assert boxes(edge - 1 / 16, takeout, depth, bare) == []
    found = boxes(edge + 1 / 16, takeout, depth, bare)
    assert found
    for train in found:
        assert train.cut_back == (0.0, 0.0)
        way, angle = rebuilt(exact_list(train), *ends(edge + 1 / 16))
        assert norm(way) < 1e-9
        assert angle < 1e-7


@pytest.mark.parametrize("size", STUDY)
def test_f1_our_shelf_plans_with_depths_of_parts_and_never_with_the_standards_least(
    size: str,
) -> None:
    """A plan on least depths says 7/16 in less, and fails after the cut."""
    elbow = load_shelf().fitting("elbow", size, 90.0)
    assert elbow is not None
    takeout, depth, least, touching, too_small = STUDY[size]
    for port in elbow.ports:
        assert port.depth.value / INCH > least
        assert not port.depth.measured
        assert port.takeout.low <= port.takeout.value <= port.takeout.high
    ours = least_gap(elbow.ports[0].takeout.value / INCH, elbow.ports[0].depth.value / INCH, 0.0)
    assert ours > too_small + 1 / 8
    spread = 4 * (elbow.ports[0].takeout.high - elbow.ports[0].takeout.low) / INCH
    assert abs(ours - touching) <= spread + 2 * abs(depth - elbow.ports[0].depth.value / INCH)
    bare = 1 / 8
    one = (elbow.ports[0].takeout.value / INCH, elbow.ports[0].depth.value / INCH)
    assert boxes(least_gap(*one, bare) + 1 / 16, *one, bare)
    assert not boxes(least_gap(*one, bare) - 1 / 16, *one, bare)
    assert takeout > 0.0


@pytest.mark.parametrize("size", STUDY)
def test_f1_the_gap_in_the_field_of_4_to_5_inches_takes_the_box_or_says_no(size: str) -> None:
    """The report had 4 to 5 in: room for 3/4 from 4 1/8 on, for 1 in only at its upper end."""
    takeout, depth, *_ = STUDY[size]
    fits = [
        g for g in (4.0, 4.25, 4.5, 4.75, 5.0, 5.25) if boxes(g + 1 / 32, takeout, depth, 1 / 8)
    ]
    assert fits == ([4.25, 4.5, 4.75, 5.0, 5.25] if size == "3/4" else [5.25])


F2_GAP = 0.35
"""35 cm, as the report gave it. [m]"""


def telescoping(gap: float, collapsed: float, extended: float) -> list[Train]:
    """What the search makes of that coupling between two stubs that cannot move. [m, in]"""
    low, high = window(collapsed * INCH, extended * INCH, (INCH, INCH))
    half = Seat((low + high) / 4, INCH)
    body = Coupler(half, half, ("telescoping coupling",), give=(high - low) / 2)
    ways = (EndWay("direct", 0.0),), (EndWay("telescoping", 0.0, body),)
    kit = Kit((), *ways, INCH / 8, None, 0)
    a, b = (StubEnd(*end, 0.0) for end in ends(gap / INCH))
    got = list(on_bends((), (a, b), kit, Allowance(INCH / 4, math.radians(6.0))))
    return [t for t in got if isinstance(t, Train)]


def test_f2_the_window_is_10_to_16_in_and_35_cm_lies_in_it() -> None:
    low, high = window(10.0, 18.0, (1.0, 1.0))
    assert (low, high) == (10.0, 16.0)
    assert low <= F2_GAP / INCH <= high
    assert pytest.approx(13.78, abs=0.005) == F2_GAP / INCH
    (train,) = telescoping(F2_GAP, 10.0, 18.0)
    (body,) = exact_list(train).items
    assert isinstance(body, Body)
    assert 10 * INCH <= body.length <= 16 * INCH
    assert exact_list(train).pieces == ()
    way, _ = rebuilt(exact_list(train), *ends(F2_GAP / INCH))
    assert norm(way) < INCH / 4


def test_f2_one_of_12_in_drawn_out_is_too_short_and_the_edges_are_where_they_are_told() -> None:
    assert telescoping(F2_GAP, 8.0, 12.0) == []
    for gap, fits in ((9.99, False), (10.01, True), (15.99, True), (16.01, False)):
        assert bool(telescoping(gap * INCH, 10.0, 18.0)) is fits
