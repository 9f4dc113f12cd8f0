"""One text for one value: canonical JSON, so that equal things have equal bytes and one hash.

The rules are those of the JSON canonicalization scheme [RFC 8785, from memory], made narrower: no
floats (numbers are whole, or decimal text), text in Unicode normal form C, no lone surrogates,
nesting at most 16 deep. Keys stand in the order of their UTF-16 code units.
"""

from __future__ import annotations

import json
import unicodedata
from typing import Any, NoReturn

from pitwright.errors import Malformed

__all__ = ["MOST_EXACT", "decode", "encode", "tidy"]

MOST_EXACT = 2**53 - 1
"""The largest whole number that every reader of JSON keeps exactly. [-]"""
DEEPEST = 16
"""Objects and lists inside each other. [-]"""


def tidy(value: Any) -> Any:
    """The same value with every text, keys included, in normal form C.

    Raises Malformed when two keys become one. Tuples become lists.
    """
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, dict):
        neat = {unicodedata.normalize("NFC", str(k)): tidy(v) for k, v in value.items()}
        if len(neat) != len(value):
            raise Malformed("body", sorted(map(str, value)), "has one key twice", "rename one")
        return neat
    if isinstance(value, list | tuple):
        return [tidy(v) for v in value]
    return value


def encode(value: Any) -> bytes:
    """The canonical bytes of a value made of dicts, lists, text, whole numbers, booleans and null.

    Raises Malformed for anything else, naming it.
    """
    _check(value, 0)
    return json.dumps(_ordered(value), ensure_ascii=False, separators=(",", ":")).encode("utf-8")


def _ordered(value: Any) -> Any:
    if isinstance(value, dict):
        return {k: _ordered(value[k]) for k in sorted(value, key=_utf16)}
    if isinstance(value, list | tuple):
        return [_ordered(v) for v in value]
    return value


def _utf16(key: str) -> bytes:
    return key.encode("utf-16-be")


def _check(value: Any, depth: int) -> None:
    """Refuse what has no canonical form."""
    if value is None or isinstance(value, bool):
        return
    if isinstance(value, str):
        _check_text(value)
    elif isinstance(value, int):
        if abs(value) > MOST_EXACT:
            raise Malformed("number", str(value), "is too long to be exact", "write it as text")
    elif isinstance(value, dict | list | tuple):
        _check_inside(value, depth)
    else:
        raise Malformed(
            "value", value, "must be text, a whole number, yes, no, a list or an object",
            "write a decimal number as text",
        )  # fmt: skip


def _check_inside(value: Any, depth: int) -> None:
    if depth >= DEEPEST:
        raise Malformed("value", depth, "is nested too deep", f"at most {DEEPEST} levels")
    if isinstance(value, dict):
        for key, inner in value.items():
            if not isinstance(key, str):
                raise Malformed("key", key, "must be text", "quote it")
            _check_text(key)
            _check(inner, depth + 1)
    else:
        for inner in value:
            _check(inner, depth + 1)


def _check_text(text: str) -> None:
    if text.isascii():
        return
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as broken:
        raise Malformed("text", ascii(text), "holds half a character", "type it again") from broken
    if not unicodedata.is_normalized("NFC", text):
        raise Malformed("text", text, "is not in normal form C", "normalise it before it is kept")


def decode(data: bytes) -> Any:
    """The value of canonical bytes; Malformed when they are anything but canonical.

    What comes back encodes to the very same bytes.
    """
    try:
        text = data.decode("utf-8")
        value = json.loads(
            text,
            object_pairs_hook=_once,
            parse_float=_no_float,
            parse_constant=_no_float,
        )
    except Malformed:
        raise
    except (UnicodeDecodeError, ValueError, RecursionError) as broken:
        raise Malformed("bytes", data[:60], f"are not JSON ({broken})", "send them again") from None
    if encode(value) != data:
        raise Malformed("bytes", data[:60], "are not canonical JSON", "they were re-written")
    return value


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise Malformed("object", [k for k, _ in pairs], "has one key twice", "send it again")
    return found


def _no_float(text: str) -> NoReturn:
    raise Malformed("number", text, "must be whole", "write a decimal number as text")
