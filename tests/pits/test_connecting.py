"""The connectors in whole pits, through the real command: what it offers, refuses, and by how much.

The pits are the examples. Checks build the printed trains again from the JSON document.
"""

from __future__ import annotations

import json
import math
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal, StubId
from pitwright.renewal.cut_in import cut_in
from pitwright.survey.pit import Survey, load_survey, read_survey
from pitwright.units.kinds import INCH
from pitwright.wording.plan_data import option_data
from tests.cli.test_plan import command
from tests.pits.walker import missed, stations

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
Data = dict[str, Any]


def planned(path: Path, code: int = 0) -> Data:
    got = command("plan", str(path), "--json")
    assert (got.returncode, got.stderr) == (code, "")
    document: Data = json.loads(got.stdout)
    return document


@cache
def example(name: str) -> tuple[Survey, Data]:
    path = EXAMPLES / f"{name}.pit.toml"
    return load_survey(str(path), load_shelf()), planned(path)


def changed(name: str, folder: Path, *pairs: tuple[str, str], code: int = 0) -> Data:
    text = (EXAMPLES / f"{name}.pit.toml").read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    path = folder / "changed.pit.toml"
    path.write_text(text, encoding="utf-8")
    return planned(path, code)


def certified(option: Data) -> None:
    """The strain ratio and its bounds, as a closing plan must have them."""
    bending = option["bending"]
    low, high = bending["ratio"]["lower"], bending["ratio"]["upper"]
    assert 0.0 <= low <= high <= 1.0
    assert high - low <= max(0.02 * high, 0.002) + 1e-9
    assert 0.0 <= bending["strain_ratio"] <= high + 1e-9


def closes(survey: Survey, zone: Data, option: Data) -> float:
    a, b = (survey.stub(zone[k]) for k in ("inlet", "outlet"))
    off, angle = missed(option, (a.tip.mean, a.outward), (b.tip.mean, b.outward))
    assert angle <= math.radians(3.2)
    return off


def of_code(shorts: list[Data], code: str) -> Data:
    (found,) = (s for s in shorts if s["code"] == code)
    return found


@pytest.mark.parametrize("name", ["cast-wall", "foot-bridge", "chapel-lawn", "orchard-gate"])
def test_every_option_is_certified_and_closes_when_it_is_built_again(name: str) -> None:
    survey, document = example(name)
    for zone in document["zones"]:
        assert zone["options"]
        for option in zone["options"]:
            certified(option)
            assert closes(survey, zone, option) <= INCH / 4 + INCH / 16


def test_f1_the_search_finds_the_box_of_four_elbows_between_ends_that_cannot_move() -> None:
    _, document = example("cast-wall")
    (zone,) = document["zones"]
    first = zone["options"][0]
    bends = [i for i in first["items"] if i["kind"] == "bend"]
    assert [b["angle_deg"] for b in bends] == pytest.approx([90.0] * 4)
    assert all(b["parts"] == ["elbow90-sch40-3/4"] for b in bends)
    assert [c["cut_m"] for c in first["cut_off"]] == [0.0, 0.0]
    assert first["bending"]["ratio"]["upper"] < 0.01
    assert first["bending"]["peak"] is None
    stuck = of_code(zone["passed_over"], "STUCK")
    assert stuck["missed"] == pytest.approx(15 / 16 * INCH)
    assert stuck["lift"] == "slide_or_box"


def test_f1_a_gap_below_the_least_is_refused_with_code_and_shortfall(tmp_path: Path) -> None:
    """The loops that go round through the wall or through themselves are refused too."""
    got = changed("cast-wall", tmp_path, ('"4 7/16"', '"4"'), code=3)
    (zone,) = got["zones"]
    assert zone["options"] == []
    assert zone["passed_over"] == []
    legs = [s for s in zone["refused"]["because"] if s["tried"].startswith("90-90-90-90")]
    assert legs
    assert {s["code"] for s in legs} <= {"LEG", "WALL", "CROSSED", "ABSURD", "CUT_SHORT"}
    assert any(s["code"] == "CUT_SHORT" for s in legs) == zone["refused"]["cut_short"]
    known = [s for s in legs if s["code"] != "CUT_SHORT"]
    assert all(s["unit"] == "m" and s["missed"] > 0.0 for s in known)
    assert min(s["missed"] for s in known) < 2 * INCH
    assert of_code(zone["refused"]["because"], "STUCK")["lift"] == "slide_or_box"


def test_f2_a_gap_in_the_window_takes_the_coupling_alone() -> None:
    _, document = example("foot-bridge")
    left = document["zones"][0]
    first = left["options"][0]
    (body,) = first["items"]
    assert body["parts"] == ["telescoping-sch40-3/4"]
    assert 10 * INCH <= body["length_m"] <= 15.5 * INCH
    shorter, longer = body["gives_m"]
    assert body["length_m"] - shorter == pytest.approx(10 * INCH)
    assert body["length_m"] + longer == pytest.approx(15.5 * INCH)
    assert {f["code"] for f in first["findings"]} >= {"holds_no_thrust", "set_stroke"}


def test_f2_a_gap_a_quarter_inch_too_long_is_told_and_a_piece_is_added() -> None:
    _, document = example("foot-bridge")
    right = document["zones"][1]
    window = of_code(right["passed_over"], "WINDOW")
    assert window["tried"] == "straight, direct-telescoping"
    assert window["need"] == pytest.approx(15.5 * INCH)
    assert window["missed"] == pytest.approx(INCH / 4, abs=INCH / 64)
    assert (window["unit"], window["lift"]) == ("m", "add_pipe")
    kinds = [i["kind"] for i in right["options"][0]["items"]]
    assert sorted(kinds) == ["body", "body", "piece"]


