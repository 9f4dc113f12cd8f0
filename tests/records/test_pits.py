"""Places by their names; plans with what made them; lists for others."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import Malformed, UnknownName, Unreadable
from pitwright.records.accepting import accept, erase
from pitwright.records.export import COLUMNS, csv_text, disarmed, geojson
from pitwright.records.history import Standing, timeline, timeline_json
from pitwright.records.pits import Place, find, found, listed, people, save_plan, survey_of
from pitwright.records.store import SHOP, Draft, Store
from tests.records.support import NOON, OFFICE, entry_of, hand, label, note

SURVEY = 'name = "north gate"\r\n# e\u0301, typed so: 4 3/8\n'.encode()


def garden(store: Store) -> None:
    h = hand()
    body = {"name": "School garden", "owner": "the parents", "latitude": "51.5", "longitude": "0.1"}
    store.write(Draft("property", "s-1", "s-1", body), h)
    store.write(Draft("property", "s-2", "s-2", {"name": "Chapel lawn"}), h)
    store.write(Draft("pit", "s-1", "b-1", {"label": "north gate", "latitude": "51.6",
                                            "longitude": "0.2"}), h)  # fmt: skip
    store.write(label("south gate", "b-2"), h)
    store.write(label("north gate", "b-3", "s-2"), h)


def test_a_place_is_found_by_its_name_its_words_or_its_id(store: Store) -> None:
    garden(store)

    assert find(store, "property", "chapel lawn").site == "s-2"
    assert find(store, "property", "school").subject == "s-1"
    assert find(store, "pit", "south").subject == "b-2"
    assert find(store, "pit", "School garden / north gate").subject == "b-1"
    assert find(store, "pit", "b-3") == Place("s-2", "b-3", "pit", "north gate")
    with pytest.raises(Malformed, match=r"fits several: north gate \(b-1\), north gate \(b-3\)"):
        find(store, "pit", "north gate")
    assert find(store, "pit", "north gate", frozenset({"s-2"})).subject == "b-3"
    for kind, text in (("pit", "well"), ("property", "north"), ("pit", "nowhere / north gate")):
        with pytest.raises(UnknownName):
            find(store, kind, text)


def test_a_place_is_known_by_its_present_name_only(store: Store) -> None:
    garden(store)
    h = hand("z")
    store.write(label("shed", "b-2"), h)

    assert found(store, "pit", "south") == []
    assert find(store, "pit", "shed").subject == "b-2"
    assert [p.subject for p in listed(store, "pit")] == ["b-1", "b-3", "b-2"]
    gone = store.write(label("shed two", "b-9"), h)
    store.take_back(gone.id, h)
    assert "b-9" not in {p.subject for p in listed(store, "pit")}
    assert listed(store, "pit", frozenset()) == []


def test_a_plan_keeps_its_survey_and_result_to_the_byte(store: Store) -> None:
    garden(store)
    place = find(store, "pit", "b-1")
    h = hand("p")
    first = save_plan(
        store,
        h,
        place,
        survey=SURVEY,
        result=b'{"schema":"x"}',
        program="pitwright 0.1.0",
        title="A",
    )
    second = save_plan(store, h, place, survey=b"other", program="pitwright 0.2.0", title="B")

    newest = survey_of(store, place)
    assert (newest.entry.id, newest.survey, newest.result) == (second.id, b"other", None)
    chosen = survey_of(store, place, first.id)
    assert (chosen.survey, chosen.result) == (SURVEY, b'{"schema":"x"}')
    assert chosen.program == "pitwright 0.1.0"
    store.take_back(second.id, h)
    assert survey_of(store, place).survey == SURVEY
    with pytest.raises(UnknownName, match="plan of this pit"):
        survey_of(store, find(store, "pit", "b-2"))
    erase(store, [first.id], h, reason="asked for", files=list(first.header.files))
    with pytest.raises((UnknownName, Unreadable)):
        survey_of(store, place)


def test_people_have_names_only_where_they_may(store: Store) -> None:
    h = hand()
    entry = store.write(Draft("person", SHOP, "u-office", {"name": "Xanthippe"}), h)
    assert people(store) == {"u-office": "Xanthippe"}
    erase(store, [entry.id], h, reason="asked for")
    assert people(store) == {}


def test_the_time_line_says_what_became_of_everything(store: Store) -> None:
    h = hand()
    old = store.write(label("first"), h)
    new = store.write(label("second"), h)
    wrong = store.write(note("wrong"), h)
    back = store.take_back(wrong.id, h)
    gone = store.write(note("who"), h)
    erase(store, [gone.id], h, reason="asked for")
    rival = entry_of(kind="pit", field="pit", body={"label": "rival"}, supersedes=(old.id,))
    strange = entry_of(2, kind="hologram", field="hologram/1")
    accept(store, [rival.message(), strange.message()], OFFICE, NOON)
    events = timeline("s-1", "b-1", store.of_subject("s-1", "b-1"))
    standing = {e.id: e.standing for e in events}

    assert standing[old.id] is Standing.SUPERSEDED
    assert standing[new.id] is standing[rival.id] is Standing.ONE_OF_SEVERAL
    assert standing[wrong.id] is Standing.TAKEN_BACK and standing[back.id] is Standing.HOLDS
    assert standing[gone.id] is Standing.NOT_HERE and standing[strange.id] is Standing.NEWER
    document = timeline_json("s-1", "b-1", events)
    assert len(document["events"]) == len(events) == 8
    assert json.loads(json.dumps(document)) == document


@given(st.text(max_size=12))
def test_no_cell_can_be_a_formula(text: str) -> None:
    cell = disarmed(text)

    assert cell.endswith(text)
    assert not cell.lstrip().startswith(("=", "+", "-", "@"))


@pytest.mark.parametrize("text", ["=1+1", " =1", "+1", "-3", "@SUM(A1)", "\t=1", "\r=1", "|x"])
def test_what_a_spreadsheet_would_run_is_disarmed(text: str) -> None:
    assert disarmed(text) == f"'{text}"


def test_a_list_has_every_entry_and_no_formula(store: Store) -> None:
    garden(store)
    h = hand("c")
    store.write(note("=cmd|'/C calc'!A0"), h)
    store.write(
        Draft("reading", "s-1", "b-1", {"reading": "a", "typed": "-3 in", "value": "-3"}), h
    )
    rows = list(csv.reader(io.StringIO(csv_text(store))))

    assert tuple(rows[0]) == COLUMNS and len(rows) == store.count() + 1
    assert not [cell for row in rows for cell in row if cell.startswith(("=", "+", "-", "@"))]
    assert {row[1] for row in rows[1:]} == {"School garden", "Chapel lawn"}
    assert "'-3 in" in {row[9] for row in rows}
    only = list(csv.reader(io.StringIO(csv_text(store, frozenset({"s-2"})))))
    assert {row[1] for row in only[1:]} == {"Chapel lawn"}


def test_a_map_holds_places_and_names_but_no_owner(local: Callable[[str], Store]) -> None:
    store = local("a")
    garden(store)
    found_ = geojson(store)
    text = json.dumps(found_)

    assert [f["geometry"]["coordinates"] for f in found_["features"]] == [[0.1, 51.5], [0.2, 51.6]]
    assert "parents" not in text and "School garden" in text
    assert geojson(store, frozenset({"s-2"})) == {"type": "FeatureCollection", "features": []}
