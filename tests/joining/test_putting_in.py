from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.joining.assembly import Assembly
from pitwright.joining.checking import objections
from pitwright.joining.putting_in import put_in
from pitwright.joining.work import Work
from pitwright.renewal.cut_in import considered
from pitwright.survey.pit import read_survey
from tests.joining.works import work_of

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@pytest.mark.parametrize("name", ["foot-bridge", "school-garden"])
def test_a_telescoping_coupling_lets_a_straight_train_down_between_stubs(name: str) -> None:
    path = EXAMPLES / f"{name}.pit.toml"
    survey = read_survey(path.read_text(encoding="utf-8"), path.name, load_shelf())
    seen = 0
    for zone in survey.zones:
        answer = considered(survey, zone, 1).answer if zone.planned else ()
        if isinstance(answer, Refusal):
            continue
        for option in answer:
            if "telescoping" in option.key and not survey.stub(zone.outlet).seeps:
                got = put_in(work_of(survey, option))
                assert isinstance(got, Assembly)
                assert (got.giver, got.opening, got.spread) == ("telescoping", 0.0, None)
                seen += 1
    assert seen >= 2


def test_nothing_that_goes_in_is_objected_to_in_any_example() -> None:
    """Before any option is left out for it: the search and its checker mean the same."""
    seen = 0
    for path in sorted(EXAMPLES.glob("*.pit.toml")):
        survey = read_survey(path.read_text(encoding="utf-8"), path.name, load_shelf())
        for zone in survey.zones:
            answer = considered(survey, zone, 3).answer if zone.planned else ()
            for option in () if isinstance(answer, Refusal) else answer:
                work = work_of(survey, option)
                got = put_in(work)
                if isinstance(got, Assembly):
                    assert not objections(work, got), (path.name, option.key)
                    seen += 1
    assert seen >= 10


def cutting() -> list[Work]:
    """Work of an example in which both stubs are cut."""
    path = EXAMPLES / "school-garden.pit.toml"
    survey = read_survey(path.read_text(encoding="utf-8"), path.name, load_shelf())
    found = []
    for zone in survey.zones:
        answer = considered(survey, zone, 1).answer if zone.planned else ()
        found += [
            work_of(survey, o)
            for o in (() if isinstance(answer, Refusal) else answer)
            if all(s.cut > 0.0 for s in o.stubs)
        ]
    return found


def cutters(work: Work, *, brittle: bool) -> list[str]:
    sides = (replace(work.sides[0], brittle=brittle), replace(work.sides[1], brittle=brittle))
    got = put_in(replace(work, sides=sides))
    assert isinstance(got, Assembly)
    told = {f.name("where") for f in got.findings if f.code == "cutter_may_crack"}
    steps = [s for s in got.steps if s.code == "cut_stub"]
    squeezed = {s.name("stub") for s in steps if s.name("tool") == "ratchet cutter"}
    assert told == (squeezed if brittle else set())
    return [s.name("tool") for s in steps]


def test_brittle_pipe_is_sawn_where_a_saw_has_room_else_the_cutter_is_warned_of() -> None:
    works = cutting()
    assert works
    for work in works:
        plain, brittle = cutters(work, brittle=False), cutters(work, brittle=True)
        assert "ratchet cutter" in plain
        assert brittle.count("saw") > plain.count("saw")
        alone = replace(work, tools=("ratchet cutter", "strap wrench"))
        if isinstance(put_in(alone), Assembly):
            assert set(cutters(alone, brittle=True)) == {"ratchet cutter"}
