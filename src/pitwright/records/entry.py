"""One entry: a header whose hash is its name, and a body that may one day be erased.

The header's canonical bytes are kept verbatim for ever and never hold anything personal; names,
telephone numbers, free text and the words as typed stand in the body. The header knows the body
only by SHA-256(salt ‖ body), so that a body that was erased cannot be guessed back.

    id        = "e1_" + base32(SHA-256(pitwright-entry-1 NUL header bytes))
    body_hash = hex(SHA-256(salt ‖ body)), salt 16 bytes
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NewType

from pitwright.errors import Malformed, Unreadable
from pitwright.records.canonical import MOST_EXACT, decode, encode
from pitwright.records.when import Span, Written

__all__ = [
    "LARGEST",
    "Entry",
    "EntryId",
    "Header",
    "Message",
    "body_hash",
    "entry_id",
    "header_of",
    "make",
    "opaque",
    "short",
    "trusted",
    "verified",
]

EntryId = NewType("EntryId", str)

FORMAT = 1
_DOMAIN = b"pitwright-entry-1\0"
SALT_BYTES = 16
LARGEST = 256 * 1024
"""Header, and body, at most. [bytes]"""
MOST_LINKS = 500
"""Ids in one list of a header. [-]"""

_ID = re.compile(r"e1_[a-z2-7]{52}")
_NAME = re.compile(r"[a-z0-9][a-z0-9_.-]{0,63}")
_FIELD = re.compile(r"[a-z0-9][a-z0-9_./-]{0,127}")
_KIND = re.compile(r"[a-z][a-z0-9-]{0,31}")
_HASH = re.compile(r"[0-9a-f]{64}")
_KEYS = frozenset(
    [
        "format",
        "kind",
        "kind_version",
        "site",
        "subject",
        "field",
        "device",
        "n",
        "prev",
        "lamport",
        "happened",
        "written",
        "author",
        "supersedes",
        "about",
        "files",
        "body_hash",
    ]
)


def _base32(data: bytes) -> str:
    return base64.b32encode(data).decode("ascii").rstrip("=").lower()


def opaque(prefix: str, chance: bytes) -> str:
    """A name that says nothing: ``prefix`` and the base32 of some random bytes."""
    return f"{prefix}{_base32(chance)}"


def short(name: str) -> str:
    """The first letters of an id, enough for a person to tell entries apart."""
    return name[3:11] if name.startswith("e1_") else name[:8]


def entry_id(header: bytes) -> EntryId:
    """The id that these very bytes have."""
    return EntryId("e1_" + _base32(hashlib.sha256(_DOMAIN + header).digest()))


def body_hash(salt: bytes, body: bytes) -> str:
    """What a header says of its body. [64 hex digits]"""
    return hashlib.sha256(salt + body).hexdigest()


@dataclass(frozen=True, slots=True)
class Header:
    """What an entry says without saying anything personal. Lists are sorted and without doubles.

    ``n`` counts the entries of one device on one site from 1, ``prev`` is the one before,
    ``lamport`` is one more than the greatest known there when it was written. ``field`` is the
    slot of the subject that it fills; ``about`` names entries that it speaks of without
    superseding them (what to erase, what to date again).
    """

    kind: str
    kind_version: int
    site: str
    subject: str
    field: str
    device: str
    n: int
    prev: EntryId | None
    lamport: int
    happened: Span
    written: Written
    author: str
    supersedes: tuple[EntryId, ...]
    about: tuple[EntryId, ...]
    files: tuple[str, ...]
    body_hash: str

    def data(self) -> bytes:
        """The canonical bytes that the id is made from."""
        return encode(
            {
                "format": FORMAT,
                "kind": self.kind,
                "kind_version": self.kind_version,
                "site": self.site,
                "subject": self.subject,
                "field": self.field,
                "device": self.device,
                "n": self.n,
                "prev": self.prev,
                "lamport": self.lamport,
                "happened": self.happened.as_json(),
                "written": self.written.as_json(),
                "author": self.author,
                "supersedes": list(self.supersedes),
                "about": list(self.about),
                "files": list(self.files),
                "body_hash": self.body_hash,
            }
        )


@dataclass(frozen=True, slots=True)
class Message:
    """An entry as it travels: bytes only. ``body`` is None once erased, or not here yet."""

    id: str
    header: bytes
    salt: bytes | None
    body: bytes | None

    @property
    def size(self) -> int:
        """How much it weighs. [bytes]"""
        return len(self.header) + len(self.body or b"")

    def as_json(self) -> dict[str, Any]:
        """The message as JSON, its bytes in base64."""
        return {
            "id": self.id,
            "header": base64.b64encode(self.header).decode("ascii"),
            "salt": None if self.salt is None else self.salt.hex(),
            "body": None if self.body is None else base64.b64encode(self.body).decode("ascii"),
        }

    @classmethod
    def from_json(cls, data: Any) -> Message:
        """The reverse of :meth:`as_json`; Malformed when it is not such an object."""
        try:
            body, salt = data["body"], data["salt"]
            return cls(
                str(data["id"])[:120],
                base64.b64decode(data["header"], validate=True),
                None if salt is None else bytes.fromhex(salt),
                None if body is None else base64.b64decode(body, validate=True),
            )
        except (KeyError, TypeError, ValueError, AttributeError) as broken:
            raise Malformed(
                "entry", data, "must have id, header, salt and body", "send the entry again"
            ) from broken


@dataclass(frozen=True, slots=True)
class Entry:
    """A header that was read and found whole, with its bytes, and its body as far as it is here."""

    id: EntryId
    header: Header
    data: bytes
    salt: bytes | None
    body_data: bytes | None

    @property
    def body(self) -> Mapping[str, Any]:
        """The body as an object; empty once erased, or not here yet.

        Raises Unreadable when the disk has damaged it since it came.
        """
        if self.body_data is None:
            return {}
        try:
            value = json.loads(self.body_data)  # canonical: it was verified when it came
        except ValueError as broken:
            raise _rotten(self.id) from broken
        return value if isinstance(value, dict) else {}

    @property
    def order(self) -> tuple[int, EntryId]:
        """What decides which of two entries is later. Wall clocks never do."""
        return (self.header.lamport, self.id)

    def message(self) -> Message:
        """The entry as it travels."""
        return Message(self.id, self.data, self.salt, self.body_data)


def make(header: Header, salt: bytes, body: bytes) -> Entry:
    """The entry of a header made for this body; BadInput when any part breaks the rules."""
    data = header.data()
    return verified(Message(entry_id(data), data, salt, body))


def verified(message: Message) -> Entry:
    """The entry in a message, every hash worked out again over the bytes that came.

    Raises BadInput (Malformed, OutOfRange) naming the part that is wrong.
    """
    header = header_of(message.header)
    if entry_id(message.header) != message.id:
        raise Malformed(
            "id", message.id, "is not the hash of these bytes", "they were changed on the way"
        )
    if (message.body is None) != (message.salt is None):
        raise Malformed("salt", message.salt, "must come with its body", "send the entry again")
    if message.body is not None and message.salt is not None:
        _check_body(message.salt, message.body, header)
    return Entry(EntryId(message.id), header, message.header, message.salt, message.body)


def _check_body(salt: bytes, body: bytes, header: Header) -> None:
    if len(salt) != SALT_BYTES:
        raise Malformed("salt", salt.hex(), f"must be {SALT_BYTES} bytes", "send it again")
    if len(body) > LARGEST:
        raise Malformed("body", len(body), f"must be at most {LARGEST} bytes", "put it in a file")
    if body_hash(salt, body) != header.body_hash:
        raise Malformed(
            "body", body[:40], "is not the one its header names", "it was changed on the way"
        )
    if not isinstance(decode(body), dict):
        raise Malformed("body", body[:40], "must be an object", "send the entry again")


def header_of(data: bytes) -> Header:
    """The header in canonical bytes; Malformed when a key is missing, foreign or out of range."""
    if len(data) > LARGEST:
        raise Malformed("header", len(data), f"must be at most {LARGEST} bytes", "send it again")
    raw = decode(data)
    if not isinstance(raw, dict):
        raise Malformed("header", data[:40], "must be an object", "send the entry again")
    if raw.get("format") != FORMAT:
        raise Malformed(
            "format", raw.get("format"), f"is not {FORMAT}", "a newer version of Pitwright reads it"
        )
    if raw.keys() != _KEYS:
        odd = sorted(raw.keys() ^ _KEYS)
        raise Malformed("header", odd, "keys are missing or foreign", "send the entry again")
    return _read(raw)


def trusted(data: bytes) -> Header:
    """The header in bytes that were verified when they came, without hashing them again.

    Raises Unreadable when the disk has damaged them since.
    """
    try:
        return _read(json.loads(data))
    except (ValueError, KeyError, TypeError) as broken:
        raise _rotten(data[:20]) from broken


def _rotten(what: object) -> Unreadable:
    return Unreadable(
        f"entry {what!r}", None, "was damaged on the disk", "see record check, restore a backup"
    )


def _read(raw: Mapping[str, Any]) -> Header:
    prev = raw["prev"]
    n = _count("n", raw["n"])
    if (prev is None) != (n == 1):
        raise Malformed("prev", prev, "must be there from the second entry on", "send it again")
    return Header(
        kind=_like("kind", raw["kind"], _KIND),
        kind_version=_count("kind_version", raw["kind_version"]),
        site=_like("site", raw["site"], _NAME),
        subject=_like("subject", raw["subject"], _NAME),
        field=_like("field", raw["field"], _FIELD),
        device=_like("device", raw["device"], _NAME),
        n=n,
        prev=None if prev is None else EntryId(_like("prev", prev, _ID)),
        lamport=_count("lamport", raw["lamport"]),
        happened=Span.from_json(raw["happened"]),
        written=Written.from_json(raw["written"]),
        author=_like("author", raw["author"], _NAME),
        supersedes=tuple(EntryId(i) for i in _list("supersedes", raw["supersedes"], _ID)),
        about=tuple(EntryId(i) for i in _list("about", raw["about"], _ID)),
        files=_list("files", raw["files"], _HASH),
        body_hash=_like("body_hash", raw["body_hash"], _HASH),
    )


def _like(where: str, got: Any, pattern: re.Pattern[str]) -> str:
    if not isinstance(got, str) or not pattern.fullmatch(got):
        raise Malformed(where, got, f"must look like {pattern.pattern}", "send the entry again")
    return got


def _count(where: str, got: Any) -> int:
    if isinstance(got, bool) or not isinstance(got, int) or not 1 <= got <= MOST_EXACT:
        raise Malformed(where, got, "must be a whole number from 1", "send the entry again")
    return got


def _list(where: str, got: Any, pattern: re.Pattern[str]) -> tuple[str, ...]:
    if not isinstance(got, list) or len(got) > MOST_LINKS:
        raise Malformed(where, got, f"must be a list of at most {MOST_LINKS}", "send it again")
    found = tuple(_like(where, item, pattern) for item in got)
    if list(found) != sorted(set(found)):
        raise Malformed(where, got, "must be sorted, each once", "send the entry again")
    return found
