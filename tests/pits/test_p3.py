"""Field pit P3, under the root: a rolling offset past a root, what riser and lateral bear, and the
train that needs no pulling.

Readings and answers from the field case of the design study; inches. The case parks its stop-less
coupling in the long leg; ours stands at the lateral, parked on the new piece beside it.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from functools import cache

import pytest

from pitwright.closing.rebuild import walk
from pitwright.findings import Short
from pitwright.flex.flexed import ALL_HELD, TURNING_FREE, moved
from pitwright.geometry.clearance import Capsule, segment_distance
from pitwright.geometry.vector import Vec, add, minus, scale, unit
from pitwright.planning import Plan, plan
from pitwright.renewal.clear_again import lies_clear
from pitwright.renewal.going_on import with_lengths
from pitwright.renewal.job import Job
from pitwright.renewal.option import Option
from pitwright.renewal.way import SLIP_IN
from pitwright.resuming import resumed
from pitwright.survey.progress import read_progress
from pitwright.trains.cut_list import Bend
from pitwright.trains.kit import Corner, Coupler, EndWay, Girth, Kit, Seat, StubEnd, Unit
from pitwright.trains.offset import solve
from pitwright.trains.room import Room
from pitwright.trains.search import Allowance, on_bends
from pitwright.trains.train import Train
from pitwright.units.kinds import INCH
from tests.flex.inch import path
from tests.pits import written
from tests.survey.pits import read

A45, DEPTH = 0.469, 1.06
"""Take-out and depth of the case's 45. [in]"""
TIP: Vec = (3 * INCH, 26 * INCH, -2 * INCH)
ROOT = ((-6 * INCH, 17 * INCH, -2.6 * INCH), (6 * INCH, 17 * INCH, -2.6 * INCH))
MIDDLE = unit((3 / 3.606, 1.0, -2 / 3.606))


def pit(side: int = 1) -> str:
    """The case, or its mirror image (``side`` -1)."""
    left, right = sorted((side * -6, side * 8))
    return written.pit(
        written.heading("Field P3"),
        written.box((left, right), (-4, 13), floor=-8, soil_across=(-9, 9), soil_along=(-7, 40)),
        written.section("stub.riser", side="inlet", tip=(0, 0, 0), faces="downstream", cut_back=1,
                        pipe="1 in schedule 40 PVC", bare=(6, "18 down"), condition="sound"),
        written.stub("lateral", "outlet", (side * 3, 26, -2), (side * 3.42, 38, -2), bare=(12,),
                     cut_back=8),
        written.obstacle("root", "root", (-6, 17, -2.6), (6, 17, -2.6), 1.5, clear="1/2"),
        written.section("valve.globe", body=4.75, ends="female thread", size="1", made_up=5.57),
        written.section("zone.only", name="only", inlet="riser", outlet="lateral", valve="globe"),
    )  # fmt: skip


PIT, MIRRORED = pit(), pit(-1)


@cache
def planned() -> Plan:
    return plan(read(PIT))


