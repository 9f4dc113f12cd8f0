"""What a store asks of its database. Two answer: SQLite and PostgreSQL.

Base tables hold what can never be worked out again: ``entries`` (append-only: triggers refuse every
change), ``bodies`` (removed only once erased), ``erased``, ``quarantine``, ``facts``, ``tokens``.
Tables whose names begin with ``v_`` are views in the sense of this room: they may be dropped and
are built again from the entries.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import AbstractContextManager
from typing import Any, Protocol

__all__ = ["SCHEMA", "VIEWS", "Database", "Row", "batches", "marks"]

SCHEMA = "1"
"""Version of the base tables. They only ever gain tables."""
VIEWS = "2"
"""Version of the views. Another one found in a store: dropped and built again."""

Row = tuple[Any, ...]
MOST_MARKS = 500
"""Parameters in one list of a statement. [-]"""


class Database(Protocol):
    """One connection. SQL uses ``?`` for parameters, and nothing that only one of them knows.

    Every method may raise NotWritable: full, locked too long, read-only, or the line was lost;
    nothing of the transaction is kept then, and the next call opens the line again.
    """

    name: str
    read_only: bool

    def prepared(self) -> bool:
        """Whether the base tables are there."""

    def prepare(self) -> None:
        """Create the base tables where they are missing."""

    def create_views(self) -> None:
        """Create the views where they are missing, empty."""

    def drop_views(self) -> None:
        """Drop every view."""

    def rows(self, sql: str, args: Sequence[Any] = ()) -> list[Row]:
        """What a query gives."""

    def run(self, sql: str, args: Sequence[Any] = ()) -> None:
        """Carry out one statement."""

    def many(self, table: str, columns: str, rows: Sequence[Row]) -> None:
        """Insert rows, leaving out those whose key is there."""

    def writing(self) -> AbstractContextManager[None]:
        """One durable transaction, the only one that writes; all of it or nothing."""

    def reading(self) -> AbstractContextManager[None]:
        """One unchanging view of the data."""

    def add_words(self, rows: Sequence[tuple[int, str]]) -> None:
        """Index words, apart by spaces, under entry numbers."""

    def drop_words(self, numbers: Sequence[int]) -> None:
        """Take entries out of the index."""

    def with_words(self, words: Sequence[str], sites: Iterable[str] | None, most: int) -> list[int]:
        """Numbers of entries whose words begin like all of these, last accepted first."""

    def scrub(self) -> None:
        """Make what was erased unreadable in the database's own files, as far as it can be."""

    def identity(self) -> str:
        """What tells this very database from a copy of it."""

    def close(self) -> None:
        """Let go of it."""


def marks(items: Sequence[Any]) -> str:
    """``(?, ?, ?)`` for a list of parameters, never empty."""
    return f"({', '.join('?' * len(items))})"


def batches(items: Iterable[Any], most: int = MOST_MARKS) -> Iterator[list[Any]]:
    """The items in lists of at most ``most``."""
    part: list[Any] = []
    for item in items:
        part.append(item)
        if len(part) == most:
            yield part
            part = []
    if part:
        yield part
