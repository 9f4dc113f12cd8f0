"""What an entry of each kind holds, and how an older version is read as today's.

Entries are never rewritten: a body of an older version is brought up step by step when it is read.
A kind or a version that is not in the table was written by a newer Pitwright: it is kept and passed
on, shown as such, and no conclusion is drawn on its subject.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from enum import Enum
from fractions import Fraction
from types import MappingProxyType
from typing import Any

from pitwright.errors import BadInput, Malformed, Missing, OutOfRange, UnknownName
from pitwright.records.canonical import tidy
from pitwright.units.measure import measure

__all__ = ["KINDS", "Field", "Form", "Kind", "Slot", "checked", "inch_text", "slug", "upcast"]

Body = Mapping[str, Any]
_HASH = re.compile(r"[0-9a-f]{64}")
_ID = re.compile(r"e1_[a-z2-7]{52}")
MOST_TEXT = 20_000
"""One text of a body. [characters]"""
INCH_IN_METRES = Fraction(254, 10_000)


class Slot(Enum):
    """How many of a kind one subject has: one, one for each name, or one more each time."""

    ONE = "one"
    NAMED = "named"
    EACH = "each"


class Form(Enum):
    """How a value is written in a body."""

    TEXT = "text"
    LENGTH = "length"
    """``{"typed": "4 3/8", "inch": "35/8"}``: as typed, and as a fraction of an inch."""
    DECIMAL = "decimal number"
    CHOICE = "choice"
    HASH = "file hash"
    ENTRY = "entry id"
    LIST = "list of texts"


@dataclass(frozen=True, slots=True)
class Field:
    """One value of a body: its form, whether it must be there, its limits or choices."""

    form: Form = Form.TEXT
    needed: bool = False
    choices: tuple[str, ...] = ()
    low: str = ""
    high: str = ""


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of entry: how it is said, its version, its slot, its fields by name.

    ``named_by`` is the field whose slug names the slot. ``steps[v]`` turns a body of version v
    into one of version v + 1.
    """

    said: str
    slot: Slot
    fields: Mapping[str, Field]
    named_by: str = ""
    version: int = 1
    steps: Mapping[int, Callable[[Body], Body]] = field(default_factory=dict)


_T, _MUST = Field(), Field(needed=True)
_LEN = Field(Form.LENGTH)
_LEN_MUST = Field(Form.LENGTH, needed=True)
_NUM = Field(Form.DECIMAL)
_LAT = Field(Form.DECIMAL, low="-90", high="90")
_LON = Field(Form.DECIMAL, low="-180", high="180")
_YES = Field(Form.CHOICE, choices=("yes", "no", "unknown"))
_SURE = Field(Form.CHOICE, choices=("certain", "likely", "perhaps"))
_RESULT = Field(Form.CHOICE, needed=True, choices=("pass", "fail", "unclear"))
_FILE = Field(Form.HASH, needed=True)
_LIST = Field(Form.LIST)


def _kind(said: str, slot: Slot, named_by: str = "", **fields: Field) -> Kind:
    return Kind(said, slot, MappingProxyType(fields), named_by)


KINDS: Mapping[str, Kind] = MappingProxyType(
    {
        "person": _kind("person", Slot.ONE, name=_MUST, phone=_T, note=_T),
        "property": _kind(
            "property", Slot.ONE, name=_MUST, owner=_T, phone=_T, address=_T,
            latitude=_LAT, longitude=_LON, note=_T,
        ),
        "pit": _kind(
            "pit", Slot.ONE, label=_MUST, what=_T, zones=_LIST, depth=_LEN,
            latitude=_LAT, longitude=_LON, note=_T,
        ),
        "tie": _kind(
            "tie", Slot.NAMED, "thing", thing=_MUST, mark_a=_MUST, a=_LEN_MUST,
            mark_b=_MUST, b=_LEN_MUST, between=_LEN,
            side=Field(Form.CHOICE, choices=("left", "right")), note=_T,
        ),
        "part": _kind(
            "part", Slot.NAMED, "name", name=_MUST, what=_MUST, size=_T, material=_T,
            zone=_T, depth=_LEN, note=_T,
        ),
        "wire": _kind(
            "wire", Slot.NAMED, "name", name=_MUST, colour=_T, gauge=_T, start=_T, end=_T,
            zone=_T, length=_LEN, note=_T,
        ),
        "splice": _kind("splice", Slot.EACH, where=_MUST, what=_T, wires=_T, depth=_LEN, note=_T),
        "reading": _kind(
            "reading", Slot.NAMED, "reading", reading=_MUST, typed=_MUST, quantity=_T,
            value=_NUM, unit=_T, zone=_T, tool=_T, note=_T,
        ),
        "finding": _kind(
            "finding", Slot.EACH, what=_MUST, place=_T, depth=_LEN, sure=_SURE,
            latitude=_LAT, longitude=_LON, note=_T,
        ),
        "clue": _kind("clue", Slot.EACH, seen=_MUST, may_mean=_T, check=_T, sure=_SURE),
        "plan": _kind(
            "plan", Slot.EACH, title=_MUST, program=_MUST, survey=_FILE,
            result=Field(Form.HASH), summary=_T,
        ),
        "wiring": _kind(
            "wiring", Slot.EACH, title=_MUST, program=_MUST, survey=_FILE,
            result=Field(Form.HASH), summary=_T,
        ),
        "joint": _kind(
            "joint", Slot.EACH, label=_MUST, what=_T, cement=_T, wait=_NUM, way=_T,
            made=_YES, note=_T,
        ),
        "piece": _kind(
            "piece", Slot.NAMED, "letter", letter=_MUST, cut=_LEN_MUST, planned=_LEN, way=_T,
            made=_YES, note=_T,
        ),
        "mark": _kind(
            "length marked", Slot.NAMED, "letter", letter=_MUST, marked=_LEN_MUST, planned=_LEN,
            way=_T, note=_T,
        ),
        "stage": _kind(
            "work resumed", Slot.NAMED, "stage", stage=_MUST, zone=_MUST, way=_MUST,
            before=_T, progress=_MUST, plan=Field(Form.ENTRY), summary=_T, note=_T,
        ),
        "test": _kind(
            "test", Slot.EACH, what=_MUST, result=_RESULT, value=_NUM, unit=_T, zone=_T, note=_T
        ),
        "choice": _kind(
            "choice", Slot.NAMED, "zone", zone=_MUST, way=_MUST, note=_T,
        ),
        "step": _kind(
            "step done", Slot.NAMED, "step", step=_MUST, done=_YES, what=_T, zone=_T, hold=_NUM,
            wait=_NUM, way=_T, note=_T,
        ),
        "outcome": _kind(
            "outcome", Slot.EACH, plan=Field(Form.ENTRY), zone=_T, closed=_YES, held=_YES,
            cured=_YES, note=_T,
        ),
        "paper": _kind("paper", Slot.EACH, number=_T, title=_MUST, file=Field(Form.HASH), note=_T),
        "note": _kind("note", Slot.EACH, text=_MUST),
        "retract": _kind("taken back", Slot.ONE, reason=_T),
        "redate": _kind("dated again", Slot.EACH, reason=_T),
        "erase": _kind("erased", Slot.EACH, reason=_MUST),
    }
)  # fmt: skip


