"""A pit's survey as entries of its record: one reading an entry, taken back like any other.

A reading's name is its path, "stub/feed/tip"; its text stands as it was typed. From the entries
that hold the text of a survey is put together, the same that a file would hold.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, unquote

from pitwright.pages.asked import Want
from pitwright.pages.keys import NAMED, SECTIONS, key_of, literal, spoken
from pitwright.records.fold import Fact, State
from pitwright.records.kinds import slug
from pitwright.records.progress import AGAIN, AGAIN_GONE, stage_of_path
from pitwright.survey.lines import path_of, quoted
from pitwright.survey.source import tables_of

__all__ = [
    "GONE",
    "KEPT",
    "Path",
    "Typed",
    "from_survey",
    "is_survey",
    "path_of_text",
    "path_text",
    "readings_of",
    "said_path",
    "said_reading",
    "survey_text",
    "want",
]

KEPT, GONE = "survey", "survey, taken away"
"""What marks an entry as a reading of the survey, and as one that is no longer asked."""
Path = tuple[str, ...]
"""Section, name where it has one, key."""


@dataclass(frozen=True, slots=True)
class Typed:
    """One reading as it holds: its text, its entry and when it happened there."""

    text: str
    fact: Fact | None = None


def path_text(path: Path) -> str:
    """The path as an entry names it."""
    return "/".join(quote(part, safe=" -_.,'()") for part in path)


def said_path(path: Path) -> str:
    """The path as a person reads it, by its field's label: "feed: middle of its open end"."""
    key = key_of(path[0], path[-1])
    label = key.label if key else path[-1].replace("_", " ")
    return f"{path[1] if len(path) == 3 else path[0]}: {label[:1].lower()}{label[1:]}"


def path_of_text(text: str) -> Path:
    """The reverse of :func:`path_text`."""
    return tuple(unquote(part) for part in text.split("/"))


def field_of(path: Path) -> str:
    """The slot of a reading: readable, and one for each path."""
    text = path_text(path)
    known = hashlib.sha256(text.encode()).hexdigest()[:12]
    plain = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:60].strip("-")
    return f"reading/{slug(plain or 'x')}-{known}"


def is_survey(body: Mapping[str, Any] | None) -> bool:
    """Whether an entry is a reading of the survey."""
    return bool(body) and str((body or {}).get("quantity", "")) in (KEPT, GONE)


def said_reading(body: Mapping[str, Any] | None) -> str:
    """A reading of the survey, or of a stub measured again, as a line; empty for another entry."""
    quantity = str((body or {}).get("quantity", ""))
    if body is None or quantity not in (KEPT, GONE, AGAIN, AGAIN_GONE):
        return ""
    said = said_path(stage_of_path(path_of_text(str(body.get("reading", ""))))[1])
    if quantity in (GONE, AGAIN_GONE):
        return f"{said} taken away"
    again = " again" if quantity == AGAIN else ""
    return f"{said}{again} {body.get('typed', '')}"


def readings_of(state: State) -> dict[Path, Typed]:
    """The readings that hold, in the order of the survey."""
    found: dict[Path, Typed] = {}
    for fact in state.of_kind("reading"):
        if fact.value("quantity") == KEPT:
            found[path_of_text(str(fact.value("reading")))] = Typed(str(fact.value("typed")), fact)
    rank = {name: n for n, name in enumerate(SECTIONS)}
    first: dict[Path, int] = {}
    for n, path in enumerate(found):
        first.setdefault(path[:-1], n)
    order = sorted(found, key=lambda p: (rank.get(p[0], 99), first[p[:-1]]))
    return {path: found[path] for path in order}


def want(path: Path, typed: str) -> Want:
    """The entry of one reading; an empty text takes the reading away."""
    body = {"reading": path_text(path), "typed": typed, "quantity": KEPT}
    shown = f"{said_path(path)} {typed}"
    if not typed.strip():
        body = {"reading": path_text(path), "typed": "taken away", "quantity": GONE}
        shown = f"{said_path(path)} taken away"
    return Want("reading", body, field_of(path), shown=shown)


def survey_text(readings: Mapping[Path, Typed], name: str) -> str:
    """The survey that the readings make, as TOML.

    ``name`` is the pit's. Raises Malformed for brackets that hold no value.
    """
    tables: dict[Path, list[str]] = {("pit",): [f"name = {literal('pit', 'name', name)}"]}
    for path, typed in readings.items():
        if path == ("pit", "name"):
            continue
        value = literal(path[0], path[-1], typed.text)
        tables.setdefault(path[:-1], []).append(f"{quoted(path[-1])} = {value}")
    blocks = [f"[{path_of(*path)}]\n" + "\n".join(lines) for path, lines in tables.items()]
    return "\n\n".join(blocks) + "\n"


def from_survey(text: str) -> Iterable[tuple[Path, str]]:
    """Every value of a survey file, as its reading is typed."""
    for section, table in tables_of(text).items():
        if not isinstance(table, dict):
            continue
        if section in NAMED:
            for name, keys in table.items():
                if isinstance(keys, dict):
                    for key, value in keys.items():
                        yield (section, name, key), spoken(section, key, value)
        else:
            for key, value in table.items():
                yield (section, key), spoken(section, key, value)
