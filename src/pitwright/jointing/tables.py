"""The tables of cement joints as they lie on the shelf, read once and checked.

Every row keeps its own source. Times are seconds, temperatures kelvin, pressures pascal inside;
nominal sizes stay in inches, because a nominal size is a name and not a length.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pitwright.catalogue.tables import STATUSES, sources
from pitwright.errors import BrokenShelf
from pitwright.findings import SourceKey
from pitwright.units.kinds import PSI, TEMPERATURE, TIME

__all__ = [
    "CureRow",
    "Factor",
    "Rule",
    "Span",
    "TableOf",
    "cure_rows",
    "cure_tables",
    "factors",
    "fahrenheit",
    "records",
    "rule",
    "spans",
]

KINDS = ("set", "cure", "handling")


@dataclass(frozen=True, slots=True)
class CureRow:
    """One printed time: its table, kind and the cell it holds for.

    Sizes [nominal in], temperatures [K], pressures [Pa] (0 to infinity for a set time), time [s].
    A ``handling`` row is a set time.
    """

    table: str
    kind: str
    size: tuple[float, float]
    temperature: tuple[float, float]
    pressure: tuple[float, float]
    seconds: float
    source: SourceKey
    status: str
    note: str


@dataclass(frozen=True, slots=True)
class TableOf:
    """One table: its words, what it serves ("pressure" or "vent"), and its cement if only one."""

    table: str
    words: str
    service: str
    cement: str
    source: SourceKey


@dataclass(frozen=True, slots=True)
class Factor:
    """What lengthens a table time, and when. ``multiplier`` [-] is None where a rule stands."""

    factor: str
    condition: str
    when: str
    multiplier: float | None
    rule: str
    applies_to: tuple[str, ...]
    source: SourceKey
    status: str
    note: str


@dataclass(frozen=True, slots=True)
class Span:
    """A time that is printed as a range: least, usual and longest [s], within a band [K].

    ``largest`` is the largest nominal size it holds for [in], infinite where none is said.
    """

    item: str
    cement: str
    low: float
    typical: float
    high: float
    temperature: tuple[float, float]
    largest: float
    source: SourceKey
    status: str
    note: str


@dataclass(frozen=True, slots=True)
class Rule:
    """One single number of the trade, in SI, with its source."""

    item: str
    value: float
    source: SourceKey
    status: str
    note: str


def fahrenheit(degrees: float) -> float:
    """Kelvin for a temperature in degrees Fahrenheit. [°F to K] Source: [NIST-SP811]."""
    unit = TEMPERATURE.spellings["f"]
    return degrees * unit.factor + unit.offset


def records(table: str) -> Iterator[tuple[int, dict[str, str]]]:
    """Line number and cells of each row; raises BrokenShelf where source or status is unknown."""
    text = (files("pitwright.catalogue") / "data" / f"{table}.csv").read_text(encoding="utf-8")
    for line, row in enumerate(csv.DictReader(text.splitlines()), start=2):
        if row["source"] not in sources() or row.get("status", "sourced") not in STATUSES:
            raise BrokenShelf(table, line, row, "a row needs a known source and status")
        yield line, row


def _band(low: str, high: str, most: float = math.inf, least: float = 0.0) -> tuple[float, float]:
    return (float(low) if low else least), (float(high) if high else most)


def _kelvin(low: str, high: str) -> tuple[float, float]:
    return fahrenheit(float(low)) if low else 0.0, fahrenheit(float(high)) if high else math.inf


@cache
def cure_rows() -> tuple[CureRow, ...]:
    """Every row of ``cure.csv``, in its order. Raises BrokenShelf. [in, K, Pa, s]"""
    return tuple(cure_row(line, row) for line, row in records("cure"))


def cure_row(line: int, row: dict[str, str]) -> CureRow:
    """One row, checked: a known kind, bands that go upward, a time above zero. BrokenShelf."""
    low, high = _band(row["low_psi"], row["high_psi"])
    made = CureRow(
        row["table"],
        row["kind"],
        _band(row["size_low_in"], row["size_high_in"]),
        _kelvin(row["low_F"], row["high_F"]),
        (low * PSI, high * PSI),
        float(row["value"]) * TIME.spellings[row["unit"]].factor,
        SourceKey(row["source"]),
        row["status"],
        row["note"],
    )
    bands = (made.size, made.temperature, made.pressure)
    if made.kind not in KINDS or made.seconds <= 0 or any(a > b for a, b in bands):
        raise BrokenShelf("cure", line, row, "a row needs a known kind, rising bands and a time")
    return made


@cache
def cure_tables() -> dict[str, TableOf]:
    """Every table by its id. Source: ``cure_table.csv``."""
    return {
        r["table"]: TableOf(
            r["table"], r["words"], r["service"], r["cement"], SourceKey(r["source"])
        )
        for _, r in records("cure_table")
    }


@cache
def factors() -> tuple[Factor, ...]:
    """Every factor and rule that changes a table's answer. Source: ``cure_factor.csv``. [-]"""
    return tuple(
        Factor(
            r["factor"],
            r["condition"],
            r["when"],
            float(r["multiplier"]) if r["multiplier"] else None,
            r["rule"],
            tuple(r["applies_to"].split(" and ")),
            SourceKey(r["source"]),
            r["status"],
            r["note"],
        )
        for _, r in records("cure_factor")
    )


@cache
def spans(item: str) -> tuple[Span, ...]:
    """The ranges printed for ``item`` ("open" or "hold"). [s, K, in] Source: ``working.csv``."""
    return tuple(
        Span(
            r["item"],
            r["class"],
            float(r["low"]),
            float(r["typical"]),
            float(r["high"]),
            _kelvin(r["low_F"], r["high_F"]),
            float(r["size_high_in"]) if r["size_high_in"] else math.inf,
            SourceKey(r["source"]),
            r["status"],
            r["note"],
        )
        for _, r in records("working")
        if r["item"] == item
    )


@cache
def rule(item: str) -> Rule:
    """One number of ``joint_rule.csv`` in SI: a time [s], a temperature [K] or a bare number [-].

    Raises KeyError when the file has no such row.
    """
    for _, r in records("joint_rule"):
        if r["item"] == item:
            value = float(r["value"])
            if r["unit"] == "F":
                value = fahrenheit(value)
            elif r["unit"] != "1":
                value *= TIME.spellings[r["unit"]].factor
            return Rule(item, value, SourceKey(r["source"]), r["status"], r["note"])
    raise KeyError(item)
