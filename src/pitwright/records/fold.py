"""The state of one subject, as a function of the set of its entries.

The latest entries of a field are those that no entry of the same subject supersedes. One is the
state; several are all shown, the greatest by (lamport, id) is calculated with, and the field is
marked until one entry supersedes them all. An entry of kind ``retract`` takes back what it
supersedes:
what *that* had superseded holds again; a retract of a retract is a redo. An entry of kind
``redate`` gives another entry its time, and its place in the order.

Order, repetition and the batches in which entries came change nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from pitwright.records.entry import Entry, EntryId
from pitwright.records.kinds import KINDS, Body, Kind, upcast
from pitwright.records.when import Span

__all__ = ["Fact", "Field", "State", "folded"]

REDATE, RETRACT, ERASE = "redate", "retract", "erase"


@dataclass(frozen=True, slots=True)
class Fact:
    """One entry as the fold sees it: its body as of today's version, its time as last dated.

    ``body`` is None when only a newer version can read it; empty once erased or not here yet.
    """

    entry: Entry
    body: Body | None
    happened: Span
    lamport: int
    """Its place in the order. [-]"""

    @property
    def id(self) -> EntryId:
        """The entry's id."""
        return self.entry.id

    @property
    def order(self) -> tuple[int, EntryId]:
        """Later is greater."""
        return (self.lamport, self.entry.id)

    def value(self, name: str, otherwise: Any = "") -> Any:
        """One value of the body."""
        return (self.body or {}).get(name, otherwise)


@dataclass(frozen=True, slots=True)
class Field:
    """One slot of a subject: its latest entries, greatest last, and the facts that hold by them.

    ``facts`` is empty when all was taken back. The last one is calculated with.
    """

    name: str
    latest: tuple[Fact, ...]
    facts: tuple[Fact, ...]

    @property
    def contested(self) -> bool:
        """Whether somebody must settle it."""
        return len(self.latest) > 1 or len(self.facts) > 1

    @property
    def fact(self) -> Fact | None:
        """What is calculated with."""
        return self.facts[-1] if self.facts else None


@dataclass(frozen=True, slots=True)
class State:
    """A subject as it stands. ``withheld`` are entries of a newer version: conclude nothing then.

    ``missing`` are ids that are superseded here and have not arrived; ``forks`` are places
    (device, n) that two entries claim.
    """

    site: str
    subject: str
    fields: tuple[Field, ...]
    withheld: tuple[EntryId, ...]
    missing: tuple[EntryId, ...]
    forks: tuple[tuple[str, int], ...]

    def field(self, name: str) -> Field | None:
        """The field of that name."""
        return next((f for f in self.fields if f.name == name), None)

    def of_kind(self, kind: str) -> tuple[Fact, ...]:
        """What holds of one kind, one fact a field, oldest happening first."""
        facts = [f.fact for f in self.fields if f.fact is not None]
        mine = [f for f in facts if f.entry.header.kind == kind and f.body is not None]
        return tuple(sorted(mine, key=lambda f: (f.happened.middle, f.order)))


def folded(
    site: str, subject: str, entries: Iterable[Entry], kinds: Mapping[str, Kind] = KINDS
) -> State:
    """The state of one subject of one site after these entries; all others are left out."""
    whose = (site, subject)
    mine = {e.id: e for e in entries if (e.header.site, e.header.subject) == whose}
    facts = _facts(mine, kinds)
    superseded: set[EntryId] = set()
    for entry in mine.values():
        superseded.update(entry.header.supersedes)
    latest: dict[str, list[Fact]] = defaultdict(list)
    for fact in facts.values():
        if fact.id not in superseded:
            latest[fact.entry.header.field].append(fact)
    fields = tuple(_field(name, latest[name], facts) for name in sorted(latest))
    unread = (f for field in fields for f in field.facts if f.body is None)
    return State(
        site,
        subject,
        fields,
        tuple(sorted({f.id for f in unread})),
        tuple(sorted(superseded - mine.keys())),
        _forks(mine.values()),
    )


def _facts(mine: Mapping[EntryId, Entry], kinds: Mapping[str, Kind]) -> dict[EntryId, Fact]:
    dated: dict[EntryId, Entry] = {}
    for entry in mine.values():
        if entry.header.kind == REDATE:
            for target in entry.header.about:
                if target not in dated or dated[target].order < entry.order:
                    dated[target] = entry
    return {id: _fact(entry, dated.get(id, entry), kinds) for id, entry in mine.items()}


def _fact(entry: Entry, dated: Entry, kinds: Mapping[str, Kind]) -> Fact:
    head = entry.header
    body = upcast(head.kind, head.kind_version, entry.body, kinds)
    return Fact(entry, body, dated.header.happened, dated.header.lamport)


def _field(name: str, latest: list[Fact], facts: Mapping[EntryId, Fact]) -> Field:
    held: dict[EntryId, Fact] = {}
    for head in latest:
        for fact in _holding(head, facts):
            held[fact.id] = fact
    by_order = sorted(held.values(), key=lambda f: f.order)
    return Field(name, tuple(sorted(latest, key=lambda f: f.order)), tuple(by_order))


def _holding(head: Fact, facts: Mapping[EntryId, Fact]) -> list[Fact]:
    """What holds because of a latest entry: itself, or what stood before what it takes back."""
    found, seen, todo = [], set(), [head]
    while todo:
        fact = todo.pop()
        if fact.id in seen:
            continue
        seen.add(fact.id)
        if fact.entry.header.kind != RETRACT:
            found.append(fact)
            continue
        for target in fact.entry.header.supersedes:
            before = facts.get(target)
            if before is not None:
                todo += [facts[i] for i in before.entry.header.supersedes if i in facts]
    return found


def _forks(entries: Iterable[Entry]) -> tuple[tuple[str, int], ...]:
    """Places that two entries claim."""
    at: dict[tuple[str, int], set[EntryId]] = defaultdict(set)
    for e in entries:
        at[e.header.device, e.header.n].add(e.id)
    return tuple(sorted(place for place, ids in at.items() if len(ids) > 1))
