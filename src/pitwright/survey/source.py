"""The text of a survey: from a file to TOML's own tables, or one clear mistake."""

from __future__ import annotations

import re
import stat
import tomllib
from pathlib import Path

from pitwright.errors import BadInput, Duplicate, Malformed, Unreadable
from pitwright.survey.lines import path_of

__all__ = ["LARGEST", "tables_of", "text_of"]

LARGEST = 1_000_000
"""No survey a person writes is larger. [bytes]"""
_MOST_NESTED = 12
_AT = re.compile(r"\s*\(at (?:line (?P<line>\d+), column \d+|end of document)\)\Z")
_NEW = "write a new one with: pitwright survey new"


def text_of(path: str | Path) -> str:
    """The text of a survey file, UTF-8, at most a megabyte; a byte-order mark is dropped.

    Raises Unreadable for what is missing, no plain file, too big, or no text.
    """
    place, shown_as = Path(path), str(path)
    data: bytes | None = None
    try:
        if stat.S_ISREG(place.stat().st_mode):
            with place.open("rb") as opened:
                data = opened.read(LARGEST + 1)
    except FileNotFoundError:
        raise _unreadable(shown_as, "is not there", f"check the name, or {_NEW}") from None
    except (OSError, ValueError) as why:
        reason = getattr(why, "strerror", None) or "its name cannot be used"
        rule = f"cannot be read ({reason})"
        raise _unreadable(shown_as, rule, "check the name and its rights") from None
    if data is None:
        kind = "a folder" if place.is_dir() else "no plain file"
        raise _unreadable(shown_as, f"must be a file, and it is {kind}", "name one *.pit.toml")
    if len(data) > LARGEST:
        raise _unreadable(
            shown_as,
            f"must be at most {LARGEST:,} bytes",
            "one survey is one pit; is it the file you meant?",
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as why:
        line = data.count(b"\n", 0, why.start) + 1
        mistake = Unreadable(
            "the text",
            f"byte 0x{data[why.start]:02x}",
            "must be UTF-8",
            "save it again from the editor as UTF-8",
        )
        raise mistake.at(shown_as, line) from None


def _unreadable(path: str, rule: str, hint: str) -> BadInput:
    return Unreadable(path, None, rule, hint)


def tables_of(text: str) -> dict[str, object]:
    """TOML's tables. Raises Unreadable or Duplicate (with the line in ``mistake.line``).

    Source: TOML 1.0 as the standard library reads it.
    """
    text = text.removeprefix("\ufeff")
    if len(text) > LARGEST:
        raise Unreadable(
            "the text", None, f"must be at most {LARGEST:,} characters", "one survey is one pit"
        )
    if not text.strip():
        raise Unreadable("the text", None, "must not be empty", _NEW)
    if "\0" in text:
        mistake = Unreadable(
            "the text", "NUL", "must hold no NUL characters", "it is no text file; " + _NEW
        )
        mistake.line = text.count("\n", 0, text.index("\0")) + 1
        raise mistake
    try:
        tables: dict[str, object] = tomllib.loads(text)
    except tomllib.TOMLDecodeError as why:
        raise _fault(str(why), text) from None
    except (ValueError, RecursionError) as why:
        nested = isinstance(why, RecursionError)
        rule = (
            "must not be nested so deeply" if nested else "must hold numbers of a size that exists"
        )
        raise Unreadable("the text", None, rule, "see docs/survey-file.md") from None
    _plain_values(tables, (), 0)
    return tables


def _fault(message: str, text: str) -> BadInput:
    """A fault of TOML, with its line."""
    found = _AT.search(message)
    fault = _AT.sub("", message)
    kind: type[BadInput] = Unreadable
    rule, hint = "must be TOML", "look at the quotes and brackets there; text stands in quotes"
    if re.match(r"Cannot (declare|overwrite|mutate)|Key .* is already|Duplicate", fault):
        kind, rule, hint = Duplicate, "must have every name once", "rename one of the two"
    mistake = kind("the text", fault, rule, hint)
    if found:
        mistake.line = int(found["line"]) if found["line"] else text.rstrip().count("\n") + 1
    return mistake


def _plain_values(value: object, path: tuple[str, ...], depth: int) -> None:
    """Refuse numbers and nestings no survey needs, before anything tries to print them."""
    if depth > _MOST_NESTED:
        raise Unreadable(
            path_of(*path[:3]), None, "must not be nested so deeply", "see docs/survey-file.md"
        )
    if isinstance(value, dict):
        for key, inner in value.items():
            _plain_values(inner, (*path, key), depth + 1)
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            _plain_values(inner, (*path, str(i)), depth + 1)
    elif isinstance(value, int) and value.bit_length() > 63:
        raise Malformed(
            path_of(*path),
            f"a number of {value.bit_length()} bits",
            "must be of a size that exists",
            "read it again",
        )
