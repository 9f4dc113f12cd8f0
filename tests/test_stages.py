"""A resumed plan is built on, and resumed once more on top of the first time."""

from __future__ import annotations

import math
from functools import cache

import pytest

from pitwright.closing.rebuild import rebuilt
from pitwright.findings import Refusal
from pitwright.geometry.vector import norm, sub
from pitwright.resuming import Stage, Verdict, ZoneResumed, begun_at, zone_resumed
from pitwright.stages import after, as_built, way_of
from pitwright.survey.progress import Progress, ZoneProgress, read_progress
from pitwright.units.kinds import INCH
from tests.test_resuming import planned

ANEW = '[zone.lawn]\njoints = [1, 2]\n[stub.lawn]\ntip = ["3 1/4", "26 5/8", "-2"]\n'
"""Valve and piece A are glued on the feed, and the lawn's pipe lies half an inch farther off."""


def first() -> Stage:
    made = planned()
    zone = made.zones[0]
    assert isinstance(zone.answer, tuple)
    return begun_at(made.survey, zone.zone, zone.answer, zone.answer[0])


def said(text: str) -> Progress:
    return read_progress(text, "progress.toml", planned().survey)


def went(stage: Stage, text: str) -> tuple[ZoneResumed, ZoneProgress]:
    progress = said(text)
    zone = stage.root
    done = progress.zone(zone.id)
    return zone_resumed(stage, done, (progress.stub(zone.inlet), progress.stub(zone.outlet))), done


def onto(stage: Stage, text: str) -> Stage:
    got, done = went(stage, text)
    assert not isinstance(got.answer, Refusal)
    return after(stage, got, got.answer[0], done)


@cache
def second() -> Stage:
    return onto(first(), ANEW)


def closes(got: ZoneResumed) -> None:
    """Built again from its cut list between the stubs as they are then."""
    assert not isinstance(got.answer, Refusal)
    a, b = got.survey.stub(got.zone.inlet), got.survey.stub(got.zone.outlet)
    option = got.answer[0]
    way, _ = rebuilt(option.cuts, (a.tip.mean, a.outward), (b.tip.mean, b.outward))
    assert norm(way) == pytest.approx(option.built.position, abs=1e-9)
    assert option.bending.judged.closes


def test_the_stage_after_another_train_begins_with_nothing_made_on_what_is_glued() -> None:
    stage = second()
    assert (stage.number, stage.joints, stage.cut) == (1, (), ())
    assert stage.zone.valve is None
    assert stage.valve_on == 0
    assert [b.held for b in stage.bases] == [(2, 0)]
    got, _ = went(stage, "")
    assert got.verdict is Verdict.AS_PLANNED
    assert got.answer == stage.options


def test_every_joint_of_the_second_train_but_the_last_goes_on_as_planned() -> None:
    stage = second()
    count = len(stage.option.cuts.joints)
    got, _ = went(stage, f"[zone.lawn]\njoints = {list(range(1, count))}\n")
    assert got.verdict is Verdict.AS_PLANNED
    assert got.done == tuple(range(1, count))
    whole, _ = went(stage, f"[zone.lawn]\njoints = {list(range(1, count + 1))}\n")
    assert whole.verdict is Verdict.FINISHED


def test_a_second_break_is_resumed_on_top_of_the_first() -> None:
    got, _ = went(
        second(),
        "[zone.lawn]\njoints = [1]\n[stub.lawn]\nbroken = 'split'\n"
        'tip = ["3 1/4", "27 5/8", "-2"]\ncut_back = "2"\nbare = ["8"]\n',
    )
    assert got.verdict not in (Verdict.AS_PLANNED, Verdict.STOP)
    assert got.zone.valve is None
    closes(got)
    outlet = got.survey.stub(got.zone.outlet)
    assert outlet.tip.mean[1] == pytest.approx(27.625 * INCH)


def test_where_the_pipe_breaks_under_the_new_valve_a_valve_goes_in_again() -> None:
    got, done = went(
        second(),
        "[stub.feed]\nbroken = 'split'\ntip = ['0', '-2', '0']\ncut_back = '1'\nbare = ['4']\n",
    )
    assert got.zone.valve == first().zone.valve
    assert "what was glued on feed before" in got.lost
    assert not any(o.name.startswith("glued work") for o in got.survey.obstacles)
    closes(got)
    assert not isinstance(got.answer, Refusal)
    assert after(second(), got, got.answer[0], done).bases == ()


def test_the_open_end_of_glued_work_measured_again_carries_the_old_pipe_with_it() -> None:
    stage = second()
    end = stage.survey.stub(stage.zone.inlet).tip.mean
    tip = ", ".join(f'"{c / INCH + by:.6f}"' for c, by in zip(end, (0.0, 0.125, 0.0), strict=True))
    got, _ = went(stage, f"[stub.feed]\ntip = [{tip}]\n")
    if got.same:
        stub, was = got.survey.stub(got.zone.inlet), stage.survey.stub(stage.zone.inlet)
        assert stub.glued is not None and was.glued is not None
        moved = sub(stub.glued.old.tip.mean, was.glued.old.tip.mean)
        assert moved == pytest.approx((0.0, 0.125 * INCH, 0.0), abs=1e-7)
    closes(got)


