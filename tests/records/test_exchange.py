"""Two stores that lack different things end up alike."""

from __future__ import annotations

import contextlib
import shutil
import tempfile
import threading
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import BadInput, Contradiction, NotWritable, UnknownName
from pitwright.records.accepting import accept, aside, erase, forks
from pitwright.records.archive import checked_whole
from pitwright.records.exchange import answer, exchange, wanted_files
from pitwright.records.files import PIECE
from pitwright.records.kinds import KINDS
from pitwright.records.store import DATABASE_FILE, Draft, Right, Store, open_store
from tests.records.conftest import Opener
from tests.records.support import (
    HOME,
    NOON,
    OFFICE,
    entry_of,
    hand,
    ids,
    label,
    later,
    meet,
    newer,
    note,
    peer,
    whole,
)
from tests.records.test_accepting import hasty, told
from tests.records.worlds import worlds


@settings(max_examples=40)
@given(st.data())
def test_any_subsets_end_as_the_union_less_what_was_erased(data: st.DataObject) -> None:
    """Three stores, each with some of it, meet in a row and back."""
    world = data.draw(worlds())
    with tempfile.TemporaryDirectory() as folder:
        stores = [hasty(f"{folder}/{k}") for k in range(3)]
        everything = hasty(f"{folder}/all")
        accept(everything, [e.message() for e in world], OFFICE, NOON)
        for e in world:
            for store in data.draw(st.sets(st.sampled_from(stores), min_size=1)):
                accept(store, [e.message()], OFFICE, NOON)
        a, b, c = stores
        for one, other in ((a, b), (b, c), (a, b)):
            meet(one, other)

        assert told(a) == told(b) == told(c) == told(everything)
        for store in (*stores, everything):
            store.close()


def test_two_stores_exchange_both_ways(opener: Opener) -> None:
    a, b = opener("a"), opener("b")
    ha, hb = hand("a"), hand("b")
    for k in range(3):
        a.write(note(f"from a {k}"), ha)
        b.write(label(f"from b {k}", site="s-2"), hb)
    done = exchange(a, peer(b), OFFICE, NOON)

    assert (len(done.received.accepted), done.sent) == (3, 3)
    assert whole(a) == whole(b)
    again = exchange(a, peer(b), OFFICE, NOON)
    assert (again.received.accepted, again.received.known, again.sent) == ([], 0, 0)
    assert checked_whole(b) == []


def test_both_may_ask_at_once(local: Callable[[str], Store], tmp_path: Path) -> None:
    for name in ("a", "b"):
        store = local(name)
        for k in range(30):
            store.write(note(f"{name} {k}"), hand(f"{name}{k}"))
    trouble: list[Exception] = []

    def run(mine: str, theirs: str) -> None:
        one, other = (open_store(str(tmp_path / n), HOME) for n in (mine, theirs))
        try:
            exchange(one, peer(other), OFFICE, NOON)
        except Exception as wrong:
            trouble.append(wrong)
        one.close()
        other.close()

    threads = [threading.Thread(target=run, args=pair) for pair in (("a", "b"), ("b", "a"))]
    for t in threads:
        t.start()
    for t in threads:
        t.join()

    assert trouble == []
    assert whole(local("a")) == whole(local("b")) and local("a").count() == 60


class Cut(Exception):
    """The line broke."""


