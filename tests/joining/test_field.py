"""Putting in, as people met it: the numbers of the design study's field cases."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from pitwright.findings import Refusal
from pitwright.flex.limits import hand_force
from pitwright.geometry.clearance import Capsule, HalfSpace
from pitwright.joining.assembly import Assembly
from pitwright.joining.checking import objections
from pitwright.joining.putting_in import put_in
from pitwright.joining.spread import SpreadSide, spread
from pitwright.joining.work import StubSide, Swing, Work
from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.trains.cut_list import CutList, Piece
from pitwright.trains.kit import SLID_ON_STUB, TELESCOPING, Coupler, EndWay, Girth, Seat, Unit
from pitwright.trains.room import Room
from pitwright.trains.rows import Body
from pitwright.trains.train import Misfit, Skeleton, Train
from pitwright.units.kinds import INCH, PSI
from tests.flex.inch import path
from tests.joining.built import SIXTY_F, X, elbow_box

MILLILITRES_A_MINUTE = 1e-6 / 60


def straight(
    items: Sequence[Body | Piece],
    ways: tuple[EndWay, EndWay],
    unit: Unit | None = None,
    *,
    bare: tuple[float, float] | None = None,
    strain: float = 0.005,
) -> Work:
    """A straight train in inches along x between two stubs, each rigid or so long. [in]"""
    length = sum(i.length for i in items)
    valve_leg = 0 if unit else None
    train = Train(
        Skeleton((), ways, unit, valve_leg), (X,), (length,), (), ((),), (0.0, 0.0),
        Misfit(0.0, 0.0), False,
    )  # fmt: skip
    od = 1.315 * INCH
    end = length / INCH
    paths = (
        (path((-bare[0], 0, 0), (0, 0, 0)), path((end + bare[1], 0, 0), (end, 0, 0)))
        if bare
        else (None, None)
    )
    sides = (
        StubSide("in", (0.0, 0.0, 0.0), X, od, paths[0], strain if bare else 0.0),
        StubSide("out", (length, 0.0, 0.0), (-1.0, 0.0, 0.0), od, paths[1], strain if bare else 0),
    )
    room = Room((), (), Girth(od / 2, 0.9 * INCH, 1.5 * INCH, 3.0 * INCH))
    day = CementedJoint("1", Warmth.of(SIXTY_F), pressure=80 * PSI)
    return Work(train, CutList(0.0, 0.0, tuple(items)), sides, room, day, od, 222.0)


def coupler(length: float, depth: float, give: float = 0.0) -> Coupler:
    seat = Seat(length / 2 * INCH, depth * INCH)
    return Coupler(seat, seat, ("part",), give * INCH)


def body(name: str, length: float, give: float = 0.0) -> Body:
    return Body(name, length * INCH, ("part",), give=give * INCH)


def piece(letter: str, length: float, depths: tuple[float, float]) -> Piece:
    a, b = depths
    return Piece(letter, length * INCH, "", "", a * INCH, b * INCH, 0.0, ())


def refused(work: Work) -> Refusal:
    got = put_in(work)
    assert isinstance(got, Refusal)
    return got


def planned(work: Work) -> Assembly:
    got = put_in(work)
    assert isinstance(got, Assembly)
    return got


@pytest.mark.parametrize(
    ("gap", "takeout", "depth"), [(4.125, 9 / 16, 15 / 16), (5.0, 11 / 16, 9 / 8)]
)
def test_f1_a_box_of_elbows_goes_in_where_nothing_moves(
    gap: float, takeout: float, depth: float
) -> None:
    """F1: both stub elbows first, ports parallel, then the U in one push, no spread at all."""
    got = planned(elbow_box(gap, takeout, depth, legs=2 * depth + 1 / 8))
    assert (got.giver, got.opening, got.spread) == ("parallel sockets", 0.0, None)
    *_, inlet, outlet, last = got.order
    assert {inlet, outlet} == {(0,), (7,)}
    assert len(last) == 2 and last == got.closing
    push = next(s for s in got.steps if s.joints == last)
    assert push.number("bottom_by") <= 20.0


def test_f1_a_box_whose_ports_are_not_parallel_stays_out() -> None:
    """A few degrees between the ports, and two rigid ends cannot take the U in one push."""
    work = elbow_box()
    tilted = (0.0, 0.17365, 0.98481)
    ways = (X, tilted, X, (0.0, 0.0, -1.0), X)
    crooked = replace(work, train=replace(work.train, directions=ways))
    assert "STUCK" in {s.code for s in refused(crooked).because}


def test_p4_a_trickle_forbids_cement_and_a_label_for_wet_pipe_does_not_make_it_last() -> None:
    """P4: 380 mL/min from the right side."""
    dry = elbow_box()
    flow = 380 * MILLILITRES_A_MINUTE
    wet = replace(dry, sides=(dry.sides[0], replace(dry.sides[1], seeps=flow)))
    assert {s.code for s in refused(wet).because} == {"WET_SOCKET"}
    labelled = replace(wet, cement=replace(wet.cement, cement="wet"))
    codes = {s.code: s for s in refused(labelled).because}
    assert codes["SEEPS_LAST"].lift == "shut_or_mechanical"
    assert codes["SEEPS_LAST"].where == "right"


def test_p4_a_line_where_the_box_comes_down_stops_it_on_its_way_in() -> None:
    """A wire above the seated box is passed by nothing that comes down on it."""
    box = elbow_box()
    wire = Capsule((0.05, -0.3, 3.7 * INCH), (0.05, 0.3, 3.7 * INCH), 0.1 * INCH, "wire")
    seated = replace(box, room=replace(box.room, obstacles=(wire,)))
    got = {s.code: s for s in refused(seated).because}
    assert got["WAY_IN"].where == "wire"


def test_f2_a_telescoping_coupling_closes_a_gap_of_35_cm_without_a_push() -> None:
    """F2: 18 in extended, 10 in collapsed, sockets 1 in: 10 <= 13.78 <= 16, nothing moves."""
    middle, give = (10.0 + 16.0) / 2, 3.0
    item = Body("inlet stub coupling", 0.35, ("part",), give=give * INCH, pulled=0.35 - 13 * INCH)
    way = EndWay(TELESCOPING, 0.0, coupler(middle, 1.0, give), push=485.0)
    got = planned(straight([item], (way, EndWay("direct", 0.0))))
    assert (got.giver, got.order, got.opening) == ("telescoping", ((0,), (1,)), 0.0)


def test_case_27_a_straight_spool_with_ordinary_sockets_cannot_be_pushed_home() -> None:
    """Ordinary couplings between rigid ends: closes on paper, is never called a fit."""
    ways = (EndWay("coupled", 0.0, coupler(0.1875, 1.06)),) * 2
    items: list[Body | Piece] = [
        body("inlet stub coupling", 0.1875),
        piece("A", 12.0, (1.06, 1.06)),
        body("outlet stub coupling", 0.1875),
    ]
    got = refused(straight(items, ways))
    assert {s.code for s in got.because} == {"ASIDE"}
    assert all(s.lift == "slide_or_box" for s in got.because)


def test_p1_eight_inches_of_digging_beat_thirty_eight() -> None:
    """P1: swinging the lateral aside 1.42 in needs a free tip of 24 in at 0.5 %; one end slides
    without it. The stop-less coupling's 0.77 in between the pipes let 0.57 of thread come back."""
    unit = Unit(5.32 * INCH, 0.0, 1.125 * INCH, 0.2, ("valve", "adapter", "adapter"))
    slid = EndWay(SLID_ON_STUB, 0.0, coupler(0.77, 1.615, 0.94))
    items: list[Body | Piece] = [
        body("valve", 5.32),
        piece("A", 3.0, (1.125, 1.615)),
        body("outlet stub coupling", 0.77, 0.94),
    ]
    work = straight(items, (EndWay("threaded", 0.0), slid), unit)
    kept = replace(work.sides[0], threaded=True, engagement=0.57 * INCH)
    work = replace(work, sides=(kept, work.sides[1]))
    got = planned(work)
    assert (got.giver, got.closing) == ("stop-less", (2, 3))
    bench, screwed, slid_back = (
        next(s for s in got.steps if s.code == code)
        for code in ("bench_joint", "screw_on", "slide_back")
    )
    assert bench.number("set_at") <= screwed.starts < slid_back.starts
    assert objections(work, got) == ()
    tight = replace(kept, engagement=0.8 * INCH)
    got_none = refused(replace(work, sides=(tight, work.sides[1])))
    assert {s.code for s in got_none.because} == {"SLIDE_GAP"}
    (nearest, *_) = got_none.because
    assert nearest.missed == pytest.approx(0.03 * INCH) and nearest.lift == "wider_gap"


