"""Planning in a worker: what is kept, what a changed reading plans again, and stopping."""

from __future__ import annotations

from dataclasses import replace

from pitwright.catalogue.shelf import load_shelf
from pitwright.planning import plan
from pitwright.resuming import Stage, ZoneResumed, begun_at, zone_resumed
from pitwright.server.planner import Planner, key_of, resumed_key
from pitwright.survey.pit import Survey, load_survey, read_survey
from pitwright.survey.progress import read_progress
from tests.house.reading import ROOT

GARDEN = ROOT / "examples" / "school-garden.pit.toml"


def garden(old: str = "", new: str = "") -> Survey:
    text = GARDEN.read_text("utf-8")
    assert old in text
    return read_survey(text.replace(old, new, 1), "garden", load_shelf())


def keys(survey: Survey) -> dict[str, str]:
    return {str(z.id): key_of(survey, z) for z in survey.zones if z.planned}


def test_a_worker_plans_what_the_plan_itself_says() -> None:
    survey = load_survey(ROOT / "examples" / "orchard-gate.pit.toml", load_shelf())
    planner = Planner()
    try:
        whole = planner.planned(survey, 60.0).whole
        assert whole is not None
        mine, theirs = whole.zones[0].answer, plan(survey).zones[0].answer
        assert isinstance(mine, tuple) and isinstance(theirs, tuple)
        assert [o.key for o in mine] == [o.key for o in theirs]
        assert planner.planned(survey, 0.0).whole is not None
    finally:
        planner.close()


def test_only_the_zones_that_a_reading_matters_to_are_planned_again() -> None:
    before = keys(garden())
    condition = keys(garden('condition = "sun-struck"', 'condition = "old"'))
    assert [z for z in before if before[z] != condition[z]] == ["drip"]
    note = keys(garden("odd size out: measure its flow", "measured"))
    assert [z for z in before if before[z] != note[z]] == ["drip"]


def test_a_moved_tip_matters_to_its_neighbours_too() -> None:
    before, after = keys(garden()), keys(garden('"15 9/16", "-1/16"', '"15 1/2", "-1/16"'))
    assert [z for z in before if before[z] == after[z]] == []


def test_what_is_stopped_says_so_and_can_be_asked_for_again() -> None:
    survey = load_survey(ROOT / "examples" / "orchard-gate.pit.toml", load_shelf())
    planner = Planner()
    try:
        assert planner.planned(survey, 0.0).working
        planner.stop(survey)
        assert [z.status for z in planner.planned(survey, 5.0).zones] == ["stopped"]
        planner.again(survey)
        assert planner.planned(survey, 60.0).whole is not None
        alike = replace(survey, name="another name")
        assert planner.planned(alike, 0.0).whole is not None
    finally:
        planner.close()


def test_stopping_at_any_moment_neither_breaks_nor_blocks_what_comes_next() -> None:
    """Before the worker is there, while it is started, while it works: asked again, it plans."""
    survey = load_survey(ROOT / "examples" / "orchard-gate.pit.toml", load_shelf())
    planner = Planner()
    try:
        for pause in (0.0, 0.001, 0.01, 0.05, 0.2, 0.4):
            assert planner.planned(survey, pause).working
            planner.stop(survey)
            assert [z.status for z in planner.planned(survey, 0.0).zones] == ["stopped"]
            planner.again(survey)
        assert planner.planned(survey, 60.0).whole is not None
    finally:
        planner.close()


def begun() -> tuple[Survey, Stage]:
    survey = load_survey(ROOT / "examples" / "chapel-lawn.pit.toml", load_shelf())
    made = plan(survey).zones[0]
    assert isinstance(made.answer, tuple)
    return survey, begun_at(survey, made.zone, made.answer, made.answer[0])


def test_a_worker_resumes_as_the_resumed_plan_itself_says_and_keeps_it() -> None:
    survey, stage = begun()
    noted = read_progress("[zone.lawn]\njoints = [1, 2]\ncut = { A = '17 5/8' }\n", "p", survey)
    done = noted.zone(stage.root.id)
    planner = Planner()
    try:
        got = planner.resumed("k", stage, done, (None, None), 60.0)
        here = zone_resumed(stage, done)
        assert isinstance(got, ZoneResumed)
        assert (got.verdict, got.recut, got.rolled) == (here.verdict, here.recut, here.rolled)
        assert planner.resumed("k", stage, done, (None, None), 0.0) is got
    finally:
        planner.close()


def test_a_resumed_plan_is_stopped_and_asked_for_again_like_a_plan() -> None:
    survey, stage = begun()
    noted = read_progress("[stub.lawn]\ntip = ['3 1/4', '26 5/8', '-2']\n", "p", survey)
    done, again = noted.zone(stage.root.id), (None, noted.stub(stage.root.outlet))
    planner = Planner()
    try:
        for pause in (0.0, 0.01, 0.2):
            assert planner.resumed("k", stage, done, again, pause) is None
            planner.give_up(["k"])
            assert planner.resumed("k", stage, done, again, 0.0) == ""
            planner.ask_again(["k"])
        assert isinstance(planner.resumed("k", stage, done, again, 60.0), ZoneResumed)
    finally:
        planner.close()


def test_what_changes_below_a_resumed_plan_asks_another_question() -> None:
    before, after = garden(), garden('condition = "sun-struck"', 'condition = "old"')
    keys_of = [{str(z.id): resumed_key(s, z, "x") for z in s.zones} for s in (before, after)]
    assert [z for z in keys_of[0] if keys_of[0][z] != keys_of[1][z]] == ["drip"]
    zone = before.zones[0]
    assert resumed_key(before, zone, "x") != resumed_key(before, zone, "y")