def trains(root: bool) -> list[Train]:
    """45-45 with the valve on the first leg, as the case lays it, snapped over its 2 degrees."""
    seat = Seat(A45 * INCH, DEPTH * INCH)
    corner = Corner(math.pi / 4, seat, seat, ("45",))
    unit_ = Unit(5.57 * INCH, DEPTH * INCH, DEPTH * INCH, math.radians(10), ("valve",))
    half = Seat(0.05 * INCH, DEPTH * INCH)
    straight = (EndWay("direct", 0.0),)
    coupled = (EndWay("coupled", 0.0, Coupler(half, half, ("coupling",))),)
    kit = Kit((corner,), straight, coupled, INCH / 8, unit_, 2)
    lean = math.radians(2.0)
    stubs = (
        StubEnd((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.0),
        StubEnd(TIP, (-math.sin(lean), -math.cos(lean), 0.0), 0.0),
    )
    things = (Capsule(*ROOT, (0.75 + 0.5) * INCH, "root"),) if root else ()
    room = Room((), things, Girth(1.315 / 2 * INCH, 1.62 / 2 * INCH))
    allow = Allowance(INCH / 8, math.radians(3.0))
    got = on_bends((math.pi / 4,) * 2, stubs, kit, allow, room)
    return [t for t in got if isinstance(t, Train) and t.skeleton.valve_leg == 0]


def to_root(first: float) -> float:
    """From the legs after a first 45 whose centre lies at this y [in] to the root's axis. [in]"""
    start = (0.0, first * INCH, 0.0)
    end = add(start, scale(MIDDLE, 5.099 * INCH))
    down = segment_distance(start, end, *ROOT)
    along = segment_distance(end, (end[0], TIP[1], end[2]), *ROOT)
    return min(down, along) / INCH


def test_the_offset_of_the_case_comes_out_as_printed() -> None:
    got = solve(bend=math.pi / 4, rise=2 * INCH, roll=3 * INCH)
    assert got.true / INCH == pytest.approx(3.606, abs=0.0005)
    assert math.degrees(got.roll_angle) == pytest.approx(33.7, abs=0.05)
    assert got.travel / INCH == pytest.approx(5.099, abs=0.0005)
    assert got.travel / INCH - 2 * A45 == pytest.approx(4.161, abs=0.0005)


def test_the_first_45_at_8_and_a_half_puts_the_lower_leg_in_the_root() -> None:
    """The case: 0.60 in from the root's axis, where half the root alone is 0.75."""
    assert to_root(8.5) == pytest.approx(0.60, abs=0.005)


def test_the_search_without_the_root_starts_early_and_with_it_goes_past() -> None:
    """The shortest train would lie in the root; the answer keeps 1/2 in clear of it, all along."""
    (free,) = trains(root=False)
    (past,) = trains(root=True)
    need = 0.75 + 0.5 + 1.315 / 2
    first = {}
    for name, train in (("free", free), ("past", past)):
        middle = train.lengths[1] / INCH
        assert middle == pytest.approx(5.099, abs=0.02)
        assert middle - 2 * A45 == pytest.approx(4.161, abs=0.02)
        at = (0.0, 0.0, 0.0)
        corners = [at]
        for w, a in zip(train.directions, train.lengths, strict=True):
            at = add(at, scale(w, a))
            corners.append(at)
        first[name] = corners[1][1] / INCH
        clear = min(segment_distance(a, b, *ROOT) for a, b in itertools.pairwise(corners))
        if name == "past":
            assert clear / INCH >= need - 1e-6
        else:
            assert clear / INCH < need
    assert first["free"] < 8.5
    assert 16.2 <= first["past"] <= 19.6


def test_the_first_45_may_stand_from_16_2_to_19_6() -> None:
    """From where half the root, 1/2 in and half the pipe are kept, to where the last piece is the
    least there is: two depths and 1/8 in."""
    need = 0.75 + 0.5 + 1.315 / 2
    assert to_root(16.1) < need < to_root(16.3)
    (past,) = trains(root=True)
    last = past.pieces[2][0] / INCH
    assert last >= 2 * DEPTH + 1 / 8 - 1e-9
    most = past.lengths[0] / INCH + last - (2 * DEPTH + 1 / 8)
    assert most == pytest.approx(19.6, abs=0.05)


def test_with_the_first_45_at_19_and_a_half_the_pieces_are_those_of_the_case() -> None:
    """13-7/16 on the long leg and 2-5/16 last: ours, moved along by the same amount."""
    (past,) = trains(root=True)
    back = past.lengths[0] / INCH - 19.5
    assert round((past.pieces[0][-1] / INCH - back) * 16) / 16 == 13 + 7 / 16
    assert round((past.pieces[2][0] / INCH + back) * 16) / 16 == 2 + 5 / 16


def test_pulling_the_riser_is_told_as_the_case_tells_it() -> None:
    """1.06 in along the run: 18 in bare strains 0.65 % even free, 30 in 0.46 % even guided."""
    pull = (0.0, DEPTH * INCH, 0.0, 0.0, 0.0, 0.0)
    eighteen = moved(path((0, 0, 0), (0, 0, 18)), pull, TURNING_FREE)
    thirty = moved(path((0, 0, 0), (0, 0, 30)), pull, ALL_HELD)
    assert 100 * eighteen.strain == pytest.approx(0.65, abs=0.006)
    assert 100 * thirty.strain == pytest.approx(0.46, abs=0.006)


def test_the_plan_goes_past_the_root_and_the_two_degrees_go_into_the_lateral() -> None:
    """The case: 2 degrees in 12 in of bare lateral is 0.19 %, just what sound pipe may keep."""
    (zone,) = planned().zones
    options = zone.answer
    assert isinstance(options, tuple)
    rolling = next(
        o for o in options if [c.bend for c in o.train.skeleton.corners] == [math.pi / 4] * 2
    )
    assert rolling.bending.closes
    assert rolling.bending.now.stub == "outlet"
    curve = math.radians(2.0) / (12 * INCH) * 1.315 * INCH / 2
    assert 100 * curve == pytest.approx(0.19, abs=0.005)
    # play in the sockets and both stubs share the angle, so less than all of it is left
    assert 0.1 < rolling.bending.now.upper <= 1.0
    assert minus(planned().survey.stubs[1].outward)[0] == pytest.approx(
        math.sin(math.radians(2.0)), abs=1e-3
    )


@pytest.mark.parametrize("text", [PIT, MIRRORED], ids=["as it lies", "mirrored"])
def test_the_plan_told_first_pulls_nothing_and_is_set_down_with_its_coupling_parked(
    text: str,
) -> None:
    best = plan(read(text)).zones[0].best
    assert best is not None
    assert best.way == SLIP_IN
    assert best.assembly is not None
    assert (best.assembly.giver, best.assembly.opening) == ("stop-less", 0.0)
    codes = [s.code for s in best.assembly.steps]
    assert codes.index("park") < codes.index("slide_back") == len(codes) - 2
    pieces = [p.length / INCH for p in best.cuts.pieces]
    assert any(abs(p - 4.161) <= 1 / 16 for p in pieces)


def test_a_train_that_is_pulled_into_place_proves_its_spread_within_both_limits() -> None:
    answer = planned().zones[0].answer
    assert isinstance(answer, tuple)
    pulled = [o.assembly for o in answer if o.assembly and o.assembly.giver == "flex"]
    assert pulled
    for assembly in pulled:
        assert assembly.spread is not None
        assert assembly.spread.upper <= 1.0


def axes_of(option: Option) -> list[tuple[Vec, Vec]]:
    """The legs' axes, walked anew through the cut list of an option."""
    tip, outward = (0.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    *begins, end = walk(option.cuts, tip, outward)
    points = [begins[0].at]
    for pose, item in zip(begins, option.cuts.items, strict=True):
        if isinstance(item, Bend):
            points.append(add(pose.at, scale(pose.z, item.before)))
    return list(itertools.pairwise([*points, end.at]))


@pytest.mark.parametrize(
    "differs",
    [
        'cut = { A = "11 1/2" }',
        'cut = { A = "11 1/4" }',
        'cut = { A = "12 1/8" }',
        'cut = { C = "3 1/2" }',
        '[stub.lateral]\ntip = ["3", "25.5", "-2"]',
        '[stub.lateral]\ntip = ["3.2", "26", "-1.9"]',
    ],
)
def test_going_on_after_something_differs_keeps_clear_of_the_root_and_changes_little(
    differs: str,
) -> None:
    """The root as the case has it, its half thickness and the half inch kept clear of it."""
    made = planned()
    text = "[zone.only]\noption = 1\n" + differs + "\n"
    zone = resumed(made, read_progress(text, "progress.toml", made.survey)).zones[0]
    assert isinstance(zone.answer, tuple)
    option = zone.answer[0]
    apart = min(segment_distance(a, b, *ROOT) for a, b in axes_of(option)) / INCH
    assert apart >= 0.75 + 0.5 + 1.315 / 2 - 1 / 16
    first = made.zones[0].best
    assert first is not None and zone.same
    was = {p.letter: p.length for p in first.cuts.pieces}
    moves = [abs(p.length - was[p.letter]) for p in option.cuts.pieces]
    assert max(moves) <= 0.75 * INCH
    assert option.cuts.inlet_cut == first.cuts.inlet_cut
    legs = [c for c in option.solids if c.name.startswith("leg")]
    for (a, b), leg in zip(axes_of(option)[1:-1], legs[1:-1], strict=True):
        assert segment_distance(a, a, leg.a, leg.b) < 1e-6
        assert segment_distance(b, b, leg.a, leg.b) < 1e-6


def test_lengths_that_would_lay_it_through_the_root_are_refused() -> None:
    made = planned()
    best = made.zones[0].best
    assert best is not None
    job = Job(made.survey, made.zones[0].zone, best.stubs_of(made.survey))
    assert not isinstance(lies_clear(job, best.train, best.cuts), Short)
    low = with_lengths(best.cuts, {"A": 8.625 * INCH, "C": 7.875 * INCH})
    short = lies_clear(job, best.train, low)
    assert isinstance(short, Short)
    assert (short.code, short.where) == ("OBSTACLE", "root")


def test_without_anything_in_the_way_a_small_difference_still_changes_little() -> None:
    """Two legs are nearly parallel: what one gains the other may lose, without end."""
    made = planned()
    bare = replace(made, survey=replace(made.survey, obstacles=()))
    text = '[zone.only]\noption = 1\ncut = { A = "11 1/2" }\n'
    zone = resumed(bare, read_progress(text, "progress.toml", bare.survey)).zones[0]
    first = made.zones[0].best
    assert zone.same and isinstance(zone.answer, tuple) and first is not None
    pairs = zip(zone.answer[0].cuts.pieces, first.cuts.pieces, strict=True)
    assert max(abs(p.length - q.length) for p, q in pairs) <= 0.25 * INCH
