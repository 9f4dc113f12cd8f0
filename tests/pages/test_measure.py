"""What a form of the measure page comes to."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pitwright.pages.measure import measure_page
from pitwright.pages.measure_taking import take_measure
from pitwright.pages.standing import Pit
from tests.pages.standings import asked, example, pit_of


def walled() -> Pit:
    return pit_of(example("walled-garden"))


def shown(pit: Pit, part: str, name: str = "") -> str:
    return measure_page(pit, replace(asked(), query={"part": part, "name": name})).body


def test_the_header_its_shut_off_and_union_ends_can_be_changed_and_are_entries() -> None:
    pit = walled()
    survey = pit.partly.survey
    assert survey is not None and survey.header is not None
    assert "Header to rebuild" in shown(pit, "header")
    zones = list(survey.header.zones)
    form = {"form": "header-", "part": "header", "zones": ", ".join(zones[:1]), "shut_off": ""}
    taken = take_measure(pit, replace(asked(), form=form))
    assert taken.trouble == {}
    after = pit_of(example("walled-garden"), taken.wants).partly.survey
    assert after is not None and after.header is not None
    assert (list(after.header.zones), after.header.shut_off) == (zones[:1], None)
    valve = next(v for v in survey.valves if v.union_ends)
    form = {"form": "v", "part": "valve", "name": valve.name, "union_ends": ""}
    wants = take_measure(pit, replace(asked(), form=form)).wants
    after = pit_of(example("walled-garden"), wants).partly.survey
    assert (
        after is not None and not next(v for v in after.valves if v.name == valve.name).union_ends
    )


@pytest.mark.parametrize(
    ("part", "field", "typed"),
    [("header", "zones", "nowhere"), ("header", "feed", "nowhere"), ("header", "goes", "x")],
)
def test_a_name_that_is_not_there_is_told_at_its_field(part: str, field: str, typed: str) -> None:
    form = {"form": part, "part": part, field: typed}
    trouble = take_measure(walled(), replace(asked(), form=form)).trouble
    assert [name.partition(".")[0] for name in trouble] == [field]
