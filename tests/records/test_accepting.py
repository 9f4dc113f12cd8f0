"""Taking in: any order, what is set aside, erasing."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import Contradiction, UnknownName
from pitwright.records.accepting import accept, aside, erase, forks, reexamine
from pitwright.records.archive import checked_whole, pack, take_in
from pitwright.records.entry import Entry, Message
from pitwright.records.files import Files
from pitwright.records.fold import State
from pitwright.records.sqlite import Sqlite
from pitwright.records.store import Draft, Right, Store, _opened
from tests.records.conftest import Opener
from tests.records.support import NOON, OFFICE, entry_of, hand, ids, later, meet, newer, note, whole
from tests.records.worlds import JUMP, SITES, SUBJECTS, deliveries, worlds


def hasty(folder: str) -> Store:
    """A store for laws that need many: it does not wait for the disk."""
    path = Path(folder)
    return _opened(Store(Sqlite(path / "r.sqlite", "h", "OFF"), Files(path / "files")))


def states(store: Store) -> list[State]:
    return [store.state(site, subject) for site in SITES for subject in SUBJECTS]


def told(store: Store) -> object:
    """All that can be asked of a store, except in which order it learnt it."""
    words = {hit.entry.id for hit in store.search("word", most=999)}
    waiting = sorted(a.id for a, _ in aside(store))
    clocks = [store.clock(site) for site in SITES]
    return states(store), whole(store), words, waiting, clocks


@settings(max_examples=40)
@given(st.data())
def test_any_order_repetition_and_split_is_taken_in_alike(data: st.DataObject) -> None:
    """Erasures and counts that run ahead included."""
    world = data.draw(worlds())
    batches = data.draw(deliveries(world))
    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as two:
        a, b = hasty(one), hasty(two)
        accept(a, [e.message() for e in world], OFFICE, NOON)
        for batch in batches:
            accept(b, [e.message() for e in batch], OFFICE, NOON)

        assert told(a) == told(b)
        assert checked_whole(b) == []
        a.close()
        b.close()


def damaged(entry: Entry) -> list[tuple[str, Message]]:
    m = entry.message()
    other = entry_of(9).message()
    body = m.body or b""
    return [
        ("is not the hash", Message(other.id, m.header, m.salt, m.body)),
        ("not canonical", Message(m.id, m.header.replace(b":", b": ", 1), m.salt, m.body)),
        ("is not the one its header names", Message(m.id, m.header, m.salt, body + b" ")),
        ("is not the one its header names", Message(m.id, m.header, b"z" * 16, m.body)),
        ("must come with its body", Message(m.id, m.header, None, m.body)),
        ("are not JSON", Message(m.id, b"\xff\xfe", m.salt, m.body)),
        ("are not JSON", Message(m.id, b"[" * 100_000, m.salt, m.body)),
        ("must be whole", Message(m.id, m.header.replace(b'"n":1', b'"n":1.5'), m.salt, m.body)),
        ("twice", Message(m.id, m.header.replace(b"{", b'{"n":1,', 1), m.salt, m.body)),
        ("missing or foreign", Message(m.id, m.header.replace(b'"n"', b'"o"'), m.salt, m.body)),
    ]


@pytest.mark.parametrize("which", range(10))
def test_what_is_damaged_is_named_and_set_aside_and_blocks_nothing(
    store: Store, which: int
) -> None:
    good, other = entry_of(1), entry_of(1, device="dy")
    reason, bad = damaged(good)[which]
    receipt = accept(store, [bad, other.message()], OFFICE, NOON)

    assert receipt.accepted == [other.id]
    assert [a.reason for a in receipt.aside] == ["unreadable"]
    assert reason in receipt.aside[0].detail
    assert [m for _, m in aside(store)] == [bad]
    assert accept(store, [good.message()], OFFICE, NOON).accepted == [good.id]


def test_the_same_bad_thing_twice_is_set_aside_once(store: Store) -> None:
    bad = newer(b'{"format":2}')
    accept(store, [bad, bad], OFFICE, NOON)
    accept(store, [bad], OFFICE, NOON)

    assert len(aside(store)) == 1


def test_a_cycle_made_by_hand_has_wrong_hashes_and_is_set_aside(store: Store) -> None:
    """Two entries that supersede each other cannot both be named by their own hash."""
    a = entry_of(1, supersedes=("e1_" + "c" * 52,))
    b = entry_of(1, device="dy", supersedes=(a.id,))
    forged = a.data.replace(b"e1_" + b"c" * 52, b.id.encode())
    receipt = accept(store, [Message(a.id, forged, a.salt, a.body_data), b.message()], OFFICE, NOON)

    assert receipt.accepted == [b.id]
    assert "is not the hash" in receipt.aside[0].detail


def test_a_clock_a_day_ahead_waits_until_its_time_or_until_it_is_dated_again(store: Store) -> None:
    early = entry_of(1, written=later(25))
    second = entry_of(1, device="dy", written=later(30))
    receipt = accept(store, [early.message(), second.message()], OFFICE, NOON)
    assert receipt.accepted == [] and {a.reason for a in receipt.aside} == {"clock ahead"}

    redate = entry_of(1, device="dz", kind="redate", field="redate/1", about=(early.id,), body={})
    receipt = accept(store, [redate.message()], OFFICE, NOON)
    assert receipt.released == [early.id] and early.id in ids(store)

    receipt = accept(store, [], OFFICE, later(7))
    assert receipt.released == [second.id] and aside(store) == []


def test_a_count_far_ahead_is_set_aside_and_does_not_drag_ours_along(store: Store) -> None:
    wild = entry_of(1, lamport=JUMP)
    receipt = accept(store, [wild.message()], OFFICE, NOON)
    assert [a.reason for a in receipt.aside] == ["count ahead"]

    redate = entry_of(1, device="dz", kind="redate", field="redate/1", about=(wild.id,), body={})
    assert accept(store, [redate.message()], OFFICE, NOON).released == [wild.id]
    assert store.write(note("after"), hand()).header.lamport == 2


def test_what_its_bringer_had_no_right_to_is_never_let_in_by_the_back_door(
    store: Store, opener: Opener, tmp_path: Path
) -> None:
    """Not by looking again, not through another store, not by a backup."""
    entry = entry_of()
    accept(store, [entry.message()], Right("u-x", "field", frozenset({"s-9"})), NOON)
    reexamine(store, OFFICE, NOON)
    other = opener("other")
    meet(store, other)
    pack(store, tmp_path / "b.zip", NOON)
    take_in(other, tmp_path / "b.zip", OFFICE, NOON)

    assert ids(store) == ids(other) == set()
    assert (
        [a.reason for a, _ in aside(store)] == [a.reason for a, _ in aside(other)] == ["no right"]
    )
    assert aside(other)[0][1] == entry.message()
    assert accept(store, [entry.message()], OFFICE, NOON).accepted == [entry.id]


def test_what_only_a_newer_program_can_read_is_looked_at_again(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    entry = entry_of()
    with monkeypatch.context() as older:
        older.setattr("pitwright.records.entry.FORMAT", 0)
        accept(store, [entry.message()], OFFICE, NOON)
    assert ids(store) == set() and len(aside(store)) == 1

    assert reexamine(store, OFFICE, NOON).released == [entry.id]
    assert ids(store) == {entry.id} and aside(store) == []


def test_an_erased_file_that_a_crash_left_behind_is_removed_at_the_next_look(
    store: Store, tmp_path: Path
) -> None:
    (tmp_path / "x.txt").write_text("who", encoding="utf-8")
    kept = store.keep(tmp_path / "x.txt")
    h = hand()
    entry = store.write(Draft("note", "s-1", "b-1", {"text": "x"}, files=(kept.hash,)), h)
    erase(store, [entry.id], h, reason="asked", files=[kept.hash])
    store.files.keep(b"who")
    with pytest.raises(Contradiction, match="erased on request"):
        store.write(Draft("note", "s-1", "b-1", {"text": "y"}, files=(kept.hash,)), h)
    store.files.keep(b"who")
    reexamine(store, OFFICE, NOON)

    assert not store.files.has(kept.hash)


def test_a_body_that_comes_later_completes_its_entry(store: Store) -> None:
    entry = entry_of(body={"text": "splice by the oak"})
    bare = Message(entry.id, entry.data, None, None)
    accept(store, [bare], OFFICE, NOON)
    assert store.entry(entry.id).body == {} and store.search("splice") == []

    assert accept(store, [entry.message()], OFFICE, NOON).completed == 1
    assert store.entry(entry.id) == entry
    assert [hit.entry.id for hit in store.search("splice")] == [entry.id]


def test_two_entries_at_one_place_are_both_kept_and_flagged(store: Store) -> None:
    one, two = entry_of(1, body={"text": "one"}), entry_of(1, body={"text": "two"})
    receipt = accept(store, [one.message(), two.message()], OFFICE, NOON)

    assert [(f.device, f.n, set(f.ids)) for f in receipt.forks] == [("dx", 1, {one.id, two.id})]
    assert forks(store) == forks(store, "s-1") == receipt.forks
    assert forks(store, "s-2") == []


def test_what_was_erased_is_gone_and_its_header_verifies(store: Store, tmp_path: Path) -> None:
    h = hand()
    photo = tmp_path / "who.txt"
    photo.write_text("phone 555 0100 of Xanthippe", encoding="utf-8")
    kept = store.keep(photo)
    entry = store.write(note("Xanthippe lives here"), h)
    second = store.write(note("stays"), h)
    with_file = store.write(
        Draft("note", "s-1", "b-1", {"text": "see file"}, files=(kept.hash,)), h
    )
    done = erase(store, [entry.id], h, reason="asked for", files=[kept.hash])

    left = store.entry(entry.id)
    assert (left.body_data, left.salt) == (None, None)
    assert left.data == entry.data and checked_whole(store) == []
    assert store.search("Xanthippe") == []
    assert not store.files.has(kept.hash)
    assert store.entry(second.id) == second and store.entry(with_file.id) == with_file
    accept(store, [entry.message()], OFFICE, NOON)
    assert store.entry(entry.id).body == {}
    with pytest.raises(Contradiction, match="erased on request"):
        store.keep(photo)
    with pytest.raises(Contradiction, match="never taken back"):
        store.take_back(done.id, h)


def test_erased_words_are_nowhere_in_the_database_files(tmp_path: Path) -> None:
    store = hasty(str(tmp_path))
    h = hand()
    entry = store.write(note("Xanthippeia of the old mill"), h)
    for k in range(40):
        store.write(note(f"other {k}"), h)
    bad = Message(entry.id, entry.data + b" ", entry.salt, entry.body_data)
    accept(store, [bad], OFFICE, NOON)

    def seen() -> bool:
        found = (p.read_bytes().lower() for p in tmp_path.glob("r.sqlite*"))
        return any(b"xanthippeia" in data for data in found)

    assert seen()
    erase(store, [entry.id], h, reason="asked for")
    assert not seen()
    store.close()


def test_an_erasure_that_comes_before_what_it_erases_still_erases(store: Store) -> None:
    entry = entry_of(body={"text": "Xanthippe"})
    order = entry_of(2, kind="erase", field="erase/1", about=(entry.id,), prev=entry.id)
    accept(store, [order.message()], OFFICE, NOON)
    accept(store, [entry.message()], OFFICE, NOON)

    assert ids(store) == {entry.id, order.id}
    assert store.entry(entry.id).body == {} and store.search("Xanthippe") == []


def test_only_the_office_erases_here_or_from_afar(store: Store) -> None:
    entry = store.write(note("x"), hand())
    field = Right("u-f", "field")
    with pytest.raises(Contradiction, match="may not erase"):
        erase(store, [entry.id], hand(right=field), reason="x")
    with pytest.raises(UnknownName):
        erase(store, ["e1_" + "a" * 52], hand(), reason="x")

    order = entry_of(kind="erase", field="erase/1", about=(entry.id,))
    receipt = accept(store, [order.message()], field, NOON)
    assert [a.reason for a in receipt.aside] == ["no right"]
    assert store.entry(entry.id) == entry
