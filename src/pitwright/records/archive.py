"""The same exchange by a file: one archive that carries entries and files, and restores everything.

A zip with these members and no others::

    manifest.json          format, counts, and the SHA-256 of every other member
    entries-00001.jsonl    one entry a line, as it travels; erasures first
    aside-00001.jsonl      what was set aside
    files/HASH             files by hash

Names, number, size and how far members unpack are checked before a byte is unpacked; every hash is
checked before anything is taken in. A damaged archive changes nothing.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import IO, Any

from pitwright.errors import BadInput, Malformed, NotWritable, OutOfRange, Unreadable
from pitwright.records import accepting
from pitwright.records.accepting import Aside, Receipt, accept
from pitwright.records.database import batches
from pitwright.records.entry import Message, verified
from pitwright.records.exchange import wanted_files
from pitwright.records.files import LARGEST_FILE
from pitwright.records.fold import ERASE
from pitwright.records.store import Right, Store, open_store

__all__ = [
    "Archive",
    "Manifest",
    "Taken",
    "checked_whole",
    "pack",
    "restore",
    "take_in",
    "written_whole",
]

FORMAT = 1
_NAMES = re.compile(r"manifest\.json|entries-\d{5}\.jsonl|aside(-\d{5})?\.jsonl|files/[0-9a-f]{64}")
MOST_MEMBERS = 2_000_000
MOST_UNPACKED = 20_000_000_000
"""The whole archive unpacked, if that is also more than MOST_GROWTH times its size. [bytes]"""
MOST_GROWTH = 10
MOST_IN_MEMBER = 100_000_000
"""One member, unpacked. [bytes]"""
MOST_RATIO = 200
"""Unpacked over packed size: more is no honest archive. [-]"""
LINES_IN_MEMBER = 5_000
BYTES_IN_MEMBER = 20_000_000
LONG_LINE = 20_000
"""Lines longer than this on the average are not packed: they may repeat themselves. [bytes]"""
BATCH = 500


@dataclass(frozen=True, slots=True)
class Manifest:
    """What an archive says of itself: entries, things set aside, files, and when it was made."""

    entries: int
    aside: int
    files: int
    made: str
    members: dict[str, str]


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of an archive."""

    manifest: Manifest
    receipt: Receipt
    files: int
    wanting: int
    """Files that entries name and the archive did not have."""


