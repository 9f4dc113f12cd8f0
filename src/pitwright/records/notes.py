"""Notes that a phone made on a carry file, taken into the record.

A notes file is JSON (``docs/carry-file.md``): what was read, pieces as cut, joints made. Each note
has an id drawn on the phone, so it is one entry however often it comes; each says which entries the
phone knew in its place, so that what changed here meanwhile is shown beside it and not replaced.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from pitwright.errors import (
    BadInput,
    Contradiction,
    Duplicate,
    Malformed,
    Missing,
    UnknownName,
    Unreadable,
)
from pitwright.records.entry import Entry
from pitwright.records.kinds import KINDS, Slot, checked, slug
from pitwright.records.pits import Place, named, plans_of
from pitwright.records.store import Draft, Hand, Store
from pitwright.records.when import Span, instant

__all__ = ["SCHEMA", "Note", "Noted", "Notes", "heads", "pit_of_notes", "read_notes", "take_notes"]

SCHEMA = "pitwright-notes-1"
KINDS_NOTED = ("reading", "piece", "joint", "step", "note")
LARGEST = 2_000_000
"""One notes file. [bytes]"""
MOST = 2000
"""Notes in one file. [-]"""
_AHEAD = timedelta(days=1)
"""A phone's clock that runs farther ahead is not believed. Judgement. [time]"""
_LONGEST_ID = 64


@dataclass(frozen=True, slots=True)
class Note:
    """One note: its id, its kind and body as an entry has them, and the time on the phone.

    ``back``: it was taken back on the phone. ``knew``: the entries that held its slot when the
    carry file was made. ``plan``: the plan the carry file was made from; empty when none.
    """

    id: str
    kind: str
    body: Mapping[str, Any]
    at: datetime
    back: bool
    knew: tuple[str, ...]
    plan: str

    @property
    def token(self) -> str:
        """Under which it is written once."""
        return f"note {self.id}"

    @property
    def slot(self) -> str:
        """The field of the record it fills; empty where each note is one more."""
        kind = KINDS[self.kind]
        return f"{self.kind}/{slug(str(self.body[kind.named_by]))}" if kind.named_by else ""


@dataclass(frozen=True, slots=True)
class Notes:
    """A notes file: the pit's ids (empty when made without a record), its name, its notes."""

    site: str
    subject: str
    pit: str
    notes: tuple[Note, ...]


@dataclass(slots=True)
class Noted:
    """What became of the notes. ``beside``: written beside what changed here, to be settled.

    ``stale``: whether some speak of a plan that is not the pit's newest any more. ``redated``: how
    many came from a clock that ran ahead and bear the time of the import instead.
    """

    taken: list[Entry] = field(default_factory=list)
    known: int = 0
    back: int = 0
    beside: list[Entry] = field(default_factory=list)
    redated: int = 0
    stale: bool = False


def read_notes(data: bytes, file: str) -> Notes:
    """The notes in a file's bytes; what stands before the first and after the last brace is let be.

    Raises Unreadable when it holds no notes, Malformed, UnknownName, Duplicate or Missing for the
    first thing that is wrong with them. Nothing is read by halves.
    """
    if len(data) > LARGEST:
        raise Unreadable(file, None, f"is larger than {LARGEST:,} bytes", "export the notes again")
    text = data.decode("utf-8", "replace").replace("\xa0", " ")
    start, end = text.find("{"), text.rfind("}")
    try:
        raw = json.loads(text[start : end + 1]) if 0 <= start < end else None
    except (ValueError, RecursionError) as why:
        line = why.lineno if isinstance(why, json.JSONDecodeError) else None
        raise Unreadable(
            file, line, "is broken off or changed on the way", "export the notes again"
        ) from None
    if not isinstance(raw, dict) or "schema" not in raw:
        raise Unreadable(file, None, "holds no notes of a carry file", "choose what it exported")
    if raw["schema"] != SCHEMA:
        hint = "update Pitwright here, or make the carry file again"
        raise Malformed("schema", raw["schema"], f"must be {SCHEMA}", hint).at(file)
    try:
        return _notes(raw)
    except BadInput as mistake:
        raise mistake.at(file) from None


def _notes(raw: Mapping[str, Any]) -> Notes:
    pit, listed = raw.get("pit"), raw.get("notes")
    if not isinstance(pit, dict):
        raise Malformed("pit", pit, "must be a table", "export the notes again")
    if not isinstance(listed, list) or len(listed) > MOST:
        raise Malformed("notes", listed, f"must be a list of at most {MOST}", "export them again")
    notes = tuple(_note(one, f"note {i}") for i, one in enumerate(listed, 1))
    ids = [note.id for note in notes]
    twice = next((i for i, id in enumerate(ids) if id in ids[:i]), None)
    if twice is not None:
        raise Duplicate(f"note {twice + 1}.id", ids[twice], "stands twice", "export them again")
    site, subject, name = (_text(pit.get(k, ""), f"pit.{k}") for k in ("site", "subject", "name"))
    return Notes(site, subject, name, notes)


