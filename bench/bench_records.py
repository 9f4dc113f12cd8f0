"""The record at the size of a firm: 100,000 entries over 2,000 properties, in SQLite.

The peer is SQLite itself without our layer: the same bytes into one table with two keys, as durable
(write-ahead log, synchronous=FULL), read back by a plain index. What is dearer than the peer is
the price of verifying, indexing, linking and searching.
"""

from __future__ import annotations

import random
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from pitwright.records import views
from pitwright.records.accepting import accept
from pitwright.records.archive import pack, restore
from pitwright.records.canonical import encode
from pitwright.records.entry import Entry, EntryId, Header, Message, body_hash, make
from pitwright.records.exchange import answer, exchange
from pitwright.records.store import Draft, Hand, Right, Store, open_store
from pitwright.records.when import Span, Written, stamp

ENTRIES, PROPERTIES = 100_000, 2_000
NOW = datetime(2026, 5, 4, 12, tzinfo=UTC)
OFFICE = Right("u-bench")
WORDS = (
    "thin", "wall", "feed", "tee", "splice", "taped", "grit", "clay", "root", "oak", "gate", "shed",
    "meter", "valve", "coil", "ring", "north", "south", "crack", "seep", "box", "lid", "hinge",
    "brown", "yellow", "common", "spare", "union", "bushing", "elbow", "corner", "worn",
)  # fmt: skip


def hand() -> Hand:
    dice = random.Random(3)
    return Hand(OFFICE, NOW, dice.randbytes, 0)


def entries(count: int, properties: int) -> Iterator[Entry]:
    """A long life: to each property a pit, readings that supersede each other, findings, notes."""
    dice = random.Random(1)
    last: dict[str, tuple[int, EntryId | None]] = {}
    heads: dict[tuple[str, str], EntryId] = {}
    for k in range(count):
        site = f"s-{k % properties:05d}"
        n, prev = last.get(site, (0, None))
        kind, field, body = _what(n, dice)
        salt, data = dice.randbytes(16), encode(body)
        when = stamp(NOW - timedelta(days=4000 - n * 60))
        old = heads.get((site, field))
        subject = site if kind == "property" else f"b-{k % properties:05d}"
        header = Header(
            kind, 1, site, subject, field, "dbench", n + 1, prev, n + 1, Span(when, when),
            Written(when, 0), "u-bench", (old,) if old else (), (), (), body_hash(salt, data),
        )  # fmt: skip
        entry = make(header, salt, data)
        last[site] = (n + 1, entry.id)
        heads[site, field] = entry.id
        yield entry


def _what(n: int, dice: random.Random) -> tuple[str, str, dict[str, object]]:
    text = " ".join(dice.choices(WORDS, k=8))
    if n == 0:
        return "property", "property", {"name": f"garden {dice.randrange(10**6)}"}
    if n == 1:
        return "pit", "pit", {"label": f"pit {text}", "zones": ["3"]}
    if n % 3 == 0:
        ohms = f"{24 + n * 0.05 + dice.gauss(0, 0.2):.1f}"
        return "reading", "reading/coil", {
            "reading": "coil", "typed": f"{ohms} ohm", "value": ohms, "unit": "ohm",
            "quantity": "coil ohms", "zone": "3",
        }  # fmt: skip
    if n % 3 == 1:
        return "finding", f"finding/dbench-{n}", {"what": text, "place": "behind the tee"}
    return "note", f"note/dbench-{n}", {"text": f"{text}; {text[::-1]}"}


