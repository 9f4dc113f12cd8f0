"""From a file to TOML's tables, or one clear mistake."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.errors import BadInput, Duplicate, Unreadable
from pitwright.survey.pit import load_survey
from pitwright.survey.source import LARGEST, tables_of, text_of
from tests.survey.pits import SMALL, read, swapped


def test_a_byte_order_mark_is_dropped(tmp_path: Path) -> None:
    path = tmp_path / "a.pit.toml"
    path.write_bytes(b"\xef\xbb\xbf" + SMALL.encode())
    assert text_of(path) == SMALL
    assert read("\ufeff" + SMALL).text == SMALL


def test_windows_line_ends_are_read(tmp_path: Path) -> None:
    path = tmp_path / "a.pit.toml"
    path.write_bytes(SMALL.replace("\n", "\r\n").encode())
    assert load_survey(path, load_shelf()).name == "Chapel lawn"


def test_a_missing_file_and_a_folder_are_told_apart(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match=r"a\.toml is not there: check the name"):
        text_of(tmp_path / "a.toml")
    with pytest.raises(Unreadable, match="and it is a folder"):
        text_of(tmp_path)
    with pytest.raises(Unreadable, match="cannot be read"):
        text_of("nul\0.toml")
    with pytest.raises(Unreadable, match=r"is not there|cannot be read"):
        text_of(tmp_path / "a.toml" / "b.toml")


def test_what_is_no_plain_file_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(Unreadable, match="no plain file"):
        text_of(tmp_path / "pipe")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read anything")
def test_a_file_without_the_right_to_read_is_told(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text(SMALL)
    path.chmod(0)
    with pytest.raises(Unreadable, match="cannot be read"):
        text_of(path)


def test_a_huge_file_is_refused_without_being_read_whole(tmp_path: Path) -> None:
    """A hundred megabytes, sparse; only the first megabyte is looked at."""
    path = tmp_path / "big.pit.toml"
    with path.open("wb") as opened:
        opened.truncate(100_000_000)
    with pytest.raises(Unreadable, match=r"must be at most 1,000,000 bytes"):
        text_of(path)
    with pytest.raises(Unreadable, match="at most 1,000,000 characters"):
        tables_of("#" * (LARGEST + 1))


def test_the_line_of_a_byte_that_is_no_text_is_told(tmp_path: Path) -> None:
    path = tmp_path / "a.pit.toml"
    path.write_bytes(b"a = 1\nb = '\xff'\n")
    with pytest.raises(Unreadable, match=r'a\.pit\.toml:2: .*must be UTF-8 \(got "byte 0xff"\)'):
        text_of(path)


@pytest.mark.parametrize(
    ("text", "kind", "match"),
    [
        ("", Unreadable, r"^pit\.toml: the text must not be empty"),
        (" \n\t\n", Unreadable, "must not be empty"),
        ("a = 1\n\0", Unreadable, r"^pit\.toml:2: the text must hold no NUL"),
        ("a = 1\nb = \n", Unreadable, r'^pit\.toml:2: the text must be TOML \(got "Invalid value"'),
        ("a = 'x\n", Unreadable, r"^pit\.toml:1: the text must be TOML"),
        ("[pit]\na = 1\na = 2\n", Duplicate, r"^pit\.toml:3: the text must have every name once"),
        ("[stub.a]\n[stub.a]\n", Duplicate, r"^pit\.toml:2: .*every name once"),
        ("[stub]\na = 1\n[stub.a]\n", Duplicate, r"^pit\.toml:3: "),
        ("a = " + "[" * 3000, Unreadable, "nested so deeply"),
        ("a = " + "[" * 40 + "]" * 40, Unreadable, "nested so deeply"),
        ("a = " + "9" * 5000, Unreadable, "numbers of a size that exists"),
        ("\na = 0x" + "f" * 5000, BadInput, r"^pit\.toml:2: a must be of a size that exists"),
        ("a = {b = 1, b = 2}", BadInput, r"^pit\.toml:1: "),
        ("just words", Unreadable, r"^pit\.toml:1: the text must be TOML"),
    ],
)
def test_a_text_that_is_no_toml_is_told_with_its_line(
    text: str, kind: type[BadInput], match: str
) -> None:
    with pytest.raises(kind, match=match):
        read(text)


def test_the_standard_library_still_words_doubles_as_we_know_them() -> None:
    """Pin: Duplicate is told from a fault by tomllib's own words; a new wording fails here."""
    for text in ("[a]\nb=1\nb=2", "[a]\n[a]", "a=1\n[a.b]", "a.b=1\n[a]"):
        with pytest.raises(tomllib.TOMLDecodeError):
            tomllib.loads(text)
        with pytest.raises(Duplicate):
            tables_of(text)


def test_an_unclosed_end_is_told_on_the_last_line() -> None:
    with pytest.raises(Unreadable, match=r"^pit\.toml:\d+: "):
        read(swapped('valve = "new"', 'valve = ["new"'))
