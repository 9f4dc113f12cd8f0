"""On which line of a TOML text a key stands.

The parser of the standard library keeps no lines, so a small scan finds them: headers, keys at
the start of a statement, and nothing inside strings or brackets. A path it has not seen takes the
line of its nearest known parent; nothing known, no line.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

__all__ = ["Lines", "line_of", "lines_of", "path_of", "quoted"]

_KEY_PART = re.compile(
    r"""\s*(?:(?P<bare>[A-Za-z0-9_-]+)|"(?P<basic>(?:[^"\\\n]|\\.)*)"|'(?P<literal>[^'\n]*)')\s*"""
)
_TOKEN = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}'
    r"|'''.*?'{3,5}"
    r'|"(?:[^"\\\n]|\\.)*"'
    r"|'[^'\n]*'"
    r"|\#[^\n]*"
    r"|[\[\]{}\n]"
    r"|[^\"'\#\[\]{}\n]+",
    re.DOTALL,
)
Path = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Lines:
    """The line of every path stated, and of those that a longer header only implies."""

    stated: dict[Path, int]
    implied: dict[Path, int]


_LONGEST_KEY = 40
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+\Z")


def quoted(key: str) -> str:
    """A key as it stands in a path: bare when it can be, else in quotes; cut short when long.

    Source: TOML.
    """
    if len(key) > _LONGEST_KEY:
        key = key[: _LONGEST_KEY - 1] + "…"
    if _BARE_KEY.match(key):
        return key
    return '"' + "".join(_escaped(c) for c in key) + '"'


def _escaped(c: str) -> str:
    if c in '\\"':
        return "\\" + c
    return c if c.isprintable() else f"\\U{ord(c):08x}"


def path_of(*keys: str) -> str:
    """A key path, its parts quoted where they must be. Source: TOML."""
    return ".".join(quoted(k) for k in keys)


def _key(text: str, position: int) -> tuple[Path, int] | None:
    """The dotted key that starts at ``position`` and where it ends."""
    parts: list[str] = []
    while True:
        found = _KEY_PART.match(text, position)
        if not found:
            return None
        if found["basic"] is not None:
            parts.append(_unescaped(found["basic"]))
        else:
            parts.append(found["bare"] if found["bare"] is not None else found["literal"])
        position = found.end()
        if text[position : position + 1] != ".":
            return tuple(parts), position
        position += 1


def _unescaped(text: str) -> str:
    def one(found: re.Match[str]) -> str:
        code = found[0][1:]
        simple = {"n": "\n", "t": "\t", "r": "\r", "b": "\b", "f": "\f", '"': '"', "\\": "\\"}
        if code in simple:
            return simple[code]
        try:
            return chr(int(code[1:], 16))
        except ValueError:
            return found[0]

    return re.sub(r"\\(?:u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8}|.)", one, text)


def _value_end(text: str, position: int) -> int:
    """Where the statement that holds the value at ``position`` ends: its newline or the end."""
    depth = 0
    while position < len(text):
        found = _TOKEN.match(text, position)
        if not found:
            return text.find("\n", position) if "\n" in text[position:] else len(text)
        token = found[0]
        if token in ("[", "{"):
            depth += 1
        elif token in ("]", "}"):
            depth -= 1
        elif token == "\n" and depth <= 0:
            return position
        position = found.end()
    return position


def lines_of(text: str) -> Lines:
    """The 1-based line of every table header and key of a TOML text, by key path.

    An array of tables carries the index in its path, as in ("zone", "beds", "heads", "0").
    Source: the grammar of TOML 1.0.
    """
    found: dict[Path, int] = {}
    implied: dict[Path, int] = {}
    arrays: dict[Path, int] = {}
    here: Path = ()
    position, line = 0, 1
    while position < len(text):
        start = position
        head = re.compile(r"[ \t\r]*(\[\[|\[)?").match(text, position)
        opening = head[1] if head else None
        got = _key(text, head.end()) if head and text[head.end() :] else None
        if opening and got:
            here = _indexed(got[0], arrays, array=opening == "[[")
            found.setdefault(here, line)
            for size in range(1, len(here)):
                implied.setdefault(here[:size], line)
            position = _line_end(text, got[1])
        elif got and text[got[1] : got[1] + 1] == "=" and "\n" not in text[start : got[1]]:
            path = here + got[0]
            for size in range(len(here) + 1, len(path) + 1):
                found.setdefault(path[:size], line)
            position = _value_end(text, got[1] + 1)
        else:
            position = _line_end(text, position)
        position += 1
        line += text.count("\n", start, position)
    return Lines(found, implied)


def _line_end(text: str, position: int) -> int:
    end = text.find("\n", position)
    return len(text) if end < 0 else end


def _indexed(path: Path, arrays: dict[Path, int], *, array: bool) -> Path:
    """A header's path with the index of every array of tables on the way."""
    full: Path = ()
    for i, part in enumerate(path):
        full = (*full, part)
        last = i == len(path) - 1
        if last and array:
            arrays[full] = arrays.get(full, -1) + 1
        if full in arrays:
            full = (*full, str(arrays[full]))
    return full


def line_of(where: str, lines: Lines) -> int | None:
    """The line of a key path in words, or of its nearest stated parent; None when not sure."""
    got = _key(where, 0)
    if got is None:
        return None
    path = got[0]
    if path in lines.implied and path not in lines.stated:
        return lines.implied[path]
    while path:
        if path in lines.stated:
            return lines.stated[path]
        path = path[:-1]
    return None