@pytest.mark.parametrize(
    ("with_bonnet", "without", "said"),
    [
        (4.6, 2.1, "bonnet_off_to_spin"),
        (4.6, 3.6, "SWING"),
        (4.6, None, "SWING"),
        (3.4, 2.1, ""),
    ],
)
def test_p1_the_swing_of_the_new_body(with_bonnet: float, without: float | None, said: str) -> None:
    """P1: 4.6 in hits the neighbour (axis 5 in off, 3.0 wide) and the gravel 3.5 in down; 2.1
    clears both."""
    unit = Unit(5.32 * INCH, 0.0, 1.125 * INCH, 0.2, ("valve", "adapter", "adapter"))
    slid = EndWay(SLID_ON_STUB, 0.0, coupler(0.77, 1.615, 0.94))
    items: list[Body | Piece] = [
        body("valve", 5.32),
        piece("A", 3.0, (1.125, 1.615)),
        body("outlet stub coupling", 0.77, 0.94),
    ]
    work = straight(items, (EndWay("threaded", 0.0), slid), unit)
    kept = replace(work.sides[0], threaded=True, engagement=0.57 * INCH)
    neighbour = Capsule((0.0, 5 * INCH, 0.0), (0.3, 5 * INCH, 0.0), 1.5 * INCH, "neighbour")
    gravel = HalfSpace((0.0, 0.0, -1.0), 3.5 * INCH, "gravel")
    bare = without * INCH if without is not None else None
    work = replace(
        work,
        sides=(kept, work.sides[1]),
        room=replace(work.room, obstacles=(neighbour,), walls=(gravel,)),
        swing=Swing(with_bonnet * INCH, bare),
    )
    got = put_in(work)
    if said == "SWING":
        assert isinstance(got, Refusal) and {s.code for s in got.because} == {"SWING"}
        return
    assert isinstance(got, Assembly)
    assert [f.code for f in got.findings] == ([said] if said else [])
    if said:
        assert got.findings[0].number("have") == pytest.approx(3.5 * INCH)


