"""Field pit P1, the neighbour in the way: spin off, keep one adapter, and dig eight inches.

Readings and answers from the field case of the design study; inches. As the case lies only 0.71 in
of the old lateral is bare, so nothing can be put in, and the answer is how far to dig. Dug to
y = 19 it is a plan. The case parks its coupling on the lateral, we on the new piece: either way
the piece, the valve and its adapter turn as one, and the coupling is slid back last.
"""

from __future__ import annotations

from functools import cache

import pytest

from pitwright.findings import Refusal
from pitwright.planning import Plan, ZonePlan, plan
from pitwright.renewal.option import Option
from pitwright.renewal.way import BOX_AROUND, KEEP_ADAPTER
from pitwright.trains.rows import Body
from pitwright.units.kinds import INCH
from tests.pits import written
from tests.survey.pits import read

TIP, HUB, WALL, DUG = 4.10, 10.29, 11.0, 19.0
BODY, ADAPTER, MADE_UP = 4.50, 0.94, 0.53


def pit(
    *, side: int = 1, dug: float = WALL, body: float = BODY, moved: float = 0.0, long: str = ""
) -> str:
    """The case with x mirrored (``side`` -1), dug to a y, another body, its lateral moved. [in]"""
    left, right = sorted((side * -5.5, side * 14.0))
    swings = {"swing": 4.6, "swing_bare": 2.1}
    bare = dug - HUB - moved
    lateral = (0, HUB + moved, 0)
    return written.pit(
        written.heading("Field P1"),
        written.box((left, right), (-4, WALL), grade=9, floor=-3.5, soil_along=(-4, dug)),
        written.stub("kept", "inlet", (0, TIP, 0), (0, 1.9, 0), bare=(2.2,), end="male thread",
                     end_size="1", behind="tee"),
        written.stub("lateral", "outlet", lateral, (0, 60, 0), bare=(bare,), cut_back=bare,
                     pipe="1 in SDR 21 PVC", condition="old"),
        written.section("existing.old-valve", kind="valve", zone="one", fate="goes", turns=True,
                        body=5.25, **swings),
        written.obstacle("header", "pipe", (left, 0, 0), (right, 0, 0), 1.66),
        written.obstacle("neighbour", "pipe", (side * 5, 3.57, 0), (side * 5, 8.82, 0), 3),
        written.section("valve.globe", body=body, ends="female thread", size="1", width=3,
                        below=1.25, height=4.5, adapter=ADAPTER, **swings),
        written.section("zone.one", inlet="kept", outlet="lateral", valve="globe"),
        written.section("conditions", air="64 F", pipe="60 F"),
        *([written.section("part.long", kind="stopless coupling", size="1", overall=long)]
          if long else []),
    )  # fmt: skip


@cache
def planned(
    side: int = 1, dug: float = WALL, body: float = BODY, moved: float = 0.0, long: str = ""
) -> Plan:
    return plan(read(pit(side=side, dug=dug, body=body, moved=moved, long=long)))


def zone_of(whole: Plan) -> ZonePlan:
    (zone,) = whole.zones
    return zone


def best(whole: Plan) -> Option:
    option = zone_of(whole).best
    assert option is not None
    return option


def codes(option: Option) -> set[str]:
    return {f.code for f in option.findings}


def test_as_it_lies_it_is_refused_and_the_digging_that_lifts_it_is_told_first() -> None:
    """The case: eight inches of digging. Here the pipe to be bared, with the hands' 4 in beyond."""
    answer = zone_of(planned()).answer
    assert isinstance(answer, Refusal)
    first = answer.because[0]
    assert (first.code, first.where) == ("BARE_TO_PUT_IN", "lateral")
    reach = (HUB * INCH + first.need) / INCH + 4.0
    assert WALL < reach <= DUG + 0.1
    assert not [s for s in answer.because if s.code == "BARE"]


@pytest.mark.parametrize("side", [1, -1])
def test_dug_to_19_the_old_body_is_spun_off_and_the_new_one_on_without_its_bonnet(
    side: int,
) -> None:
    option = best(planned(side, DUG))
    assert option.way == KEEP_ADAPTER
    assert option.keeps[0] == "adapter at kept"
    assert {"old_bonnet_off", "bonnet_off_to_spin"} <= codes(option)
    hit = next(f for f in option.findings if f.code == "bonnet_off_to_spin")
    assert hit.name("where") in ("floor", "neighbour")
    assert hit.number("have") / INCH == pytest.approx(3.5, abs=0.01)
    assert hit.number("need") / INCH == pytest.approx(4.6)


def test_the_lateral_is_cut_before_anything_is_spun_and_the_coupling_is_slid_back_last() -> None:
    assembly = best(planned(1, DUG)).assembly
    assert assembly is not None
    order = [s.code for s in assembly.steps]
    told = ["cut_stub", "spin_off_old", "dry_fit", "park", "bench_joint", "screw_on", "slide_back"]
    assert [code for code in order if code in told] == told
    assert assembly.giver == "stop-less"
    assert "push_aside" not in codes(best(planned(1, DUG)))


@pytest.mark.parametrize("long", ["", "4"])
@pytest.mark.parametrize("body", [4.25, BODY, 4.75])
def test_the_unit_ends_where_the_case_says_and_the_pipes_leave_room_for_the_thread(
    body: float, long: str
) -> None:
    """Pipe end at 8.48 for 4.50: the tip less the thread, the body, the adapter less its thread.
    What turns stands 0.53 too far downstream at first, up to 0.57: so far apart the pipes are."""
    option = best(planned(1, DUG, body, 0.0, long))
    valve = next(i for i in option.cuts.items if isinstance(i, Body) and i.name == "valve")
    ends = TIP + valve.length / INCH
    assert ends == pytest.approx(8.48 + body - BODY, abs=0.01)
    (piece,) = option.cuts.pieces
    room = HUB + option.cuts.outlet_cut / INCH - (ends + piece.length / INCH)
    assert room >= 0.57
    depth = (2.88 if not long else 4.0) - room
    assert depth / 2 >= 1.06 - 1 / 16


@pytest.mark.parametrize("moved", [-0.5, -0.25, 0.25, 0.5])
@pytest.mark.parametrize("side", [1, -1])
def test_moved_by_some_inches_it_keeps_the_adapter_all_the_same(side: int, moved: float) -> None:
    there, here = best(planned(side, DUG, BODY, moved)), best(planned(1, DUG))
    assert there.way == KEEP_ADAPTER
    cut = there.cuts.outlet_cut / INCH + moved
    assert cut == pytest.approx(here.cuts.outlet_cut / INCH, abs=1 / 8)


def test_an_ordinary_coupling_and_swinging_the_pipe_aside_are_refused() -> None:
    """1.06 in of push along the pipe, and 1.42 in aside with eight inches bare: neither goes."""
    zone = zone_of(planned(1, DUG))
    assert isinstance(zone.answer, tuple)
    glued = [o for o in zone.answer if not o.train.skeleton.slides]
    assert {o.way for o in glued} <= {BOX_AROUND}
    said = {s.code for s in zone.passed_over}
    assert said & {"ASIDE", "STUCK", "SPREAD"}
