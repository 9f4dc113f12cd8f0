"""Field case F15, the wrong thread: a brass nipple ruined a plastic tee's thread.

The case: the tee can only leave with two unions or two telescoping pieces and much digging; cut it
out. Boring a socket for a slip piece is listed nowhere: the last resort, never on the pressure
side. Ours is a tee in a straight line, cut out between the two pipes that are left; its branch is
not part of it. Inches.
"""

from __future__ import annotations

from functools import cache

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.jointing.makeup import ThreadEnd, make_up
from pitwright.planning import ZonePlan, plan
from pitwright.renewal.option import Option
from pitwright.renewal.way import BOX_AROUND, CUT_IN, RECLAIM, SLIP_IN
from pitwright.units.kinds import INCH
from tests.pits import written
from tests.survey.pits import read

TEE = 3.5
"""What the tee takes out of the line, sawn off beside its faces. [in]"""


def pit(bare: float, sides: tuple[str, str] = ("inlet", "outlet")) -> str:
    """So much of either pipe is bare behind the tee; which end the pressure is on. [in]"""
    ends = (((0, 0, 0), (0, -bare, 0)), ((0, TEE, 0), (0, TEE + bare, 0)))
    names = dict(zip(sides, ends, strict=True))
    stubs = [
        written.stub(name, side, *names[side], bare=(bare,), cut_back=bare - 2, behind="tee")
        for name, side in (("feed", "inlet"), ("lawn", "outlet"))
    ]
    return written.pit(
        written.heading("Field F15"),
        written.box((-8, 8), (-9, 11)),
        *stubs,
        written.section("zone.line", inlet="feed", outlet="lawn", join=True),
        written.section("preferences", blocks=True),
    )


@cache
def zone(bare: float, sides: tuple[str, str] = ("inlet", "outlet")) -> ZonePlan:
    (one,) = plan(read(pit(bare, sides))).zones
    return one


def options(found: ZonePlan) -> tuple[Option, ...]:
    assert isinstance(found.answer, tuple)
    return found.answer


@pytest.mark.parametrize("sides", [("inlet", "outlet"), ("outlet", "inlet")])
def test_a_metal_nipple_in_a_plastic_thread_is_never_planned(sides: tuple[str, str]) -> None:
    npt = load_shelf().thread("npt", "1")
    got = make_up(ThreadEnd(npt, "metal"), ThreadEnd(npt, "plastic"))
    assert isinstance(got, Refusal)
    assert [s.code for s in got.because] == ["METAL_INTO_PLASTIC"]
    assert options(zone(5, sides))


@pytest.mark.parametrize("bare", [3, 5])
def test_it_is_cut_out_and_goes_back_only_by_what_slides_or_drops_on(bare: float) -> None:
    found = zone(bare)
    assert {o.way for o in options(found)} <= {BOX_AROUND, SLIP_IN, RECLAIM}
    for option in options(found):
        assert option.assembly is not None
        assert option.assembly.giver in ("telescoping", "stop-less", "parallel sockets")
    (cut_in,) = [w for w in found.ways if w.way == CUT_IN]
    assert isinstance(cut_in.answer, Refusal)
    assert {s.code for s in cut_in.answer.because} & {"ASIDE", "SPREAD", "STUCK"}


def test_little_bare_pipe_asks_for_two_sliding_pieces_or_for_digging() -> None:
    """With 3 in bare a telescoping coupling alone has no room: two slide, or the pipe is bared."""
    slips = [o for o in options(zone(3)) if o.way == SLIP_IN]
    assert slips
    assert all(all(w.slides for w in o.train.skeleton.ways) for o in slips)
    parked = [s for s in zone(3).passed_over if s.code == "PARK"]
    assert parked and parked[0].missed > INCH / 4


@pytest.mark.parametrize("bare", [3, 5])
def test_boring_a_socket_is_last_with_its_risk_and_never_on_the_pressure_side(
    bare: float,
) -> None:
    found = zone(bare)
    ways = [o.way for o in options(found)]
    assert ways == sorted(ways, key=lambda w: w == RECLAIM)
    for option in options(found):
        if option.way == RECLAIM:
            assert "tee behind lawn" in option.keeps
            assert "tee behind feed" not in option.keeps
            risks = [f for f in option.findings if f.code == "reclaimed_socket"]
            assert [f.name("stub") for f in risks] == ["lawn"]


def test_boring_on_the_pressure_side_alone_is_refused_for_that() -> None:
    text = pit(5)
    only = text.replace('behind = "tee"', "", 2).replace(
        "[stub.feed]", '[stub.feed]\nbehind = "tee"', 1
    )
    (one,) = plan(read(only)).zones
    (way,) = [w for w in one.ways if w.way == RECLAIM]
    assert isinstance(way.answer, Refusal)
    assert "PRESSURE_SIDE" in {s.code for s in way.answer.because}
