"""One pit's time line: everything that was ever entered about it, and what still stands."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import Any

from pitwright.records.entry import Entry
from pitwright.records.fold import RETRACT, Fact, State, folded
from pitwright.records.kinds import KINDS, Kind, upcast
from pitwright.records.when import Span

__all__ = ["Event", "Standing", "timeline", "timeline_json"]


class Standing(Enum):
    """What became of an entry."""

    HOLDS = "holds"
    ONE_OF_SEVERAL = "one of several"
    """Somebody must settle which holds."""
    SUPERSEDED = "superseded"
    TAKEN_BACK = "taken back"
    NOT_HERE = "not here"
    """Erased, or its body has not arrived."""
    NEWER = "newer"
    """Written by a newer version."""


@dataclass(frozen=True, slots=True)
class Event:
    """One entry on the time line, its body as today's version reads it."""

    id: str
    kind: str
    field: str
    happened: Span
    author: str
    standing: Standing
    body: Mapping[str, Any]
    files: tuple[str, ...]
    speaks_of: tuple[str, ...] = ()
    """The entries that it takes back, dates again or erases."""
    again: bool = False
    """Whether it takes back a taking back: a redo."""


def timeline(
    site: str, subject: str, entries: Iterable[Entry], kinds: Mapping[str, Kind] = KINDS
) -> tuple[Event, ...]:
    """Every entry of a subject, oldest happening first; of one time, in the order of writing."""
    mine = [e for e in entries if (e.header.site, e.header.subject) == (site, subject)]
    state = folded(site, subject, mine, kinds)
    facts = _dated(state, mine, kinds)
    back = _taken_back(state, mine)
    order = sorted(mine, key=lambda e: (facts[e.id][0].middle, facts[e.id][1], e.id))
    retracts: set[str] = {e.id for e in mine if e.header.kind == RETRACT}
    return tuple(_event(e, facts[e.id][0], state, back, retracts, kinds) for e in order)


def _dated(
    state: State, entries: Iterable[Entry], kinds: Mapping[str, Kind]
) -> dict[str, tuple[Span, int]]:
    """When each happened, as last dated, and its place in the order."""
    dated: dict[str, tuple[Span, int]] = {
        e.id: (e.header.happened, e.header.lamport) for e in entries
    }
    redates = sorted((e for e in entries if e.header.kind == "redate"), key=lambda e: e.order)
    for entry in redates:
        for target in entry.header.about:
            if target in dated:
                dated[target] = (entry.header.happened, entry.header.lamport)
    return dated


def _taken_back(state: State, entries: Iterable[Entry]) -> set[str]:
    """What a standing retraction takes back."""
    latest: dict[str, Fact] = {h.id: h for f in state.fields for h in f.latest}
    return {
        target
        for entry in entries
        if entry.header.kind == RETRACT and entry.id in latest
        for target in entry.header.supersedes
    }


def _event(
    entry: Entry, happened: Span, state: State, back: set[str], retracts: set[str],
    kinds: Mapping[str, Kind],
) -> Event:  # fmt: skip
    head = entry.header
    body = upcast(head.kind, head.kind_version, entry.body, kinds)
    return Event(
        entry.id, head.kind, head.field, happened, head.author,
        _standing(entry, body, state, back), body or {}, head.files,
        head.supersedes if head.kind == RETRACT else head.about,
        head.kind == RETRACT and bool(retracts & set(head.supersedes)),
    )  # fmt: skip


def _standing(
    entry: Entry, body: Mapping[str, Any] | None, state: State, back: set[str]
) -> Standing:
    field = state.field(entry.header.field)
    holding = {f.id for f in field.facts} if field is not None else set()
    if body is None:
        return Standing.NEWER
    if entry.body_data is None:
        return Standing.NOT_HERE
    if entry.id in back:
        return Standing.TAKEN_BACK
    if entry.id in holding:
        return Standing.ONE_OF_SEVERAL if field and field.contested else Standing.HOLDS
    latest = {h.id for f in state.fields for h in f.latest}
    return Standing.HOLDS if entry.id in latest else Standing.SUPERSEDED


def timeline_json(site: str, subject: str, events: Iterable[Event]) -> dict[str, Any]:
    """The time line as JSON, schema ``pitwright-record-history-1``."""
    return {
        "schema": "pitwright-record-history-1",
        "site": site,
        "subject": subject,
        "events": [
            {
                "id": e.id,
                "kind": e.kind,
                "field": e.field,
                "happened": e.happened.as_json(),
                "author": e.author,
                "standing": e.standing.value,
                "body": dict(e.body),
                "files": list(e.files),
                "speaks_of": list(e.speaks_of),
                "again": e.again,
            }
            for e in events
        ],
    }
