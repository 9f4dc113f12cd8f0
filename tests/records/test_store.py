"""One store, the same on both databases."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import timedelta

import pytest

from pitwright.errors import BadInput, Contradiction, Missing, NotWritable, UnknownName
from pitwright.records import views
from pitwright.records.accepting import accept
from pitwright.records.archive import checked_whole
from pitwright.records.store import Draft, Right, Store
from tests.records.conftest import Opener
from tests.records.support import NOON, OFFICE, entry_of, hand, ids, label, note, whole


def test_what_was_written_is_there_after_opening_again(opener: Opener) -> None:
    store = opener("a")
    h = hand()
    first = store.write(label("north gate"), h)
    second = store.write(note("thin wall on the feed, <b>careful</b>"), h)
    again = opener("a")

    assert again.entries([first.id, second.id]) == [first, second]
    assert again.entry(second.id).body == {"text": "thin wall on the feed, <b>careful</b>"}
    assert (first.header.n, second.header.n, second.header.prev) == (1, 2, first.id)
    assert (first.header.lamport, second.header.lamport) == (1, 2)
    assert again.device == first.header.device
    assert checked_whole(again) == []


def test_a_changed_slot_supersedes_what_it_held(store: Store) -> None:
    h = hand()
    old = store.write(label("north gate"), h)
    new = store.write(label("north gate, moved"), h)

    field = store.state("s-1", "b-1").field("pit")
    assert new.header.supersedes == (old.id,)
    assert field is not None and not field.contested
    assert field.fact is not None and field.fact.value("label") == "north gate, moved"


def test_undo_brings_back_what_was_there_and_undoing_that_is_redo(store: Store) -> None:
    h = hand()
    store.write(label("first"), h)
    second = store.write(label("second"), h)

    def now() -> str:
        field = store.state("s-1", "b-1").field("pit")
        assert field is not None and field.fact is not None
        return str(field.fact.value("label"))

    undo = store.take_back(second.id, h)
    assert now() == "first"
    redo = store.take_back(undo.id, h)
    assert now() == "second"
    store.take_back(redo.id, h)
    assert now() == "first"
    with pytest.raises(Contradiction, match="superseded already"):
        store.take_back(second.id, h)
    assert store.count() == 5


def test_taking_back_the_only_entry_leaves_the_slot_empty(store: Store) -> None:
    h = hand()
    only = store.write(label("north gate"), h)
    store.take_back(only.id, h, "wrong property")

    field = store.state("s-1", "b-1").field("pit")
    assert field is not None and field.fact is None and not field.contested


def test_the_same_form_sent_twice_is_one_entry(store: Store) -> None:
    h = hand()
    draft = replace(note("double tap"), token="form-7")

    assert store.write(draft, h) == store.write(draft, h)
    assert store.count() == 1


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entries SET n = 9",
        "DELETE FROM entries",
        "UPDATE bodies SET salt = body",
        "DELETE FROM bodies",
    ],
)
def test_nothing_is_changed_or_removed_even_by_hand(store: Store, statement: str) -> None:
    entry = store.write(note("stays"), hand())

    with pytest.raises(NotWritable, match=r"never|only once erased"):
        store.db.run(statement)
    assert store.entries([entry.id]) == [entry]


def test_the_views_are_built_again_as_they_were(store: Store) -> None:
    h = hand()
    store.write(label("north gate"), h)
    store.write(label("south gate"), h)
    store.write(note("splice under the oak"), h)
    before = store.state("s-1", "b-1"), store.search("splice"), store.subjects("pit")
    tables = ("v_entries", "v_links")
    rows = [store.db.rows(f"SELECT * FROM {t} ORDER BY 1, 2") for t in tables]

    assert views.build(store.db) == 3
    assert (store.state("s-1", "b-1"), store.search("splice"), store.subjects("pit")) == before
    assert [store.db.rows(f"SELECT * FROM {t} ORDER BY 1, 2") for t in tables] == rows


def test_a_store_without_views_is_opened_with_them(opener: Opener) -> None:
    store = opener("a")
    entry = store.write(note("splice"), hand())
    store.db.drop_views()
    store.db.run("DELETE FROM facts WHERE name = 'views'")

    assert [hit.entry for hit in opener("a").search("splice")] == [entry]


def test_search_finds_beginnings_of_words_whatever_their_case_and_accents(store: Store) -> None:
    h = hand()
    a = store.write(note("Thin wall at the CAFÉ door, 4 3/8 in"), h)
    b = store.write(note("thick wall"), h)
    c = store.write(Draft("splice", "s-2", "b-9", {"where": "chapel wall", "what": "taped"}), h)

    def found(text: str, sites: frozenset[str] | None = None) -> list[str]:
        return [hit.entry.id for hit in store.search(text, sites)]

    assert found("wall thi") == [b.id, a.id]
    assert found("thin WALL") == [a.id]
    assert found("cafe") == found("Café") == [a.id]
    assert found("3/8") == [a.id]
    assert found("splice") == [c.id]
    assert found("wall", frozenset({"s-2"})) == [c.id]
    assert found("wall", frozenset()) == []
    assert found("absent") == found("  ' \" * ( ") == []
    assert found("'; DROP TABLE entries; --") == []


def test_search_says_what_was_superseded(store: Store) -> None:
    h = hand()
    old = store.write(label("gate old"), h)
    new = store.write(label("gate new"), h)

    assert [(hit.entry.id, hit.current) for hit in store.search("gate")] == [
        (new.id, True),
        (old.id, False),
    ]


def test_an_entry_is_found_by_its_first_letters(store: Store) -> None:
    entry = store.write(note("x"), hand())

    assert store.entry(entry.id[3:11]) == entry
    with pytest.raises(UnknownName):
        store.entry("zzzzzzzz")
    with pytest.raises(UnknownName):
        store.entry("e")


def test_rights_are_checked_where_it_is_written(store: Store) -> None:
    narrow = hand(right=Right("u-field", "field", frozenset({"s-2"})))

    with pytest.raises(Contradiction, match="not one of yours"):
        store.write(note("not mine"), narrow)
    with pytest.raises(Contradiction, match="use erase"):
        store.write(Draft("erase", "s-1", "b-1", {"reason": "x"}), hand())
    with pytest.raises(Missing, match="keep the file"):
        store.write(replace(note("x"), files=("0" * 64,)), hand())
    with pytest.raises(UnknownName, match="kind of entry"):
        store.write(replace(note("x"), kind="gossip"), hand())
    with pytest.raises(BadInput):
        store.write(replace(note("x"), site="No Such Site!"), hand())
    assert store.count() == 0


def test_a_refused_entry_uses_up_no_number(store: Store) -> None:
    h = hand()
    first = store.write(Draft("paper", "s-1", "b-1", {"title": "owner's page"}), h)
    with pytest.raises(BadInput):
        store.write(Draft("paper", "s-1", "b-1", {"title": ""}), h)
    second = store.write(Draft("paper", "s-1", "b-1", {"title": "box card"}), h)

    numbers = [e.body["number"] for e in (first, second)]
    assert numbers == [f"{first.header.device[1:6].upper()}-{k}" for k in (1, 2)]
    assert second.header.n == 2


def test_counts_go_on_from_what_others_wrote(store: Store) -> None:
    accept(store, [entry_of(lamport=41).message()], OFFICE, NOON)

    mine = store.write(note("after that"), hand())
    assert (mine.header.n, mine.header.lamport) == (1, 42)


def test_two_writers_take_turns(opener: Opener) -> None:
    opener("a").write(note("first"), hand("0"))
    trouble: list[Exception] = []

    def work(k: int) -> None:
        try:
            one = stores[k]
            for i in range(15):
                one.write(note(f"{k}-{i}"), hand(f"w{k}-{i}"))
        except Exception as wrong:
            trouble.append(wrong)

    stores: dict[int, Store] = {}
    started = threading.Barrier(2)

    def run(k: int) -> None:
        stores[k] = opener("a")
        started.wait()
        work(k)
        stores[k].close()

    threads = [threading.Thread(target=run, args=(k,)) for k in (0, 1)]
    for t in threads:
        t.start()
    for t in threads:
        t.join()

    store = opener("a")
    numbers = [row[0] for row in store.db.rows("SELECT n FROM entries ORDER BY n")]
    clocks = [row[0] for row in store.db.rows("SELECT lamport FROM entries ORDER BY n")]
    assert trouble == []
    assert numbers == clocks == list(range(1, 32))
    assert checked_whole(store) == []


def test_an_entry_of_a_newer_kind_is_kept_shown_and_nothing_concluded(store: Store) -> None:
    h = hand()
    store.write(label("north gate"), h)
    strange = entry_of(kind="hologram", field="hologram/1", body={"depth": "7"})
    late = entry_of(kind="note", version=9, field="note/9", device="dy", body={"runes": "7"})
    receipt = accept(store, [strange.message(), late.message()], OFFICE, NOON)

    state = store.state("s-1", "b-1")
    assert receipt.accepted == [strange.id, late.id] and receipt.aside == []
    assert set(state.withheld) == {strange.id, late.id}
    assert whole(store)[strange.id] == (strange.data, strange.body_data)
    assert state.of_kind("hologram") == ()
    assert {strange.id, late.id} <= ids(store)


def test_a_clock_that_was_never_checked_is_said_in_the_entry(store: Store) -> None:
    unchecked = replace(hand(), offset=None)
    entry = store.write(note("x"), unchecked)

    assert b'"never checked"' in entry.data
    assert entry.header.written.corrected == NOON
    assert entry.header.happened.last - NOON == timedelta()
