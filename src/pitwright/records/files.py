"""Files by the hash of the bytes that are kept, in a folder beside the database.

A file is written under a temporary name, forced to the disk, renamed, and the folder forced too;
only then is there an entry that names it. Files are never changed. Nothing is ever handed to a
browser as a page or a drawing: text goes out as plain text, to be saved.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from pitwright.errors import Malformed, NotWritable, OutOfRange, Unreadable
from pitwright.records.photo import JPEG, PNG, TEXT, Place, stripped, type_of

__all__ = ["LARGEST_FILE", "ORPHAN_AGE", "Files", "Kept"]

LARGEST_FILE = 40 * 1024 * 1024
"""One file. [bytes]"""
ORPHAN_AGE = timedelta(days=30)
"""A file that no entry names is swept only when it is older. [time]"""
PIECE = 256 * 1024
"""What is read, sent or written at once. [bytes]"""
_HASH = re.compile(r"[0-9a-f]{64}")
_PREVIEWED = 4096


@dataclass(frozen=True, slots=True)
class Kept:
    """A file that is kept: its hash, type and size [bytes], and what a photo offered.

    ``place`` and ``taken`` were taken off the photo: put them into its entry if they may be known
    there. ``warning`` says what could not be taken off.
    """

    hash: str
    media: str
    size: int
    place: Place | None = None
    taken: str = ""
    warning: str = ""

    @property
    def inline(self) -> bool:
        """Whether a browser may show it in place: pictures that cannot carry a script."""
        return self.media in (JPEG, PNG)


class Files:
    """A folder of kept files. Raises NotWritable when the disk will not take one."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def path(self, hash: str) -> Path:
        """Where a file of that hash lies, or would; Malformed when it is no hash."""
        if not _HASH.fullmatch(hash):
            raise Malformed("file", hash, "is not named by a hash", "give 64 hex digits")
        return self.folder / hash[:2] / hash

    def has(self, hash: str) -> bool:
        """Whether the file is here."""
        return self.path(hash).is_file()

    def size(self, hash: str) -> int:
        """Its size. [bytes]"""
        return self.path(hash).stat().st_size

    def read(self, hash: str) -> bytes:
        """The bytes, hashed again; Unreadable when not here, or damaged on the disk."""
        try:
            data = self.path(hash).read_bytes()
        except OSError as broken:
            raise Unreadable(f"file {hash[:12]}", None, "is not here", "exchange first") from broken
        if hashlib.sha256(data).hexdigest() != hash:
            raise Unreadable(f"file {hash[:12]}", None, "was damaged on the disk", "restore it")
        return data

    def piece(self, hash: str, start: int) -> bytes:
        """A part of a file for sending. [start in bytes]"""
        with self.path(hash).open("rb") as file:
            file.seek(start)
            return file.read(PIECE)

    def keep_from(self, source: Path) -> Kept:
        """Keep a copy of a person's file; Unreadable, or BadInput for its size or its type."""
        try:
            size = source.stat().st_size
            if size > LARGEST_FILE:
                raise self._too_big(source.name, size)
            data = source.read_bytes()
        except OSError as broken:
            why = broken.strerror or "cannot be read"
            raise Unreadable(str(source), None, f"cannot be read ({why})", "check it") from broken
        return self.keep(data, source.name)

    def keep(self, data: bytes, name: str = "file") -> Kept:
        """Keep these bytes: photos without their EXIF. Raises BadInput, naming the file."""
        if len(data) > LARGEST_FILE:
            raise self._too_big(name, len(data))
        try:
            media = type_of(data[:_PREVIEWED])
            if media not in (JPEG, PNG):
                warning = "" if media in (TEXT, "application/pdf") else (
                    "kept as it came: place and time may still be inside"
                )  # fmt: skip
                return Kept(self._put(data), media, len(data), warning=warning)
            photo = stripped(data, media)
        except Malformed as broken:
            raise broken.at(name) from None
        hash = self._put(photo.data)
        return Kept(hash, media, len(photo.data), photo.place, photo.taken)

    def put_kept(self, hash: str, data: bytes) -> None:
        """Keep bytes that another store kept under this hash; Malformed when they have another."""
        if hashlib.sha256(data).hexdigest() != hash:
            raise Malformed("file", hash, "came with other bytes", "fetch it again")
        self._put(data)

    @staticmethod
    def _too_big(name: str, size: int) -> OutOfRange:
        return OutOfRange(
            f"size of {name}", f"{size / 1e6:.0f} MB", 0, f"{LARGEST_FILE / 1e6:.0f} MB",
            "save a smaller copy",
        )  # fmt: skip

    def _put(self, data: bytes) -> str:
        hash = hashlib.sha256(data).hexdigest()
        if not self.has(hash):
            part = self._part(hash)
            with self._writing(part):
                with part.open("wb") as file:
                    file.write(data)
                    file.flush()
                    os.fsync(file.fileno())
                self._place(part, hash)
        return hash

    def _part(self, hash: str) -> Path:
        return self.folder / "coming" / hash

    @contextlib.contextmanager
    def _writing(self, part: Path) -> Iterator[None]:
        """Words for whatever the disk says; nothing half-written stays."""
        try:
            part.parent.mkdir(parents=True, exist_ok=True)
            yield
        except OSError as broken:
            with contextlib.suppress(OSError):
                part.unlink()
            raise NotWritable(
                str(self.folder),
                broken.strerror or "the disk refused",
                "free some room, do it again",
            ) from broken

    def _place(self, part: Path, hash: str) -> None:
        final = self.path(hash)
        final.parent.mkdir(parents=True, exist_ok=True)
        os.replace(part, final)
        for folder in (final.parent, self.folder):
            if hasattr(os, "O_DIRECTORY"):
                number = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
                try:
                    os.fsync(number)
                finally:
                    os.close(number)

    # a file that comes in pieces

    def come(self, hash: str) -> int:
        """How much of a coming file is here. [bytes]"""
        part = self._part(hash) if _HASH.fullmatch(hash) else None
        return part.stat().st_size if part is not None and part.is_file() else 0

    def add_piece(self, hash: str, start: int, data: bytes, size: int) -> bool:
        """Take one piece; whether the file is whole now.

        A piece that does not continue what is here is left out: ask :meth:`come` where to go on.
        Raises OutOfRange when it would be too big, Malformed when the whole has another hash (it is
        dropped, to come again).
        """
        if self.has(hash):
            return True
        if not 0 < size <= LARGEST_FILE or len(data) > size:
            raise self._too_big(hash[:12], size)
        part = self._part(hash)
        if start != self.come(hash):
            return False
        with self._writing(part):
            with part.open("ab") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            if part.stat().st_size < size:
                return False
            if hashlib.sha256(part.read_bytes()).hexdigest() != hash:
                part.unlink()
                raise Malformed("file", hash, "came with other bytes", "it will be asked for again")
            self._place(part, hash)
        return True

    def remove(self, hash: str) -> None:
        """Remove a file and what has come of it, if it is here. Only for what was erased."""
        if _HASH.fullmatch(hash):
            for path in (self.path(hash), self._part(hash)):
                with contextlib.suppress(FileNotFoundError):
                    path.unlink()

    def all(self) -> list[str]:
        """The hashes of all files here, sorted."""
        found = (p.name for p in self.folder.glob("??/*"))
        return sorted(name for name in found if _HASH.fullmatch(name))

    def sweep(self, named: frozenset[str], now: datetime) -> list[str]:
        """Remove files that no entry names once they are older than thirty days; their hashes."""
        gone = []
        for hash in self.all():
            age = now - datetime.fromtimestamp(self.path(hash).stat().st_mtime, now.tzinfo)
            if hash not in named and age > ORPHAN_AGE:
                self.remove(hash)
                gone.append(hash)
        return gone