def _text(value: Any, where: str) -> str:
    if not isinstance(value, str) or len(value) > 500:
        raise Malformed(where, value, "must be a short text", "export the notes again")
    return value


def _note(raw: Any, where: str) -> Note:
    if not isinstance(raw, dict):
        raise Malformed(where, raw, "must be a table", "export the notes again")
    id, kind = _text(raw.get("id"), f"{where}.id"), raw.get("kind")
    if not 8 <= len(id) <= _LONGEST_ID or not id.isalnum():
        raise Malformed(f"{where}.id", id, "must be 8 to 64 letters and digits", "export again")
    if kind not in KINDS_NOTED:
        raise UnknownName(f"{where}.kind", str(kind), KINDS_NOTED, "kind of note")
    body, knew = raw.get("body"), raw.get("knew", [])
    if not isinstance(body, dict):
        raise Malformed(f"{where}.body", body, "must be a table", "export the notes again")
    if not isinstance(knew, list) or len(knew) > 50:
        raise Malformed(f"{where}.knew", knew, "must be a short list", "export the notes again")
    try:
        good = checked(str(kind), body)
    except BadInput as wrong:
        wrong.where = f"{where}, {wrong.where}"
        raise
    knows = tuple(_text(i, f"{where}.knew") for i in knew)
    plan = _text(raw.get("plan", ""), f"{where}.plan")
    return Note(id, str(kind), good, instant(raw.get("at")), bool(raw.get("back")), knows, plan)


def heads(store: Store, place: Place) -> dict[str, list[str]]:
    """The latest entries of every slot of a pit that a note may fill, for a carry file."""
    state = store.state(place.site, place.subject)
    slots = tuple(f"{k}/" for k in KINDS_NOTED if KINDS[k].slot is Slot.NAMED)
    return {f.name: [x.id for x in f.latest] for f in state.fields if f.name.startswith(slots)}


def pit_of_notes(store: Store, notes: Notes, chosen: Place | None) -> Place:
    """The pit the notes belong to; ``chosen`` is one that was named for them.

    Raises Missing when neither says which, UnknownName when it is not in this record,
    Contradiction when they say different ones.
    """
    if not notes.subject:
        if chosen is None:
            raise Missing("--pit", f'name the pit that "{notes.pit}" is in this record')
        return chosen
    if chosen is not None and chosen.subject != notes.subject:
        hint = "leave --pit away, or take the other file"
        raise Contradiction("--pit", chosen.name, f"but the notes are of {notes.pit}", hint)
    place = named(store, "pit", notes.site, notes.subject)
    if place is None:
        raise UnknownName("pit", notes.pit or notes.subject, (), "pit in this record")
    return place


def take_notes(store: Store, notes: Sequence[Note], place: Place, hand: Hand) -> Noted:
    """Write each note that is not here yet; done again, it writes nothing.

    Raises what writing an entry may raise.
    """
    done = Noted()
    ours: set[str] = {e.id for note in notes if (e := store.under(note.token)) is not None}
    plans = plans_of(store.state(place.site, place.subject))
    newest = plans[-1].id if plans else ""
    for note in notes:
        before = store.under(note.token)
        if before is not None:
            _again(store, note, before, hand, done)
            continue
        if note.back:
            done.back += 1
            continue
        done.stale = done.stale or (bool(note.plan) and note.plan != newest)
        entry, beside = _written(store, note, place, hand, ours, done)
        ours.add(entry.id)
        done.taken.append(entry)
        if beside:
            done.beside.append(entry)
    return done


def _again(store: Store, note: Note, before: Entry, hand: Hand, done: Noted) -> None:
    """A note that is here already: known, unless the phone took it back since."""
    if note.back:
        try:
            store.take_back(before.id, hand, "taken back on the phone")
        except Contradiction:  # taken back, or read again, since
            done.known += 1
        else:
            done.back += 1
        return
    done.known += 1


def _written(
    store: Store, note: Note, place: Place, hand: Hand, ours: set[str], done: Noted
) -> tuple[Entry, bool]:
    """The entry, and whether it stands beside another that the phone knew nothing of."""
    happened = Span.at(note.at)
    if note.at > hand.now + _AHEAD:
        happened = Span.at(hand.now)
        done.redated += 1
    supersedes: list[str] | None = None
    beside = False
    if note.slot:
        slot = store.state(place.site, place.subject).field(note.slot)
        latest = [fact.id for fact in slot.latest] if slot is not None else []
        known = set(note.knew) | ours
        beside = any(id not in known for id in latest)
        supersedes = [id for id in latest if id in known]
    draft = Draft(
        note.kind, place.site, place.subject, note.body, happened, supersedes=supersedes,
        token=note.token,
    )  # fmt: skip
    return store.write(draft, hand), beside
