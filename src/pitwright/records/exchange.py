"""What two stores lack of each other: one side asks, the other answers.

:func:`answer` is the whole of the answering side; a server hands it what came in over its line,
with the right of whoever asked. :func:`exchange` is the asking side; its peer is any function that
carries a question there and the answer back. Everything is plain JSON. It can break off anywhere
and be done again, both sides may ask at once, and a batch is acknowledged only once it is kept.

Questions: ``sites``, ``vector``, ``range``, ``ids``, ``entries``, ``aside``, ``wanted``, ``files``,
``piece``; and two that bring something: ``take`` (entries), ``take_piece`` (a part of a file).
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from pitwright.errors import BadInput, Contradiction, Malformed, UnknownName
from pitwright.records import accepting
from pitwright.records.accepting import Receipt
from pitwright.records.database import batches, marks
from pitwright.records.entry import Message
from pitwright.records.store import SHOP, Right, Store

__all__ = ["Exchanged", "Peer", "answer", "exchange", "wanted_files"]

MOST_AT_ONCE = 500
MOST_BYTES = 1_000_000
"""Entries, and their weight [bytes], in one batch."""
VERSION = 1

Peer = Callable[[Mapping[str, Any]], Mapping[str, Any]]
Place = tuple[int, str]
"""(n, id) of one entry of a device."""


@dataclass(slots=True)
class Exchanged:
    """What went over: received, sent, what each side set aside, forks seen, files."""

    received: Receipt = field(default_factory=Receipt)
    sent: int = 0
    their_aside: list[str] = field(default_factory=list)
    files_in: int = 0
    files_out: int = 0
    files_wanting: int = 0
    """Named by an entry here, and nobody had them yet."""
    refused: list[str] = field(default_factory=list)
    """What a side would not take, in words."""


# the answering side


def answer(
    store: Store, question: Mapping[str, Any], right: Right, now: datetime
) -> dict[str, Any]:
    """The answer to one question of a peer with this right.

    Raises Malformed or UnknownName for a question that is none, Contradiction for a site that is
    not the peer's, NotWritable when something it brought could not be kept.
    """
    ask = question.get("ask")
    if question.get("version", VERSION) != VERSION:
        raise Malformed("version", question.get("version"), f"must be {VERSION}", "update one side")
    if not isinstance(ask, str) or ask not in _ANSWERS:
        raise UnknownName("ask", str(ask), _ANSWERS, "question")
    try:
        return dict(_ANSWERS[ask](store, question, right, now))
    except (KeyError, TypeError, AttributeError, ValueError) as broken:
        if isinstance(broken, BadInput):
            raise
        raise Malformed(
            "question", dict(question), "lacks something", "ask as the page on exchange says"
        ) from broken


def _site(question: Mapping[str, Any], right: Right) -> str:
    site = question["site"]
    if not isinstance(site, str) or not right.covers(site):
        raise Contradiction("site", site, "is not one of yours", "ask the office")
    return site


def _places(store: Store, site: str, device: str | None = None) -> dict[str, list[Place]]:
    """(n, id) of every entry of a site, by device, in order."""
    more, args = ("", (site,)) if device is None else (" AND device = ?", (site, device))
    found: dict[str, list[Place]] = {}
    for dev, n, id in store.db.rows(
        f"SELECT device, n, id FROM entries WHERE site = ?{more} ORDER BY device, n, id", args
    ):
        found.setdefault(dev, []).append((n, id))
    return found


def _digest(places: Iterable[Place]) -> str:
    return hashlib.sha256("".join(id for _, id in places).encode()).hexdigest()


def _prefix(places: Sequence[Place]) -> int:
    """Up to which n every entry is here."""
    n = 0
    for at, _ in places:
        if at > n + 1:
            break
        n = at
    return n


def _line(places: Sequence[Place]) -> dict[str, Any]:
    n = _prefix(places)
    return {"n": n, "upto": _digest(p for p in places if p[0] <= n), "all": _digest(places)}


def _vector(store: Store, site: str) -> dict[str, dict[str, Any]]:
    return {device: _line(places) for device, places in _places(store, site).items()}


def _sites(store: Store, right: Right) -> dict[str, str]:
    """A digest of each site, to pass over those that are alike."""
    found: dict[str, list[str]] = {}
    for site, id in store.db.rows("SELECT site, id FROM entries ORDER BY site, id"):
        if right.covers(site):
            found.setdefault(site, []).append(id)
    return {s: hashlib.sha256("".join(ids).encode()).hexdigest() for s, ids in found.items()}


def _answer_sites(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    only = None if right.sites is None else sorted(right.sites)
    return {"sites": _sites(store, right), "only": only}


def _answer_vector(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    return {"vector": _vector(store, _site(q, right))}


def _answer_range(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    site, device, after = _site(q, right), str(q["device"]), int(q["after"])
    places = _places(store, site, device).get(device, [])
    if _digest(p for p in places if p[0] <= after) != q["upto"]:
        return {"differs": True}
    wanted = [id for n, id in places if n > after]
    found = _weighed(store, wanted)
    return {"entries": found, "more": len(found) < len(wanted)}


def _answer_ids(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    site, device = _site(q, right), str(q["device"])
    return {"ids": [list(p) for p in _places(store, site, device).get(device, [])]}


def _answer_entries(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    return {"entries": _weighed(store, [str(i) for i in q["ids"]], right)}


def _weighed(store: Store, ids: Sequence[str], right: Right | None = None) -> list[Any]:
    """As many of these entries, in order, as one batch may carry; at least one."""
    found: list[Any] = []
    weight = 0
    for site, message in store.messages(ids[:MOST_AT_ONCE]):
        if right is not None and not right.covers(site):
            continue
        weight += message.size
        if found and weight > MOST_BYTES:
            break
        found.append(message.as_json())
    return found


def _answer_aside(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    every = [pair for pair in accepting.aside(store, right.within()) if pair[0].relayed]
    wanted = set(q.get("keys", ()))
    chosen = [m for a, m in every if a.key in wanted][: MOST_AT_ONCE // 50]
    return {"keys": [a.key for a, _ in every], "entries": [m.as_json() for m in chosen]}


def _answer_take(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    raw = q["entries"]
    if not isinstance(raw, list) or len(raw) > MOST_AT_ONCE:
        raise Malformed("entries", len(raw), f"must be at most {MOST_AT_ONCE}", "send fewer")
    receipt = accepting.accept(store, [Message.from_json(r) for r in raw], right, now)
    return {
        "accepted": len(receipt.accepted),
        "known": receipt.known,
        "aside": [f"{a.id[:11]}: {a.reason}: {a.detail}" for a in receipt.aside],
        "forks": [[f.site, f.device, f.n] for f in receipt.forks],
    }


def wanted_files(store: Store, sites: frozenset[str] | None = None) -> list[str]:
    """Hashes that entries here name and that are neither here nor erased."""
    rows = store.db.rows(
        "SELECT DISTINCT l.target, v.site FROM v_links l JOIN v_entries v ON v.seq = l.seq WHERE "
        "l.what = 'f' AND NOT EXISTS (SELECT 1 FROM erased x WHERE x.id = l.target) "
        "ORDER BY l.target"
    )
    named = dict.fromkeys(h for h, site in rows if sites is None or site in sites)
    return [h for h in named if not store.files.has(h)]


def _covered(store: Store, hashes: Sequence[str], right: Right) -> list[str]:
    """Those of these files that an entry of the peer's sites names and that were not erased."""
    found: set[str] = set()
    for part in batches(hashes):
        for hash, site in store.db.rows(
            "SELECT l.target, v.site FROM v_links l JOIN v_entries v ON v.seq = l.seq WHERE "
            "l.what = 'f' AND NOT EXISTS (SELECT 1 FROM erased x WHERE x.id = l.target) AND "
            f"l.target IN {marks(part)}",
            part,
        ):
            if right.covers(site):
                found.add(hash)
    return [h for h in hashes if h in found]


