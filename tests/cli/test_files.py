"""Results are put on disk whole or not at all."""

from __future__ import annotations

import errno
import os
import tempfile
from pathlib import Path

import pytest

from pitwright.cli.files import write_file, write_files
from pitwright.errors import NotWritable


def left_in(folder: Path) -> list[str]:
    """Every name in a folder, hidden ones included."""
    return sorted(os.listdir(folder))


def test_a_file_is_written_whole_and_nothing_else_is_left(tmp_path: Path) -> None:
    write_file(tmp_path / "a.txt", b"one")

    assert left_in(tmp_path) == ["a.txt"]
    assert (tmp_path / "a.txt").read_bytes() == b"one"


def test_what_lies_there_is_kept_unless_asked_otherwise(tmp_path: Path) -> None:
    target = tmp_path / "a.txt"
    target.write_bytes(b"mine")

    with pytest.raises(NotWritable, match=r"a\.txt cannot be written \(a file of that name is"):
        write_file(target, b"new")
    assert target.read_bytes() == b"mine"
    assert left_in(tmp_path) == ["a.txt"]

    write_file(target, b"new", overwrite=True)
    assert target.read_bytes() == b"new"


def test_a_disk_without_links_still_refuses_to_overwrite(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", no_links)
    write_file(tmp_path / "a.txt", b"one")
    with pytest.raises(NotWritable, match="a file of that name is there"):
        write_file(tmp_path / "a.txt", b"two")
    assert (tmp_path / "a.txt").read_bytes() == b"one"
    assert left_in(tmp_path) == ["a.txt"]


@pytest.mark.parametrize(
    ("where", "why"),
    [
        ("missing/a.txt", "its folder is not there"),
        ("plain/a.txt", "a file, not a folder"),
        ("folder", "a folder of that name is there"),
        ("x" * 300, "its name is too long"),
        ("nul\0", "its name cannot be used"),
    ],
)
def test_the_reason_is_told_in_words(tmp_path: Path, where: str, why: str) -> None:
    (tmp_path / "plain").write_bytes(b"")
    (tmp_path / "folder").mkdir()

    with pytest.raises(NotWritable, match=why):
        write_file(tmp_path / where, b"x")
    assert left_in(tmp_path) == ["folder", "plain"]


def test_several_files_come_together_and_replace_older_ones(tmp_path: Path) -> None:
    home = tmp_path / "new" / "out"
    write_files(home, {"a": b"1", "b": b"2"})
    paths = write_files(home, {"b": b"3", "c": b"4"})

    assert paths == (home / "b", home / "c")
    assert {p: (home / p).read_bytes() for p in left_in(home)} == {"a": b"1", "b": b"3", "c": b"4"}


def test_a_full_disk_leaves_everything_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_files(tmp_path, {"a": b"old", "b": b"old"})
    calls: list[int] = []

    def full_at_the_second(handle: int) -> None:
        calls.append(handle)
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(os, "fsync", full_at_the_second)
    with pytest.raises(NotWritable, match=r"b cannot be written \(the disk is full\)"):
        write_files(tmp_path, {"a": b"new", "b": b"new"})
    assert {p: (tmp_path / p).read_bytes() for p in left_in(tmp_path)} == {"a": b"old", "b": b"old"}


def test_a_folder_in_the_way_is_found_before_anything_is_written(tmp_path: Path) -> None:
    (tmp_path / "b").mkdir()
    with pytest.raises(NotWritable, match="a folder of that name is there"):
        write_files(tmp_path, {"a": b"1", "b": b"2"})
    assert left_in(tmp_path) == ["b"]


def test_the_folder_may_be_a_file(tmp_path: Path) -> None:
    (tmp_path / "out").write_bytes(b"")
    with pytest.raises(NotWritable, match="a file of that name is there"):
        write_files(tmp_path / "out", {"a": b"1"})


@pytest.mark.parametrize("name", ["", ".", "..", "a/b", "/etc/x", "../x"])
def test_a_name_cannot_lead_out_of_the_folder(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="no plain file name"):
        write_files(tmp_path, {name: b"1"})
    assert left_in(tmp_path) == []


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_the_right_to_write_is_told(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(NotWritable, match="no right to write there"):
            write_file(tmp_path / "a", b"1")
    finally:
        tmp_path.chmod(0o700)


def test_a_read_only_disk_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def read_only(*_: object, **__: object) -> None:
        raise OSError(errno.EROFS, "read-only")

    monkeypatch.setattr(tempfile, "mkstemp", read_only)
    with pytest.raises(NotWritable, match="the disk is read-only"):
        write_file(tmp_path / "a", b"1")
