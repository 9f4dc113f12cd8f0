"""What a form of the measure page comes to."""

from __future__ import annotations

import html
import re
from dataclasses import replace

import pytest

from pitwright.pages.measure import measure_page
from pitwright.pages.measure_taking import take_measure
from pitwright.pages.readings import want
from pitwright.pages.standing import Pit
from pitwright.pages.wanting import wanting
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


LAID = (
    '[pit]\nunit = "in"\n[stub.in-1]\nside = "inlet"\ntip = ["0", "0", "0"]\n'
    'faces = "downstream"\npipe = "1 in schedule 40 PVC"\ncut_back = "1"\n'
)
ROOT_ONE_END = '[obstacle.lilac]\nkind = "root"\nstart = ["-6", "17", "-2"]\n'


def test_a_root_asks_for_both_its_ends_and_its_thickness_at_once_and_not_under_more() -> None:
    form = shown(pit_of(LAID), "obstacle").partition('id="form"')[2].partition("<details")[0]
    for field in ("end.0", "end.1", "end.2", "thick"):
        assert f'name="{field}"' in shown(pit_of(LAID), "obstacle").partition("More</summary>")[0]
    assert "The other end (if known)" not in form


@pytest.mark.parametrize(("kind", "missing"), [("root", True), ("wire", True), ("rock", False)])
def test_one_end_of_a_long_thing_is_told_as_missing_with_the_way_to_its_field(
    kind: str, missing: bool
) -> None:
    pit = pit_of(LAID + ROOT_ONE_END.replace("root", kind, 1) + 'thick = "1"\n')
    told = [w for w in wanting(pit) if (w.part, w.name) == ("obstacle", "lilac")]
    assert bool(told) == missing
    if missing:
        assert (told[0].field, "the other end" in told[0].words) == ("end.0", True)
        assert "field=end.0#f-end-0" in measure_page(pit, asked()).body


def test_a_root_between_its_ends_is_drawn_and_so_is_a_rock() -> None:
    both = ROOT_ONE_END + 'end = ["6", "17", "-2"]\nthick = "1 1/2"\n'
    lump = ROOT_ONE_END.replace("root", "rock", 1) + 'thick = "4"\n'
    for text, kind in ((both, "obstacle root"), (lump, "obstacle rock")):
        assert f'class="{kind}"' in measure_page(pit_of(LAID + text), asked()).body


def test_all_that_is_missing_is_told_at_once_part_by_part() -> None:
    text = LAID.replace('cut_back = "1"\n', "") + "[box]\nmouth = { left = '-4' }\n"
    told = {(w.part, w.name): w for w in wanting(pit_of(text))}
    box, stub = told["box", ""], told["stub", "in-1"]
    for words in ("right wall", "upstream wall", "downstream wall", "ground above", "gravel"):
        assert words in box.words
    assert (box.field, stub.field) == ("mouth.right", "cut_back")
    assert ("zone", "") in told
    assert len(told) == 3


def test_a_tip_outside_the_box_leads_to_the_stub_and_to_the_soil_that_was_dug_away() -> None:
    text = example("chapel-lawn").replace('left = "-6 1/2"', 'left = "-5/8"')
    pit = pit_of(example("chapel-lawn"))
    tip = next(s for s in pit.partly.stubs if s.side.value == "outlet")
    wants = [want(("stub", str(tip.id), "tip"), "90, 0, 0")]
    told = wanting(pit_of(text, wants))
    assert [(w.part, w.field) for w in told] == [("stub", "tip.0"), ("box", "soil.left")]
    assert not any("[box]" in w.words for w in told)
    opened = replace(asked(), query={"part": "box", "name": "", "field": "soil.left"})
    page = measure_page(pit, opened).body
    assert "<details open><summary>More" in page or 'name="soil.left"' in page.partition("More")[0]


def test_what_was_not_touched_in_a_form_is_not_written_though_it_changed_meanwhile() -> None:
    """Another tab took the seep away; this one changed the tip alone."""
    before = pit_of(LAID + 'seeps = "40 mL/min"\n')
    made = shown(before, "stub", "in-1")
    was = html.unescape(re.findall(r'name="was" value="([^"]*)"', made)[0])
    form = {"form": "stub-in-1", "part": "stub", "name": "in-1", "was": was}
    form |= {"tip.0": "1/8", "tip.1": "0", "tip.2": "0", "seeps": "40 mL/min"}
    now = pit_of(LAID + 'seeps = "40 mL/min"\n', [want(("stub", "in-1", "seeps"), "")])
    taken = take_measure(now, replace(asked(), form=form))
    assert [w.body["reading"] for w in taken.wants] == ["stub/in-1/tip"]


