"""The record in one SQLite file: write-ahead log, every commit on the disk, one writer."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from pitwright.errors import NotWritable, Unreadable
from pitwright.records.database import SCHEMA, Row, marks

__all__ = ["Sqlite"]

WAIT = 10.0
"""How long a writer waits for another. [s]"""

_BASE = """
CREATE TABLE IF NOT EXISTS entries (
  seq INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, site TEXT NOT NULL,
  device TEXT NOT NULL, n INTEGER NOT NULL, lamport INTEGER NOT NULL, header BLOB NOT NULL,
  accepted_by TEXT NOT NULL, accepted_at TEXT NOT NULL);
CREATE INDEX IF NOT EXISTS entries_place ON entries (site, device, n);
CREATE INDEX IF NOT EXISTS entries_clock ON entries (site, lamport);
CREATE TABLE IF NOT EXISTS bodies (
  seq INTEGER PRIMARY KEY, salt BLOB NOT NULL, body BLOB NOT NULL);
CREATE TABLE IF NOT EXISTS erased (id TEXT PRIMARY KEY, by_entry TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS quarantine (
  key TEXT PRIMARY KEY, id TEXT NOT NULL, site TEXT NOT NULL, subject TEXT NOT NULL,
  header BLOB NOT NULL, salt BLOB, body BLOB, reason TEXT NOT NULL, detail TEXT NOT NULL,
  role TEXT NOT NULL, at TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS facts (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS tokens (token TEXT PRIMARY KEY, id TEXT NOT NULL) WITHOUT ROWID;
CREATE TRIGGER IF NOT EXISTS entries_stay BEFORE UPDATE ON entries
  BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;
CREATE TRIGGER IF NOT EXISTS entries_remain BEFORE DELETE ON entries
  BEGIN SELECT RAISE(ABORT, 'entries are never removed'); END;
CREATE TRIGGER IF NOT EXISTS bodies_stay BEFORE UPDATE ON bodies
  BEGIN SELECT RAISE(ABORT, 'bodies are never changed'); END;
CREATE TRIGGER IF NOT EXISTS bodies_remain BEFORE DELETE ON bodies
  WHEN NOT EXISTS (SELECT 1 FROM erased x JOIN entries e ON e.id = x.id WHERE e.seq = OLD.seq)
  BEGIN SELECT RAISE(ABORT, 'bodies are removed only once erased'); END;
CREATE TRIGGER IF NOT EXISTS erased_stay BEFORE UPDATE ON erased
  BEGIN SELECT RAISE(ABORT, 'what is erased stays erased'); END;
CREATE TRIGGER IF NOT EXISTS erased_remain BEFORE DELETE ON erased
  BEGIN SELECT RAISE(ABORT, 'what is erased stays erased'); END;
"""
_VIEWS = """
CREATE TABLE IF NOT EXISTS v_entries (
  seq INTEGER PRIMARY KEY, id TEXT NOT NULL, site TEXT NOT NULL, subject TEXT NOT NULL,
  field TEXT NOT NULL, kind TEXT NOT NULL);
CREATE INDEX IF NOT EXISTS v_entries_subject ON v_entries (subject, site);
CREATE INDEX IF NOT EXISTS v_entries_kind ON v_entries (kind, site);
CREATE TABLE IF NOT EXISTS v_links (
  target TEXT NOT NULL, seq INTEGER NOT NULL, what TEXT NOT NULL,
  PRIMARY KEY (target, seq, what)) WITHOUT ROWID;
CREATE VIRTUAL TABLE IF NOT EXISTS v_words USING
  fts5(words, tokenize = 'unicode61', detail = none, columnsize = 0);
"""
_DROP = "DROP TABLE IF EXISTS v_words; DROP TABLE IF EXISTS v_links; DROP TABLE IF EXISTS v_entries"


class Sqlite:
    """A :class:`~pitwright.records.database.Database` in one file.

    ``home`` names the machine (a door knows it): with the file's own number it tells a file from
    its copy. Raises Unreadable when the file is no database, NotWritable when it cannot be made.
    ``synchronous`` is FULL; anything less is there so that a test can show what it would lose.
    """

    name = "sqlite"

    def __init__(
        self, path: Path, home: str = "", synchronous: str = "FULL", read_only: bool = False
    ) -> None:
        self.path, self.home, self.read_only = path, home, read_only
        try:
            if not read_only:
                path.parent.mkdir(parents=True, exist_ok=True)
            self._db = sqlite3.connect(
                f"{path.resolve().as_uri()}?mode={'ro' if read_only else 'rwc'}",
                uri=True, timeout=WAIT, isolation_level=None, cached_statements=256,
 check_same_thread=False,  # one thread at a time all the same; any may close it

            )  # fmt: skip
            self._tune(synchronous)
        except (sqlite3.Error, OSError) as broken:
            raise self._trouble(broken) from broken

    def _tune(self, synchronous: str) -> None:
        mode = self._db.execute("PRAGMA journal_mode = WAL").fetchone()[0]
        if mode != "wal" and not self.read_only:
            raise NotWritable(
                str(self.path), f"the log is {mode}", "keep the record on a local disk"
            )
        self._db.execute(f"PRAGMA synchronous = {synchronous}")
        self._db.execute("PRAGMA secure_delete = ON")
        self._db.execute("PRAGMA cache_size = -32000")

    def _trouble(self, broken: Exception) -> Exception:
        """What SQLite says, in our words."""
        said = str(broken)
        where = str(self.path)
        if "not a database" in said or "malformed" in said:
            return Unreadable(where, None, f"is damaged or no record ({said})", "restore a backup")
        if "unable to open" in said and self.read_only:
            return Unreadable(where, None, "is not there or cannot be opened", "check the path")
        if "locked" in said:
            return NotWritable(where, f"another writer held it for {WAIT:g} s", "try again")
        if "full" in said:
            return NotWritable(where, said, "free some room and do it again; nothing was lost")
        return NotWritable(where, said, "nothing was kept of this; check the disk and the path")

    def prepared(self) -> bool:
        """Whether the base tables are there."""
        return bool(self.rows("SELECT 1 FROM sqlite_master WHERE name = 'erased_remain'"))

    def prepare(self) -> None:
        """Create the base tables where they are missing."""
        self._script(_BASE)
        self.many("facts", "name, value", [("schema", SCHEMA)])

    def create_views(self) -> None:
        """Create the views where they are missing, empty."""
        self._script(_VIEWS)

    def drop_views(self) -> None:
        """Drop every view."""
        self._script(_DROP)

    def _script(self, text: str) -> None:
        """Several statements inside the transaction that is open, if any."""
        statement = ""
        for part in text.split(";"):
            statement += part + ";"
            if sqlite3.complete_statement(statement):
                self.run(statement)
                statement = ""

    def rows(self, sql: str, args: Sequence[Any] = ()) -> list[Row]:
        """What a query gives."""
        try:
            return self._db.execute(sql, args).fetchall()
        except sqlite3.Error as broken:
            raise self._trouble(broken) from broken

    def run(self, sql: str, args: Sequence[Any] = ()) -> None:
        """Carry out one statement."""
        self.rows(sql, args)

    def many(self, table: str, columns: str, rows: Sequence[Row]) -> None:
        """Insert rows, leaving out those whose key is there."""
        if not rows:
            return
        sql = f"INSERT INTO {table} ({columns}) VALUES {marks(rows[0])} ON CONFLICT DO NOTHING"
        try:
            self._db.executemany(sql, rows)
        except sqlite3.Error as broken:
            raise self._trouble(broken) from broken

    @contextmanager
    def _transaction(self, begin: str) -> Iterator[None]:
        self.run(begin)
        try:
            yield
            self.run("COMMIT")
        except BaseException:
            if self._db.in_transaction:
                self._db.execute("ROLLBACK")
            raise

    def writing(self) -> Any:
        """One durable transaction, the only one that writes."""
        return self._transaction("BEGIN IMMEDIATE")

    def reading(self) -> Any:
        """One unchanging view of the data."""
        return self._transaction("BEGIN")

    def add_words(self, rows: Sequence[tuple[int, str]]) -> None:
        """Index words, apart by spaces, under entry numbers."""
        try:
            self._db.executemany("INSERT INTO v_words (rowid, words) VALUES (?, ?)", rows)
        except sqlite3.Error as broken:
            raise self._trouble(broken) from broken

    def drop_words(self, numbers: Sequence[int]) -> None:
        """Take entries out of the index."""
        for number in numbers:
            self.run("DELETE FROM v_words WHERE rowid = ?", (number,))

    def with_words(self, words: Sequence[str], sites: Iterable[str] | None, most: int) -> list[int]:
        """Numbers of entries whose words begin like all of these, last accepted first."""
        query = " AND ".join(f'"{word}"*' for word in words)
        sql = "SELECT v_words.rowid FROM v_words"
        args: list[Any] = [query]
        where = " WHERE v_words MATCH ?"
        if sites is not None:
            allowed = sorted(sites)
            sql += " JOIN v_entries e ON e.seq = v_words.rowid"
            where += f" AND e.site IN {marks(allowed)}" if allowed else " AND 0"
            args += allowed
        found = self.rows(f"{sql}{where} ORDER BY v_words.rowid DESC LIMIT ?", [*args, most])
        return [row[0] for row in found]

    def scrub(self) -> None:
        """Merge the word index, and move the log into the file, whose freed pages are zeroed."""
        self.run("INSERT INTO v_words (v_words) VALUES ('optimize')")
        self.run("PRAGMA wal_checkpoint(TRUNCATE)")

    def identity(self) -> str:
        """The machine, and the number the file has on its disk."""
        return f"{self.home}:{self.path.stat().st_ino}"

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()
