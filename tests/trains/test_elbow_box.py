"""Four elbows between stubs that cannot move: found in the form that can be put in."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.catalogue.shelf import load_shelf
from pitwright.geometry.vector import Vec, add, angle_between, cross, minus, norm, scale, sub, unit
from pitwright.joining.assembly import Assembly
from pitwright.joining.putting_in import put_in
from pitwright.renewal.cut_in import considered
from pitwright.survey.pit import read_survey
from pitwright.trains.kit import Corner, EndWay, Kit, Seat, StubEnd
from pitwright.trains.search import Allowance, on_bends
from pitwright.trains.train import Train
from pitwright.units.kinds import INCH
from tests.joining.works import work_of

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
SQUARE = math.pi / 2
TAKEOUT, DEPTH, GAP = 0.5625 * INCH, 0.9375 * INCH, 0.125 * INCH
ALLOW = Allowance(0.25 * INCH, math.radians(6.0))
SEAT = Seat(TAKEOUT, DEPTH)
RIGID = (EndWay("direct", 0.0),)
KIT = Kit((Corner(SQUARE, SEAT, SEAT, ("90",)),), RIGID, RIGID, GAP, None, most_bends=4)
LEAST = 2 * (TAKEOUT + DEPTH) + GAP
"""The shortest leg between two elbows of the U. [m]"""
THOUSANDTHS = st.integers(-300, 300).map(lambda n: n / 1000)
"""No tape reads finer: sides a millionth of a radian apart count as one."""


@st.composite
def crooked(draw: st.DrawFn) -> tuple[StubEnd, StubEnd]:
    """Two ends that look at each other, 1 to 5 degrees out of true, just far enough apart."""

    def leaning(out: Vec) -> Vec:
        lean, around = math.radians(draw(st.floats(1.0, 5.0))), draw(THOUSANDTHS) * 10.0
        sideways = (math.sin(lean) * math.cos(around), 0.0, math.sin(lean) * math.sin(around))
        return unit(add(scale(out, math.cos(lean)), sideways))

    along = LEAST + 2 * TAKEOUT + draw(st.floats(0.1, 6.0)) * INCH
    off = [draw(THOUSANDTHS) * INCH for _ in range(2)]
    inlet = StubEnd((0.0, 0.0, 0.0), leaning((0.0, 1.0, 0.0)), 0.0)
    return inlet, StubEnd((off[0], along, off[1]), leaning((0.0, -1.0, 0.0)), 0.0)


@given(crooked())
def test_however_crooked_the_stubs_a_box_is_found_whose_two_open_sockets_are_parallel(
    stubs: tuple[StubEnd, StubEnd],
) -> None:
    """Both stand square to both stubs, and the U closes between them with nothing left over."""
    found = [t for t in on_bends((SQUARE,) * 4, stubs, KIT, ALLOW) if isinstance(t, Train)]
    boxes = [t for t in found if angle_between(t.directions[1], minus(t.directions[-2])) < 1e-9]
    assert boxes
    square = cross(stubs[0].outward, minus(stubs[1].outward))
    for box in boxes:
        reached: Vec = (0.0, 0.0, 0.0)
        for direction, length in zip(box.directions, box.lengths, strict=True):
            reached = add(reached, scale(direction, length))
        assert norm(sub(reached, stubs[1].tip)) < 1e-9
        assert box.lengths[0] == pytest.approx(TAKEOUT, abs=1e-9)
        assert box.lengths[-1] == pytest.approx(TAKEOUT, abs=1e-9)
        if norm(square) > 1e-3:
            assert norm(cross(box.directions[1], unit(square))) < 1e-6


def test_a_box_between_two_cast_in_ends_drops_on_both_sockets_and_asks_no_opening() -> None:
    path = EXAMPLES / "cast-wall.pit.toml"
    survey = read_survey(path.read_text(encoding="utf-8"), path.name, load_shelf())
    answer = considered(survey, survey.zones[0], 4).answer
    assert isinstance(answer, tuple)
    put = [put_in(work_of(survey, option)) for option in answer]
    made = [p for p in put if isinstance(p, Assembly)]
    assert [(p.giver, p.opening, p.spread) for p in made] == [("parallel sockets", 0.0, None)]
