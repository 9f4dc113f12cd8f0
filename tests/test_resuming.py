"""Going on with half-built work: what is glued stays, the rest is solved again."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.closing.rebuild import rebuilt, walk
from pitwright.errors import BadInput
from pitwright.findings import Refusal
from pitwright.geometry.vector import angle_between, norm, sub
from pitwright.planning import Plan, plan
from pitwright.resuming import Verdict, ZoneResumed, resumed
from pitwright.survey.pit import read_survey
from pitwright.survey.progress import NOTHING_DONE, read_progress
from pitwright.survey.weights import Weights
from pitwright.trains.cut_list import CutList
from pitwright.units.kinds import INCH
from pitwright.wording.plan_data import option_data

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
LAWN = EXAMPLES / "chapel-lawn.pit.toml"


@cache
def planned(name: str = "chapel-lawn") -> Plan:
    """Ranked by parts alone: the chapel's train of two 90s is the one begun here."""
    path = EXAMPLES / f"{name}.pit.toml"
    survey = read_survey(path.read_text(encoding="utf-8"), path.name, load_shelf())
    by_parts = Weights(time=0.0, chance=0.0, springing=0.1, next_time=0.0)
    return plan(replace(survey, preferences=replace(survey.preferences, weights=by_parts)))


def lawn(text: str) -> ZoneResumed:
    made = planned()
    return resumed(made, read_progress(text, "progress.toml", made.survey)).zones[0]


def cuts_of(zone: ZoneResumed) -> CutList:
    assert not isinstance(zone.answer, Refusal)
    return zone.answer[0].cuts


@pytest.mark.parametrize("name", ["chapel-lawn", "school-garden", "orchard-gate"])
def test_resuming_with_nothing_changed_gives_the_same_plan(name: str) -> None:
    made = planned(name)
    got = resumed(made, NOTHING_DONE)
    open_zones = [z for z in made.zones if not isinstance(z.answer, Refusal)]
    assert len(got.zones) == len(open_zones) > 0
    for zone, was in zip(got.zones, open_zones, strict=True):
        assert zone.verdict is Verdict.AS_PLANNED
        assert zone.answer == was.answer


def test_every_prefix_of_joints_made_as_planned_goes_on_as_planned() -> None:
    best = planned().zones[0].best
    assert best is not None
    count = len(best.cuts.joints)
    for made in range(1, count):
        zone = lawn(f"[zone.lawn]\njoints = {list(range(1, made + 1))}\n")
        assert zone.verdict is Verdict.AS_PLANNED, made
        assert cuts_of(zone) == best.cuts
        assert zone.done == tuple(range(1, made + 1))


def test_all_joints_made_is_finished() -> None:
    zone = lawn("[zone.lawn]\njoints = [1, 2, 3, 4, 5, 6]\n")
    assert zone.verdict is Verdict.FINISHED


def test_a_joint_whose_end_was_measured_since_gives_nothing_any_more() -> None:
    """Measured just where the plan has it: the same train, asking no less of the old pipe."""
    best = planned().zones[0].best
    assert best is not None
    loose = lawn("[zone.lawn]\njoints = [1, 2]\n")
    held = lawn(f"[zone.lawn]\njoints = [1, 2]\n[stub.feed]\ntip = [{_end_of_a()}]\n")
    assert not isinstance(loose.answer, Refusal)
    assert not isinstance(held.answer, Refusal)
    assert held.verdict is Verdict.AS_PLANNED
    assert held.answer[0].cuts == best.cuts
    assert held.answer[0].bending.now.upper > loose.answer[0].bending.now.upper


def _end_of_a() -> str:
    """Where the end of piece A lies when everything is as planned."""
    best = planned().zones[0].best
    assert best is not None
    feed = planned().survey.stub(planned().zones[0].zone.inlet)
    at = list(walk(best.cuts, feed.tip.mean, feed.outward))[2].at
    return ", ".join(f'"{c / INCH:.6f}"' for c in at)


def test_a_short_piece_is_made_up_by_those_still_whole() -> None:
    best = planned().zones[0].best
    assert best is not None
    zone = lawn('[zone.lawn]\ncut = { A = "17 1/2" }\n')
    assert zone.verdict in (Verdict.RECUT, Verdict.ANEW)
    if zone.verdict is Verdict.RECUT:
        assert cuts_of(zone).pieces[0].length == pytest.approx(17.5 * INCH)


def test_a_new_train_starts_where_the_glued_pieces_end() -> None:
    """Built again by hand from the old stub: the new stub lies at the end of piece A."""
    best = planned().zones[0].best
    assert best is not None
    zone = lawn('[zone.lawn]\njoints = [1, 2]\n[stub.lawn]\ntip = ["3 1/4", "26 5/8", "-2"]\n')
    assert zone.verdict is Verdict.ANEW
    new, old = zone.survey.stub(zone.zone.inlet), planned().survey.stub(zone.zone.inlet)
    length = best.cuts.items[0].length + best.cuts.pieces[0].length  # type: ignore[union-attr]
    assert norm(sub(new.tip.mean, old.tip.mean)) == pytest.approx(length - best.cuts.inlet_cut)
    assert angle_between(new.outward, old.outward) == pytest.approx(0.0, abs=1e-9)
    piece = best.cuts.pieces[0]
    assert new.cut_back == pytest.approx(piece.length - piece.depth_before)
    assert zone.zone.valve is None
    assert zone.zone.join
    cuts = cuts_of(zone)
    out = zone.survey.stub(zone.zone.outlet)
    way, _ = rebuilt(cuts, (new.tip.mean, new.outward), (out.tip.mean, out.outward))
    assert norm(way) < INCH / 4


