"""Files by hash."""

from __future__ import annotations

import hashlib
import os
from datetime import timedelta
from pathlib import Path

import pytest

from pitwright.errors import Malformed, OutOfRange, Unreadable
from pitwright.records.files import LARGEST_FILE, PIECE, Files
from tests.records.support import NOON
from tests.records.test_photo import jpeg


def left_over(files: Files) -> list[Path]:
    return [p for p in files.folder.rglob("*") if p.is_file() and p.parent.name == "coming"]


def test_a_photo_is_kept_without_its_place_and_offers_it(tmp_path: Path) -> None:
    files = Files(tmp_path / "f")
    (tmp_path / "a.txt").write_bytes(jpeg())
    kept = files.keep_from(tmp_path / "a.txt")

    assert kept.media == "image/jpeg" and kept.place is not None and kept.inline
    assert b"Xanthippe" not in files.read(kept.hash)
    assert kept.hash == hashlib.sha256(files.read(kept.hash)).hexdigest()
    assert files.keep_from(tmp_path / "a.txt") == kept
    assert files.all() == [kept.hash] and left_over(files) == []


def test_a_page_of_html_is_plain_text_and_never_shown_in_place(tmp_path: Path) -> None:
    kept = Files(tmp_path).keep(b"<svg onload='alert(1)'>")

    assert kept.media == "text/plain" and not kept.inline


def test_a_heic_photo_is_kept_with_a_warning(tmp_path: Path) -> None:
    kept = Files(tmp_path).keep(b"\0\0\0\x18ftypheic" + b"\0" * 40)

    assert "may still be inside" in kept.warning and not kept.inline


def test_a_photo_of_200_megabytes_is_refused_unread(tmp_path: Path) -> None:
    big = tmp_path / "holiday.jpg"
    with big.open("wb") as file:
        file.write(b"\xff\xd8\xff")
        file.truncate(200_000_000)
    files = Files(tmp_path / "f")

    with pytest.raises(OutOfRange, match=r"holiday.jpg must be 0 to 42 MB \(got \"200 MB\"\)"):
        files.keep_from(big)
    assert not files.folder.exists()


def test_what_is_not_there_or_no_file_is_said(tmp_path: Path) -> None:
    files = Files(tmp_path / "f")
    for path in (tmp_path / "none.jpg", tmp_path):
        with pytest.raises(Unreadable):
            files.keep_from(path)
    with pytest.raises(Malformed, match=r"x\.bin"):
        files.keep(b"\0\1\2\3", "x.bin")
    with pytest.raises(Malformed, match="not named by a hash"):
        files.has("../../etc/passwd")
    with pytest.raises(Unreadable, match="not here"):
        files.read("0" * 64)


def test_a_file_damaged_on_the_disk_is_noticed(tmp_path: Path) -> None:
    files = Files(tmp_path)
    kept = files.keep(b"true words")
    files.path(kept.hash).write_bytes(b"false word")

    with pytest.raises(Unreadable, match="damaged on the disk"):
        files.read(kept.hash)


def test_a_file_comes_in_pieces_and_goes_on_where_it_broke_off(tmp_path: Path) -> None:
    data = b"x" * (PIECE + 10)
    hash = hashlib.sha256(data).hexdigest()
    files = Files(tmp_path)

    assert not files.add_piece(hash, 0, data[:PIECE], len(data))
    assert files.come(hash) == PIECE and not files.has(hash)
    assert not files.add_piece(hash, 5, b"astray", len(data))
    assert files.add_piece(hash, PIECE, data[PIECE:], len(data))
    assert files.read(hash) == data and left_over(files) == []
    with pytest.raises(Malformed, match="other bytes"):
        files.add_piece("0" * 64, 0, b"y", 1)
    assert left_over(files) == []
    with pytest.raises(OutOfRange):
        files.add_piece("1" * 64, 0, b"y", LARGEST_FILE + 1)


def test_unnamed_files_are_swept_only_when_they_are_old(tmp_path: Path) -> None:
    files = Files(tmp_path)
    old, young, named = (files.keep(text).hash for text in (b"old", b"young", b"named"))
    for hash, days in ((old, 31), (named, 400), (young, 29)):
        when = (NOON - timedelta(days=days)).timestamp()
        os.utime(files.path(hash), (when, when))

    assert files.sweep(frozenset({named}), NOON) == [old]
    assert files.all() == sorted([young, named])