@settings(max_examples=25)
@given(stop=st.integers(1, 12), after=st.booleans())
def test_an_exchange_that_breaks_off_anywhere_is_gone_on_with(stop: int, after: bool) -> None:
    """Before or after the other side has carried out what was asked."""
    with tempfile.TemporaryDirectory() as folder:
        a, b = hasty(f"{folder}/a"), hasty(f"{folder}/b")
        for name, store in (("a", a), ("b", b)):
            path = Path(folder) / f"{name}.txt"
            path.write_text(f"{name} " * (PIECE // 2 + 50), encoding="utf-8")
            kept = store.keep(path)
            for k in range(3):
                store.write(note(f"{name} {k}"), hand(f"{name}{k}"))
            draft = Draft("note", "s-1", "b-1", {"text": "file"}, files=(kept.hash,))
            store.write(draft, hand(f"f{name}"))
        whole_line = peer(b)
        asked = 0

        def broken(question: Mapping[str, Any]) -> Mapping[str, Any]:
            nonlocal asked
            asked += 1
            if asked == stop and not after:
                raise Cut(asked)
            got = whole_line(question)
            if asked == stop:
                raise Cut(asked)
            return got

        with contextlib.suppress(Cut):
            exchange(a, broken, OFFICE, NOON)
        assert checked_whole(a) == checked_whole(b) == []
        meet(a, b)
        assert whole(a) == whole(b)
        assert a.files.all() == b.files.all() and len(a.files.all()) == 2
        assert wanted_files(a) == wanted_files(b) == []
        a.close()
        b.close()


def test_more_than_one_batch_goes_over(local: Callable[[str], Store]) -> None:
    a, b = local("a"), local("b")
    many = [entry_of(n, device="dm", field=f"note/{n}", lamport=n) for n in range(1, 1203)]
    accept(a, [e.message() for e in many], OFFICE, NOON)
    heavy = [
        entry_of(1, device=f"h{k}", body={"text": "x" * 200_000}, field=f"note/h{k}")
        for k in range(8)
    ]
    accept(b, [e.message() for e in heavy], OFFICE, NOON)
    done = exchange(a, peer(b), OFFICE, NOON)

    assert done.sent == 1202 and len(done.received.accepted) == 8
    assert ids(a) == ids(b)


@pytest.fixture
def small_batches(monkeypatch: pytest.MonkeyPatch) -> None:
    """Fifty entries at once, so that sixty are more than one batch."""
    monkeypatch.setattr("pitwright.records.exchange.MOST_AT_ONCE", 50)


@pytest.mark.usefixtures("small_batches")
def test_what_nobody_can_read_is_relayed_and_blocks_nothing(local: Callable[[str], Store]) -> None:
    """More than a batch of them from one device, and what it wrote after that comes over."""
    a, b, c = local("a"), local("b"), local("c")
    late = [
        entry_of(n, device="dl", field=f"note/{n}", lamport=n + 3 * 2**20) for n in range(1, 61)
    ]
    fine = entry_of(61, device="dl", field="note/fine", lamport=1)
    strange = newer(b'{"format":2,"site":"s-1"}')
    accept(a, [*(e.message() for e in late), fine.message(), strange], OFFICE, NOON)
    assert len(aside(a)) == 61
    meet(a, b)
    meet(b, c)

    assert ids(a) == ids(b) == ids(c) == {fine.id}
    keys = [[(one.key, m) for one, m in aside(store)] for store in (a, b, c)]
    assert keys[0] == keys[1] == keys[2]


@pytest.mark.usefixtures("small_batches")
def test_what_only_we_cannot_take_in_yet_does_not_hide_what_comes_after_it(
    local: Callable[[str], Store],
) -> None:
    """Their clock is later than ours: more than a batch waits here, and the next one comes."""
    theirs, ours = local("theirs"), local("ours")
    early = [
        entry_of(n, device="dl", field=f"note/{n}", lamport=n, written=later(30))
        for n in range(1, 61)
    ]
    fine = entry_of(61, device="dl", field="note/fine", lamport=61)
    accept(theirs, [*(e.message() for e in early), fine.message()], OFFICE, later(10))
    exchange(ours, peer(theirs, now=later(10)), OFFICE, NOON)

    assert ids(ours) == {fine.id} and len(aside(ours)) == 60
    assert len(accept(ours, [], OFFICE, later(10)).released) == 60
    assert ids(ours) == ids(theirs)


def test_entries_of_a_newer_program_pass_through_an_older_one_unchanged(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    new, far = local("new"), local("far")
    few = {k: v for k, v in KINDS.items() if k in ("note", "property")}
    old = open_store(str(tmp_path / "old"), HOME, kinds=few)
    h = hand()
    new.write(label("north gate"), h)
    new.write(note("x"), h)
    meet(new, old)
    meet(old, far)

    assert whole(far) == whole(new) == whole(old)
    assert old.state("s-1", "b-1").withheld and not far.state("s-1", "b-1").withheld
    old.close()


def test_rights_hold_for_exchange_search_and_files(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    office, phone = local("office"), local("phone")
    narrow = Right("u-f", "field", frozenset({"s-1"}))
    path = tmp_path / "plan.txt"
    path.write_text("secret", encoding="utf-8")
    h = hand()
    kept = office.keep(path)
    mine = office.write(note("mine"), h)
    office.write(Draft("note", "s-2", "b-2", {"text": "theirs"}, files=(kept.hash,)), h)
    shop = office.write(Draft("person", "shop", "u-office", {"name": "N"}), h)
    phone_only = phone.write(note("not in their right", site="s-3"), hand("p"))
    exchange(phone, peer(office, narrow), OFFICE, NOON)

    assert ids(phone) == {mine.id, shop.id, phone_only.id}
    assert phone_only.id not in ids(office)
    for question in (
        {"ask": "vector", "site": "s-2"},
        {"ask": "range", "site": "s-2", "device": "d", "after": 0, "upto": ""},
        {"ask": "piece", "hash": kept.hash, "from": 0},
    ):
        with pytest.raises((Contradiction, UnknownName)):
            answer(office, question, narrow, NOON)
    with pytest.raises(UnknownName):
        take = {"ask": "take_piece", "hash": kept.hash, "from": 0, "size": 1, "data": ""}
        answer(office, take, narrow, NOON)
    hidden = answer(office, {"ask": "entries", "ids": sorted(ids(office))}, narrow, NOON)
    assert {e["id"] for e in hidden["entries"]} == {mine.id, shop.id}


@pytest.mark.parametrize(
    "question",
    [
        {}, {"ask": "everything"}, {"ask": 7}, {"ask": "vector"}, {"ask": "take", "entries": 5},
        {"ask": "take", "entries": [{}]}, {"ask": "range", "site": "s", "device": "d", "after": "x",
        "upto": ""}, {"ask": "piece", "hash": "../../etc", "from": 0},
        {"ask": "sites", "version": 9},
        {"ask": "files", "hashes": 3}, {"ask": "vector", "site": ["s"]},
        {"ask": "take", "entries": [{"id": "e", "header": "%", "salt": None, "body": None}]},
    ],
)  # fmt: skip
def test_a_question_that_is_none_is_refused_in_words(
    local: Callable[[str], Store], question: dict[str, Any]
) -> None:
    store = local("a")
    with pytest.raises(BadInput):
        answer(store, question, OFFICE, NOON)
    assert store.count() == 0


def test_a_copy_that_writes_makes_a_fork_that_both_see(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    """The copy was put back so that nothing could tell it from the store it was taken from."""
    a = local("a")
    h = hand("a")
    a.write(note("before the copy"), h)
    a.db.run("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copytree(tmp_path / "a", tmp_path / "b")
    b = local("b")
    device = a.device
    with b.db.writing():
        b.remember("device", device)
    mine = a.write(note("written by the first"), hand("1"))
    theirs = b.write(note("written by its copy"), hand("2"))
    assert (mine.header.device, mine.header.n) == (theirs.header.device, theirs.header.n)
    done = exchange(a, peer(b), OFFICE, NOON)

    assert [(f.device, f.n) for f in done.received.forks] == [(device, 2)]
    assert whole(a) == whole(b)
    assert forks(a) == forks(b) != []
    assert a.state("s-1", "b-1").forks == ((device, 2),)
    after = a.write(note("a"), hand("3")), b.write(note("b"), hand("4"))
    assert device not in {e.header.device for e in after}
    assert len({e.header.device for e in after}) == 2


def test_a_copied_store_notices_and_takes_a_new_device(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    a = local("a")
    a.write(note("before"), hand("a"))
    a.db.run("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copytree(tmp_path / "a", tmp_path / "b")
    b = local("b")
    a.write(note("first"), hand("1"))
    b.write(note("copy"), hand("2"))
    meet(a, b)

    assert forks(a) == forks(b) == []
    assert a.device != b.device
    assert (tmp_path / "a" / DATABASE_FILE).exists()


def test_an_old_copy_put_back_learns_what_it_had_written_and_writes_under_another_name(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    a, office = local("a"), local("office")
    a.write(note("one"), hand("1"))
    a.db.run("PRAGMA wal_checkpoint(TRUNCATE)")
    shutil.copytree(tmp_path / "a", tmp_path / "old")
    a.write(note("two"), hand("2"))
    meet(a, office)
    device = a.device
    old = local("old")
    with old.db.writing():
        old.remember("device", device)
    meet(old, office)

    assert old.write(note("three"), hand("3")).header.device != device
    assert forks(old) == []


def test_erased_then_an_old_backup_then_an_exchange_stays_erased(opener: Opener) -> None:
    a, b, old = opener("a"), opener("b"), opener("old")
    h = hand()
    entry = a.write(note("Xanthippe"), h)
    meet(a, b)
    meet(a, old)
    erase(a, [entry.id], h, reason="asked for")
    meet(a, b)
    assert b.entry(entry.id).body == {}

    meet(old, b)
    for store in (a, b, old):
        assert store.entry(entry.id).body == {} and store.search("Xanthippe") == []
    assert whole(a) == whole(b) == whole(old)


def test_a_file_that_was_changed_on_the_way_is_refused_and_comes_again(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    a, b = local("a"), local("b")
    path = tmp_path / "x.txt"
    path.write_text("true words", encoding="utf-8")
    kept = b.keep(path)
    b.write(Draft("note", "s-1", "b-1", {"text": "x"}, files=(kept.hash,)), hand("b"))
    b.files.path(kept.hash).write_text("false word", encoding="utf-8")
    done = exchange(a, peer(b), OFFICE, NOON)
    assert done.refused and done.files_wanting == 1 and not a.files.has(kept.hash)
    assert a.search("x") != []

    b.files.path(kept.hash).write_text("true words", encoding="utf-8")
    assert exchange(a, peer(b), OFFICE, NOON).files_in == 1
    assert a.files.read(kept.hash) == b"true words"


def test_a_peer_that_cannot_keep_anything_loses_nothing_of_ours(
    local: Callable[[str], Store],
) -> None:
    a, b = local("a"), local("b")
    mine = a.write(note("x" * 9000), hand("a"))
    b.db.run(f"PRAGMA max_page_count = {b.db.rows('PRAGMA page_count')[0][0]}")
    with pytest.raises(NotWritable):
        exchange(a, peer(b), OFFICE, NOON)

    assert b.count() == 0 and a.entry(mine.id) == mine
