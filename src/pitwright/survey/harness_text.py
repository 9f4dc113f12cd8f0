"""A harness file's text with more readings written into it, and not a byte else changed.

So that what is kept beside an answer is all that the answer was made from.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from pitwright.errors import BadInput, Malformed
from pitwright.survey.source import tables_of

__all__ = ["with_readings"]

_KEY = re.compile(r"(?m)^[ \t]*(?:readings|\"readings\"|'readings')[ \t]*=[ \t]*\[")
_PIECE = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*"
    r"|[\[\]\n]"
    r"|[^\"'\#\[\]\n]+",
    re.DOTALL,
)


def with_readings(
    text: str, readings: Sequence[str], distances: Sequence[Mapping[str, str]] = ()
) -> str:
    """The text of a harness file with ``readings`` for its own, and ``distances`` added at its end.

    The same text where nothing changes. The result is read again: Malformed when it would not say
    just that, for then the readings have to be written into the file by hand.
    """
    before = tables_of(text)
    had = _texts(before)
    if list(readings) == had and not distances:
        return text
    now = text if list(readings) == had else _replaced(text, readings, had)
    end = "\r\n" if "\r\n" in text else "\n"
    for asked in distances:
        now += "" if now.endswith("\n") else end
        now += end + "[[distance]]" + end
        now += "".join(f"{key} = {_quoted(said)}{end}" for key, said in asked.items())
    old = before.get("distance", [])
    more = [*(old if isinstance(old, list) else []), *(dict(d) for d in distances)]
    wanted = {**before, **({"distance": more} if more else {})}
    try:
        now.encode("utf-8")
        got = tables_of(now)
        good = _texts(got) == list(readings)
        good = good and _but_readings(got) == _but_readings(wanted)
    except (BadInput, UnicodeEncodeError):
        good = False
    if not good:
        raise Malformed(
            "readings",
            readings[-1] if readings else None,
            "cannot be added to this file's text",
            "write them into it yourself",
        )
    return now


def _texts(tables: Mapping[str, object]) -> list[str]:
    value = tables.get("readings", [])
    return [str(said).strip() for said in value] if isinstance(value, list) else []


def _but_readings(tables: Mapping[str, object]) -> dict[str, object]:
    return {key: value for key, value in tables.items() if key != "readings"}


def _replaced(text: str, readings: Sequence[str], had: Sequence[str]) -> str:
    """The text with another list of readings; those it had stay as they stand when they lead."""
    end = "\r\n" if "\r\n" in text else "\n"
    found = _KEY.search(text)  # a wrong find shows when the result is read again
    if found is None or found.start() > _first(text):
        mark = "\ufeff" if text.startswith("\ufeff") else ""
        rows = "".join(f"    {_quoted(said)},{end}" for said in readings)
        return f"{mark}readings = [{end}{rows}]{end}{text.removeprefix(mark)}"
    begin, close = found.end(), _closing(text, found.end())
    if list(readings[: len(had)]) == list(had):
        inside = text[begin:close]
        rows = "".join(f"    {_quoted(said)},{end}" for said in readings[len(had) :])
        body, comma = _trimmed(inside)
        return f"{text[:begin]}{body}{comma}{inside[len(body) :].rstrip()}{end}{rows}{text[close:]}"
    rows = "".join(f"    {_quoted(said)},{end}" for said in readings)
    return f"{text[:begin]}{end}{rows}{text[close:]}"


def _first(text: str) -> int:
    """Where the first table begins: a bracket at the start of a line, outside any list."""
    depth, fresh = 0, True
    for piece in _PIECE.finditer(text):
        said = piece.group()
        if said == "[":
            if fresh and depth == 0:
                return piece.start()
            depth += 1
        elif said == "]":
            depth = max(depth - 1, 0)
        fresh = said == "\n" or (fresh and not said.strip())
    return len(text)


def _closing(text: str, position: int) -> int:
    """Where the list that is open at ``position`` closes."""
    depth = 1
    while position < len(text):
        piece = _PIECE.match(text, position)
        if piece is None:
            break
        depth += {"[": 1, "]": -1}.get(piece.group(), 0)
        if depth == 0:
            return position
        position = piece.end()
    return len(text)


def _trimmed(inside: str) -> tuple[str, str]:
    """A list's inside up to its last value, and the comma it still needs."""
    last, comma, position = 0, "", 0
    while position < len(inside):
        piece = _PIECE.match(inside, position)
        if piece is None:
            break
        said, position = piece.group(), piece.end()
        if said.startswith(("'", '"')):
            last, comma = position, ","
        elif said.strip().startswith(","):
            comma = ""
    return inside[:last], comma


def _quoted(said: str) -> str:
    """A text as TOML writes it in quotes."""
    plain = said.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\U{ord(c):08x}" for c in plain) + '"'
