"""What stands on a leg, worked by hand: take-outs, depths, the least nipple, the dead zone."""

from __future__ import annotations

import math

import pytest

from pitwright.trains.kit import Corner, Coupler, EndWay, Port, Seat, StubEnd, Unit
from pitwright.trains.rows import Body, Gap, Row, rows

ELBOW = Corner(math.pi / 2, Seat(0.02, 0.03, 0.001), Seat(0.025, 0.035, 0.002), ("elbow",))
COUPLER = Coupler(Seat(0.001, 0.03), Seat(0.002, 0.04, 0.0005), ("coupling",))
DIRECT, COUPLED = EndWay("direct", 0.05), EndWay("coupled", 0.05, COUPLER)
VALVE = Unit(0.14, 0.027, 0.028, 0.17, ("valve", "adapter"), 0.003, ("valve globe",))
STUBS = (StubEnd((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.05), StubEnd((0.3, 0.3, 0.0), (-1.0, 0, 0), 0))
GAP = 0.003


def made(*corners: Corner, ways: tuple[EndWay, EndWay], valve: int | None = None) -> list[Row]:
    got = rows(corners, STUBS, ways, VALVE if valve is not None else None, valve, GAP)
    assert got is not None
    return list(got)


def test_a_bare_stub_straight_into_an_elbow_is_a_leg_of_one_length() -> None:
    """Centre to tip is the take-out, no more and no less: only cutting back makes it shorter."""
    first, last = made(ELBOW, ways=(DIRECT, DIRECT))
    assert (first.low, first.high) == (0.02, 0.02)
    assert (last.low, last.high) == (0.025, 0.025)
    assert first.cut == 0.05
    assert first.gaps == ()


def test_with_a_coupling_the_same_leg_starts_far_out_and_has_no_end() -> None:
    """The dead zone between: coupling, least nipple of two depths and the gap, take-out."""
    direct, coupled = (made(ELBOW, ways=(w, DIRECT))[0] for w in (DIRECT, COUPLED))
    assert coupled.low == pytest.approx(0.001 + 0.002 + (0.04 + 0.03 + GAP) + 0.02)
    assert coupled.high == math.inf
    assert coupled.low > direct.high + 0.05
    body, gap = coupled.items
    assert isinstance(body, Body)
    assert isinstance(gap, Gap)
    assert (body.name, body.parts, body.rests_on) == (
        "inlet stub coupling",
        ("coupling",),
        ("coupling",),
    )
    assert (body.length, body.scatter) == pytest.approx((0.003, 0.0005))
    assert (gap.before, gap.after) == ("inlet stub coupling", "bend 1")
    assert (gap.depth_before, gap.depth_after, gap.least) == pytest.approx((0.04, 0.03, 0.073))


def test_the_valve_joins_a_bare_stub_without_a_piece_and_an_elbow_with_one() -> None:
    first, _ = made(ELBOW, ways=(DIRECT, DIRECT), valve=0)
    body, gap = first.items
    assert isinstance(body, Body)
    assert isinstance(gap, Gap)
    assert body.length == pytest.approx(0.14)
    assert (gap.before, gap.after) == ("valve", "bend 1")
    assert (gap.depth_before, gap.depth_after) == (0.028, 0.03)
    assert first.low == pytest.approx(0.14 + (0.028 + 0.03 + GAP) + 0.02)


def test_scatter_of_a_leg_is_the_root_of_the_squares_of_its_parts() -> None:
    first, last = made(ELBOW, ways=(DIRECT, COUPLED), valve=0)
    assert first.scatter == pytest.approx(math.hypot(0.003, 0.001))
    assert first.rests_on == ("elbow", "valve globe")
    assert last.scatter == pytest.approx(math.hypot(0.002, 0.0005))
    assert last.rests_on == ("elbow", "coupling")


def test_a_leg_between_two_elbows_takes_the_facing_seat_of_each() -> None:
    middle = made(ELBOW, ELBOW, ways=(DIRECT, DIRECT))[1]
    assert middle.ends == pytest.approx(0.025 + 0.02)
    assert middle.low == pytest.approx(0.025 + 0.02 + 0.035 + 0.03 + GAP)


def test_two_bare_stubs_cannot_join_with_nothing_between() -> None:
    assert rows((), STUBS, (DIRECT, DIRECT), None, None, GAP) is None


def test_one_coupling_alone_joins_two_stubs_and_is_a_fixed_length() -> None:
    (row,) = made(ways=(COUPLED, DIRECT))
    assert (row.low, row.high) == pytest.approx((0.003, 0.003))


def test_a_stub_with_a_socket_takes_new_pipe_and_no_cut() -> None:
    """The socket's bottom lies its depth behind the face, which is where the tip was measured."""
    socket = StubEnd((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.0, Seat(-0.03, 0.03))
    way = EndWay("socket", 0.0, fits_unit=False)
    got = rows((ELBOW,), (socket, STUBS[1]), (way, DIRECT), None, None, GAP)
    assert got is not None
    first = got[0]
    assert first.low == pytest.approx(-0.03 + (0.03 + 0.03 + GAP) + 0.02)
    assert first.cut == 0.0
    assert first.high == math.inf


STREET = Corner(
    math.pi / 2, Seat(0.02, 0.03), Seat(0.05, 0.03, 0.0, Port.SPIGOT), ("street elbow",)
)
TELESCOPE = EndWay("telescoping", 0.05, Coupler(Seat(0.1, 0.03), Seat(0.1, 0.03), ("t",), 0.04))


def test_a_street_elbow_goes_into_its_neighbour_and_saves_the_piece() -> None:
    plain, street = (made(c, ELBOW, ways=(DIRECT, DIRECT))[1] for c in (ELBOW, STREET))
    assert street.gaps == ()
    assert street.low == street.high == pytest.approx(0.05 + 0.02)
    assert plain.low == pytest.approx(0.025 + 0.02 + 0.035 + 0.03 + GAP)


def test_a_spigot_goes_into_a_coupling_but_never_on_a_pipe_a_spigot_or_a_gripping_body() -> None:
    back = Corner(STREET.bend, STREET.after, STREET.before, STREET.parts)
    plain = Seat(0.01, 0.04, 0.0, Port.PLAIN)
    gripped = EndWay("gripped", 0.05, Coupler(plain, plain, ("grip",)))
    first, _ = made(back, ways=(COUPLED, DIRECT))
    assert first.low == first.high == pytest.approx(0.001 + 0.002 + 0.05)
    for corners, ways in (
        ((back,), (DIRECT, DIRECT)),
        ((STREET, back), (DIRECT, DIRECT)),
        ((back,), (gripped, DIRECT)),
    ):
        assert rows(corners, STUBS, ways, None, None, GAP) is None


def test_beside_a_piece_a_telescoping_body_comes_to_the_middle_before_the_piece_grows() -> None:
    first, _ = made(ELBOW, ways=(TELESCOPE, DIRECT))
    shortest = 0.16 + (0.03 + 0.03 + GAP) + 0.02
    assert first.low == pytest.approx(shortest)
    assert first.high == math.inf
    steps = ((0.0, -0.04, 0.0), (0.03, -0.01, 0.0), (0.04, 0.0, 0.0), (0.1, 0.0, 0.06))
    for more, by, left in steps:
        assert first.drawn(shortest + more)[0] == pytest.approx(by)
        assert first.spare(shortest + more) == pytest.approx(left)


def test_a_stop_less_body_stands_in_the_middle_beside_a_piece() -> None:
    """The depth marks of the pipes hang on it."""
    plain = Seat(0.01, 0.04, 0.0, Port.PLAIN)
    body = Coupler(plain, plain, ("slide",), 0.01)
    first, _ = made(ELBOW, ways=(EndWay("slid", 0.05, body), DIRECT))
    assert first.low == pytest.approx(0.02 + (0.04 + 0.03 + GAP) + 0.02)
    assert first.drawn(first.low + 0.1) == (0.0, 0.0)


def test_between_two_stubs_alone_it_is_as_long_as_the_gap_within_what_it_gives() -> None:
    (row,) = made(ways=(DIRECT, TELESCOPE))
    assert (row.low, row.high) == pytest.approx((0.16, 0.24))
    (body,) = row.items
    assert isinstance(body, Body)
    for built in (0.16, 0.2, 0.23):
        (by,) = row.drawn(built)
        assert body.drawn(by).length == pytest.approx(built)
        assert abs(by) <= 0.04 + 1e-12


def test_a_piece_on_which_a_body_is_parked_is_long_enough_for_it() -> None:
    body = Coupler(Seat(0.0, 0.03), Seat(0.0, 0.03), ("slide",), 0.005, park=0.09)
    first, _ = made(ELBOW, ways=(EndWay("slid on piece", 0.05, body), DIRECT))
    assert first.gaps[0].least == pytest.approx(0.09 + 0.03)


def test_a_union_stands_behind_the_valve_with_a_piece_between() -> None:
    union = Coupler(Seat(0.008, 0.03), Seat(0.008, 0.03), ("union",))
    got = rows((ELBOW,), STUBS, (DIRECT, DIRECT), VALVE, 0, GAP, union)
    assert got is not None
    kinds = [i.name for i in got[0].items if isinstance(i, Body)]
    assert kinds == ["valve", "union"]
    assert [g.before for g in got[0].gaps] == ["valve", "union"]
