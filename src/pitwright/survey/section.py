"""One section of a survey: a table whose keys are known, read key by key.

Every mistake names the full key path; the file and the line are added where the text is known.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from pitwright.errors import Malformed, Missing, OutOfRange, UnknownName
from pitwright.survey.directions import chain
from pitwright.survey.keys import KEYS
from pitwright.survey.lines import path_of, quoted
from pitwright.survey.readings import (
    LONGEST,
    Located,
    Reading,
    Tool,
    diagonal,
    read_one,
)

__all__ = ["Bench", "Section", "named_sections"]

_LONGEST_TEXT = 2000
_MOST_NAMED = 500


@dataclass(frozen=True, slots=True)
class Bench:
    """What every section reads with: the default unit of length, the tools, the named points."""

    unit: str
    tools: Mapping[str, Tool]
    points: Mapping[str, Located]


class Section:
    """A table of the survey, its key path, and readers for the kinds of value it may hold.

    ``shape`` is the section's entry in :data:`~pitwright.survey.keys.KEYS`. Raises Malformed when
    it is no table, UnknownName (with the nearest) for a key nobody knows.
    """

    __slots__ = ("bench", "path", "table")

    def __init__(self, value: object, path: str, shape: str, bench: Bench) -> None:
        if not isinstance(value, dict):
            raise Malformed(path, value, "must be a table", f"write its keys under [{path}]")
        known = KEYS[shape]
        self.table: dict[str, object] = value
        self.path, self.bench = path, bench
        for key in value:
            if key not in known:
                raise UnknownName(self.at(key), key, known, "key here")

    def at(self, key: str) -> str:
        """The key path of one of its keys. Source: TOML."""
        return f"{self.path}.{quoted(key)}" if self.path else quoted(key)

    def has(self, key: str) -> bool:
        """Whether the person wrote this key."""
        return key in self.table

    def need(self, key: str, hint: str) -> object:
        """The value of a key that must be there. Raises Missing with ``hint``."""
        if key not in self.table:
            raise Missing(self.at(key), hint)
        return self.table[key]

    def text(self, key: str, default: str = "") -> str:
        """A line or more of text, as typed. Raises Malformed."""
        value = self.table.get(key, default)
        if not isinstance(value, str) or len(value) > _LONGEST_TEXT:
            raise Malformed(
                self.at(key),
                value,
                f"must be text of at most {_LONGEST_TEXT} characters",
                "write it in quotes",
            )
        return value.strip()

    def choice(self, key: str, options: tuple[str, ...], default: str | None) -> str:
        """One of a few words. Raises Missing (no default), Malformed or UnknownName."""
        value = self.table.get(key, default)
        if value is None:
            raise Missing(self.at(key), f"write one of: {', '.join(options)}")
        if not isinstance(value, str):
            raise Malformed(
                self.at(key), value, "must be one word in quotes", f"one of: {', '.join(options)}"
            )
        word = " ".join(value.casefold().split())
        if word not in options:
            raise UnknownName(self.at(key), value, options, "word here")
        return word

    def flag(self, key: str, default: bool) -> bool:
        """true or false. Raises Malformed."""
        value = self.table.get(key, default)
        if not isinstance(value, bool):
            raise Malformed(self.at(key), value, "must be true or false", "write it without quotes")
        return value

    def count(self, key: str, low: int, high: int, default: int) -> int:
        """A whole number. [-] Raises Malformed, OutOfRange."""
        value = self.table.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int):
            raise Malformed(
                self.at(key), value, "must be a whole number", "write it without quotes"
            )
        if not low <= value <= high:
            raise OutOfRange(self.at(key), value, low, high, "count again")
        return value

    def number(self, key: str, low: float, high: float) -> float | None:
        """A plain number. [-] None when not written. Raises Malformed, OutOfRange."""
        value = self.table.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise Malformed(self.at(key), value, "must be a number", "write it without quotes")
        if not low <= value <= high:
            raise OutOfRange(self.at(key), value, low, high, "read it again")
        return float(value)

    def reading(
        self,
        key: str,
        *,
        tool: str = "tape",
        unit: str | None = None,
        low: float = -LONGEST,
        high: float = LONGEST,
    ) -> Reading | None:
        """One reading in SI, None when not written. Raises BadInput. Source: tool defaults."""
        if key not in self.table:
            return None
        return self.read(self.table[key], self.at(key), tool=tool, unit=unit, low=low, high=high)

    def need_reading(
        self,
        key: str,
        hint: str,
        *,
        tool: str = "tape",
        unit: str | None = None,
        low: float = -LONGEST,
        high: float = LONGEST,
    ) -> Reading:
        """One reading that must be there, in SI. Raises Missing with ``hint``, or BadInput."""
        value = self.need(key, hint)
        return self.read(value, self.at(key), tool=tool, unit=unit, low=low, high=high)

    def read(
        self,
        value: object,
        where: str,
        *,
        tool: str = "tape",
        unit: str | None = None,
        low: float = -math.inf,
        high: float = math.inf,
    ) -> Reading:
        """One value read with a tool, in SI. Raises BadInput naming ``where``."""
        chosen = unit or self.bench.unit
        return read_one(value, self.bench.tools[tool], unit=chosen, where=where, low=low, high=high)

    def located(self, key: str, hint: str) -> Located:
        """A point: three coordinates, or a chain in words. [m] Raises Missing or BadInput."""
        return self.point(self.need(key, hint), self.at(key))

    def point(self, value: object, where: str) -> Located:
        """A point of the pit from its value in the file. [m] Raises BadInput naming ``where``."""
        if isinstance(value, str):
            return chain(
                value,
                self.bench.points,
                self.bench.tools["tape"],
                unit_name=self.bench.unit,
                where=where,
            )
        if not isinstance(value, list) or len(value) != 3:
            raise Malformed(
                where,
                value,
                "must be three lengths (right, downstream, up) or a chain in words",
                'write it as ["4 1/2", "13", "-2 1/4"]',
            )
        across = [
            self.read(v, f"{where}.{i}", low=-LONGEST, high=LONGEST) for i, v in enumerate(value)
        ]
        x, y, z = across
        return Located(
            (x.value, y.value, z.value),
            diagonal(x.sigma.one**2, y.sigma.one**2, z.sigma.one**2),
            (x, y, z),
        )

    def sub(self, key: str, shape: str) -> Section | None:
        """A table within this one, None when not written. Raises as the class does."""
        if key not in self.table:
            return None
        return Section(self.table[key], self.at(key), shape, self.bench)


def named_sections(root: Section, key: str) -> dict[str, Section]:
    """The tables under ``key`` by the names the person chose, in the order of the file.

    Raises Malformed when they are no tables, OutOfRange when there are very many.
    """
    tables = root.table.get(key, {})
    if not isinstance(tables, dict):
        raise Malformed(key, tables, "must hold named tables", f"write each under [{key}.name]")
    if len(tables) > _MOST_NAMED:
        raise OutOfRange(key, len(tables), 0, _MOST_NAMED, "one survey is one pit")
    return {
        name: Section(value, path_of(key, name), f"{key}.*", root.bench)
        for name, value in tables.items()
    }
