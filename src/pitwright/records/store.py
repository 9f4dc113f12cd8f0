"""A store: one record in one database with its folder of files.

Writing and reading stand here; what comes from others goes through :mod:`~.accepting`. The clock
and all chance come with the :class:`Hand` that writes; a store has neither.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from pitwright.errors import Contradiction, Malformed, Missing, UnknownName, Unreadable
from pitwright.records import views
from pitwright.records.canonical import encode
from pitwright.records.database import SCHEMA, Database, Row, batches, marks
from pitwright.records.entry import (
    SALT_BYTES,
    Entry,
    EntryId,
    Header,
    Message,
    make,
    opaque,
    trusted,
)
from pitwright.records.files import Files, Kept
from pitwright.records.fold import ERASE, RETRACT, State, folded
from pitwright.records.kinds import KINDS, Kind, Slot, checked, slug
from pitwright.records.postgres import Postgres
from pitwright.records.sqlite import Sqlite
from pitwright.records.when import Span, Written, stamp

__all__ = ["DATABASE_FILE", "SHOP", "Draft", "Hand", "Hit", "Right", "Store", "open_store"]

DATABASE_FILE = "record.sqlite"
SHOP = "shop"
"""The site of what belongs to no property: the people."""
OFFICE, FIELD = "office", "field"
ROLES = (OFFICE, FIELD)
MOST_HITS = 50

_SELECT = (
    "SELECT e.id, e.header, b.salt, b.body, e.seq "
    "FROM entries e LEFT JOIN bodies b ON b.seq = e.seq"
)


@dataclass(frozen=True, slots=True)
class Right:
    """What somebody may do: their author id, their role, and their sites (None: all)."""

    author: str
    role: str = OFFICE
    sites: frozenset[str] | None = None

    def covers(self, site: str) -> bool:
        """Whether the site is one of theirs. What belongs to the shop is everybody's to read."""
        return self.sites is None or site in self.sites or site == SHOP

    def within(self) -> frozenset[str] | None:
        """The sites to look in."""
        return None if self.sites is None else self.sites | {SHOP}


@dataclass(frozen=True, slots=True)
class Hand:
    """Who writes, on what clock, with whose dice.

    ``now`` is the device's clock with its zone; ``offset`` what must be added to it, None when it
    was never checked [s]; ``chance(n)`` gives n random bytes.
    """

    right: Right
    now: datetime
    chance: Callable[[int], bytes]
    offset: int | None = None


@dataclass(frozen=True, slots=True)
class Draft:
    """What is to be written. ``supersedes`` None means: whatever the slot holds now.

    ``token`` comes from the form it was written in: the same token twice is one entry.
    """

    kind: str
    site: str
    subject: str
    body: Mapping[str, Any]
    happened: Span | None = None
    field: str = ""
    supersedes: Sequence[str] | None = None
    about: Sequence[str] = ()
    files: Sequence[str] = ()
    token: str = ""


@dataclass(frozen=True, slots=True)
class Hit:
    """One entry found by its words; ``current`` is false once it was superseded."""

    entry: Entry
    current: bool