def slug(text: str) -> str:
    """A field name from a label: lower case letters and digits with dashes, at most 60 long.

    Raises Malformed when nothing is left.
    """
    plain = re.sub(r"[^a-z0-9]+", "-", _unaccented(text).lower()).strip("-")[:60].strip("-")
    if not plain:
        raise Malformed("name", text, "must hold a letter or a digit", "use a-z and 0-9")
    return plain


def _unaccented(text: str) -> str:
    return unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode("ascii")


def inch_text(metres: float) -> str:
    """A length [m] as the nearest fraction of an inch to 1/64, such as ``35/8``."""
    return str(Fraction(round(Fraction(metres) / INCH_IN_METRES * 64), 64))


def checked(kind: str, body: Body, kinds: Mapping[str, Kind] = KINDS) -> dict[str, Any]:
    """The body as it is kept: texts in normal form, lengths as typed and as a fraction, no blanks.

    Raises UnknownName, Missing, Malformed or OutOfRange, naming the field.
    """
    if kind not in kinds:
        raise UnknownName("kind", kind, kinds, "kind of entry")
    fields = kinds[kind].fields
    given = {k: v for k, v in tidy(dict(body)).items() if v not in (None, "", [])}
    for name in given:
        if name not in fields:
            raise UnknownName(f"{kind}.{name}", name, fields, f"field of a {kind}")
    for name, how in fields.items():
        if how.needed and name not in given:
            raise Missing(f"{kind}.{name}", _ask(how))
    return {name: _value(f"{kind}.{name}", fields[name], got) for name, got in given.items()}


def _ask(field: Field) -> str:
    return f"give {', '.join(field.choices)}" if field.choices else f"give a {field.form.value}"


def _value(where: str, field: Field, got: Any) -> Any:
    if field.form is Form.LIST:
        items = got if isinstance(got, list) else [part.strip() for part in str(got).split(",")]
        return [_text(where, item) for item in items]
    if field.form is Form.LENGTH:
        typed = got.get("typed") if isinstance(got, dict) else got
        text = _text(where, typed)
        return {"typed": text, "inch": inch_text(measure(text, default="in", where=where).si)}
    text = _text(where, got)
    if field.form is Form.DECIMAL:
        return _decimal(where, text, field)
    if field.form is Form.CHOICE and text not in field.choices:
        raise UnknownName(where, text, field.choices, "choice")
    if field.form is Form.HASH and not _HASH.fullmatch(text):
        raise Malformed(where, text, "must be a file's hash", "keep the file first")
    if field.form is Form.ENTRY and not _ID.fullmatch(text):
        raise Malformed(where, text, "must be an entry's id", "copy it from the list")
    return text


def _text(where: str, got: Any) -> str:
    if isinstance(got, bool) or not isinstance(got, str | int | Decimal):
        raise Malformed(where, got, "must be text", "write it in quotes")
    text = str(got)
    if len(text) > MOST_TEXT:
        raise Malformed(where, text, f"must be at most {MOST_TEXT} characters", "keep it as a file")
    return text


def _decimal(where: str, text: str, field: Field) -> str:
    try:
        number = Decimal(text)
    except InvalidOperation:
        number = Decimal("NaN")
    if not number.is_finite() or abs(number.adjusted()) > 30:
        raise Malformed(where, text, "must be a decimal number", "write it as 24.1")
    if field.low and not Decimal(field.low) <= number <= Decimal(field.high):
        raise OutOfRange(where, text, field.low, field.high, "read it again")
    return text


def upcast(kind: str, version: int, body: Body, kinds: Mapping[str, Kind] = KINDS) -> Body | None:
    """The body as today's version has it; None for a kind or version that only a newer one knows.

    A step of the table that cannot read the body also gives None: the body is kept all the same.
    """
    known = kinds.get(kind)
    if known is None or version > known.version:
        return None
    try:
        for old in range(version, known.version):
            body = known.steps[old](body)
    except (BadInput, KeyError, TypeError, ValueError, AttributeError):
        return None
    return body