def test_a_pipe_that_may_be_several_is_answered_by_a_list_to_tap_and_the_tap_is_taken() -> None:
    form = {"form": "stub-in-1", "part": "stub", "name": "in-1", "pipe": "class 200"}
    taken = take_measure(pit_of(LAID), replace(asked(), form=form))
    assert "may be any of 5 pipes" in taken.trouble["pipe"]
    again = replace(asked(), form=form, trouble=taken.trouble)
    page = measure_page(pit_of(LAID), again).body
    taps = re.findall(r'type="radio" name="pipe.tapped" value="([^"]*)"', page)
    assert "1-1/4 in SDR 21 PVC" in taps and len(taps) == 5
    form["pipe.tapped"] = "1-1/4 in SDR 21 PVC"
    taken = take_measure(pit_of(LAID), replace(asked(), form=form))
    assert [w.body["typed"] for w in taken.wants] == ["1-1/4 in SDR 21 PVC"]


def test_every_pipe_of_the_shelf_can_be_chosen_without_typing() -> None:
    page = shown(pit_of(LAID), "stub", "in-1")
    listed = html.unescape(
        page.partition('<select name="pipe.tapped"')[2].partition("</select>")[0]
    )
    assert all(f'value="{p.name}"' in listed for p in pit_of(LAID).shelf.pipes)


def test_an_unknown_pipe_takes_what_was_measured_of_it_in_words() -> None:
    form = {"form": "stub-in-1", "part": "stub", "name": "in-1", "pipe": "unknown"}
    form["measured"] = "around 4 1/8, colour white"
    taken = take_measure(pit_of(LAID), replace(asked(), form=form))
    assert taken.trouble == {}
    (stub,) = pit_of(LAID, taken.wants).partly.stubs
    assert stub.pipe is None and stub.measured is not None and stub.measured.colour == "white"
    assert 'value="around 4 1/8, colour white"' in shown(pit_of(LAID, taken.wants), "stub", "in-1")


@pytest.mark.parametrize("typed", ['1"', "1 inch", "1 in", "1"])
def test_the_size_of_a_valve_is_one_of_the_shelfs_however_it_comes(typed: str) -> None:
    form = {"form": "v", "part": "valve", "name": "new", "size": typed, "body": "4 3/4"}
    form["ends"] = "female thread"
    wants = take_measure(pit_of(LAID), replace(asked(), form=form)).wants
    (valve,) = pit_of(LAID, wants).partly.valves
    assert valve.size == "1"
    old = pit_of(f"{LAID}[valve.new]\nbody = '4 3/4'\nends = 'female thread'\nsize = '{typed}'\n")
    assert old.partly.valves[0].size == "1"
    assert '<option value="1" selected>1 in</option>' in shown(old, "valve", "new")


@pytest.mark.parametrize(
    ("typed", "fine"), [("20 drips a minute", True), ("a cup an hour", True), ("a bit", False)]
)
def test_a_seep_is_taken_as_it_is_said_and_checked_at_entry(typed: str, fine: bool) -> None:
    form = {"form": "s", "part": "stub", "name": "in-1", "seeps": typed, "proved_dry": ""}
    taken = take_measure(pit_of(LAID.replace('cut_back = "1"', "")), replace(asked(), form=form))
    assert ("seeps" not in taken.trouble) == fine
    if fine:
        page = shown(pit_of(LAID, taken.wants), "stub", "in-1")
        assert "It seeps " in page and "mL/min" in page


def test_proved_dry_is_a_reading_beside_the_seep_that_stays() -> None:
    pit = pit_of(LAID + 'seeps = "20 drips a minute"\n')
    form = {"form": "s", "part": "stub", "name": "in-1", "proved_dry": "yes"}
    wants = take_measure(pit, replace(asked(), form=form)).wants
    assert [w.body["reading"] for w in wants] == ["stub/in-1/proved_dry"]
    after = pit_of(LAID + 'seeps = "20 drips a minute"\n', wants)
    assert after.readings["stub", "in-1", "seeps"].text == "20 drips a minute"
    assert after.partly.stubs[0].seeps is None