def _answer_wanted(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    wanted = wanted_files(store, right.within())
    return {"wanted": [[h, store.files.come(h)] for h in wanted]}


def _answer_files(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    asked = [str(h) for h in q["hashes"]][: 4 * MOST_AT_ONCE]
    here = [h for h in _covered(store, asked, right) if store.files.has(h)]
    return {"files": {h: store.files.size(h) for h in here}}


def _answer_piece(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    hash, start = str(q["hash"]), int(q["from"])
    if _covered(store, [hash], right) != [hash] or not store.files.has(hash) or start < 0:
        raise UnknownName("file", hash, (), "file of yours")
    data = store.files.piece(hash, start)
    return {"data": base64.b64encode(data).decode("ascii")}


def _answer_take_piece(store: Store, q: Mapping[str, Any], right: Right, now: datetime) -> Any:
    hash = str(q["hash"])
    if _covered(store, [hash], right) != [hash]:
        raise UnknownName("file", hash, (), "file of yours")
    data = base64.b64decode(q["data"], validate=True)
    whole = store.files.add_piece(hash, int(q["from"]), data, int(q["size"]))
    return {"whole": whole, "come": store.files.come(hash)}


_ANSWERS: Mapping[str, Callable[[Store, Mapping[str, Any], Right, datetime], Any]] = {
    "sites": _answer_sites,
    "vector": _answer_vector,
    "range": _answer_range,
    "ids": _answer_ids,
    "entries": _answer_entries,
    "aside": _answer_aside,
    "take": _answer_take,
    "wanted": _answer_wanted,
    "files": _answer_files,
    "piece": _answer_piece,
    "take_piece": _answer_take_piece,
}


# the asking side


class _Asker:
    """One exchange, as the asking side sees it."""

    def __init__(self, store: Store, peer: Peer, right: Right, now: datetime) -> None:
        self.store, self.peer, self.right, self.now = store, peer, right, now
        self.done = Exchanged()
        self.coming: list[Any] = []
        self.going: list[str] = []

    def ask(self, ask: str, **more: Any) -> Mapping[str, Any]:
        return self.peer({"version": VERSION, "ask": ask, **more})

    def site(self, site: str) -> None:
        """Bring one site to the same set on both sides."""
        theirs = self.ask("vector", site=site)["vector"]
        mine = _places(self.store, site)
        for device in sorted(theirs.keys() | mine.keys()):
            self.device(site, device, mine.get(device, []), theirs.get(device))

    def device(
        self, site: str, device: str, mine: Sequence[Place], line: Mapping[str, Any] | None
    ) -> None:
        if line is None:
            self.send([id for _, id in mine])
            return
        ours = _line(mine)
        if ours["all"] == line["all"]:
            return
        if line["upto"] == line["all"] == _digest(p for p in mine if p[0] <= line["n"]):
            self.send([id for n, id in mine if n > line["n"]])
        elif ours["upto"] != ours["all"] or not self.fetch_range(site, device, mine):
            theirs = {id for _, id in self.ask("ids", site=site, device=device)["ids"]}
            here = {id for _, id in mine}
            self.fetch(sorted(theirs - here))
            self.send([id for _, id in mine if id not in theirs])

    def fetch_range(self, site: str, device: str, mine: Sequence[Place]) -> bool:
        """Fetch what follows on what is here; False when the two sides tell different stories."""
        while True:
            line = _line(mine)
            got = self.ask("range", site=site, device=device, after=line["n"], upto=line["upto"])
            if got.get("differs"):
                return False
            if not got["more"]:
                self.coming += got["entries"]
                if len(self.coming) >= MOST_AT_ONCE:
                    self.settle()
                return True
            self.settle()
            self.take(got["entries"])
            now = _places(self.store, site, device).get(device, [])
            if len(now) == len(mine):
                return False  # what came was set aside: go round it
            mine = now

    def fetch(self, ids: Sequence[str]) -> None:
        """Fetch these entries, in batches."""
        left = list(ids)
        while left:
            got = self.ask("entries", ids=left[:MOST_AT_ONCE])["entries"]
            if not got:
                return
            self.take(got)
            left = left[len(got) :]

    def settle(self) -> None:
        """Keep what has come and send what is to go, gathered from many sites."""
        coming, self.coming = self.coming, []
        for part in batches(coming, MOST_AT_ONCE):
            self.take(part)
        left, self.going = self.going, []
        while left:
            batch = _weighed(self.store, left)
            if not batch:
                return
            self.put(batch)
            left = left[len(batch) :]

    def take(self, raw: Sequence[Any]) -> None:
        messages = [Message.from_json(r) for r in raw]
        self.done.received.add(accepting.accept(self.store, messages, self.right, self.now))

    def send(self, ids: Sequence[str]) -> None:
        """Send these entries, in batches, each kept there before the next."""
        self.going += ids
        if len(self.going) >= MOST_AT_ONCE:
            self.settle()

    def put(self, batch: Sequence[Any]) -> None:
        got = self.ask("take", entries=list(batch))
        self.done.sent += int(got["accepted"])
        self.done.their_aside += got["aside"]

    def bodies(self) -> None:
        """Bodies of headers that came without them."""
        rows = self.store.db.rows(
            "SELECT e.id, e.site FROM entries e LEFT JOIN bodies b ON b.seq = e.seq WHERE b.seq IS "
            "NULL AND NOT EXISTS (SELECT 1 FROM erased x WHERE x.id = e.id) ORDER BY e.seq"
        )
        self.fetch([id for id, site in rows if self.right.covers(site)])

    def asides(self) -> None:
        """What each side set aside: the other may be able to read it."""
        every = accepting.aside(self.store, self.right.within())
        mine = {a.key: m for a, m in every if a.relayed}
        theirs = list(self.ask("aside")["keys"])
        left = [key for key in theirs if key not in mine]
        while left:
            got = self.ask("aside", keys=left[: MOST_AT_ONCE // 50])["entries"]
            self.take(got)
            left = left[MOST_AT_ONCE // 50 :]
        for part in batches((m for k, m in mine.items() if k not in theirs), MOST_AT_ONCE // 50):
            self.put([m.as_json() for m in part])

    def files(self) -> None:
        """Files by hash, each way, going on where they broke off."""
        wanted = wanted_files(self.store, self.right.within())
        for part in batches(wanted):
            for hash, size in self.ask("files", hashes=part)["files"].items():
                self.fetch_file(hash, int(size))
        for hash, come in self.ask("wanted")["wanted"]:
            if self.store.files.has(hash) and _covered(self.store, [hash], self.right):
                self.send_file(hash, int(come))
        self.done.files_wanting = len(wanted_files(self.store, self.right.within()))

    def fetch_file(self, hash: str, size: int) -> None:
        files = self.store.files
        try:
            while not files.has(hash):
                start = files.come(hash)
                data = base64.b64decode(self.ask("piece", hash=hash, **{"from": start})["data"])
                if not data:
                    return
                files.add_piece(hash, start, data, size)
        except BadInput as broken:
            self.done.refused.append(str(broken))
            return
        self.done.files_in += 1

    def send_file(self, hash: str, come: int) -> None:
        files = self.store.files
        size = files.size(hash)
        whole = False
        while not whole:
            data = base64.b64encode(files.piece(hash, come)).decode("ascii")
            got = self.ask("take_piece", hash=hash, data=data, size=size, **{"from": come})
            whole, before, come = bool(got["whole"]), come, int(got["come"])
            if not whole and come <= before:
                self.done.refused.append(f"file {hash[:12]} did not go on")
                return
        self.done.files_out += 1


def exchange(
    store: Store, peer: Peer, right: Right, now: datetime, sites: Iterable[str] | None = None
) -> Exchanged:
    """Bring this store and a peer to the same entries and files, as far as the right goes.

    ``right`` is what the peer's entries may do here. Both sides then hold the union, less what was
    erased. Raises what the peer raises, and NotWritable; what was kept before stays kept.
    """
    asker = _Asker(store, peer, right, now)
    told = asker.ask("sites")
    here, there = _sites(store, right), told["sites"]
    theirs = Right("peer", sites=None if told["only"] is None else frozenset(told["only"]))
    chosen = set(sites) | {SHOP} if sites is not None else here.keys() | there.keys()
    for site in sorted(chosen):
        if right.covers(site) and theirs.covers(site) and here.get(site) != there.get(site):
            asker.site(site)
    asker.settle()
    asker.bodies()
    asker.asides()
    asker.files()
    return asker.done
