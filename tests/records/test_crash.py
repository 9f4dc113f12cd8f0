"""What survives: a cut log, a cut power line, a full disk, a killed server."""

from __future__ import annotations

import os
import resource
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import NotWritable
from pitwright.records.archive import checked_whole
from pitwright.records.database import Database
from pitwright.records.files import Files
from pitwright.records.postgres import Postgres
from pitwright.records.sqlite import Sqlite
from pitwright.records.store import DATABASE_FILE, Store, _opened, open_store
from tests.records.power import disk
from tests.records.support import HOME, NOON, OFFICE, Cluster, entry_of, hand, ids, note

LOG = f"{DATABASE_FILE}-wal"
WRITTEN = 12


def in_order(store: Store) -> list[str]:
    return [row[0] for row in store.db.rows("SELECT id FROM entries ORDER BY seq")]


@pytest.fixture(scope="module")
def logged(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[tuple[int, str]]]:
    """A database and its log, and how long the log was when each entry was acknowledged."""
    folder = tmp_path_factory.mktemp("logged")
    store = open_store(str(folder / "a"), HOME)
    store.db.run("PRAGMA wal_checkpoint(TRUNCATE)")
    acknowledged: list[tuple[int, str]] = []
    for k in range(WRITTEN):
        entry = store.write(note(f"entry {k} " + "x" * 900 * (k % 3)), hand(str(k)))
        acknowledged.append(((folder / "a" / LOG).stat().st_size, entry.id))
    (folder / "copy").mkdir()
    for name in (DATABASE_FILE, LOG):
        shutil.copyfile(folder / "a" / name, folder / "copy" / name)
    store.close()
    return folder / "copy", acknowledged


@settings(max_examples=50)
@given(data=st.data())
def test_a_log_cut_at_any_byte_opens_to_a_prefix(
    logged: tuple[Path, list[tuple[int, str]]],
    tmp_path_factory: pytest.TempPathFactory,
    data: st.DataObject,
) -> None:
    """And to no less than what was acknowledged by then."""
    source, acknowledged = logged
    size = data.draw(st.integers(0, acknowledged[-1][0]))
    folder = tmp_path_factory.mktemp("cut")
    shutil.copyfile(source / DATABASE_FILE, folder / DATABASE_FILE)
    (folder / LOG).write_bytes((source / LOG).read_bytes()[:size])

    store = open_store(str(folder), HOME)
    found = in_order(store)
    assert found == [id for _, id in acknowledged][: len(found)]
    assert len(found) >= sum(at <= size for at, _ in acknowledged)
    assert checked_whole(store) == []
    assert len(store.search("entry")) == len(found)
    store.write(note("goes on"), hand("later"))
    store.close()


def lost_in_a_cut(folder: Path, synchronous: str) -> tuple[int, int]:
    """Write a few entries; after each acknowledgement cut the power and see how many were lost."""
    lost = syncs = 0
    with disk(folder / "disk") as held:
        path = folder / "a"
        db = Sqlite(path / DATABASE_FILE, HOME, synchronous)
        store = _opened(Store(db, Files(path / "files")))
        acknowledged = []
        for k in range(8):
            acknowledged.append(store.write(note(f"entry {k}"), hand(str(k))).id)
            held.after_the_cut(folder / f"cut-{k}")
        syncs = held.syncs
        store.close()
    for k in range(8):
        left = open_store(str(folder / f"cut-{k}"), HOME)
        lost += len(set(acknowledged[: k + 1]) - ids(left))
        assert checked_whole(left) == []
        left.close()
    return lost, syncs


def test_an_acknowledged_entry_is_on_the_disk_after_a_power_cut(tmp_path: Path) -> None:
    lost, syncs = lost_in_a_cut(tmp_path, "FULL")

    assert lost == 0
    assert syncs >= 8


@pytest.mark.parametrize("synchronous", ["NORMAL", "OFF"])
def test_the_power_cut_can_tell_a_store_that_does_not_wait_for_the_disk(
    tmp_path: Path, synchronous: str
) -> None:
    """The same check, with the waiting switched off: it must see entries lost."""
    lost, _ = lost_in_a_cut(tmp_path, synchronous)

    assert lost > 0


def test_the_settings_that_make_it_durable_are_on(tmp_path: Path, cluster: Cluster) -> None:
    store = open_store(str(tmp_path / "a"), HOME)
    assert store.db.rows("PRAGMA journal_mode") == [("wal",)]
    assert store.db.rows("PRAGMA synchronous") == [(2,)]
    assert store.db.rows("PRAGMA secure_delete") == [(1,)]
    store.close()

    db = Postgres(cluster.address())
    assert db.rows("SHOW synchronous_commit") == [("on",)]
    db.close()


def test_an_acknowledged_entry_is_in_a_copy_taken_at_that_moment(tmp_path: Path) -> None:
    store = open_store(str(tmp_path / "a"), HOME)
    for k in range(6):
        entry = store.write(note(f"entry {k}"), hand(str(k)))
        shutil.copytree(tmp_path / "a", tmp_path / f"copy-{k}")
        copy = open_store(str(tmp_path / f"copy-{k}"), HOME)
        assert in_order(copy)[-1] == entry.id and copy.count() == k + 1
        copy.close()
    store.close()