class Store:
    """One record. Raises NotWritable when the database or the disk will not take something."""

    def __init__(self, db: Database, files: Files, kinds: Mapping[str, Kind] = KINDS) -> None:
        self.db, self.files, self.kinds = db, files, kinds

    # facts of this store

    def fact(self, name: str) -> str:
        """One thing this store remembers about itself, or nothing."""
        found = self.db.rows("SELECT value FROM facts WHERE name = ?", (name,))
        return str(found[0][0]) if found else ""

    def remember(self, name: str, value: str) -> None:
        """Keep one such thing. Inside a transaction."""
        self.db.run("DELETE FROM facts WHERE name = ?", (name,))
        self.db.many("facts", "name, value", [(name, value)])

    @property
    def device(self) -> str:
        """The name under which this store writes; empty before its first entry."""
        return self.fact("device")

    def renew_device(self) -> None:
        """Take a new device id at the next entry, as a copy must. In a transaction."""
        self.remember("device", "")

    # writing

    def write(self, draft: Draft, hand: Hand) -> Entry:
        """Keep one entry for good and give it back; once it is back it is on the disk.

        Raises BadInput naming what is wrong with it, NotWritable when it could not be kept.
        """
        return self.write_all([draft], hand)[0]

    def write_all(self, drafts: Sequence[Draft], hand: Hand) -> list[Entry]:
        """Keep several entries, all of them or none: what one form says is never half kept.

        Raises as :meth:`write` does.
        """
        with self.db.writing():
            return [self._written(draft, hand) for draft in drafts]

    def _written(self, draft: Draft, hand: Hand) -> Entry:
        done = self.db.rows("SELECT id FROM tokens WHERE token = ?", (draft.token,))
        if draft.token and done:
            return self.entry(done[0][0])
        self._allowed(draft, hand.right)
        entry = self.compose(draft, hand)
        if draft.token:
            self.db.many("tokens", "token, id", [(draft.token, entry.id)])
        return entry

    def under(self, token: str) -> Entry | None:
        """The entry that was written under this token, None when there is none."""
        done = self.db.rows("SELECT id FROM tokens WHERE token = ?", (token,))
        return self.entry(done[0][0]) if done else None

    def _allowed(self, draft: Draft, right: Right) -> None:
        if not right.covers(draft.site):
            raise Contradiction("site", draft.site, "is not one of yours", "ask the office")
        if draft.kind == ERASE:
            raise Contradiction("kind", draft.kind, "is not written like others", "use erase")
        for hash in draft.files:
            if self.db.rows("SELECT 1 FROM erased WHERE id = ?", (hash,)):
                self.files.remove(hash)
                raise Contradiction("file", hash, "was erased on request", "it stays away")
        missing = [h for h in draft.files if not self.files.has(h)]
        if missing:
            raise Missing(f"file {missing[0]}", "keep the file before its entry")

    def compose(self, draft: Draft, hand: Hand) -> Entry:
        """Make the next entry of this device and put it in; BadInput when it is wrong.

        Inside a transaction, after the right was checked.
        """
        entry = self._composed(draft, hand)
        self.insert(entry, hand.right.author, hand.now, views.Rows(), write=True)
        return entry

    def _composed(self, draft: Draft, hand: Hand) -> Entry:
        if draft.kind not in self.kinds:
            raise UnknownName("kind", draft.kind, self.kinds, "kind of entry")
        device = self._device(hand)
        n, prev = self._place(draft.site, device)
        body = checked(draft.kind, self._numbered(draft, device), self.kinds)
        field = draft.field or self._slot(draft.kind, body, device, n)
        supersedes = draft.supersedes
        if supersedes is None:
            supersedes = self._latest(draft.site, draft.subject, field)
        salt = hand.chance(SALT_BYTES)
        data = encode(body)
        header = Header(
            kind=draft.kind,
            kind_version=self.kinds[draft.kind].version,
            site=draft.site,
            subject=draft.subject,
            field=field,
            device=device,
            n=n,
            prev=prev,
            lamport=self.clock(draft.site) + 1,
            happened=draft.happened or Span.at(hand.now),
            written=Written(stamp(hand.now), hand.offset),
            author=hand.right.author,
            supersedes=tuple(EntryId(i) for i in sorted(set(supersedes))),
            about=tuple(EntryId(i) for i in sorted(set(draft.about))),
            files=tuple(sorted(set(draft.files))),
            body_hash=hashlib.sha256(salt + data).hexdigest(),
        )
        return make(header, salt, data)

    def _device(self, hand: Hand) -> str:
        device = self.device
        if not device:
            device = opaque("d", hand.chance(10))
            self.remember("device", device)
        return device

    def _place(self, site: str, device: str) -> tuple[int, EntryId | None]:
        found = self.db.rows(
            "SELECT n, id FROM entries WHERE site = ? AND device = ? "
            "ORDER BY n DESC, seq DESC LIMIT 1",
            (site, device),
        )
        return (found[0][0] + 1, EntryId(found[0][1])) if found else (1, None)

    def clock(self, site: str) -> int:
        """The greatest Lamport count known on a site; 0 when it is empty."""
        found = self.db.rows("SELECT max(lamport) FROM entries WHERE site = ?", (site,))
        return int(found[0][0] or 0)

    def _slot(self, kind: str, body: Mapping[str, Any], device: str, n: int) -> str:
        how = self.kinds[kind]
        if how.slot is Slot.ONE:
            return kind
        if how.slot is Slot.NAMED:
            return f"{kind}/{slug(str(body[how.named_by]))}"
        return f"{kind}/{device}-{n}"

    def _numbered(self, draft: Draft, device: str) -> Mapping[str, Any]:
        """A paper gets this device's next number, unless it brings its own."""
        if draft.kind != "paper" or draft.body.get("number"):
            return draft.body
        last = int(self.fact(f"papers {device}") or 0) + 1
        self.remember(f"papers {device}", str(last))
        return {**draft.body, "number": f"{device[1:6].upper()}-{last}"}

    def _latest(self, site: str, subject: str, field: str) -> list[str]:
        found = self.db.rows(
            "SELECT e.id FROM v_entries e WHERE e.subject = ? AND e.site = ? AND e.field = ? AND "
            "NOT EXISTS (SELECT 1 FROM v_links l JOIN v_entries o ON o.seq = l.seq "
            "WHERE l.target = e.id AND l.what = 's' AND o.subject = e.subject AND o.site = e.site)",
            (subject, site, field),
        )
        return [row[0] for row in found]

    def insert(
        self, entry: Entry, by: str, now: datetime, rows: views.Rows, *,
        lamport: int | None = None, write: bool = False,
    ) -> int:  # fmt: skip
        """Put a verified entry into its tables, its view rows into ``rows``. In a transaction."""
        head = entry.header
        seq = int(
            self.db.rows(
                "INSERT INTO entries (id, site, device, n, lamport, header, accepted_by, "
                "accepted_at) VALUES (?, ?, ?, ?, ?, ?, ?, ?) RETURNING seq",
                (
                    entry.id, head.site, head.device, head.n, lamport or head.lamport,
                    entry.data, by, stamp(now),
                ),
            )[0][0]
        )  # fmt: skip
        if entry.body_data is not None:
            self.db.many("bodies", "seq, salt, body", [(seq, entry.salt, entry.body_data)])
        rows.add(seq, entry.id, _view_header(head), entry.body_data)
        if write:
            rows.write(self.db)
        return seq

    def keep(self, source: Path) -> Kept:
        """Keep a person's file; Contradiction when this very file was erased, BadInput else."""
        kept = self.files.keep_from(source)
        if self.db.rows("SELECT 1 FROM erased WHERE id = ?", (kept.hash,)):
            self.files.remove(kept.hash)
            raise Contradiction("file", source.name, "was erased on request", "it stays away")
        return kept

    def take_back(self, id: str, hand: Hand, reason: str = "") -> Entry:
        """Undo one entry by an entry that takes it back; undo of an undo is a redo.

        Raises UnknownName when the entry is not here, Contradiction when it no longer stands.
        """
        entry = self.entry(id)
        head = entry.header
        if head.kind == ERASE:
            raise Contradiction("erase", id, "is never taken back", "what is erased stays erased")
        if id not in self._latest(head.site, head.subject, head.field):
            raise Contradiction("entry", id, "was superseded already", "take back the newest one")
        return self.write(
            Draft(
                RETRACT, head.site, head.subject, {"reason": reason}, field=head.field,
                supersedes=[id],
            ),
            hand,
        )  # fmt: skip

    # reading

    def entry(self, id: str) -> Entry:
        """One entry by its id or its first letters; UnknownName, or Malformed when several fit."""
        found = self.entries([id])
        if found:
            return found[0]
        start = id if id.startswith("e1_") else f"e1_{id}"
        near = self.db.rows(
            "SELECT id FROM entries WHERE id >= ? AND id < ? LIMIT 2", (start, start + "~")
        )
        if len(near) == 1 and len(start) >= 9:
            return self.entries([near[0][0]])[0]
        if len(near) > 1:
            raise Malformed("entry", id, "fits several", "give more of its letters")
        raise UnknownName("entry", id, (), "entry")

    def entries(self, ids: Iterable[str]) -> list[Entry]:
        """The entries that are here of these ids, in their order."""
        wanted = list(dict.fromkeys(ids))
        found: dict[str, Entry] = {}
        for part in batches(wanted):
            for row in self.db.rows(f"{_SELECT} WHERE e.id IN {marks(part)}", part):
                found[row[0]] = _entry(row)
        return [found[i] for i in wanted if i in found]

    def messages(self, ids: Iterable[str]) -> list[tuple[str, Message]]:
        """(site, message) of those of these ids that are here, in their order, bytes unread."""
        wanted = list(dict.fromkeys(ids))
        found: dict[str, tuple[str, Message]] = {}
        for part in batches(wanted):
            for id, site, header, salt, body in self.db.rows(
                "SELECT e.id, e.site, e.header, b.salt, b.body FROM entries e LEFT JOIN bodies b "
                f"ON b.seq = e.seq WHERE e.id IN {marks(part)}",
                part,
            ):
                kept = (None if v is None else bytes(v) for v in (salt, body))
                found[id] = (site, Message(id, bytes(header), *kept))
        return [found[i] for i in wanted if i in found]

    def of_subject(self, site: str, subject: str) -> list[Entry]:
        """Every entry of a subject, in the order in which they were accepted here."""
        return self._viewed("v.subject = ? AND v.site = ?", (subject, site))

    def of_kind(self, kind: str, sites: frozenset[str] | None = None) -> list[Entry]:
        """Every entry of a kind, superseded ones too."""
        found = self._viewed("v.kind = ?", (kind,))
        return [e for e in found if sites is None or e.header.site in sites]

    def _viewed(self, where: str, args: Sequence[Any]) -> list[Entry]:
        rows = self.db.rows(
            "SELECT e.id, e.header, b.salt, b.body, e.seq FROM v_entries v JOIN entries e "
            f"ON e.seq = v.seq LEFT JOIN bodies b ON b.seq = v.seq WHERE {where} ORDER BY v.seq",
            args,
        )
        return [_entry(row) for row in rows]

    def state(self, site: str, subject: str) -> State:
        """A subject as it stands."""
        return folded(site, subject, self.of_subject(site, subject), self.kinds)

    def subjects(self, kind: str, sites: frozenset[str] | None = None) -> list[tuple[str, str]]:
        """(site, subject) of everything that has an entry of this kind, in a fixed order."""
        rows = self.db.rows(
            "SELECT DISTINCT site, subject FROM v_entries WHERE kind = ? ORDER BY site, subject",
            (kind,),
        )
        return [(r[0], r[1]) for r in rows if sites is None or r[0] in sites]

    def search(
        self, text: str, sites: frozenset[str] | None = None, most: int = MOST_HITS
    ) -> list[Hit]:
        """Entries that hold words beginning like all those of ``text``, last accepted first."""
        words = views.words_in(text)
        if not words:
            return []
        rows: dict[int, Entry] = {}
        numbers = self.db.with_words(words, sites, most)
        for part in batches(numbers):
            for row in self.db.rows(f"{_SELECT} WHERE e.seq IN {marks(part)}", part):
                rows[row[4]] = _entry(row)
        old = self._superseded([e.id for e in rows.values()])
        return [Hit(rows[k], rows[k].id not in old) for k in numbers if k in rows]

    def _superseded(self, ids: Sequence[str]) -> set[str]:
        found: set[str] = set()
        for part in batches(ids):
            found |= {
                row[0]
                for row in self.db.rows(
                    "SELECT l.target FROM v_links l JOIN v_entries o ON o.seq = l.seq "
                    "JOIN entries e ON e.id = l.target JOIN v_entries t ON t.seq = e.seq "
                    "WHERE l.what = 's' "
                    f"AND o.subject = t.subject AND o.site = t.site AND l.target IN {marks(part)}",
                    part,
                )
            }
        return found

    def count(self) -> int:
        """How many entries there are."""
        return int(self.db.rows("SELECT count(*) FROM entries")[0][0])

    def close(self) -> None:
        """Let go of the database."""
        self.db.close()