def test_glued_work_on_the_outlet_ends_where_the_walk_from_the_inlet_passes() -> None:
    """From the other side: the same joint, found by walking the other way, but for the misfit."""
    best = planned().zones[0].best
    assert best is not None
    survey = planned().survey
    zone = lawn('[zone.lawn]\njoints = [5, 6]\ncut = { A = "3", B = "2 3/4" }\n')
    assert zone.verdict in (Verdict.ANEW, Verdict.CUT_OFF)
    if zone.verdict is Verdict.ANEW:
        new = zone.survey.stub(zone.zone.outlet)
        inlet = survey.stub(zone.zone.inlet)
        poses = list(walk(best.cuts, inlet.tip.mean, inlet.outward))
        end = poses[len(best.cuts.items) - 2]  # piece B's beginning: its open end
        assert norm(sub(new.tip.mean, end.at)) < INCH / 4
        assert angle_between(new.outward, (-end.z[0], -end.z[1], -end.z[2])) < math.radians(4)


def test_a_break_starts_again_behind_it_and_says_so() -> None:
    zone = lawn(
        "[zone.lawn]\njoints = [1, 2]\n[stub.lawn]\nbroken = 'elbow cracked'\n"
        'tip = ["3 1/8", "28", "-2 1/16"]\ncut_back = "2"\nbare = ["4"]\n'
    )
    assert [f.code for f in zone.findings] == ["stub_broke"]
    assert zone.verdict is Verdict.ANEW


def test_a_break_under_glued_work_loses_it() -> None:
    zone = lawn(
        "[zone.lawn]\njoints = [1, 2]\n[stub.feed]\nbroken = 'pipe split'\n"
        'tip = ["0", "-2", "0"]\ncut_back = "1"\nbare = ["4"]\n'
    )
    assert zone.done == ()
    assert "valve" in zone.lost


def test_a_marked_length_wins_over_the_readings_and_a_far_one_is_asked_again() -> None:
    near = lawn('[zone.lawn]\njoints = [1, 2]\nmarked = { B = "2 13/16" }\n')
    assert near.verdict is Verdict.AS_PLANNED
    assert near.findings == ()
    assert cuts_of(near).pieces[1].length == pytest.approx(2.8125 * INCH)
    far = lawn('[zone.lawn]\njoints = [1, 2]\nmarked = { B = "3 1/8" }\n')
    assert [f.code for f in far.findings] == ["mark_differs"]


def test_when_nothing_closes_it_says_stop_and_why() -> None:
    zone = lawn(
        '[zone.lawn]\njoints = [1, 2, 3, 4, 5]\n[stub.lawn]\ntip = ["4 1/8", "24", "-1"]\n'
        'cut_back = "0"\nbare = []\n'
    )
    assert zone.verdict is Verdict.STOP
    assert isinstance(zone.answer, Refusal)
    assert zone.answer.because


@pytest.mark.parametrize("text", ["", "joints = [2]", "joints = [1, 2]\ncut = { B = '2 3/4' }"])
def test_every_resumed_option_closes_when_it_is_built_again(text: str) -> None:
    zone = lawn(f"[zone.lawn]\n{text}\n[stub.lawn]\ntip = ['3 1/8', '25 3/4', '-2 1/8']\n")
    assert not isinstance(zone.answer, Refusal)
    a, b = zone.survey.stub(zone.zone.inlet), zone.survey.stub(zone.zone.outlet)
    for option in zone.answer:
        way, _ = rebuilt(option.cuts, (a.tip.mean, a.outward), (b.tip.mean, b.outward))
        assert norm(way) == pytest.approx(option.built.position, abs=1e-9)
        assert option.bending.judged.closes
        assert option_data(option)["items"]


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ("[zone.lawn]\njoints = [7]", r"zone\.lawn\.joints must be 1 to 6"),
        ("[zone.lawn]\noption = 44", r"zone\.lawn\.option must be 1 to"),
        ("[zone.lawn]\ncut = { Q = '3' }", "zone.lawn.cut.Q"),
        ("[zone.lawn]\nmarked = { inlet = '3' }", "zone.lawn.marked.inlet"),
    ],
)
def test_what_the_plan_does_not_have_is_told(text: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        lawn(text)


def test_an_option_named_is_begun_whatever_its_place_and_its_number_means_the_place() -> None:
    made = planned()
    answer = made.zones[0].answer
    assert not isinstance(answer, Refusal)
    third = answer[2]
    for named in (f'"{third.key}"', f'"{third.train.skeleton.label.upper()}"', "3"):
        assert lawn(f"[zone.lawn]\noption = {named}\njoints = [1]\n").begun.key == third.key
    turned = replace(made, zones=(replace(made.zones[0], answer=answer[::-1]),))
    text = f'[zone.lawn]\noption = "{third.key}"\njoints = [1]\n'
    got = resumed(turned, read_progress(text, "progress.toml", made.survey)).zones[0]
    assert got.begun.key == third.key


def test_a_name_that_no_option_has_is_told_with_all_that_are_there() -> None:
    with pytest.raises(BadInput, match=r"zone\.lawn\.option is no option of this plan") as told:
        lawn('[zone.lawn]\noption = "cut in: 22-22"\njoints = [1]\n')
    answer = planned().zones[0].answer
    assert not isinstance(answer, Refusal)
    assert all(o.key in str(told.value) for o in answer)
    assert f"1 to {len(answer)}" in str(told.value)
