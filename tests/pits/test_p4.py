"""Field pit P4, concrete and a trickle: a box of elbows when dry, a coupling that grips when not.

Readings and answers from the field case of the design study; inches. One end is cast in concrete,
the other held by a root ball: nothing moves. The case's crack runs from 4.9 to 5.5.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from pitwright.findings import Refusal
from pitwright.joining.assembly import Assembly
from pitwright.planning import ZonePlan, plan
from pitwright.renewal.option import Option
from pitwright.renewal.way import BOX_AROUND, SLIP_IN
from pitwright.units.kinds import INCH
from tests.pits import written
from tests.survey.pits import read

LONG, GRIP = "6 1/2", "1 3/4"


def pit(
    *,
    tips: tuple[float, float] = (4.9, 5.5),
    cut: tuple[float, float] = (3.0, 7.0),
    side: int = 1,
    seeps: bool = False,
    through: str = "",
) -> str:
    """The case with y mirrored (``side`` -1), other ends, other cut-backs, its coupling or none."""
    near, far = tips
    low, high = sorted((side * -6.0, side * 2.0))
    cast: dict[str, Any] = {"pipe": "3/4 in schedule 40 PVC", "bare": (near,)}
    root: dict[str, Any] = {"pipe": "3/4 in schedule 40 PVC", "bare": (14 - far,)}
    if seeps:
        root["seeps"] = "380 mL/min"
    parts = [
        written.heading("Field P4"),
        written.box((0, 14), (low, high), floor=-4, soil_along=(low, high + 2)),
        written.obstacle("line", "pipe", (0, side * 2.5, 0), (14, side * 2.5, 0), 1.05),
        written.stub("cast", "inlet", (near, 0, 0), (0, 0, 0), cut_back=cut[0], **cast),
        written.stub("root", "outlet", (far, 0, 0), (14, 0, 0), cut_back=cut[1], **root),
        written.section("zone.line", inlet="cast", outlet="root", join=True),
        written.section("conditions", air="64 F", pipe="60 F"),
    ]
    if through:
        coupling = {"kind": "through coupling", "size": "3/4", "overall": through, "depth": GRIP}
        parts.append(written.section("part.long", **coupling))
    return written.pit(*parts)


@cache
def zone(text: str) -> ZonePlan:
    (one,) = plan(read(text)).zones
    return one


def options(text: str) -> tuple[Option, ...]:
    answer = zone(text).answer
    return () if isinstance(answer, Refusal) else answer


def boxes(text: str) -> list[Option]:
    return [o for o in options(text) if o.way == BOX_AROUND]


@pytest.mark.parametrize("side", [1, -1])
@pytest.mark.parametrize("cut", [(3.0, 7.0), (1.8, 1.9), (0.1, 7.0)])
def test_dry_a_box_of_elbows_stands_upward_on_a_gap_of_four_and_a_quarter(
    side: int, cut: tuple[float, float]
) -> None:
    (box,) = boxes(pit(side=side, cut=cut))
    gap = 0.6 + (box.cuts.inlet_cut + box.cuts.outlet_cut) / INCH
    assert gap == pytest.approx(4.25, abs=1 / 16)
    assert [p.length / INCH for p in box.cuts.pieces] == pytest.approx([2.0, 2.0, 2.0], abs=1 / 16)
    assert box.train.directions[1][2] == pytest.approx(1.0)
    assert isinstance(box.assembly, Assembly)
    assert box.assembly.giver == "parallel sockets"


def test_dry_a_gap_of_four_is_refused_by_the_cross_pieces_length() -> None:
    for text in (pit(cut=(1.7, 1.7)), pit(tips=(3.1, 7.1), cut=(0.0, 0.0))):
        assert boxes(text) == []
        (way,) = [w for w in zone(text).ways if w.way == BOX_AROUND]
        assert isinstance(way.answer, Refusal)
        nearest = [s for s in way.answer.because if s.code == "LEG"]
        assert min(s.missed for s in nearest) == pytest.approx(0.25 * INCH, abs=0.07 * INCH)


@pytest.mark.parametrize("side", [1, -1])
def test_trickling_a_through_coupling_is_parked_and_slid_back_without_any_cement(side: int) -> None:
    text = pit(tips=(3.9, 6.525), cut=(0.5, 0.5), side=side, seeps=True, through=LONG)
    got = options(text)
    assert got
    assert {o.way for o in got} == {SLIP_IN}
    option = got[0]
    assert (option.cuts.inlet_cut, option.cuts.outlet_cut) == (0.0, 0.0)
    assert option.cuts.pieces == ()
    assembly = option.assembly
    assert assembly is not None
    codes = [s.code for s in assembly.steps]
    assert codes[-3:] == ["park", "slide_and_grip", "water_on"]
    assert not any("last_coat" in dict(s.numbers) for s in assembly.steps)
    assert assembly.water_on <= 30 * 60.0
    assert {"park_first", "holds_no_thrust"} <= {f.code for f in option.findings}
    wanted = next(f for f in option.findings if f.code == "park_first")
    assert wanted.number("park") / INCH == pytest.approx(6.5)


def test_trickling_a_shorter_one_or_too_little_bare_pipe_to_park_it_is_refused() -> None:
    short = zone(pit(tips=(3.9, 6.525), cut=(0.0, 0.0), seeps=True, through="6")).answer
    assert isinstance(short, Refusal)
    assert any(s.code == "WINDOW" for s in short.because)
    far = zone(pit(tips=(4.9, 7.6), cut=(0.0, 0.0), seeps=True, through=LONG)).answer
    assert isinstance(far, Refusal)
    assert any(s.code == "PARK" for s in far.because)


def test_trickling_nothing_is_planned_with_cement_on_the_wet_stub() -> None:
    for option in options(pit(seeps=True)):
        assert option.train.skeleton.ways[1].name.startswith("slid to grip")
    assert any(s.code == "WET_SOCKET" for s in zone(pit(seeps=True)).passed_over)
