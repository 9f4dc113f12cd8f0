"""Reading one quantity as a person writes it: ``4 3/8``, ``1 ft 2 1/2 in``, ``4-5 in``, ``60 psi``.

Grammar (spaces are free)::

    measure  = value | value RANGE value | value PLUSMINUS value     RANGE: - – to
    value    = [sign] term {term}                                   1 ft 2 1/2 in
    term     = number [unit] | whole "in" fraction               5 in 3/8
    number   = decimal | whole fraction | whole "-" fraction | fraction

A dash that is followed at once by a fraction belongs to a mixed number (``4-3/8``); any other
dash between numbers is a range (``4-5 in``). A unit may stand once, at the end, for both values.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from pitwright.errors import BadInput, Malformed, OutOfRange, WrongUnit
from pitwright.units.kinds import FLOW, LENGTH, Kind, Unit
from pitwright.units.spread import Limit
from pitwright.units.trickle import plain_flow

__all__ = ["Measure", "measure", "opposite"]

_GLYPHS = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_TAPE_DENOMINATORS = (2, 4, 8, 16, 32, 64)
_LONGEST = 80
_MINUS = ("-", "−", "–", "—")
"""What a keyboard makes of a minus sign."""
_PLUS_MINUS = re.compile(r"\+\s*/?\s*[-−–—]|±")
_TO = re.compile(r"(?<=[^\s])\s+to\s+(?=[^\s])|(?<=[\w\"'”″’′.°])\s*[-–—−]\s*(?=[\d.])")
_NUMBER = re.compile(
    r"""
    (?P<whole>\d+)(?:\s+|\s*-\s*)(?P<n1>\d+)\s*/\s*(?P<d1>\d+)    # 4 3/8 or 4-3/8
    | (?P<n2>\d+)\s*/\s*(?P<d2>\d+)                              # 3/8
    | (?P<decimal>\d+\.\d*|\.\d+|\d+)                            # 4.375
    """,
    re.VERBOSE,
)
_UNIT = re.compile(r"m3/h|[^\d\s.+-][^\d\s]*(?:\s+of\s+water)?|[a-zA-Z]+\.")
_EXAMPLE = {
    "length": "4 3/8 in, 1 ft 2 1/2 in, 350 mm, 4-5 in or 4 3/8 +- 1/16",
    "angle": "2 deg",
    "pressure": "60 psi, 4 bar or 400 kPa",
    "flow": "12 gpm, 45 L/min, 20 drips a minute or a cup an hour",
    "volume": "5 gal or 20 L",
    "temperature": "60 F or 16 C",
    "time": "90 s or 2 min",
    "speed": "5 ft/s",
    "force": "50 lb",
    "resistance": "26 ohm or 40 k",
}


@dataclass(frozen=True, slots=True)
class Measure:
    """One quantity as read: the text as typed, its value in SI, and the limits if given."""

    text: str
    si: float
    limit: Limit | None = None

    @property
    def low(self) -> float:
        """The least it can be. [SI]"""
        return self.si - (self.limit.half if self.limit else 0.0)

    @property
    def high(self) -> float:
        """The most it can be. [SI]"""
        return self.si + (self.limit.half if self.limit else 0.0)


def measure(
    text: str | int | float,
    kind: Kind = LENGTH,
    *,
    default: str,
    where: str = "value",
    low: float = -math.inf,
    high: float = math.inf,
) -> Measure:
    """One quantity of ``kind`` in SI.

    Parameters
    ----------
    text : str or number
        What was typed; a bare number takes the ``default`` unit.
    default : str
        Unit of a number without one. [a spelling of ``kind``]
    low, high : float
        What is allowed, inclusive. [SI]

    Raises Malformed, WrongUnit or OutOfRange, each naming ``where`` and what came.
    Source: the grammar above is our own; the units are those of :mod:`~pitwright.units.kinds`.
    """
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise Malformed(where, text, f"must be a {kind.name}", f"write it as {_EXAMPLE[kind.name]}")
    typed = repr(text) if isinstance(text, int | float) else text
    reader = _Reader(kind, kind.spellings[default.casefold()], where, typed)
    got = reader.read()
    if not (low <= got.si <= high):
        factor = reader.default.factor
        raise OutOfRange(
            where,
            typed,
            _plain((low - reader.default.offset) / factor, default),
            _plain((high - reader.default.offset) / factor, default),
            "read it again, and check its unit",
        )
    return got


def opposite(text: str) -> str:
    """The same length the other way, as a person would type it: ``4 3/8`` for ``-4 3/8``.

    A range turns over as a whole: ``4-5 in`` becomes ``-5 in to -4 in``. What cannot be read
    comes back as it is. Source: the grammar above.
    """
    plain = text.strip()
    if not plain:
        return plain
    try:
        got = measure(plain, default="in")
    except BadInput:
        return plain
    if got.limit is not None and not _PLUS_MINUS.search(plain):
        spans = [s.strip() for s in _TO.split(plain) if s]
        if len(spans) != 2:
            return plain
        unit = re.search(r"[^\d\s/.]+$", spans[1])
        first = spans[0] if unit is None or re.search(r"[^\d\s/.-]$", spans[0]) else None
        low = first if first is not None else f"{spans[0]} {unit[0] if unit else ''}"
        return f"{opposite(spans[1])} to {opposite(low)}"
    if plain[0] in _MINUS:
        return plain[1:].lstrip()
    return plain if got.si == 0.0 else f"-{plain.lstrip('+').lstrip()}"


def _plain(value: float, unit: str) -> str:
    return f"{value:.6g} {unit}" if math.isfinite(value) else "any"


class _Reader:
    """Reads one text; holds what every message needs."""

    def __init__(self, kind: Kind, default: Unit, where: str, typed: str) -> None:
        self.kind, self.default, self.where, self.typed = kind, default, where, typed

    def read(self) -> Measure:
        text = self._tidied()
        parts = _PLUS_MINUS.split(text)
        if len(parts) == 2:
            return self._plus_minus(*parts)
        spans = [s for s in _TO.split(text) if s is not None] if len(parts) == 1 else []
        spans = self._whole_spans(text, spans)
        if len(spans) == 1:
            return Measure(self.typed, self._si(*self._value(spans[0], None)))
        if len(spans) == 2:
            return self._range(*spans)
        raise self._malformed("must be one value, one range or one value with +-")

    def _tidied(self) -> str:
        text = self.typed.strip()
        for glyph, plain in _GLYPHS.items():
            text = text.replace(glyph, f" {plain}")
        text = plain_flow(text) if self.kind is FLOW else text
        text = text.replace("⁄", "/").replace(" ", " ").strip()
        if not text:
            raise self._malformed("must not be empty")
        if len(text) > _LONGEST:
            raise self._malformed(f"must be at most {_LONGEST} characters")
        if "," in text:
            raise self._malformed("must be written with a decimal point, not a comma")
        return text

    def _whole_spans(self, text: str, spans: list[str]) -> list[str]:
        """Undo splits inside mixed numbers (``4-3/8``), which are no ranges."""
        joined: list[str] = []
        position = 0
        for span in spans:
            start = text.index(span, position)
            between = text[position:start]
            mixed = (
                joined
                and re.search(r"(?:^|^[-−–—]|\s|[\"'])\d+$", joined[-1])
                and re.match(r"\d+\s*/\s*\d+", span)
                and between == "-"
            )
            if mixed:
                joined[-1] += between + span
            else:
                joined.append(span)
            position = start + len(span)
        return joined

    def _plus_minus(self, centre: str, half: str) -> Measure:
        half_value, half_unit = self._value(half, None)
        value, unit = self._value(centre, half_unit)
        factor = (half_unit or unit or self.default).factor
        if half_value < 0:
            raise self._malformed("must have a positive size after +-")
        return Measure(self.typed, self._si(value, unit), Limit(float(half_value) * factor))

    def _range(self, first: str, last: str) -> Measure:
        high, last_unit = self._value(last, None)
        low, first_unit = self._value(first, last_unit)
        a, b = self._si(low, first_unit), self._si(high, last_unit or first_unit)
        if not a <= b:
            raise self._malformed("must be a range from the smaller to the larger value")
        return Measure(self.typed, (a + b) / 2, Limit((b - a) / 2))

    def _value(self, text: str, outer: Unit | None) -> tuple[Fraction, Unit | None]:
        """The sum of the terms in the unit of the first one that names any (else ``outer``)."""
        text = text.strip()
        negative = text[:1] in _MINUS
        rest = text[1:].lstrip() if text[:1] in (*_MINUS, "+") else text
        terms: list[tuple[Fraction, Unit | None]] = []
        broken: list[bool] = []
        while rest:
            found = _NUMBER.match(rest)
            if not found:
                raise self._malformed(f"must be a {self.kind.name}")
            number, rest = self._number(found), rest[found.end() :].lstrip()
            unit, rest = self._unit(rest)
            terms.append((number, unit))
            broken.append(found["n2"] is not None)
        if not terms:
            raise self._malformed(f"must be a {self.kind.name}")
        if len(terms) > 1 and broken[-1] and terms[-1][1] in (None, terms[-2][1]):
            terms = self._joined(terms)
        total, unit = self._sum(terms, outer)
        return (-total if negative else total), unit

    def _joined(
        self, terms: list[tuple[Fraction, Unit | None]]
    ) -> list[tuple[Fraction, Unit | None]]:
        """``5 in 3/8`` with its fraction put to its inches; after feet a fraction is of an inch."""
        (whole, unit), (part, _) = terms[-2], terms[-1]
        if unit is None or unit.name != "in" or whole.denominator != 1:
            return terms
        return [*terms[:-2], (whole + part, unit)]

    def _sum(
        self, terms: list[tuple[Fraction, Unit | None]], outer: Unit | None
    ) -> tuple[Fraction, Unit | None]:
        if len(terms) == 1:
            number, unit = terms[0]
            return number, unit or outer
        if self.kind is not LENGTH or len(terms) > 3 or terms[0][1] is None:
            raise self._malformed("must be one number with one unit")
        first = terms[0][1]
        total, above = terms[0][0], first
        for number, named in terms[1:]:
            unit = named or (LENGTH.spellings["in"] if above.name == "ft" else None)
            if unit is None or unit.factor >= above.factor:
                raise self._malformed("must go from the larger unit to the smaller")
            ratio = Fraction(round(first.factor * 1e6), round(unit.factor * 1e6))
            if number >= Fraction(round(above.factor * 1e6), round(unit.factor * 1e6)):
                raise self._malformed(f"must have less than one {above.name} in its last part")
            total, above = total + number / ratio, unit
        return total, first

    def _number(self, found: re.Match[str]) -> Fraction:
        if found["decimal"]:
            return Fraction(found["decimal"])
        n, d = int(found["n1"] or found["n2"]), int(found["d1"] or found["d2"])
        if d not in _TAPE_DENOMINATORS:
            raise self._malformed("must have a fraction in halves, 4ths, 8ths … 64ths")
        if n >= d:
            raise self._malformed("must have a fraction below one")
        return int(found["whole"] or 0) + Fraction(n, d)

    def _unit(self, rest: str) -> tuple[Unit | None, str]:
        found = _UNIT.match(rest)
        if not found:
            return None, rest
        word = found[0]
        unit = self.kind.spellings.get(word.casefold())
        if unit is None:
            raise WrongUnit(
                self.where,
                self.typed,
                f"must be in a unit of {self.kind.name} ({', '.join(self.kind.units())})",
                f"write it as {_EXAMPLE[self.kind.name]}",
            )
        return unit, rest[found.end() :].lstrip()

    def _si(self, value: Fraction, unit: Unit | None) -> float:
        chosen = unit or self.default
        si = float(value) * chosen.factor + chosen.offset
        if not math.isfinite(si):
            raise self._malformed("must be a size that exists")
        return si

    def _malformed(self, rule: str) -> BadInput:
        return Malformed(self.where, self.typed, rule, f"write it as {_EXAMPLE[self.kind.name]}")
