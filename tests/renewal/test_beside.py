"""The ways beside the trains, as the examples show them: planned, told in text and in JSON."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pitwright.carry.content import Base, Carried
from pitwright.carry.page import carry_page
from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.paper.pit_sheet import pit_sheet_pdf
from pitwright.planning import Plan, plan
from pitwright.renewal.beside import beside
from pitwright.survey.pit import load_survey
from pitwright.wording.beside import beside_name
from pitwright.wording.plan import plan_text
from pitwright.wording.plan_data import plan_data
from tests.paper.test_pit_sheet import copied

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@cache
def planned(name: str) -> Plan:
    return plan(load_survey(EXAMPLES / f"{name}.pit.toml", load_shelf()))


def told(name: str, way: str, zone: str | None) -> dict[str, Any]:
    document = plan_data(planned(name), "0")
    (found,) = [b for b in document["beside"] if b["way"] == way and b["zone"] == zone]
    return dict(found)


def test_the_mill_race_s_roses_get_a_diaphragm_and_nothing_is_cut() -> None:
    got = told("mill-race", "renew the insides", "roses")
    assert got["planned"]["parts"] == [{"item": "diaphragm", "count": 1}]
    assert got["planned"]["cuts"] == got["planned"]["cemented"] == 0
    assert "body" in got["keeps"]


def test_a_cracked_shell_is_refused_with_what_would_lift_it() -> None:
    got = told("mill-race", "renew the insides", "ferns")
    assert got["planned"] is None
    assert "SHELL_CRACKED" in {s["code"] for s in got["refused"]["because"]}
    assert all(s["lift"] and s["text"] for s in got["refused"]["because"])


def test_the_mill_race_s_ferns_get_a_shut_off_in_line() -> None:
    got = told("mill-race", "shut-off now, rest later", "ferns")
    assert got["planned"]["in_line"] is True
    assert "old valve" in got["keeps"]
    assert got["planned"]["steps"][-1]["code"] == "water_on"
    assert got["planned"]["left_ahead_m"] > 0.0


def test_the_walled_garden_s_header_is_rebuilt_with_a_branch_for_each_zone() -> None:
    got = told("walled-garden", "rebuild from the feed", None)["planned"]
    assert [b["zone"] for b in got["places"]] == ["herbs", "frames", "pears"]
    assert len(got["branches"]) == 3
    assert all(b["assembly"] is not None for b in got["branches"])
    assert got["water_on_s"] == got["steps"][-1]["ends_s"]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("mill-race", "renew the insides: keeps body"),
        ("mill-race", "shut-off now, rest later: keeps stub ferns-in, old valve"),
        ("walled-garden", "rebuild from the feed: keeps stub feed"),
    ],
)
def test_the_text_names_each_way_by_what_stays(name: str, words: str) -> None:
    assert words in plan_text(planned(name))


def test_what_nobody_asked_for_is_in_json_and_not_in_the_text() -> None:
    name = "chapel-lawn"
    survey = load_survey(EXAMPLES / f"{name}.pit.toml", load_shelf())
    ways = beside(survey)
    assert len(ways) == 2 * len(survey.zones)
    assert all(isinstance(b.answer, Refusal) and not b.asked for b in ways)
    assert "BESIDE" not in plan_text(planned(name))


def test_the_plan_states_its_node_limit_and_that_it_was_not_reached() -> None:
    found = {f.code: f for f in planned("school-garden").findings}
    assert found["choice_proved"].number("most") == 2_000_000
    assert found["choice_proved"].number("nodes") < found["choice_proved"].number("most")


def test_each_planned_way_has_a_load_of_its_own_and_a_refused_one_has_none() -> None:
    for one in planned("walled-garden").beside:
        got = told("walled-garden", one.way, one.zone)
        if isinstance(one.answer, Refusal):
            assert got["load"] is None
            continue
        need = {x["item"]: x["need"] for x in got["load"]["parts"]}
        assert need == dict(one.answer.parts)
        assert {x["pipe"] for x in got["load"]["pipes"]} <= {
            name for name, _ in getattr(one.answer, "pipes", ())
        } | {getattr(one.answer, "pipe_name", "")}


@pytest.mark.parametrize("name", ["mill-race", "walled-garden"])
def test_the_sheet_and_the_carry_file_tell_each_planned_way(name: str) -> None:
    whole = planned(name)
    page = carry_page(Carried(whole, Base(), "today", "pitwright"))
    sheet = copied(pit_sheet_pdf(whole, "a4"))
    ways = [b for b in whole.beside if not isinstance(b.answer, Refusal)]
    assert ways
    for one in ways:
        said = beside_name(one, whole.survey)
        assert said in page
        assert said in sheet
