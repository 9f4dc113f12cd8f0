"""Sentences that ask for a field lead to it, and say so in the app's words."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.pages.html import h
from pitwright.pages.keys import FORMS, KINDS_OF_PART
from pitwright.pages.linked import linked
from pitwright.pages.measure import measure_page
from pitwright.pages.measure_taking import take_measure
from pitwright.survey.keys import KEYS
from pitwright.wording.findings import _LIFTS
from tests.pages.standings import asked, example, pit_of

FILE_WORDS = re.compile(r"\[[a-z.A-Z]+\]|\w = |--\w|under \[|\w+\.\w+-\d+\.\w+|_")


def lawn() -> str:
    return example("chapel-lawn")


@pytest.mark.parametrize("code", sorted(_LIFTS))
def test_what_would_lift_a_limit_is_said_without_words_of_a_file(code: str) -> None:
    said = str(h("p", linked(pit_of(lawn()), _LIFTS[code])))
    words = re.sub(r"<[^>]*>", "", said)
    assert not FILE_WORDS.search(words), words


@pytest.mark.parametrize(
    ("line", "way"),
    [
        ("Measure the parts you will use; nobody has measured these", "part=part&amp;name="),
        ("say blocks = true under [preferences]", "part=preferences&amp;name=&amp;field=blocks"),
        ('behind out: say behind = "tee"', "part=stub&amp;name=out&amp;field=behind"),
        ("choose a valve of a size on the shelf", "part=valve&amp;name=new&amp;field=size"),
    ],
)
def test_a_sentence_leads_to_the_field_that_it_asks_for(line: str, way: str) -> None:
    text = (
        '[pit]\nunit = "in"\n[stub.in]\nside = "inlet"\n[stub.out]\nside = "outlet"\n'
        '[valve.new]\nsize = "7"\n'
    )
    assert way in h("p", linked(pit_of(text), line))


def test_every_doubt_on_the_measure_page_can_be_tapped_and_names_no_path_of_a_file() -> None:
    body = measure_page(pit_of(lawn()), asked()).body
    doubts = body.partition('id="doubts"')[2].partition("</section>")[0]
    items = re.findall(r"<li>(.*?)</li>", doubts)
    assert items and all('class="to"' in item for item in items)
    assert not any(FILE_WORDS.search(re.sub(r"<[^>]*>", "", item)) for item in items)


def test_a_fitting_measured_in_the_app_is_what_the_plan_counts_with() -> None:
    form = {
        "form": "part-", "part": "part", "name": "my elbow", "kind": "elbow", "size": "1",
        "angle": "90", "takeout": "1 3/16",
    }  # fmt: skip
    taken = take_measure(pit_of(lawn()), replace(asked(), form=form))
    assert taken.trouble == {}
    survey = pit_of(lawn(), taken.wants).partly.survey
    assert survey is not None
    mine = survey.shelf.fitting("elbow", "1", 90.0)
    theirs = load_shelf().fitting("elbow", "1", 90.0)
    assert mine is not None and theirs is not None
    assert [p.takeout.measured for p in mine.ports] != [p.takeout.measured for p in theirs.ports]


def test_the_forms_ask_only_for_keys_that_a_survey_has_and_kinds_that_the_shelf_has() -> None:
    for part, keys in FORMS.items():
        shape = f"{part}.*" if f"{part}.*" in KEYS else part
        assert {k.name for k in keys} <= set(KEYS[shape])
    assert set(KINDS_OF_PART) == {f.kind for f in load_shelf().fittings}


def test_what_a_person_prefers_is_read_as_a_file_would_be() -> None:
    form = {"form": "p", "part": "preferences", "blocks": "yes", "most_bends": "2"}
    taken = take_measure(pit_of(lawn()), replace(asked(), form=form))
    survey = pit_of(lawn(), taken.wants).partly.survey
    assert survey is not None
    assert (survey.preferences.blocks, survey.preferences.most_bends) == (True, 2)
