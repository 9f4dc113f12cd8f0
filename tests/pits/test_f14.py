"""Field case F14, side by side: two lines close together, both cut, no axial room.

Compression couplings are too fat for the pair; a box of elbows on each is the answer. Readings are
ours within the case's words; inches.
"""

from __future__ import annotations

import pytest

from pitwright.findings import Refusal
from pitwright.planning import Plan, plan
from pitwright.renewal.way import BOX_AROUND
from tests.pits import written
from tests.survey.pits import read


def side_by_side(apart: float, gap: float = 4.5) -> Plan:
    parts = [
        written.heading("Side by side"),
        written.box((0, 16), (-8, 8)),
        written.section("zone.one", inlet="one-in", outlet="one-out", join=True),
        written.section("zone.two", inlet="two-in", outlet="two-out", join=True),
    ]
    for name, y in (("one", 0.0), ("two", apart)):
        for side, x, far in (("in", 5, 0), ("out", 5 + gap, 16)):
            parts.append(
                written.stub(
                    f"{name}-{side}", f"{side}let", (x, y, 0), (far, y, 0), bare=(5,), cut_back=1,
                    pipe="3/4 in schedule 40 PVC",
                )
            )  # fmt: skip
    return plan(read(written.pit(*parts)))


@pytest.mark.parametrize("apart", [1.5, 2.2, -1.5])
def test_both_lines_get_a_box_that_stands_up_and_nothing_that_grips(apart: float) -> None:
    for zone in side_by_side(apart).zones:
        best = zone.best
        assert best is not None
        assert best.way == BOX_AROUND
        assert best.train.directions[1][2] == pytest.approx(1.0)
        assert best.assembly is not None
        assert best.assembly.giver == "parallel sockets"
        assert isinstance(zone.answer, tuple)
        for option in zone.answer:
            assert not any("grip" in way.name for way in option.train.skeleton.ways)


def test_lines_so_close_that_no_hand_goes_between_are_refused_for_the_hand() -> None:
    for zone in side_by_side(1.2).zones:
        assert isinstance(zone.answer, Refusal)
        first = zone.answer.because[0]
        assert first.code == "NO_TOOL_ROOM"
        assert first.where.startswith("stub ")
        assert first.lift == "hand_room"