def test_a_full_database_says_so_and_keeps_what_it_had(local: Callable[[str], Store]) -> None:
    store = local("a")
    kept = [store.write(note(f"entry {k}"), hand(str(k))).id for k in range(3)]
    pages = store.db.rows("PRAGMA page_count")[0][0]
    store.db.run(f"PRAGMA max_page_count = {pages + 2}")
    with pytest.raises(NotWritable, match="free some room"):
        for k in range(40):
            kept.append(store.write(note("y" * 9000), hand(f"big{k}")).id)

    assert in_order(store) == kept
    assert checked_whole(store) == []
    store.db.run("PRAGMA max_page_count = 1000000")
    store.write(note("room again"), hand("z"))
    assert store.count() == len(kept) + 1


@contextmanager
def no_file_longer_than(size: int) -> Iterator[None]:
    """As a full disk: the system refuses to let any file grow beyond this."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)


def test_a_full_disk_leaves_no_half_file(local: Callable[[str], Store], tmp_path: Path) -> None:
    store = local("a")
    text = tmp_path / "long.txt"
    text.write_text("line\n" * 60_000, encoding="utf-8")
    with no_file_longer_than(100_000), pytest.raises(NotWritable, match="free some room"):
        store.keep(text)

    left = [p for p in (tmp_path / "a" / "files").rglob("*") if p.is_file()]
    assert left == []
    assert store.files.has(store.keep(text).hash)


def test_a_full_disk_refuses_an_entry_whole(local: Callable[[str], Store]) -> None:
    store = local("a")
    kept = store.write(note("before"), hand("0")).id
    size = sum(p.stat().st_size for p in [store.files.folder.parent / LOG])
    with no_file_longer_than(size + 3000), pytest.raises(NotWritable):
        for k in range(5):
            store.write(note("z" * 20_000), hand(f"k{k}"))

    assert in_order(store)[0] == kept
    assert checked_whole(store) == []
    store.write(note("after"), hand("1"))


def test_a_killed_server_loses_nothing_that_was_acknowledged(
    cluster: Cluster, tmp_path: Path
) -> None:
    store = open_store(cluster.fresh(), HOME, files=tmp_path)
    kept = [store.write(note(f"entry {k}"), hand(str(k))).id for k in range(5)]
    cluster.kill()
    draft = replace(note("in the middle"), token="form-1")
    with pytest.raises(NotWritable, match="the line was lost"):
        store.write(draft, hand("m"))
    with pytest.raises(NotWritable, match="the line was lost"):
        store.count()

    cluster.start()
    assert in_order(store) == kept
    again = store.write(draft, hand("m2"))
    assert store.write(draft, hand("m3")) == again
    assert in_order(store) == [*kept, again.id]
    assert checked_whole(store) == []
    store.close()


def test_a_server_killed_inside_a_transaction_keeps_nothing_of_it(
    cluster: Cluster, tmp_path: Path
) -> None:
    store = open_store(cluster.fresh(), HOME, files=tmp_path)
    store.write(note("before"), hand("0"))
    draft = note("half done")
    with pytest.raises(NotWritable, match="the line was lost"), store.db.writing():
        store.compose(draft, hand("1"))
        cluster.kill()
        store.compose(draft, hand("2"))
    cluster.start()

    assert store.count() == 1
    assert store.write(draft, hand("3")).header.n == 2
    store.close()


def test_the_kill_can_tell_a_server_that_does_not_wait_for_its_log(
    cluster: Cluster, tmp_path: Path
) -> None:
    """The same kill with ``synchronous_commit`` off: it must see the last entries lost."""
    store = open_store(cluster.fresh(), HOME, files=tmp_path)
    store.write(note("first"), hand("0"))
    store.db.run("SET synchronous_commit = off")
    for k in range(5):
        store.write(note(f"entry {k}"), hand(f"k{k}"))
    cluster.kill()
    cluster.start()

    assert store.count() < 6
    store.close()


def test_the_servers_role_cannot_change_an_entry(cluster: Cluster, tmp_path: Path) -> None:
    from pitwright.records.postgres import grants

    address = cluster.fresh()
    owner = open_store(address, HOME, files=tmp_path)
    kept = owner.write(note("stays"), hand("0"))
    name = address.split("//")[1].split("@")[0]
    admin = Postgres(cluster.address())
    admin.run(f"CREATE ROLE {name}_web LOGIN")
    admin.run(f"GRANT USAGE ON SCHEMA {name} TO {name}_web")
    admin.run(f"ALTER ROLE {name}_web SET search_path = {name}")
    for statement in grants(f"{name}_web"):
        owner.db.run(statement)
    web = open_store(cluster.address(f"{name}_web"), HOME, files=tmp_path)

    assert web.write(note("may write"), hand("1")).header.prev == kept.id
    refused: list[Database] = [web.db]
    for db in refused:
        for statement in ("DELETE FROM entries", "UPDATE entries SET n = 1", "TRUNCATE bodies"):
            with pytest.raises(NotWritable, match="permission denied"):
                db.run(statement)
    for one in (web, owner):
        one.close()
    admin.close()


def test_a_batch_is_taken_in_whole_or_not_at_all(local: Callable[[str], Store]) -> None:
    from pitwright.records.accepting import accept

    store = local("a")
    pages = store.db.rows("PRAGMA page_count")[0][0]
    store.db.run(f"PRAGMA max_page_count = {pages + 3}")
    batch = [entry_of(n, device=f"d{n}", body={"text": "w" * 3000}).message() for n in range(1, 30)]
    with pytest.raises(NotWritable):
        accept(store, batch, OFFICE, NOON)

    assert store.count() == 0
    assert os.path.exists(store.files.folder.parent)