@pytest.mark.parametrize(
    ("strain", "enough", "short"), [(0.005, 24.5, 23.5), (0.002, 38.5, 37.0), (0.001, 53.5, 52.0)]
)
def test_p1_how_long_a_free_tip_swings_aside(strain: float, enough: float, short: float) -> None:
    """1.42 in aside wants a free tip of 24 in at 0.5 %, 38 at 0.2 %, 53 at 0.1 %; one ordinary
    end and a stop-less coupling whose pipes nearly touch leave no other way."""
    slid = EndWay(SLID_ON_STUB, 0.0, coupler(0.1, 1.9, 0.5))
    items: list[Body | Piece] = [
        piece("A", 12.0, (1.06, 1.9)),
        body("outlet stub coupling", 0.1, 0.5),
    ]
    ways = (EndWay("coupled", 0.0, coupler(0.1875, 1.06)), slid)
    first = body("inlet stub coupling", 0.1875)

    def work(bare: float) -> Work:
        made = straight([first, *items], ways, bare=(0.5, bare), strain=strain)
        inlet = replace(made.sides[0], path=None, strain=0.0)
        hub = (1.42 - 1.315 / 2) * INCH
        room = replace(made.room, girth=replace(made.room.girth, fitting=hub))
        return replace(made, sides=(inlet, made.sides[1]), room=room)

    said = {s.code: s for s in refused(work(short)).because}
    assert set(said) == {"ASIDE", "SLIDE_SHORT"}
    assert said["ASIDE"].need == pytest.approx(1.42 * INCH)
    assert said["SLIDE_SHORT"].missed == pytest.approx(0.06 * INCH)
    got = planned(work(enough))
    assert [f.code for f in got.findings] == ["push_aside"]
    assert got.findings[0].number("need") == pytest.approx(1.42 * INCH)