def test_less_reserve_reaches_that_gap_and_more_loses_the_other(tmp_path: Path) -> None:
    few = ("[conditions]", '[preferences]\nstroke_reserve = "1/8"\n\n[conditions]')
    got = changed("foot-bridge", tmp_path, few)
    assert [z["options"][0]["skeleton"] for z in got["zones"]] == [
        "straight, direct-telescoping"
    ] * 2
    more = ("[conditions]", '[preferences]\nstroke_reserve = "2 1/2"\n\n[conditions]')
    got = changed("foot-bridge", tmp_path, more)
    assert got["zones"][0]["options"][0]["skeleton"] != "straight, direct-telescoping"


def room_from_root(survey: Survey, zone: Data, option: Data) -> float:
    """The least distance from the train's axis to the root's, along fine steps of both. [m]"""
    inlet = survey.stub(zone["inlet"])
    ends = stations(option, inlet.tip.mean, inlet.outward)
    points = np.concatenate([np.linspace(a, b, 400) for a, b in pairwise(ends)])
    (root,) = (o for o in survey.obstacles if o.name == "root")
    along = np.linspace(root.start, root.end, 400)
    return float(np.min(np.linalg.norm(points[:, None, :] - along[None, :, :], axis=2)))


def test_p3_every_train_passes_the_root_and_without_it_the_shortest_went_through(
    tmp_path: Path,
) -> None:
    survey, document = example("chapel-lawn")
    (zone,) = document["zones"]
    (root,) = (o for o in survey.obstacles if o.name == "root")
    pipe = survey.stub(StubId("feed")).pipe
    assert pipe is not None
    keep = root.radius + root.clear + pipe.od.value / 2
    for option in zone["options"]:
        assert room_from_root(survey, zone, option) >= keep - INCH / 16, option["skeleton"]
    text = (EXAMPLES / "chapel-lawn.pit.toml").read_text(encoding="utf-8")
    root_lines = text[text.index("[obstacle.root]") : text.index("[valve.globe]")]
    free = changed("chapel-lawn", tmp_path, (root_lines, ""))["zones"][0]
    shortest = next(o for o in free["options"] if o["skeleton"].startswith("45-45, "))
    assert room_from_root(survey, zone, shortest) < keep - INCH / 8
    assert shortest["items"] not in [o["items"] for o in zone["options"]]
    rolled = [o for o in zone["options"] if o["skeleton"].startswith("45-45, ")]
    assert rolled
    assert all(o["bending"]["closes_as_it_lies"] for o in rolled)


def closing(*pairs: tuple[str, str]) -> list[Data]:
    """What closes at the orchard's gate with up to three bends, whether it goes in or not."""
    text = (EXAMPLES / "orchard-gate.pit.toml").read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    survey = read_survey(text, "orchard-gate", load_shelf())
    got = cut_in(survey, survey.zones[0], 3)
    assert not isinstance(got, Refusal)
    return [option_data(o) for o in got]


def bends_that_close(options: list[Data]) -> set[str]:
    return {o["skeleton"].split(",")[0] for o in options if o["bending"]["closes_as_it_lies"]}


def test_four_inches_more_digging_changes_the_answer() -> None:
    found = closing()
    assert bends_that_close(found) == {"45-90-45"}
    dug = next(o for o in found if o["skeleton"].startswith("straight, coupled-coupled"))
    (where,) = dug["bending"]["dig_first"]
    assert where["stub"] == "pears"
    assert where["more_bare_m"] == pytest.approx(4 * INCH)
    assert dug["bending"]["ratio_now"]["lower"] > 1.0
    after = closing(('bare = ["6"]', 'bare = ["10"]'))
    first = next(o for o in after if o["skeleton"] == dug["skeleton"])
    assert first["bending"]["closes_as_it_lies"]
    assert first["bending"]["ratio"]["upper"] == pytest.approx(
        dug["bending"]["ratio"]["upper"], rel=0.02
    )
    assert bends_that_close(closing(('bare = ["6"]', 'bare = ["8"]'))) == {"45-90-45"}


def test_what_closes_at_the_orchards_gate_goes_in_only_as_a_box_or_slipped_in() -> None:
    """Its stubs are too short to be pushed aside: a U on parallel ports, or bodies that slide."""
    _, document = example("orchard-gate")
    (zone,) = document["zones"]
    assert {o["way"] for o in zone["options"]} == {"box around", "slip in"}
    refused = {w["way"]: w["refused"] for w in zone["ways"]}
    assert refused["box around"] is None
    assert "ASIDE" in {s["code"] for s in refused["cut in"]["because"]}


def test_unions_stand_beside_the_valve_and_a_copper_lateral_gets_options(tmp_path: Path) -> None:
    union = ("[conditions]", "[preferences]\nunions = true\n\n[conditions]")
    got = changed("orchard-gate", tmp_path, union)
    for option in got["zones"][0]["options"]:
        has = any("union" in p["item"] for p in option["parts"])
        assert has != ("no_union" in [f["code"] for f in option["findings"]])
    copper = ('pipe = "1 in SDR 21 PVC"', 'pipe = "1 in copper tube type L"')
    items = {p["item"] for o in closing(copper) for p in o["parts"]}
    assert any("copper by female thread adapter" in i for i in items)
