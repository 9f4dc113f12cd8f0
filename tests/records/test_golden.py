"""What version 1 wrote is read, relayed and given back unchanged by today's program."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from pitwright.records.accepting import aside
from pitwright.records.archive import checked_whole, pack, restore, take_in
from pitwright.records.export import csv_text
from pitwright.records.history import Standing, timeline
from pitwright.records.kinds import KINDS
from pitwright.records.pits import Place, survey_of
from pitwright.records.store import DATABASE_FILE, Store, open_store
from tests.records.support import HOME, NOON, OFFICE, meet, whole

GOLDEN = Path(__file__).parent / "golden"
LATER = {"wiring", "choice", "step", "stage", "mark"}
"""Kinds that came after the golden record was written."""
ENTRIES = 23
DIGEST = "804f8e158616164abf7f4d4fa398e76af69cc18fbe613a247c940deb32c4f68b"
"""Over every id, header, salt and body, in the order of ids: never to change."""


def digest(store: Store) -> str:
    found = hashlib.sha256()
    for id in sorted(whole(store)):
        entry = store.entry(id)
        for part in (id.encode(), entry.data, entry.salt or b"-", entry.body_data or b"-"):
            found.update(len(part).to_bytes(4, "big") + part)
    return found.hexdigest()


@pytest.fixture
def golden(tmp_path: Path) -> Store:
    """The old database itself, opened by today's program."""
    (tmp_path / "golden").mkdir()
    shutil.copyfile(GOLDEN / "record-v1.sqlite", tmp_path / "golden" / DATABASE_FILE)
    return open_store(str(tmp_path / "golden"), HOME)


def test_the_old_record_is_read_whole(golden: Store) -> None:
    assert (golden.count(), digest(golden)) == (ENTRIES, DIGEST)
    assert checked_whole(golden) == []
    state = golden.state("s-golden", "b-golden")
    assert state.withheld == () and state.forks == () and state.missing == ()
    kinds = {f.entry.header.kind for field in state.fields for f in field.facts}
    assert kinds >= KINDS.keys() - {"retract", "person", "property"} - LATER
    events = timeline("s-golden", "b-golden", golden.of_subject("s-golden", "b-golden"))
    assert [e.standing for e in events].count(Standing.NOT_HERE) == 1
    tie = next(f for f in state.of_kind("tie"))
    assert tie.value("a") == {"typed": "4 3/8", "inch": "35/8"}
    assert len(csv_text(golden).splitlines()) == ENTRIES + 1
    golden.close()


def test_it_goes_through_a_relay_that_knows_less_and_comes_back_unchanged(
    golden: Store, local: Callable[[str], Store], tmp_path: Path
) -> None:
    few = {k: v for k, v in KINDS.items() if k == "note"}
    relay = open_store(str(tmp_path / "relay"), HOME, kinds=few)
    far = local("far")
    meet(golden, relay)
    meet(relay, far)
    pack(far, tmp_path / "out.zip", NOON)
    restore(tmp_path / "out.zip", tmp_path / "back", HOME, OFFICE, NOON)
    back = open_store(str(tmp_path / "back"), HOME)

    for store in (relay, far, back):
        assert (store.count(), digest(store)) == (ENTRIES, DIGEST)
        assert [m for _, m in aside(store)] == [m for _, m in aside(golden)] != []
    for store in (relay, back, golden):
        store.close()


def test_the_old_archive_is_taken_in_whole(local: Callable[[str], Store]) -> None:
    store = local("a")
    taken = take_in(store, GOLDEN / "archive-v1.zip", OFFICE, NOON)

    assert len(taken.receipt.accepted) == ENTRIES and taken.files == 1
    assert digest(store) == DIGEST
    saved = survey_of(store, Place("s-golden", "b-golden", "pit", ""))
    assert saved.survey == b'name = "north gate"\n# 4 3/8 in, as typed\n'
    assert saved.program == "pitwright 0.1.0"