def _view_header(head: Header) -> dict[str, Any]:
    return {
        "kind": head.kind,
        "site": head.site,
        "subject": head.subject,
        "field": head.field,
        "supersedes": head.supersedes,
        "about": head.about,
        "files": head.files,
    }


def _entry(row: Row) -> Entry:
    """An entry as it lies in its tables; it was verified when it came."""
    data = bytes(row[1])
    salt, body = (None if row[k] is None else bytes(row[k]) for k in (2, 3))
    return Entry(EntryId(row[0]), trusted(data), data, salt, body)


def open_store(
    place: str, home: str, *, files: Path | None = None, kinds: Mapping[str, Kind] = KINDS
) -> Store:
    """The store in a folder, or behind a ``postgresql://`` address with a folder of files.

    It is made when it is not there. ``home`` names this machine: a store that was copied notices
    and takes a new device id. Raises BadInput for an address that is none or a store of a newer
    version, Missing for an address without a folder of files, NotWritable when it cannot be made.
    """
    if "://" in place:
        if files is None:
            raise Missing("the folder of files", "say where the photos lie with --files")
        db: Database = Postgres(place)
        folder = files
    else:
        db = Sqlite(Path(place) / DATABASE_FILE, home)
        folder = files or Path(place) / "files"
    try:
        return _opened(Store(db, Files(folder), kinds))
    except BaseException:
        db.close()
        raise


def _opened(store: Store) -> Store:
    db = store.db
    if not db.prepared():
        with db.writing():
            db.prepare()
    found = store.fact("schema")
    if found != SCHEMA:
        raise Unreadable(
            "the record", found, f"is of schema {found}, this program knows {SCHEMA}",
            "use a newer Pitwright",
        )  # fmt: skip
    identity = db.identity()
    if store.fact("identity") != identity:
        with db.writing():
            store.remember("identity", identity)
            store.renew_device()
    views.ensure(db)
    return store