@contextmanager
def written_whole(path: Path) -> Iterator[IO[bytes]]:
    """A file to write that appears under its name only once it is whole and on the disk.

    Raises NotWritable when the disk or the folder refuses; nothing half-written stays.
    """
    if path.exists():
        raise NotWritable(str(path), "something is there", "choose another name")
    part = path.with_name(f".{path.name}.part")
    try:
        with part.open("wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        os.replace(part, path)
    except OSError as broken:
        why = broken.strerror or "the disk refused"
        raise NotWritable(str(path), why, "choose another place or free some room") from broken
    finally:
        with suppress(OSError):
            part.unlink()


def pack(store: Store, path: Path, now: datetime, sites: frozenset[str] | None = None) -> Manifest:
    """Write everything of these sites (None: of all, with what is set aside) into one archive.

    The entries are one unchanging view of the store; files follow, and only grow.
    """
    members: dict[str, str] = {}
    with written_whole(path) as file, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as zip:
        with store.db.reading():
            count, named = _pack_entries(store, zip, members, sites)
            aside = [
                _aside_json(one, message)
                for one, message in accepting.aside(store, sites)
                if one.relayed or sites is None
            ]
        for number, data in enumerate(_members(aside), start=1):
            _add(zip, members, f"aside-{number:05d}.jsonl", data)
        here = [h for h in sorted(named) if store.files.has(h)]
        for hash in here:
            _add(zip, members, f"files/{hash}", store.files.read(hash), zipfile.ZIP_STORED)
        manifest = Manifest(count, len(aside), len(here), now.isoformat(), members)
        zip.writestr("manifest.json", json.dumps(_manifest_json(manifest), indent=1))
    return manifest


def _pack_entries(
    store: Store, zip: zipfile.ZipFile, members: dict[str, str], sites: frozenset[str] | None
) -> tuple[int, set[str]]:
    """Erasures first, then all others, in the order in which they came; and the files they name."""
    rows = store.db.rows("SELECT v.id, v.site, v.kind FROM v_entries v ORDER BY v.seq")
    mine = [r for r in rows if sites is None or r[1] in sites]
    ids = [r[0] for r in mine if r[2] == ERASE] + [r[0] for r in mine if r[2] != ERASE]
    lines = (m.as_json() for part in batches(ids) for _, m in store.messages(part))
    for number, data in enumerate(_members(lines), start=1):
        _add(zip, members, f"entries-{number:05d}.jsonl", data)
    rows = store.db.rows(
        "SELECT l.target, v.site FROM v_links l JOIN v_entries v ON v.seq = l.seq "
        "WHERE l.what = 'f'"
    )
    named = {hash for hash, site in rows if sites is None or site in sites}
    return len(ids), named - _erased(store)


def _erased(store: Store) -> set[str]:
    return {row[0] for row in store.db.rows("SELECT id FROM erased")}


def _aside_json(one: Aside, message: Message) -> dict[str, Any]:
    """A thing set aside; with its reason when it must not be judged anew by whoever reads it."""
    line = message.as_json()
    if not one.relayed:
        line["refused"] = [one.key, one.site, one.reason, one.detail, one.subject, one.role]
    return line


def _members(items: Iterable[Any]) -> Iterator[bytes]:
    """Lines of JSON in parts of a bounded size."""
    part = bytearray()
    count = 0
    for item in items:
        line = (json.dumps(item, sort_keys=True) + "\n").encode()
        if part and (count == LINES_IN_MEMBER or len(part) + len(line) > BYTES_IN_MEMBER):
            yield bytes(part)
            part, count = bytearray(), 0
        part += line
        count += 1
    if part:
        yield bytes(part)


def _add(
    zip: zipfile.ZipFile, members: dict[str, str], name: str, data: bytes,
    how: int = zipfile.ZIP_DEFLATED,
) -> None:  # fmt: skip
    """Packed, unless it would pack so well that a reader would not trust it."""
    if how == zipfile.ZIP_DEFLATED and data.count(b"\n") * LONG_LINE < len(data):
        how = zipfile.ZIP_STORED
    zip.writestr(name, data, how)
    members[name] = hashlib.sha256(data).hexdigest()


def _manifest_json(manifest: Manifest) -> dict[str, Any]:
    return {
        "format": FORMAT,
        "entries": manifest.entries,
        "aside": manifest.aside,
        "files": manifest.files,
        "made": manifest.made,
        "members": manifest.members,
    }


class Archive:
    """An archive that was looked over: every name, size and hash is right.

    Raises Unreadable when it is damaged or no archive, Malformed or OutOfRange for one that breaks
    the rules, before anything is taken in.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            self._zip = zipfile.ZipFile(path)
        except FileNotFoundError:
            raise Unreadable(str(path), None, "is not there", "check the path") from None
        except (OSError, zipfile.BadZipFile, ValueError, NotImplementedError) as broken:
            raise self._damaged(broken) from broken
        try:
            self._check_names()
            self.manifest = self._read_manifest()
            self._check_hashes()
        except BaseException:
            self._zip.close()
            raise

    def _damaged(self, broken: object) -> Unreadable:
        return Unreadable(str(self.path), None, f"is damaged ({broken})", "copy it again")

    def _check_names(self) -> None:
        """Nothing but our members, each once, of honest size."""
        seen: set[str] = set()
        whole = 0
        infos = self._zip.infolist()
        if len(infos) > MOST_MEMBERS:
            raise OutOfRange("members of the archive", len(infos), 1, MOST_MEMBERS, "split it")
        for info in infos:
            name = info.filename
            if not _NAMES.fullmatch(name) or name in seen or info.flag_bits & 1:
                raise Malformed("member", name, "does not belong in an archive", "make it again")
            limit = LARGEST_FILE if name.startswith("files/") else MOST_IN_MEMBER
            if info.file_size > limit:
                raise OutOfRange(f"member {name}", info.file_size, 0, limit, "make it again")
            if info.file_size > MOST_RATIO * max(info.compress_size, 1) + 10_000:
                raise Malformed(
                    "member", name, f"unpacks more than {MOST_RATIO} times", "do not trust it"
                )
            seen.add(name)
            whole += info.file_size
        if whole > MOST_UNPACKED and whole > MOST_GROWTH * self.path.stat().st_size:
            raise OutOfRange("archive, unpacked", whole, 0, MOST_UNPACKED, "split it by site")

    def read(self, name: str) -> bytes:
        """One member, never more than it said it would be."""
        try:
            info = self._zip.getinfo(name)
            with self._zip.open(info) as file:
                data = file.read(info.file_size + 1)
        except (
            KeyError,
            OSError,
            zipfile.BadZipFile,
            zlib.error,
            EOFError,
            RuntimeError,
        ) as broken:
            raise self._damaged(f"{name}: {broken}") from broken
        if len(data) != info.file_size:
            raise self._damaged(f"{name} is longer than it says")
        return data

    def _read_manifest(self) -> Manifest:
        try:
            raw = json.loads(self.read("manifest.json"))
            members = {str(k): str(v) for k, v in raw["members"].items()}
            manifest = Manifest(
                int(raw["entries"]), int(raw["aside"]), int(raw["files"]), str(raw["made"]), members
            )
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as broken:
            raise self._damaged(f"manifest: {broken}") from broken
        if raw.get("format") != FORMAT:
            raise Malformed(
                "format",
                raw.get("format"),
                f"of the archive is not {FORMAT}",
                "use a newer Pitwright",
            )
        if members.keys() != set(self._zip.namelist()) - {"manifest.json"}:
            odd = sorted(members.keys() ^ (set(self._zip.namelist()) - {"manifest.json"}))
            raise self._damaged(f"members missing or foreign: {', '.join(odd[:3])}")
        return manifest

    def _check_hashes(self) -> None:
        for name, digest in self.manifest.members.items():
            if hashlib.sha256(self.read(name)).hexdigest() != digest:
                raise self._damaged(f"{name} has another hash")

    def messages(self) -> Iterator[Message]:
        """Every entry, then what was set aside."""
        for start in ("entries-", "aside"):
            for name, raw in self._objects(start):
                if "refused" not in raw:
                    yield self._message(name, raw)

    def refused(self) -> Iterator[tuple[Aside, Message]]:
        """What the writer of this archive had refused for want of a right, with the reason."""
        for name, raw in self._objects("aside"):
            if "refused" in raw:
                message = self._message(name, raw)
                try:
                    key, site, reason, detail, subject, role = map(str, raw["refused"])
                except (TypeError, ValueError) as broken:
                    raise self._damaged(f"{name}: {broken}") from broken
                yield Aside(key, message.id, site, reason, detail, subject, role), message

    def _objects(self, start: str) -> Iterator[tuple[str, dict[str, Any]]]:
        for name in sorted(n for n in self.manifest.members if n.startswith(start)):
            for line in self.read(name).splitlines():
                try:
                    raw = json.loads(line)
                except (ValueError, RecursionError) as broken:
                    raise self._damaged(f"{name}: {broken}") from broken
                yield name, raw if isinstance(raw, dict) else {}

    def _message(self, name: str, raw: dict[str, Any]) -> Message:
        try:
            return Message.from_json(raw)
        except BadInput as broken:
            raise self._damaged(f"{name}: {broken}") from broken

    def files(self) -> list[str]:
        """Hashes of the files it carries."""
        return [n.removeprefix("files/") for n in self.manifest.members if n.startswith("files/")]

    def close(self) -> None:
        """Let go of it."""
        self._zip.close()


def take_in(store: Store, path: Path, right: Right, now: datetime) -> Taken:
    """Take an archive in: the receiving half of an exchange. Doing it twice changes nothing.

    Raises BadInput when the archive is damaged or not honest; nothing was changed then. A single
    bad entry inside a sound archive is set aside and named.
    """
    archive = Archive(path)
    try:
        for _ in archive.messages():
            pass  # every line is read once before anything is kept
        refused = list(archive.refused())
        receipt = Receipt()
        for part in batches(archive.messages(), BATCH):
            receipt.add(accept(store, part, right, now))
        with store.db.writing():
            for one, message in refused:
                accepting.put_aside(store, replace(one, reason=accepting.RIGHT), message, now)
        wanted = set(wanted_files(store)) & set(archive.files())
        for hash in sorted(wanted):
            data = archive.read(f"files/{hash}")
            store.files.put_kept(hash, data)
        return Taken(archive.manifest, receipt, len(wanted), len(wanted_files(store)))
    finally:
        archive.close()


def restore(
    path: Path, folder: Path, home: str, right: Right, now: datetime,
    tell: Callable[[str], None] = lambda _: None,
) -> Taken:  # fmt: skip
    """Make a new store in ``folder`` from an archive, verifying every hash; erasures come first.

    It takes a new device id. Raises NotWritable when the folder holds anything, BadInput for a bad
    archive, Unreadable for one that restores less than it says; no folder is left then.
    """
    if folder.exists() and any(folder.iterdir()):
        raise NotWritable(str(folder), "it is not empty", "restore into a new folder")
    part = folder.with_name(f".{folder.name}.part")
    shutil.rmtree(part, ignore_errors=True)
    try:
        store = open_store(str(part), home)
        try:
            taken = take_in(store, path, right, now)
            kept = store.count() + len(accepting.aside(store))
            told = taken.manifest.entries + taken.manifest.aside
            if kept < told:
                raise Unreadable(str(path), kept, f"holds fewer than its {told} entries", "copy it")
            tell(f"{kept} entries verified")
        finally:
            store.close()
        if folder.exists():
            folder.rmdir()
        os.replace(part, folder)
    except OSError as broken:
        if isinstance(broken, NotWritable):
            raise
        raise NotWritable(str(folder), broken.strerror or "refused", "choose another") from broken
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return taken


def checked_whole(store: Store) -> list[str]:
    """Every entry, body and file hashed again: what is wrong, one line each."""
    wrong = []
    ids = [row[0] for row in store.db.rows("SELECT id FROM entries ORDER BY seq")]
    for part in batches(ids):
        for _, message in store.messages(part):
            try:
                verified(message)
            except BadInput as broken:
                wrong.append(f"{message.id[:11]}: {broken}")
    for hash in store.files.all():
        try:
            store.files.read(hash)
        except BadInput as broken:
            wrong.append(str(broken))
    return wrong
