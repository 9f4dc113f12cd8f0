"""Putting results on disk whole or not at all: a temporary beside the target, fsync, rename."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from pitwright.errors import NotWritable

__all__ = ["write_file", "write_files"]

_WHY = {
    errno.ENOSPC: ("the disk is full", "make room, or choose another folder"),
    errno.EDQUOT: ("your share of the disk is full", "make room, or choose another folder"),
    errno.EROFS: ("the disk is read-only", "choose another folder"),
    errno.EACCES: ("no right to write there", "choose a folder of your own"),
    errno.EPERM: ("no right to write there", "choose a folder of your own"),
    errno.ENOENT: ("its folder is not there", "make the folder first, or check the name"),
    errno.ENOTDIR: ("a part of its path is a file, not a folder", "choose another folder"),
    errno.EISDIR: ("a folder of that name is there", "choose another name"),
    errno.EEXIST: ("a file of that name is there", "choose another name"),
    errno.ENAMETOOLONG: ("its name is too long", "choose a shorter name"),
}
_NO_LINKS = {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EMLINK, errno.ENOSYS}


def write_file(path: str | Path, data: bytes, overwrite: bool = False) -> None:
    """Write one file whole or not at all.

    Raises NotWritable when it cannot be put there, or when something lies there already and
    ``overwrite`` is not asked for.
    """
    target = Path(path)
    try:
        if target.is_dir():
            raise _not_writable(target, errno.EISDIR)
        temporary = _written(target, data)
        try:
            _placed(temporary, target, overwrite)
        finally:
            with suppress(FileNotFoundError):
                temporary.unlink()
        _settle(target.parent)
    except (OSError, ValueError) as why:
        raise _told(target, why) from None


def write_files(folder: str | Path, files: Mapping[str, bytes]) -> tuple[Path, ...]:
    """Write files into a folder, made when it is not there; older ones of those names give way.

    All are written beside their places first, and only then put in place, so that a full disk
    or a missing right leaves everything as it was. Gives back the paths in the order of
    ``files``. Raises NotWritable; ValueError for a name that is no plain file name.
    """
    home = Path(folder)
    for name in files:
        if name in ("", ".", "..") or Path(name).name != name or "\0" in name:
            raise ValueError(f"{name!r} is no plain file name")
    waiting: list[tuple[Path, Path]] = []
    place = home
    try:
        home.mkdir(parents=True, exist_ok=True)
        for name in files:
            place = home / name
            if place.is_dir():
                raise _not_writable(place, errno.EISDIR)
        try:
            for name, data in files.items():
                place = home / name
                waiting.append((_written(place, data), place))
            for temporary, place in waiting:
                os.replace(temporary, place)
        finally:
            for temporary, _ in waiting:
                with suppress(FileNotFoundError):
                    temporary.unlink()
        _settle(home)
    except (OSError, ValueError) as why:
        raise _told(place, why) from None
    return tuple(place for _, place in waiting)


def _written(target: Path, data: bytes) -> Path:
    """A temporary file beside the target that holds the data, safe on the disk."""
    handle, name = tempfile.mkstemp(prefix=f".{target.name[:40]}.", dir=target.parent)
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as opened:
            opened.write(data)
            opened.flush()
            os.fsync(opened.fileno())
        temporary.chmod(0o666 & ~_umask())
    except BaseException:
        with suppress(FileNotFoundError):
            temporary.unlink()
        raise
    return temporary


def _umask() -> int:
    mask = os.umask(0o022)
    os.umask(mask)
    return mask


def _placed(temporary: Path, target: Path, overwrite: bool) -> None:
    """Put the temporary in its place; a link never replaces what somebody else just wrote."""
    if overwrite:
        os.replace(temporary, target)
        return
    try:
        os.link(temporary, target)
    except OSError as why:
        if why.errno not in _NO_LINKS:
            raise
        if target.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
        os.replace(temporary, target)


def _settle(folder: Path) -> None:
    """Ask the disk to keep the new names, where the system lets a folder be synced."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _told(path: Path, why: OSError | ValueError) -> NotWritable:
    if isinstance(why, NotWritable):
        return why
    code = why.errno if isinstance(why, OSError) else None
    if code is None or code not in _WHY:
        reason = os.strerror(code) if code else "its name cannot be used"
        return NotWritable(str(path), reason.lower(), "choose another place")
    return _not_writable(path, code)


def _not_writable(path: Path, code: int) -> NotWritable:
    reason, hint = _WHY[code]
    return NotWritable(str(path), reason, hint)
