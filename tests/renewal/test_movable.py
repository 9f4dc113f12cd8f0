"""The digging question: what is told can be moved really can, and no farther."""

from __future__ import annotations

import math

import pytest

from pitwright.closing.ends import FlexEnd
from pitwright.findings import Refusal, StubId
from pitwright.flex.dig import Dig
from pitwright.flex.flexed import moved
from pitwright.flex.limits import StrainLimit, hand_force
from pitwright.geometry.vector import add, angle_between, cross, dot, norm, scale, sub, turned
from pitwright.renewal.bending import flex_end
from pitwright.renewal.movable import IN_LINE, InLine, in_line, movable
from pitwright.survey.pit import Survey
from tests.survey.pits import EXAMPLES, read, swapped

LAWN = (EXAMPLES / "chapel-lawn.pit.toml").read_text(encoding="utf-8")


def lawn(*changes: tuple[str, str]) -> Survey:
    text = LAWN
    for old, new in changes:
        text = swapped(old, new, text)
    return read(text)


LINED_UP = (
    ('tip = ["3 1/8", "25 7/8", "-2 1/16"]', 'tip = ["1/4", "25 7/8", "0"]'),
    ('through = ["3 1/2", "37 3/4", "-1 7/8"]', 'through = ["1/4", "37 3/4", "1/4"]'),
)


def answered() -> list[tuple[Survey, InLine, Dig]]:
    """Stubs of two pits that digging can bring into line."""
    garden = read((EXAMPLES / "school-garden.pit.toml").read_text(encoding="utf-8"))
    found = [
        (survey, line, line.answer)
        for survey in (lawn(*LINED_UP), garden)
        for zone in survey.zones
        for line in in_line(survey, zone)
        if isinstance(line.answer, Dig)
    ]
    assert len(found) >= 4
    return found


def test_a_sound_stub_moves_farther_than_an_old_one_and_a_free_tip_than_a_held_one() -> None:
    old, sound = (
        movable(s, s.stub(StubId("lawn")))
        for s in (lawn(), lawn(('condition = "old"', 'condition = "sound"')))
    )
    assert isinstance(old.limit, StrainLimit) and isinstance(sound.limit, StrainLimit)
    told = {(m.how_long, m.turning): m.reach.least for m in old.reaches}
    assert len(told) == 4
    for how_long in ("staying", "momentary"):
        assert told[how_long, True] > told[how_long, False]
    for turning in (True, False):
        assert told["momentary", turning] > told["staying", turning]
    for one, other in zip(old.reaches, sound.reaches, strict=True):
        assert other.reach.least > one.reach.least


@pytest.mark.parametrize("condition", ["chalky", "cracked"])
def test_pipe_that_must_not_be_bent_has_no_reach_and_no_digging_helps(condition: str) -> None:
    survey = lawn(*LINED_UP, ('condition = "old"', f'condition = "{condition}"'))
    got = movable(survey, survey.stub(StubId("lawn")))
    assert got.reaches == ()
    assert got.stuck is not None and got.stuck.code == "FLEX_FORBIDDEN"
    line = next(m for m in in_line(survey, survey.zones[0]) if m.stub == "lawn")
    assert line.never
    assert isinstance(line.answer, Refusal) and line.answer.because[0].lift == "cut it out"


def test_unknown_pipe_and_pipe_hardly_bare_are_not_called_never() -> None:
    """Nobody can say yet: the pipe must be told, or more of it seen."""
    survey = lawn(*LINED_UP, ('cut_back = "8"\nbare = ["13"]', 'cut_back = "0"\nbare = ["1/2"]'))
    got = movable(survey, survey.stub(StubId("lawn")))
    assert got.stuck is not None and got.stuck.code == "NO_BARE"
    line = next(m for m in in_line(survey, survey.zones[0]) if m.stub == "lawn")
    assert isinstance(line.answer, Refusal) and not line.never


def test_the_movement_brings_the_stub_onto_the_others_axis_and_along_it() -> None:
    for survey, line, dug in answered():
        zone = next(z for z in survey.zones if z.id == line.zone)
        stub = survey.stub(line.stub)
        other = survey.stub(zone.inlet if line.stub == zone.outlet else zone.outlet)
        u, theta = dug.flexed.movement[:3], dug.flexed.movement[3:]
        tip = add(stub.tip.mean, u)
        off = cross(sub(tip, other.tip.mean), other.outward)
        assert norm(off) < 1e-9
        assert norm(u) == pytest.approx(line.sideways)
        axis = scale(theta, 1.0 / norm(theta))
        looks = turned(stub.outward, axis, norm(theta))
        assert angle_between(looks, scale(other.outward, -1.0)) < 1e-7
        assert norm(theta) == pytest.approx(line.turn)
        assert abs(dot(u, other.outward)) < 1e-12


def test_the_digging_told_meets_the_limit_and_a_quarter_inch_less_does_not() -> None:
    for survey, line, dug in answered():
        end = flex_end(survey, survey.stub(line.stub))
        assert isinstance(end, FlexEnd)
        asked = dug.flexed.movement
        after = moved(end.path.dug(dug.extra), asked)
        before = moved(end.path.dug(dug.extra - 0.00635), asked)
        assert dug.extra > 0.0
        assert after.ratio(end.strain, hand_force()) <= 1.0 < before.ratio(end.strain, hand_force())


def test_stubs_that_look_past_each_other_are_not_asked_to_be_moved_into_line() -> None:
    through = 'through = ["3 1/2", "37 3/4", "-1 7/8"]'
    survey = lawn((through, 'through = ["13 1/2", "35", "-1 7/8"]'))
    one, two = survey.stub(StubId("feed")), survey.stub(StubId("lawn"))
    assert math.pi - angle_between(one.outward, two.outward) > IN_LINE
    assert in_line(survey, survey.zones[0]) == ()
