"""A power cut for SQLite: what was never forced to the disk is lost.

A kill of the process shows nothing, since the system keeps its pages. So SQLite is given a file
layer that copies a file aside each time SQLite *syncs* it; the copies are what a disk would hold
after the cut. The layer is the system's own with one function replaced, through ctypes.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.conftest import require_or_skip

_WORD = ctypes.sizeof(ctypes.c_void_p)
_NEXT, _NAME, _OPEN = 16, 24, 40
"""Where three pointers stand in a ``sqlite3_vfs``. [bytes]"""
_SYNC = 5 * _WORD
"""Where xSync stands in ``sqlite3_io_methods``. [bytes]"""
_VFS_SIZE, _METHODS_SIZE = 168, 19 * _WORD

_OpenCall = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.c_void_p, ctypes.c_void_p, ctypes.c_void_p, ctypes.c_int, ctypes.c_void_p
)
"""The path goes through as a bare pointer: SQLite keeps it, so it must stay SQLite's own."""
_SyncCall = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_int)


def _library() -> ctypes.CDLL:
    """The very library that Python's own module uses."""
    try:
        library = ctypes.CDLL(ctypes.util.find_library("sqlite3") or "libsqlite3.so.0")
    except OSError:
        require_or_skip("SQLite is built into Python here: no way to reach its file layer")
    library.sqlite3_libversion.restype = ctypes.c_char_p
    library.sqlite3_vfs_find.restype = ctypes.c_void_p
    library.sqlite3_vfs_find.argtypes = [ctypes.c_char_p]
    library.sqlite3_vfs_register.argtypes = [ctypes.c_void_p, ctypes.c_int]
    library.sqlite3_vfs_unregister.argtypes = [ctypes.c_void_p]
    if library.sqlite3_libversion().decode() != sqlite3.sqlite_version or _WORD != 8:
        require_or_skip("Python's SQLite is not the system's: no way to reach its file layer")
    return library


def _pointer(at: int) -> int:
    return int(ctypes.c_void_p.from_address(at).value or 0)


class Disk:
    """What the disk holds: each file as it was when it was last forced there."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir()
        self.syncs = 0
        self.paths: dict[int, str] = {}

    def synced(self, file: int) -> None:
        path = self.paths.get(file)
        if path is not None and Path(path).is_file():
            self.syncs += 1
            shutil.copyfile(path, self.folder / Path(path).name)

    def after_the_cut(self, to: Path) -> Path:
        """A folder with what is left. A file that was removed is taken to be gone."""
        to.mkdir()
        for path in self.paths.values():
            held = self.folder / Path(path).name
            if Path(path).exists() and held.exists():
                shutil.copyfile(held, to / held.name)
        return to


@contextmanager
def disk(folder: Path) -> Iterator[Disk]:
    """While this lasts, every SQLite file opened in this process lies on such a disk."""
    library = _library()
    plain = int(library.sqlite3_vfs_find(None))
    held = Disk(folder)
    layer = (ctypes.c_char * _VFS_SIZE).from_buffer_copy(
        (ctypes.c_char * _VFS_SIZE).from_address(plain)
    )
    name = ctypes.create_string_buffer(b"power-cut")
    address = ctypes.addressof(layer)
    plain_open = _OpenCall(_pointer(plain + _OPEN))
    keep: list[object] = [layer, name]
    replaced: dict[int, int] = {}

    def methods_for(methods: int) -> int:
        """The same methods, with ours for xSync."""
        if methods not in replaced:
            plain_sync = _SyncCall(_pointer(methods + _SYNC))

            def sync(file: int, flags: int) -> int:
                done = int(plain_sync(file, flags))
                held.synced(file)
                return done

            call = _SyncCall(sync)
            copy = (ctypes.c_char * _METHODS_SIZE).from_buffer_copy(
                (ctypes.c_char * _METHODS_SIZE).from_address(methods)
            )
            at = ctypes.addressof(copy)
            ctypes.c_void_p.from_address(at + _SYNC).value = ctypes.cast(
                call, ctypes.c_void_p
            ).value
            keep.extend([call, copy, plain_sync])
            replaced[methods] = at
        return replaced[methods]

    def opened(vfs: int, path: int | None, file: int, flags: int, out: int) -> int:
        done = int(plain_open(plain, path, file, flags, out))
        methods = _pointer(file)
        if done == 0 and methods and path is not None:
            held.paths[file] = ctypes.string_at(path).decode()
            ctypes.c_void_p.from_address(file).value = methods_for(methods)
        return done

    call = _OpenCall(opened)
    keep.append(call)
    ctypes.c_void_p.from_address(address + _OPEN).value = ctypes.cast(call, ctypes.c_void_p).value
    ctypes.c_void_p.from_address(address + _NAME).value = ctypes.addressof(name)
    ctypes.c_void_p.from_address(address + _NEXT).value = None
    library.sqlite3_vfs_register(address, 1)
    try:
        yield held
    finally:
        library.sqlite3_vfs_register(plain, 1)
        library.sqlite3_vfs_unregister(address)
