"""A phone's notes, taken into the record: once each, beside what changed, never by halves."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest

from pitwright.errors import BadInput, Contradiction, Missing, UnknownName
from pitwright.records.notes import heads, pit_of_notes, read_notes, take_notes
from pitwright.records.pits import Place
from pitwright.records.store import Draft, Store
from tests.records.support import NOON, hand, label

PIT = Place("s-1", "b-1", "pit", "north gate")


def note(id: str = "a" * 32, kind: str = "piece", **more: Any) -> dict[str, Any]:
    body = {"letter": "A", "cut": "12 3/16 in", "planned": "12 1/8 in"}
    at = NOON.isoformat()
    return {"id": id, "kind": kind, "body": body, "at": at, "back": False, "knew": []} | more


def document(*notes: Any, **more: Any) -> bytes:
    pit = {"site": "s-1", "subject": "b-1", "name": "north gate"}
    return json.dumps({"schema": "pitwright-notes-1", "pit": pit, "notes": notes} | more).encode()


def taken(store: Store, *notes: Any) -> Any:
    return take_notes(store, read_notes(document(*notes), "notes.json").notes, PIT, hand())


@pytest.fixture
def gate(store: Store) -> Store:
    store.write(label("north gate"), hand())
    return store


def test_a_note_is_one_entry_however_often_it_comes(gate: Store) -> None:
    reading = note("b" * 32, "reading", body={"reading": "pressure", "typed": "62 psi"})
    first = taken(gate, note(), reading)
    again = taken(gate, note(), reading, note("c" * 32, "joint", body={"label": "3"}))

    assert (len(first.taken), first.known) == (2, 0)
    assert (len(again.taken), again.known) == (1, 2)
    cut = gate.state("s-1", "b-1").field("piece/a")
    assert cut is not None and cut.fact is not None
    assert cut.fact.value("cut") == {"typed": "12 3/16 in", "inch": "195/16"}
    assert cut.fact.happened.first == NOON


def test_a_later_note_of_the_same_piece_stands_in_place_of_the_first(gate: Store) -> None:
    longer = {"letter": "A", "cut": "12 1/4 in"}
    done = taken(gate, note(), note("b" * 32, body=longer))

    field = gate.state("s-1", "b-1").field("piece/a")
    assert done.beside == []
    assert field is not None and not field.contested and field.fact is not None
    assert field.fact.value("cut")["typed"] == "12 1/4 in"


def test_what_the_phone_knew_is_replaced_and_what_it_did_not_know_stands_beside(
    gate: Store,
) -> None:
    draft = Draft("piece", "s-1", "b-1", {"letter": "A", "cut": "12 in"})
    gate.write(draft, hand())
    knew = heads(gate, PIT)
    assert taken(gate, note(knew=knew["piece/a"])).beside == []
    gate.write(Draft("piece", "s-1", "b-1", {"letter": "A", "cut": "11 in"}), hand())
    late = taken(gate, note("b" * 32, knew=knew["piece/a"]))

    field = gate.state("s-1", "b-1").field("piece/a")
    assert len(late.beside) == 1
    assert field is not None and field.contested


def test_what_the_phone_took_back_is_not_taken_in_or_taken_back_once(gate: Store) -> None:
    assert taken(gate, note(back=True)).taken == []
    taken(gate, note())
    count = gate.count()
    assert taken(gate, note(back=True)).back == 1
    assert taken(gate, note(back=True)).known == 1
    assert gate.count() == count + 1
    field = gate.state("s-1", "b-1").field("piece/a")
    assert field is None or field.fact is None


def test_an_older_plan_is_said(gate: Store) -> None:
    assert taken(gate, note(plan="e1_old")).stale
    assert not taken(gate, note("b" * 32)).stale


def test_a_clock_that_ran_ahead_is_not_believed(gate: Store) -> None:
    late = (NOON + timedelta(days=900)).isoformat()
    done = taken(gate, note(at=late))
    assert done.redated == 1
    assert gate.state("s-1", "b-1").of_kind("piece")[0].happened.first <= hand().now


def test_text_around_the_notes_is_let_be() -> None:
    """A message adds a greeting and a signature."""
    data = b"Hello,\n" + document(note()) + b"\n-- \nsent from the field\n"
    assert len(read_notes(data, "x.txt").notes) == 1


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "holds no notes"),
        (b"\xff\xfe{}", "holds no notes"),
        (document(note())[:-40] + b"}", "broken off or changed"),
        (b'{"schema": "pitwright-notes-9"}', "must be pitwright-notes-1"),
        (document(pit=3), "pit must be a table"),
        (document(pit={"site": 4}), "pit.site must be a short text"),
        (document("x"), "note 1 must be a table"),
        (document(notes={}), "must be a list"),
        (document(note(id="../etc")), "note 1.id must be 8 to 64"),
        (document(note(), note()), "note 2.id stands twice"),
        (document(note(kind="erase")), "not a known kind of note"),
        (document(note(body={"letter": "A", "cut": "deep"})), "note 1, piece.cut"),
        (document(note(body={"letter": "A"})), "note 1, piece.cut is missing"),
        (document(note(body={"letter": "A", "cut": "3", "owner": "x"})), "not a known field"),
        (document(note(at="noon")), "must be a moment with its zone"),
        (document(note(knew="x")), "note 1.knew must be a short list"),
        (b"{" * 5000 + b"}" * 5000, "broken off or changed"),
    ],
)
def test_a_bad_file_is_one_clear_message(data: bytes, said: str) -> None:
    with pytest.raises(BadInput) as bad:
        read_notes(data, "notes.json")
    message = str(bad.value)
    assert said in message and message.startswith("notes.json") and "\n" not in message


def test_the_pit_is_the_one_the_notes_name(gate: Store) -> None:
    notes = read_notes(document(note()), "x")
    nowhere = read_notes(document(pit={"name": "gate"}), "x")
    lost = read_notes(document(pit={"site": "s-1", "subject": "b-9", "name": "well"}), "x")
    other = Place("s-1", "b-2", "pit", "well")

    assert pit_of_notes(gate, notes, None) == PIT
    assert pit_of_notes(gate, nowhere, other) == other
    with pytest.raises(Missing, match="--pit"):
        pit_of_notes(gate, nowhere, None)
    with pytest.raises(UnknownName, match="well"):
        pit_of_notes(gate, lost, None)
    with pytest.raises(Contradiction, match="north gate"):
        pit_of_notes(gate, notes, other)
