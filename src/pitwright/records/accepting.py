"""Taking in what others wrote: verified, checked against right and clock, or set aside.

What is bad or not understood is set aside with its bytes and a reason. It blocks nothing, is passed
on to others (a newer store may read it), and is looked at again when something changes: an entry
whose clock runs ahead is taken in once its time has come or a person has dated it again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from pitwright.errors import BadInput, Contradiction, UnknownName
from pitwright.records import views
from pitwright.records.database import Row, batches, marks
from pitwright.records.entry import Entry, EntryId, Message, verified
from pitwright.records.fold import ERASE, REDATE
from pitwright.records.store import OFFICE, Draft, Hand, Right, Store

__all__ = [
    "Aside",
    "Fork",
    "Receipt",
    "accept",
    "aside",
    "erase",
    "forks",
    "put_aside",
    "reexamine",
]

AHEAD = timedelta(hours=24)
"""How far ahead of ours a clock may write. [time]"""
JUMP = 2**20
"""How far ahead of all that is known a Lamport count may be. [-]"""
UNREAD, RIGHT, CLOCK, COUNT = "unreadable", "no right", "clock ahead", "count ahead"
_AGAIN = (CLOCK, COUNT)


@dataclass(frozen=True, slots=True)
class Aside:
    """One thing set aside: key and claimed id, the reason, and what exactly was wrong."""

    key: str
    id: str
    site: str
    reason: str
    detail: str
    subject: str = ""
    role: str = ""
    """The role of whoever brought it."""

    @property
    def relayed(self) -> bool:
        """Whether it is passed on: not what its bringer had no right to."""
        return self.reason != RIGHT


@dataclass(frozen=True, slots=True)
class Fork:
    """Two entries or more that claim one place: somewhere a store was restored or copied."""

    site: str
    device: str
    n: int
    ids: tuple[EntryId, ...]


@dataclass(slots=True)
class Receipt:
    """What became of a batch. Given back only after it is on the disk."""

    accepted: list[EntryId] = field(default_factory=list)
    known: int = 0
    completed: int = 0
    """Bodies that came later than their header."""
    released: list[EntryId] = field(default_factory=list)
    """Set aside earlier, taken in now."""
    aside: list[Aside] = field(default_factory=list)
    forks: list[Fork] = field(default_factory=list)
    erased: list[str] = field(default_factory=list)

    def add(self, other: Receipt) -> None:
        """Count another batch in."""
        self.accepted += other.accepted
        self.known += other.known
        self.completed += other.completed
        self.released += other.released
        self.aside += other.aside
        self.forks += other.forks
        self.erased += other.erased


class _Batch:
    """One transaction of taking in."""

    def __init__(self, store: Store, right: Right, now: datetime) -> None:
        self.store, self.right, self.now = store, right, now
        self.receipt = Receipt()
        self.rows = views.Rows()
        self.clocks: dict[str, int] = {}
        self.erased: set[str] = set()
        self.known: dict[str, tuple[int, bool]] = {}
        self.device = store.device

    def look_up(self, ids: Iterable[str]) -> None:
        """Learn which of these are here, with their body or without, and which were erased."""
        db = self.store.db
        for part in batches(ids):
            self.known |= {
                row[0]: (row[1], row[2] is not None)
                for row in db.rows(
                    "SELECT e.id, e.seq, b.seq FROM entries e LEFT JOIN bodies b ON b.seq = e.seq "
                    f"WHERE e.id IN {marks(part)}",
                    part,
                )
            }
            self.erased |= {
                row[0] for row in db.rows(f"SELECT id FROM erased WHERE id IN {marks(part)}", part)
            }

    def take(self, message: Message, role: str) -> bool:
        """Take one message in, or set it aside; whether it was taken in."""
        try:
            entry = verified(message)
        except BadInput as broken:
            self._set_aside(message, _site_in(message.header), "", UNREAD, str(broken), role)
            return False
        if entry.id in self.known:
            self._complete(entry)
            return True
        head = entry.header
        wrong = self._refused(entry, role)
        if wrong is not None:
            self._set_aside(message, head.site, head.subject, *wrong, role)
            return False
        if entry.id in self.erased:
            entry = Entry(entry.id, head, entry.data, None, None)
        self._insert(entry)
        return True

    def _complete(self, entry: Entry) -> None:
        """The body of an entry whose header was here already."""
        self.receipt.known += 1
        seq, whole = self.known[entry.id]
        if whole or entry.body_data is None or entry.id in self.erased:
            return
        self.store.db.many("bodies", "seq, salt, body", [(seq, entry.salt, entry.body_data)])
        self.rows.words.append((seq, views.words_of(entry.header.kind, entry.body)))
        self.known[entry.id] = (seq, True)
        self.receipt.completed += 1

    def _refused(self, entry: Entry, role: str) -> tuple[str, str] | None:
        """Why an entry whose hashes are right is not taken in yet."""
        head = entry.header
        if not self.right.covers(head.site):
            return RIGHT, f"{self.right.author} has no right to {head.site}"
        if head.kind == ERASE and role != OFFICE:
            return RIGHT, "only the office erases"
        wrong = None
        if head.lamport > self._clock(head.site) + JUMP:
            wrong = COUNT, f"count {head.lamport} is far beyond {self._clock(head.site)}"
        if head.written.corrected > self.now + AHEAD:
            wrong = CLOCK, f"written {head.written.at}, more than a day ahead: date it again"
        return wrong if wrong and self._redated(entry) is None else None

    def _redated(self, entry: Entry) -> int | None:
        """The count of the newest entry that dates this one again, if there is any."""
        head = entry.header
        self.rows.write(self.store.db)
        found = self.store.db.rows(
            "SELECT max(e.lamport) FROM v_links l JOIN v_entries v ON v.seq = l.seq JOIN entries e "
            "ON e.seq = l.seq WHERE l.target = ? AND l.what = 'a' AND v.kind = ? AND v.site = ? "
            "AND v.subject = ?",
            (entry.id, REDATE, head.site, head.subject),
        )
        return None if found[0][0] is None else int(found[0][0])

    def _clock(self, site: str) -> int:
        if site not in self.clocks:
            self.clocks[site] = self.store.clock(site)
        return self.clocks[site]

    def _insert(self, entry: Entry) -> None:
        head, store = entry.header, self.store
        lamport = head.lamport
        if lamport > self._clock(head.site) + JUMP:
            lamport = self._redated(entry) or lamport
        rivals = self.store.db.rows(
            "SELECT id FROM entries WHERE site = ? AND device = ? AND n = ?",
            (head.site, head.device, head.n),
        )
        seq = store.insert(entry, self.right.author, self.now, self.rows, lamport=lamport)
        self.clocks[head.site] = max(self.clocks[head.site], lamport)
        self.known[entry.id] = (seq, entry.body_data is not None)
        self.receipt.accepted.append(entry.id)
        if rivals:
            ids = tuple(sorted([entry.id, *(row[0] for row in rivals)]))
            self.receipt.forks.append(Fork(head.site, head.device, head.n, ids))
        if head.device == self.device:
            # we never wrote this: an older copy of this store did, or this is the older copy
            store.renew_device()
            self.device = ""
        if head.kind == ERASE:
            self.receipt.erased += obey(store, entry)
            self.erased |= {*head.about, *head.files}
            self.known |= {i: (self.known[i][0], False) for i in head.about if i in self.known}
            self.rows.words = [w for w in self.rows.words if w[0] not in self._numbers(head.about)]

    def _numbers(self, ids: Sequence[str]) -> set[int]:
        return {self.known[i][0] for i in ids if i in self.known}

    def _set_aside(
        self, message: Message, site: str, subject: str, reason: str, detail: str, role: str
    ) -> None:
        if message.id in self.erased:
            message = Message(message.id, message.header, None, None)
        one = Aside(_key(message), message.id, site, reason, detail[:500], subject, role)
        put_aside(self.store, one, message, self.now)
        self.receipt.aside.append(one)


def put_aside(store: Store, one: Aside, message: Message, now: datetime) -> None:
    """Keep something unread or unwelcome with its reason. In a transaction."""
    row = (
        one.key, one.id, one.site, one.subject, message.header, message.salt, message.body,
        one.reason, one.detail, one.role, now.isoformat(),
    )  # fmt: skip
    columns = "key, id, site, subject, header, salt, body, reason, detail, role, at"
    store.db.many("quarantine", columns, [row])


def _key(message: Message) -> str:
    """What tells one thing set aside from another: its very bytes."""
    parts = (message.id.encode(), message.header, message.salt or b"", message.body or b"")
    lengths = b"".join(len(part).to_bytes(8, "big") for part in parts)
    return hashlib.sha256(lengths + b"".join(parts)).hexdigest()


def _site_in(header: bytes) -> str:
    """The site that an unread header claims, as far as it can be made out."""
    try:
        site = json.loads(header).get("site", "")
    except (ValueError, AttributeError, RecursionError):
        return ""
    return site[:64] if isinstance(site, str) else ""


def accept(store: Store, messages: Sequence[Message], right: Right, now: datetime) -> Receipt:
    """Take in a batch in one transaction, and say what became of each.

    ``right`` is that of the peer who brings it. Raises NotWritable when nothing of it was kept.
    """
    with store.db.writing():
        batch = _Batch(store, right, now)
        batch.look_up([m.id for m in messages])
        for message in messages:
            batch.take(message, right.role)
        batch.rows.write(store.db)
        _release(batch, _AGAIN if batch.receipt.accepted else (CLOCK,))
    _after(store, batch.receipt)
    return batch.receipt


def reexamine(store: Store, right: Right, now: datetime) -> Receipt:
    """Look again at everything set aside, as after an update of the program.

    What its bringer had no right to stays aside.
    """
    with store.db.writing():
        batch = _Batch(store, right, now)
        _release(batch, (UNREAD, *_AGAIN))
    _after(store, batch.receipt)
    _finish(store)
    return batch.receipt


def _finish(store: Store) -> None:
    """Remove erased files that are still here, as after a crash between commit and removal."""
    for (id,) in store.db.rows("SELECT id FROM erased"):
        store.files.remove(id)


def _after(store: Store, receipt: Receipt) -> None:
    if receipt.erased:
        for hash in receipt.erased:
            store.files.remove(hash)
        store.db.scrub()


def _release(batch: _Batch, reasons: Sequence[str]) -> None:
    """Take in what was set aside for one of these reasons and is right now, until nothing moves."""
    db = batch.store.db
    while True:
        waiting = db.rows(
            "SELECT key, id, header, salt, body, role FROM quarantine "
            f"WHERE reason IN {marks(reasons)} ORDER BY key",
            reasons,
        )
        batch.look_up([row[1] for row in waiting])
        moved = False
        for row in waiting:
            moved |= _retry(batch, row)
        batch.rows.write(db)
        if not moved:
            return


def _retry(batch: _Batch, row: Row) -> bool:
    salt, body = (None if row[k] is None else bytes(row[k]) for k in (3, 4))
    message = Message(row[1], bytes(row[2]), salt, body)
    before = len(batch.receipt.aside)
    taken = batch.take(message, row[5])
    del batch.receipt.aside[before:]
    if not taken:
        return False
    batch.store.db.run("DELETE FROM quarantine WHERE key = ?", (row[0],))
    batch.receipt.released.append(EntryId(message.id))
    batch.receipt.aside = [a for a in batch.receipt.aside if a.key != row[0]]
    return True


def obey(store: Store, entry: Entry) -> list[str]:
    """Carry out an erasure inside the transaction that takes it in; ids and hashes to remove.

    Bodies and salts go, headers stay; what comes later is refused by the list that is written here.
    """
    head = entry.header
    targets = [*head.about, *head.files]
    db = store.db
    db.many("erased", "id, by_entry", [(target, entry.id) for target in targets])
    for part in batches(head.about):
        numbers = [
            r[0] for r in db.rows(f"SELECT seq FROM entries WHERE id IN {marks(part)}", part)
        ]
        if numbers:
            db.run(f"DELETE FROM bodies WHERE seq IN {marks(numbers)}", numbers)
            db.drop_words(numbers)
        db.run(f"UPDATE quarantine SET salt = NULL, body = NULL WHERE id IN {marks(part)}", part)
    return targets


def erase(
    store: Store, ids: Sequence[str], hand: Hand, *, reason: str, files: Sequence[str] = ()
) -> Entry:
    """Erase bodies and files for good, here and wherever this entry comes to.

    All ids must be of one subject. Raises Contradiction when the hand is not the office's, or the
    ids are of several subjects; UnknownName when one is not here.
    """
    if hand.right.role != OFFICE:
        raise Contradiction("role", hand.right.role, "may not erase", "ask the office")
    whole = [store.entry(i) for i in ids]
    places = {(e.header.site, e.header.subject) for e in whole}
    if len(places) != 1:
        raise Contradiction("ids", sorted(places), "must be of one subject", "erase one at a time")
    site, subject = places.pop()
    if not hand.right.covers(site):
        raise UnknownName("site", site, hand.right.sites or (), "site of yours")
    about = [e.id for e in whole]
    draft = Draft(ERASE, site, subject, {"reason": reason}, about=about, files=files, supersedes=())
    with store.db.writing():
        entry = store.compose(draft, hand)
        gone = obey(store, entry)
    _after(store, Receipt(erased=gone))
    return entry


def forks(store: Store, site: str | None = None) -> list[Fork]:
    """Every place that two entries claim."""
    where, args = ("WHERE site = ?", (site,)) if site is not None else ("", ())
    places = store.db.rows(
        f"SELECT site, device, n FROM entries {where} GROUP BY site, device, n HAVING count(*) > 1 "
        "ORDER BY site, device, n",
        args,
    )
    return [
        Fork(
            row[0], row[1], row[2],
            tuple(
                EntryId(r[0])
                for r in store.db.rows(
                    "SELECT id FROM entries WHERE site = ? AND device = ? AND n = ? ORDER BY id",
 row
                )
            ),
        )
        for row in places
    ]  # fmt: skip


def aside(store: Store, sites: frozenset[str] | None = None) -> list[tuple[Aside, Message]]:
    """Everything set aside, with its bytes. Without a known site only for those who see all."""
    rows = store.db.rows(
        "SELECT key, id, site, reason, detail, subject, role, header, salt, body FROM quarantine "
        "ORDER BY key"
    )
    found = []
    for row in rows:
        if sites is None or row[2] in sites:
            salt, body = (None if row[k] is None else bytes(row[k]) for k in (8, 9))
            found.append((Aside(*row[:7]), Message(row[1], bytes(row[7]), salt, body)))
    return found
