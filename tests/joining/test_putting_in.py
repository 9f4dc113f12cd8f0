from __future__ import annotations

from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.joining.assembly import Assembly
from pitwright.joining.checking import objections
from pitwright.joining.putting_in import put_in
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
