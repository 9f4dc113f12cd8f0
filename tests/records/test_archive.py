"""Archives: whole, damaged, dishonest."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import BadInput, Malformed, NotWritable, OutOfRange, Unreadable
from pitwright.records.accepting import accept, aside, erase, forks
from pitwright.records.archive import checked_whole, pack, restore, take_in
from pitwright.records.store import Draft, Store, open_store
from tests.records.conftest import Opener
from tests.records.support import (
    HOME,
    NOON,
    OFFICE,
    entry_of,
    hand,
    ids,
    label,
    meet,
    newer,
    note,
    whole,
)  # fmt: skip


def filled(store: Store, folder: Path) -> str:
    """A few entries, a file, something set aside; the file's hash."""
    path = folder / "words.txt"
    path.write_text("words " * 50, encoding="utf-8")
    kept = store.keep(path)
    h = hand()
    store.write(label("north gate"), h)
    store.write(label("north gate, moved"), h)
    store.write(Draft("note", "s-1", "b-1", {"text": "file"}, files=(kept.hash,)), h)
    store.write(note("other", site="s-2"), h)
    accept(store, [newer(b'{"format":2,"site":"s-1"}')], OFFICE, NOON)
    return kept.hash


def changed(source: Path, to: Path, changes: dict[str, bytes | None]) -> Path:
    """A copy of an archive with other members; None leaves one out."""
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(to, "w", zipfile.ZIP_DEFLATED) as new:
        members = {name: old.read(name) for name in old.namelist()}
        for name, data in {**members, **changes}.items():
            if data is not None:
                new.writestr(name, data)
    return to


def test_a_backup_restores_everything_under_a_new_device(opener: Opener, tmp_path: Path) -> None:
    store = opener("a")
    hash = filled(store, tmp_path)
    manifest = pack(store, tmp_path / "b.zip", NOON)
    taken = restore(tmp_path / "b.zip", tmp_path / "new", HOME, OFFICE, NOON)
    new = open_store(str(tmp_path / "new"), HOME)

    assert (manifest.entries, manifest.aside, manifest.files) == (4, 1, 1)
    assert len(taken.receipt.accepted) == 4 and taken.files == 1 and taken.wanting == 0
    assert whole(new) == whole(store)
    assert [m for _, m in aside(new)] == [m for _, m in aside(store)]
    assert new.files.read(hash) == store.files.read(hash)
    assert checked_whole(new) == [] and new.device == ""
    new.write(note("goes on"), hand("new"))
    assert new.device not in ("", store.device)
    meet(new, store)
    assert forks(new) == [] and whole(new) == whole(store)
    new.close()


