"""The plan in words says what the plan is: every cut, every caution, nothing as a bare code."""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.planning import Plan, plan
from pitwright.survey.pit import load_survey
from pitwright.trains.cut_list import Bend
from pitwright.units.inches import both_text
from pitwright.wording.cautions import cautions
from pitwright.wording.plan import bend_words, plan_text

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.pit.toml"))


@cache
def made(path: Path) -> Plan:
    return plan(load_survey(path, load_shelf()))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.name)
def test_every_cut_of_every_option_is_there_with_its_letter(path: Path) -> None:
    text = plan_text(made(path))
    for zone in made(path).zones:
        assert f"ZONE {zone.zone.name} (" in text
        for option in () if isinstance(zone.answer, Refusal) else zone.answer:
            for piece in option.cuts.pieces:
                assert re.search(rf"\b{piece.letter} +{re.escape(both_text(piece.length))}", text)
            for work in option.stubs:
                assert work.cut == 0.0 or f"{both_text(work.cut)} off {work.stub}" in text


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.name)
def test_no_bare_code_is_printed_and_every_caution_is(path: Path) -> None:
    lines = plan_text(made(path)).splitlines()
    assert [x for x in lines if re.match(r"\s*! [a-z]+([-_][a-z]+)*(:|$)(?! stub)", x)
            and not re.match(r"\s*! (check|note|stop):", x, re.IGNORECASE)] == []  # fmt: skip
    assert [c.code for c in cautions() if f"! {c.words}" not in lines] == []


def bend(clock: float) -> Bend:
    return Bend("bend", math.radians(45), math.radians(clock), 0.0, 0.0, ())


@pytest.mark.parametrize(
    ("clock", "words"),
    [
        (0, "straight up"),
        (90, "straight right"),
        (180, "straight down"),
        (-180, "straight down"),
        (-90, "straight left"),
        (20, "up, 20° toward right"),
        (-160.7, "down, 19° toward left"),
        (100, "right, 10° toward down"),
        (-44, "up, 44° toward left"),
    ],
)
def test_the_first_bend_is_clocked_like_a_face(clock: float, words: str) -> None:
    assert bend_words(bend(clock), 0) == f"outlet points {words}, looking along the flow"


def test_later_bends_are_clocked_against_the_one_before() -> None:
    assert "goes on turning" in bend_words(bend(0.2), 1)
    assert "turns back" in bend_words(bend(-179.8), 1)
    assert "rolled 30° to the right" in bend_words(bend(30), 1)
    assert "rolled 30° to the left" in bend_words(bend(-30), 1)