def timed(work: Callable[[], object], times: int = 1) -> float:
    """Median seconds."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return statistics.median(found)


def peer(path: Path, messages: list[Message]) -> tuple[sqlite3.Connection, float]:
    """Bare SQLite with the same bytes; seconds to load them."""
    db = sqlite3.connect(path, isolation_level=None)
    db.execute("PRAGMA journal_mode = WAL")
    db.execute("PRAGMA synchronous = FULL")
    db.execute("CREATE TABLE t (id TEXT PRIMARY KEY, subject TEXT, header BLOB, body BLOB)")
    db.execute("CREATE INDEX t_subject ON t (subject)")
    start = time.perf_counter()
    for at in range(0, len(messages), 500):
        db.execute("BEGIN IMMEDIATE")
        db.executemany(
            "INSERT INTO t VALUES (?, ?, ?, ?)",
            [(m.id, f"b-{(at + i) % PROPERTIES:05d}", m.header, m.body)
             for i, m in enumerate(messages[at : at + 500])],
        )  # fmt: skip
        db.execute("COMMIT")
    return db, time.perf_counter() - start


def appends(store: Store, count: int) -> list[float]:
    """Seconds of each durable append, to places all over the record."""
    writer = hand()
    found = []
    for k in range(count):
        pit = k * 37 % PROPERTIES
        draft = Draft("note", f"s-{pit:05d}", f"b-{pit:05d}", {"text": f"opened again {k}"})
        found.append(timed(lambda draft=draft: store.write(draft, writer)))  # type: ignore[misc]
    return found


def peer_appends(db: sqlite3.Connection, count: int) -> list[float]:
    dice = random.Random(9)
    return [
        timed(
            lambda: db.execute(
                "INSERT INTO t VALUES (?, ?, ?, ?)",
                (dice.randbytes(32).hex(), "b-00001", dice.randbytes(560), dice.randbytes(60)),
            )
        )
        for _ in range(count)
    ]


def row(what: str, ours: float, wanted: str, other: float | None, unit: str = "ms") -> None:
    scale = 1000 if unit == "ms" else 1
    beside = "-" if other is None else f"{other * scale:.3g} {unit}"
    print(f"| {what} | {ours * scale:.3g} {unit} | {wanted} | {beside} |")


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as folder:
        _measured(Path(folder))


def _measured(folder: Path) -> None:
    messages = [e.message() for e in entries(ENTRIES, PROPERTIES)]
    print(f"{ENTRIES:,} entries, {PROPERTIES:,} properties; SQLite {sqlite3.sqlite_version}, ")
    print(f"Python {sys.version.split()[0]}; peer: bare SQLite, one table, two keys, as durable\n")
    print("| what | ours | wanted | peer |\n|---|---|---|---|")
    store = open_store(str(folder / "a"), "bench")
    small = appends(store, 200)
    start = time.perf_counter()
    marks = []
    for at in range(0, ENTRIES, 500):
        began = time.perf_counter()
        accept(store, messages[at : at + 500], OFFICE, NOW)
        marks.append(time.perf_counter() - began)
    load = time.perf_counter() - start
    db, peer_load = peer(folder / "peer.sqlite", messages)
    row("take all in, verified, 500 a batch", load, "-", peer_load, "s")
    tenth = len(marks) // 10
    growth = statistics.median(marks[-tenth:]) / statistics.median(marks[:tenth])
    print(f"| last tenth of that, over the first | {growth:.2f} | flat | - |")
    row("durable append, empty record, median", statistics.median(small), "5 ms", None)
    large, bare = appends(store, 400), peer_appends(db, 400)
    row("durable append, full record, median", statistics.median(large), "5 ms",
        statistics.median(bare))  # fmt: skip
    row("the same, 99 of 100 within", sorted(large)[-5], "-", sorted(bare)[-5])
    _reading(store, db, folder)
    _moving(store, folder)
    db.close()
    store.close()


def _reading(store: Store, db: sqlite3.Connection, folder: Path) -> None:
    pits = [f"{k * 53 % PROPERTIES:05d}" for k in range(50)]

    def plain(pit: str) -> object:
        return db.execute("SELECT header, body FROM t WHERE subject = ?", (f"b-{pit}",)).fetchall()

    fold = statistics.median(timed(lambda p=p: store.state(f"s-{p}", f"b-{p}")) for p in pits)  # type: ignore[misc]
    bare = statistics.median(timed(lambda p=p: plain(p)) for p in pits)  # type: ignore[misc]
    row(f"fold of one pit ({ENTRIES // PROPERTIES} entries)", fold, "20 ms", bare)

    def like() -> object:
        sql = "SELECT id FROM t WHERE body LIKE ? AND body LIKE ? LIMIT 50"
        return db.execute(sql, ("%splice%", "%thin wall oak%")).fetchall()

    row("search, one common word", timed(lambda: store.search("splice"), 9), "50 ms", None)
    row("search, two words and a beginning", timed(lambda: store.search("thin oak spl"), 9),
        "50 ms", timed(like, 3))  # fmt: skip
    row("search, one word that is nowhere", timed(lambda: store.search("zebra"), 9), "50 ms", None)

    def again() -> None:
        open_store(str(folder / "a"), "bench").close()

    def bare_again() -> None:
        other = sqlite3.connect(folder / "peer.sqlite")
        other.execute("SELECT count(*) FROM t WHERE id = 'x'").fetchall()
        other.close()

    row("open", timed(again, 7), "500 ms", timed(bare_again, 7))
    row("build all views again", timed(lambda: views.build(store.db)), "10 s", None, "s")


def _moving(store: Store, folder: Path) -> None:
    other = open_store(str(folder / "b"), "bench")

    def meet() -> None:
        exchange(store, lambda q: answer(other, q, OFFICE, NOW), OFFICE, NOW)

    row("exchange everything with an empty record", timed(meet), "-", None, "s")
    row("exchange when nothing is new", timed(meet), "-", None, "s")
    store.write(Draft("note", "s-00001", "b-00001", {"text": "one more"}), hand())
    row("exchange when one entry is new", timed(meet), "-", None, "s")
    other.close()
    row("backup", timed(lambda: pack(store, folder / "b.zip", NOW)), "-", None, "s")
    again = timed(lambda: restore(folder / "b.zip", folder / "c", "bench", OFFICE, NOW))
    row("restore, every hash verified", again, "-", None, "s")
    size = sum(p.stat().st_size for p in (folder / "a").rglob("*") if p.is_file())
    zipped = (folder / "b.zip").stat().st_size
    print(f"| on the disk, and as a backup | {size / 1e6:.0f} MB, {zipped / 1e6:.0f} MB | - | - |")


if __name__ == "__main__":
    main()