def test_an_archive_taken_in_twice_changes_nothing_more(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    a, b = local("a"), local("b")
    filled(a, tmp_path)
    pack(a, tmp_path / "x.zip", NOON)
    first = take_in(b, tmp_path / "x.zip", OFFICE, NOON)
    before = whole(b)
    second = take_in(b, tmp_path / "x.zip", OFFICE, NOON)

    assert len(first.receipt.accepted) == 4
    assert (second.receipt.accepted, second.receipt.known, second.files) == ([], 4, 0)
    assert whole(b) == before == whole(a)


def test_an_archive_of_one_site_carries_no_other(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    a, b = local("a"), local("b")
    filled(a, tmp_path)
    pack(a, tmp_path / "x.zip", NOON, frozenset({"s-2"}))
    take_in(b, tmp_path / "x.zip", OFFICE, NOON)

    assert {e.header.site for e in b.entries(ids(b))} == {"s-2"}
    assert b.files.all() == [] and aside(b) == []


def test_erased_things_are_in_no_archive_and_an_old_one_does_not_bring_them_back(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    a, b = local("a"), local("b")
    h = hand()
    entry = a.write(note("Xanthippe"), h)
    pack(a, tmp_path / "old.zip", NOON)
    erase(a, [entry.id], h, reason="asked for")
    pack(a, tmp_path / "new.zip", NOON)
    with zipfile.ZipFile(tmp_path / "new.zip") as zip:
        lines = zip.read("entries-00001.jsonl").splitlines()
    assert json.loads(lines[0])["id"] != entry.id  # the erasure comes first
    assert [json.loads(line)["body"] for line in lines[1:]] == [None]

    take_in(a, tmp_path / "old.zip", OFFICE, NOON)
    assert a.entry(entry.id).body == {}
    take_in(b, tmp_path / "old.zip", OFFICE, NOON)
    assert b.entry(entry.id).body != {}
    take_in(b, tmp_path / "new.zip", OFFICE, NOON)
    assert b.entry(entry.id).body == {} and whole(a) == whole(b)


@pytest.fixture
def archive(local: Callable[[str], Store], tmp_path: Path) -> Path:
    filled(local("source"), tmp_path)
    pack(local("source"), tmp_path / "x.zip", NOON)
    return tmp_path / "x.zip"


@pytest.fixture(scope="module")
def sound(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, object]:
    """A sound archive, and every entry in it."""
    folder = tmp_path_factory.mktemp("sound")
    store = open_store(str(folder / "a"), HOME)
    filled(store, folder)
    pack(store, folder / "x.zip", NOON)
    everything = whole(store)
    store.close()
    return (folder / "x.zip").read_bytes(), everything


@settings(max_examples=40)
@given(data=st.data())
def test_an_archive_cut_or_changed_anywhere_is_refused_whole_or_brings_the_same(
    tmp_path_factory: pytest.TempPathFactory, sound: tuple[bytes, object], data: st.DataObject
) -> None:
    good, everything = sound
    folder = tmp_path_factory.mktemp("cut")
    at = data.draw(st.integers(0, len(good) - 1))
    flip = data.draw(st.booleans())
    bad = bytearray(good if flip else good[:at])
    if flip:
        bad[at] ^= 1 << data.draw(st.integers(0, 7))
    (folder / "bad.zip").write_bytes(bad)
    try:
        restore(folder / "bad.zip", folder / "new", HOME, OFFICE, NOON)
    except BadInput:
        assert [p.name for p in folder.iterdir()] == ["bad.zip"]
        return
    store = open_store(str(folder / "new"), HOME)
    assert whole(store) == everything  # a bit that says nothing, such as a date in the zip
    store.close()


def manifest_of(archive: Path, **more: object) -> bytes:
    with zipfile.ZipFile(archive) as zip:
        return json.dumps({**json.loads(zip.read("manifest.json")), **more}).encode()


@pytest.mark.parametrize(
    ("name", "data", "error"),
    [
        ("../../evil.sh", b"x", Malformed),
        ("/etc/passwd", b"x", Malformed),
        ("files/..", b"x", Malformed),
        ("C:\\evil.exe", b"x", Malformed),
        ("entries-1.jsonl", b"x", Malformed),
        ("entries-00002.jsonl", b"", Unreadable),
        ("files/" + "0" * 64, b"x", Unreadable),
        ("entries-00001.jsonl", b"{}\n", Unreadable),
        ("entries-00001.jsonl", None, Unreadable),
        ("manifest.json", None, Unreadable),
        ("manifest.json", b"[]", Unreadable),
        ("manifest.json", b"[" * 9000, Unreadable),
        ("aside.jsonl", b"0" * 30_000_000, Malformed),
    ],
)
def test_a_dishonest_archive_is_refused_before_anything_is_taken_in(
    archive: Path, local: Callable[[str], Store], tmp_path: Path, name: str, data: bytes | None,
    error: type[Exception],
) -> None:  # fmt: skip
    bad = changed(archive, tmp_path / "bad.zip", {name: data})
    store = local("b")
    with pytest.raises(error):
        take_in(store, bad, OFFICE, NOON)

    assert store.count() == 0 and aside(store) == []
    assert not list(tmp_path.rglob("evil*"))


def test_an_archive_of_a_newer_format_says_so(
    archive: Path, local: Callable[[str], Store], tmp_path: Path
) -> None:
    bad = changed(archive, tmp_path / "bad.zip", {"manifest.json": manifest_of(archive, format=2)})
    with pytest.raises(Malformed, match="use a newer Pitwright"):
        take_in(local("b"), bad, OFFICE, NOON)


def test_one_bad_entry_in_a_sound_archive_is_named_and_the_rest_is_taken_in(
    archive: Path, local: Callable[[str], Store], tmp_path: Path
) -> None:
    import hashlib

    good, bad = entry_of(1), entry_of(1, device="dy")
    forged = {**bad.message().as_json(), "id": good.id[:-1] + "a"}
    data = "".join(json.dumps(line) + "\n" for line in (forged, good.message().as_json())).encode()
    with zipfile.ZipFile(archive) as zip:
        members = json.loads(zip.read("manifest.json"))["members"]
    members = {**members, "entries-00001.jsonl": hashlib.sha256(data).hexdigest()}
    path = changed(
        archive, tmp_path / "y.zip",
        {"entries-00001.jsonl": data, "manifest.json": manifest_of(archive, members=members)},
    )  # fmt: skip
    store = local("b")
    taken = take_in(store, path, OFFICE, NOON)

    assert taken.receipt.accepted == [good.id]
    assert len(aside(store)) == 2 and "is not the hash" in taken.receipt.aside[0].detail


def test_a_restore_goes_only_into_an_empty_folder_and_leaves_none_behind(
    archive: Path, tmp_path: Path
) -> None:
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "x").write_text("mine", encoding="utf-8")
    with pytest.raises(NotWritable, match="not empty"):
        restore(archive, tmp_path / "full", HOME, OFFICE, NOON)
    with pytest.raises(Unreadable, match="not there"):
        restore(tmp_path / "none.zip", tmp_path / "new", HOME, OFFICE, NOON)
    with pytest.raises(Unreadable, match="damaged"):
        (tmp_path / "empty.zip").write_bytes(b"")
        restore(tmp_path / "empty.zip", tmp_path / "new", HOME, OFFICE, NOON)

    assert not (tmp_path / "new").exists() and not (tmp_path / ".new.part").exists()
    assert (tmp_path / "full" / "x").read_text(encoding="utf-8") == "mine"


def test_an_archive_that_promises_more_than_it_holds_is_not_restored(
    archive: Path, tmp_path: Path
) -> None:
    more = changed(archive, tmp_path / "y.zip", {"manifest.json": manifest_of(archive, entries=99)})
    with pytest.raises(Unreadable, match="fewer than its"):
        restore(more, tmp_path / "new", HOME, OFFICE, NOON)
    assert not (tmp_path / "new").exists()


def test_a_backup_never_overwrites_and_never_stays_half_written(
    local: Callable[[str], Store], tmp_path: Path
) -> None:
    store = local("a")
    hash = filled(store, tmp_path)
    (tmp_path / "b.zip").write_text("older", encoding="utf-8")
    with pytest.raises(NotWritable, match="something is there"):
        pack(store, tmp_path / "b.zip", NOON)
    store.files.path(hash).write_bytes(b"damaged")
    with pytest.raises(Unreadable, match="damaged on the disk"):
        pack(store, tmp_path / "c.zip", NOON)

    assert (tmp_path / "b.zip").read_text(encoding="utf-8") == "older"
    assert [p.name for p in tmp_path.glob("*.zip*")] == ["b.zip"]
    assert list(tmp_path.glob(".*part")) == []


def test_the_largest_honest_entries_are_packed_so_that_they_are_read_again(
    local: Callable[[str], Store], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Bodies that repeat themselves would pack a thousandfold; many of them make many members."""
    from pitwright.records import archive as module

    monkeypatch.setattr(module, "BYTES_IN_MEMBER", 1_000_000)
    a, b = local("a"), local("b")
    big = [entry_of(n, device=f"d{n}", body={"text": "x" * 250_000}) for n in range(1, 9)]
    accept(a, [e.message() for e in big], OFFICE, NOON)
    pack(a, tmp_path / "x.zip", NOON)
    take_in(b, tmp_path / "x.zip", OFFICE, NOON)

    with zipfile.ZipFile(tmp_path / "x.zip") as zip:
        assert len(zip.namelist()) > 3
    assert whole(a) == whole(b)


def test_more_members_than_anyone_needs_are_refused(
    local: Callable[[str], Store], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pitwright.records import archive as module

    filled(local("a"), tmp_path)
    pack(local("a"), tmp_path / "x.zip", NOON)
    for name in ("MOST_MEMBERS", "MOST_UNPACKED"):
        with monkeypatch.context() as patch:
            patch.setattr(module, name, 2)
            patch.setattr(module, "MOST_GROWTH", 0)
            with pytest.raises(OutOfRange):
                take_in(local("b"), tmp_path / "x.zip", OFFICE, NOON)