def test_a_stop_less_coupling_is_parked_on_as_much_bare_pipe_as_it_is_long() -> None:
    """P1: a 4.0 in coupling on bare pipe from 12-1/4 to 16-1/4."""
    slid = EndWay(SLID_ON_STUB, 0.0, coupler(1.2, 1.4, 0.94), needs=4.0 * INCH)
    ways = (EndWay("coupled", 0.0, coupler(0.1875, 1.06)), slid)
    items: list[Body | Piece] = [
        body("inlet stub coupling", 0.1875),
        piece("A", 12.0, (1.06, 1.4)),
        body("outlet stub coupling", 1.2, 0.94),
    ]
    work = straight(items, ways)
    for bare, goes in ((4.0, True), (3.5, False), (None, True)):
        left = None if bare is None else bare * INCH
        got = put_in(replace(work, sides=(work.sides[0], replace(work.sides[1], bare=left))))
        assert isinstance(got, Assembly) == goes
        if isinstance(got, Refusal):
            assert [s.code for s in got.because] == ["PARK"]
            assert got.because[0].missed == pytest.approx(0.5 * INCH)


@pytest.mark.parametrize(("riser", "opens"), [(18.0, False), (30.0, True)])
def test_p3_pulling_the_riser_back(riser: float, opens: bool) -> None:
    """P3: closing by pulling the riser 1.06 in: 18 in bare fails, 30 in passes at 0.5 %."""
    bare = path((0, -6, -riser), (0, -6, 0), (0, 0, 0))
    got = spread(
        SpreadSide(bare, 0.005),
        SpreadSide(None, 0.0),
        (0.0, 0.0, 0.0),
        (0.0, 1.06 * INCH, 0.0),
        hand_force(),
        roll_axis=(0.0, 1.0, 0.0),
    )
    assert (got.opens, got.cannot) == (opens, not opens)


def test_a_union_closes_by_its_lip_where_a_riser_gives_and_a_stub_goes_aside() -> None:
    """Study: a straight run cannot be pulled even 0.06 in; beside a bend it can."""
    ways = (EndWay("coupled", 0.0, coupler(0.1875, 1.06)),) * 2
    items: list[Body | Piece] = [
        body("inlet stub coupling", 0.1875),
        piece("A", 5.0, (1.06, 1.06)),
        body("union", 1.0),
        piece("B", 5.0, (1.06, 1.06)),
        body("outlet stub coupling", 0.1875),
    ]
    work = straight(items, ways, bare=(20.0, 24.0))
    assert "SPREAD" in {s.code for s in refused(work).because}
    riser = path((-2, 0, -18), (-2, 0, 0), (0, 0, 0))
    got_work = replace(work, sides=(replace(work.sides[0], path=riser), work.sides[1]))
    got = planned(got_work)
    assert (got.giver, got.closing) == ("union", ())
    assert got.opening == pytest.approx(0.06 * INCH)
    assert [s.code for s in got.steps if s.where.value == "pit"][-2] == "close_union"
    assert objections(got_work, got) == ()


def test_without_a_cutter_nothing_is_cut() -> None:
    got = refused(replace(elbow_box(), tools=("strap wrench",)))
    assert {(s.code, s.where) for s in got.because} == {("NO_TOOL", "the cut")}