FLAT = "cut in: 45-45, direct-direct, valve on leg 1"
RECUT = (
    '[zone.lawn]\njoints = [1, 2]\ncut = { A = "17 5/8" }\n'
    '[stub.lawn]\ntip = ["3 1/4", "26 1/8", "-2"]\n'
)


def flat() -> Stage:
    """The train of two 45s begun."""
    made = planned()
    answer = made.zones[0].answer
    assert isinstance(answer, tuple)
    begun = next(o for o in answer if o.key == FLAT)
    return begun_at(made.survey, made.zones[0].zone, answer, begun)


def test_a_recut_train_stands_as_recut_once_it_is_gone_on_with() -> None:
    """What was cut and rolled anew is the plan from then on, whatever is glued next."""
    got, done = went(flat(), RECUT)
    assert got.verdict is Verdict.RECUT
    assert got.rolled
    assert not isinstance(got.answer, Refusal)
    again = after(flat(), got, got.answer[0], done)
    assert again.joints == (1, 2)
    assert dict(again.cut) == {"A": pytest.approx(17.625 * INCH)}
    assert again.anew == {name for name, _ in got.recut}
    count = len(again.option.cuts.joints)
    last, _ = went(again, f"[zone.lawn]\njoints = {list(range(3, count))}\n")
    assert last.verdict is Verdict.AS_PLANNED
    assert last.done == tuple(range(1, count))


def test_the_steps_of_a_recut_train_say_its_new_lengths() -> None:
    got, _ = went(flat(), RECUT)
    assert not isinstance(got.answer, Refusal)
    option = got.answer[0]
    assert option.assembly is not None
    steps = option.assembly.steps
    cuts = {s.name("piece"): s.number("length") for s in steps if s.code == "cut_piece"}
    assert cuts == {p.letter: p.length for p in option.cuts.pieces}
    off = {s.name("stub"): s.number("cut") for s in steps if s.code == "cut_stub"}
    wanted = {"feed": option.cuts.inlet_cut, "lawn": option.cuts.outlet_cut}
    assert off == {k: v for k, v in wanted.items() if v > 0}
    assert [s.cut for s in option.stubs] == [option.cuts.inlet_cut, option.cuts.outlet_cut]


def test_a_mark_that_makes_up_for_a_piece_cut_short_moves_no_stub() -> None:
    """A is an eighth short along its leg, 45 degrees from B's: B grows by its share of that."""
    stage = flat()
    short, share = 0.125, 0.125 * math.cos(math.radians(45.0))
    a, b = (p.length / INCH for p in stage.option.cuts.pieces)
    text = f'[zone.lawn]\ncut = {{ A = "{a - short:.9f}" }}\nmarked = {{ B = "{b + share:.9f}" }}\n'
    got, _ = went(stage, text)
    was, now = stage.survey.stub(stage.zone.outlet), got.survey.stub(stage.zone.outlet)
    assert now.tip.mean == pytest.approx(was.tip.mean, abs=1e-9)
    cut_since, _ = went(stage, text.replace("cut = {", f'cut = {{ B = "{b + share:.9f}",'))
    assert cut_since.survey.stub(stage.zone.outlet).tip.mean == now.tip.mean


def test_as_built_has_every_length_as_it_was_cut() -> None:
    done = said('[zone.lawn]\ncut = { B = "3 1/16", outlet = "1/2" }\n').zone(first().zone.id)
    built = as_built(first(), done)
    assert built.cuts.pieces[1].length == pytest.approx(3.0625 * INCH)
    assert built.cuts.outlet_cut == pytest.approx(0.5 * INCH)
    assert way_of(went(first(), "")[0], built.key) is not None


def test_where_only_one_stub_is_left_to_go_into_what_is_glued_an_answer_comes() -> None:
    """All but the last joint made, and an inch too much off the outlet stub."""
    got, _ = went(flat(), '[zone.lawn]\njoints = [1, 2, 3, 4, 5]\ncut = { outlet = "3 5/8" }\n')
    assert got.verdict is not Verdict.FINISHED
    if not isinstance(got.answer, Refusal):
        closes(got)


def test_a_mark_made_before_a_stub_broke_counts_no_more() -> None:
    broke = "[stub.lawn]\nbroken = 'split'\ntip = ['3 1/4', '27', '-2']\ncut_back = '3'\n"
    marked = '[zone.lawn]\nmarked = { B = "6" }\n'
    got, _ = went(flat(), marked + broke)
    assert [f.code for f in got.findings] == ["stub_broke"]
    assert got.answer == went(flat(), broke)[0].answer


def test_what_is_left_of_a_stub_that_broke_is_counted_behind_the_break() -> None:
    broke = "[stub.lawn]\nbroken = 'split'\ntip = ['3 1/4', '27', '-2']\ncut_back = '3'\n"
    got, _ = went(flat(), f"{broke}bare = ['6']\n")
    assert got.verdict is Verdict.RECUT and not isinstance(got.answer, Refusal)
    work, option = got.answer[0].stubs[1], got.answer[0]
    depth = flat().survey.stub(got.zone.outlet).bare[0].length
    planned = flat().option.stubs[1]
    assert planned.left is not None and work.left is not None
    held = depth - planned.cut - planned.left
    assert work.left == pytest.approx(6 * INCH - option.cuts.outlet_cut - held)
