"""The views: what makes a store quick, and may be dropped and built again from the entries.

``v_entries`` index of subjects and kinds; ``v_links`` who supersedes (``s``), speaks of (``a``) or
carries (``f``) what; the words of every body, folded alike for both databases.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from pitwright.records.database import VIEWS, Database, Row
from pitwright.records.fold import ERASE

__all__ = ["Rows", "build", "ensure", "words_in", "words_of"]

_AT_ONCE = 2000
_LONGEST_WORD = 60
_MOST_WORDS = 4000
_WORD = re.compile(r"[^\W_]+")


def words_in(text: str) -> list[str]:
    """The words of a text as they are searched: lower case, without accents, letters and digits."""
    plain = text if text.isascii() else unicodedata.normalize("NFKD", text)
    kept = "".join(c for c in plain if not unicodedata.combining(c)) if plain is not text else text
    return [w[:_LONGEST_WORD] for w in _WORD.findall(kept.casefold())]


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner)


def words_of(kind: str, body: Mapping[str, Any]) -> str:
    """Every word of a body, and its kind, apart by spaces."""
    found = words_in(kind)
    for text in _texts(body):
        found += words_in(text)
    return " ".join(dict.fromkeys(found[:_MOST_WORDS]))


@dataclass(slots=True)
class Rows:
    """Rows gathered for the views, written together."""

    entries: list[Row] = field(default_factory=list)
    links: list[Row] = field(default_factory=list)
    words: list[tuple[int, str]] = field(default_factory=list)

    def add(self, seq: int, id: str, header: Mapping[str, Any], body: bytes | None) -> None:
        """The rows of one entry, its header as JSON."""
        kind = header["kind"]
        self.entries.append((seq, id, header["site"], header["subject"], header["field"], kind))
        self.links += [(target, seq, "s") for target in header["supersedes"]]
        self.links += [(target, seq, "a") for target in header["about"]]
        carried = "x" if kind == ERASE else "f"
        self.links += [(target, seq, carried) for target in header["files"]]
        if body is not None:
            self.words.append((seq, words_of(kind, json.loads(body))))

    def write(self, db: Database) -> None:
        """Insert what was gathered, and forget it."""
        db.many("v_entries", "seq, id, site, subject, field, kind", self.entries)
        db.many("v_links", "target, seq, what", self.links)
        db.add_words(self.words)
        self.entries, self.links, self.words = [], [], []


def _read(db: Database) -> Iterable[list[Row]]:
    last = 0
    while True:
        rows = db.rows(
            "SELECT e.seq, e.id, e.header, b.body FROM entries e LEFT JOIN bodies b "
            "ON b.seq = e.seq WHERE e.seq > ? ORDER BY e.seq LIMIT ?",
            (last, _AT_ONCE),
        )
        if not rows:
            return
        yield rows
        last = rows[-1][0]


def build(db: Database) -> int:
    """Drop every view and build it again; how many entries were read. Inside one transaction."""
    count = 0
    with db.writing():
        db.drop_views()
        db.create_views()
        for rows in _read(db):
            gathered = Rows()
            for seq, id, header, body in rows:
                gathered.add(
                    seq, id, json.loads(bytes(header)), None if body is None else bytes(body)
                )
            gathered.write(db)
            count += len(rows)
        db.run("DELETE FROM facts WHERE name = 'views'")
        db.many("facts", "name, value", [("views", VIEWS)])
    return count


def ensure(db: Database) -> None:
    """Build the views where they are missing or of another version."""
    if db.rows("SELECT value FROM facts WHERE name = 'views'") != [(VIEWS,)]:
        build(db)
