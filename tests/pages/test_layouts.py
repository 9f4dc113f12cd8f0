"""Typical layouts: what they name, and how they take the zones that were named before."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from pitwright.pages.asked import Want
from pitwright.pages.layouts import tags_of, zones_said
from pitwright.pages.look import look_page
from pitwright.pages.measure import measure_page
from pitwright.pages.measure_taking import take_measure
from pitwright.pages.readings import want
from pitwright.pages.standing import Pit
from pitwright.pages.wanting import wanting
from tests.pages.standings import asked, pit_of


def named(zones: str, more: tuple[Want, ...] = ()) -> Pit:
    return pit_of("", [Want("pit", {"label": "gate", "zones": zones}), *more])


@pytest.mark.parametrize(
    ("said", "zones"),
    [
        ("lawn, beds", ("lawn", "beds")),
        ("Lawn and back fence", ("lawn", "back fence")),
        ("zone 3, zone 4", ("3", "4")),
        ("3", ("3",)),
        ("", ()),
        ("lawn, lawn; <b>", ("lawn",)),
        (", ".join(f"z{n}" for n in range(12)), tuple(f"z{n}" for n in range(8))),
    ],
)
def test_zones_are_taken_as_they_were_typed_when_the_pit_was_added(
    said: str, zones: tuple[str, ...]
) -> None:
    assert zones_said(named(said)) == zones


def test_a_layout_offers_as_many_valves_as_there_are_zones_and_names_stubs_by_them() -> None:
    page = measure_page(named("lawn, beds"), asked()).body
    assert '<option value="2" selected>2</option>' in page
    form = {"form": "layout", "layout": "across", "zones": "2", "pipe_in": '1" sch 40'}
    form |= {"pipe_out": "1 in class 200", "size": "1"}
    wants = take_measure(named("lawn, beds"), replace(asked(), form=form)).wants
    pit = named("lawn, beds", wants)
    assert {p[1] for p in pit.readings if p[0] == "zone"} == {"lawn", "beds"}
    assert {p[1] for p in pit.readings if p[0] == "stub"} == {
        "in-lawn", "out-lawn", "in-beds", "out-beds"
    }  # fmt: skip
    assert pit.readings["zone", "beds", "inlet"].text == "in-beds"
    assert pit.readings["pit", "datum"].text == "middle of the open end of in-lawn"
    look = look_page(pit, asked()).body
    assert re.search(r'<select name="zone".*?value="beds"', look)


def test_zones_without_a_name_are_numbered_and_no_number_is_given_twice() -> None:
    assert tags_of((), 2) == ("1", "2")
    assert tags_of(("lawn",), 3) == ("lawn", "1", "2")
    assert tags_of(("2",), 3) == ("2", "1", "3")
    assert tags_of(("a", "b", "c"), 2) == ("a", "b")


def test_after_a_form_is_whole_the_next_that_lacks_something_is_opened_under_the_saved_notice() -> (
    None
):
    form = {"form": "layout", "layout": "across", "zones": "1", "pipe_in": "1 in schedule 40 PVC"}
    form |= {"pipe_out": "1 in schedule 40 PVC", "size": "1"}
    first_taken = take_measure(named(""), replace(asked(), form=form))
    assert first_taken.go.endswith("/measure?part=missing")
    laid = first_taken.wants
    pit = named("", laid)
    box = {"form": "box-", "part": "box", "grade": "9", "floor": "8"}
    half = take_measure(pit, replace(asked(), form=box))
    assert "part=box&name=&field=mouth.left" in half.go
    box |= {f"mouth.{way}": "9" for way in ("left", "right", "upstream", "downstream")}
    taken = take_measure(pit, replace(asked(), form=box))
    first = wanting(named("", (*laid, *taken.wants)))[0]
    assert (first.part, first.name, first.field) == ("stub", "in-1", "cut_back")
    assert taken.go.endswith("/measure?part=stub&name=in-1&field=cut_back")
    query = {"part": "stub", "name": "in-1", "field": "cut_back", "saved": "x"}
    page = measure_page(named("", (*laid, *taken.wants)), replace(asked(), query=query)).body
    assert (
        0
        < page.index('id="form"')
        < page.index('id="drawing"' if 'id="drawing"' in page else "Nothing is drawn")
    )


def test_a_change_to_what_lacked_nothing_stays_where_it_is() -> None:
    pit = named("", (want(("pit", "unit"), "in"),))
    form = {"form": "p", "part": "pit", "downstream": "toward the shed", "unit": "in"}
    assert take_measure(pit, replace(asked(), form=form)).go.endswith("/measure?part=pit&name=")


def test_the_weather_is_not_folded_away_when_it_is_empty() -> None:
    page = measure_page(named(""), replace(asked(), query={"part": "conditions", "name": ""})).body
    form = page.partition('id="form"')[2].partition("</section>")[0]
    assert 'name="air"' in form.partition("<details")[0]
