"""Reading the long tables of ``data``: item, size, value, unit, bound, source, status, note.

Bounds: ``low`` and ``high`` (limits of what is met), ``typical`` (what is planned with), ``within``
(plus or minus about typical), ``floor`` (a standard's least: a rule to check by, never a value).
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pitwright.catalogue.parts import Dim
from pitwright.errors import BrokenShelf
from pitwright.findings import SourceKey
from pitwright.units.kinds import INCH, PSI

__all__ = ["LONG_TABLES", "Floor", "Tables", "dims_of", "load_tables", "rows", "sources"]

LONG_TABLES = (
    "pipe_od",
    "pipe_wall",
    "socket",
    "takeout",
    "reducing",
    "adapter",
    "coupling",
    "outside",
    "thread",
)
COLUMNS = ("item", "size", "value", "unit", "bound", "source", "status", "note")
UNIT = {"in": INCH, "mm": 1e-3, "psi": PSI, "1": 1.0, "1/in": 1 / INCH}
BOUNDS = {"low", "high", "typical", "within", "floor"}
STATUSES = {"sourced", "memory", "derived", "judgement", "suspect"}

Key = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Floor:
    """A standard's least, for checking only. [m]"""

    value: float
    source: SourceKey


@dataclass(frozen=True, slots=True)
class Tables:
    """Every dimension by (item, size), every floor, and the notes of suspect rows. [m]"""

    dims: dict[Key, Dim]
    floors: dict[Key, Floor]
    suspects: dict[Key, str]


def rows(table: str) -> Iterator[list[str]]:
    """The rows of one data file as text, the heading left out. Source: ``data``."""
    text = (files("pitwright.catalogue") / "data" / f"{table}.csv").read_text(encoding="utf-8")
    lines = csv.reader(text.splitlines())
    next(lines)
    return lines


@cache
def sources() -> dict[str, str]:
    """What each source key stands for. Source: ``data/sources.csv``."""
    return dict(rows("sources"))


def load_tables() -> Tables:
    """All long tables, gathered by item and size. Raises BrokenShelf on a row that cannot be read.

    Values come back in metres (threads per inch as 1/m). Source: each row's own key.
    """
    tables = Tables({}, {}, {})
    for name in LONG_TABLES:
        dims_of(name, list(rows(name)), tables)
    return tables


def dims_of(table: str, lines: list[list[str]], into: Tables) -> None:
    """Gather the rows of one long table into ``into``. Raises BrokenShelf. [m] Source: the rows."""
    known = sources()
    gathered: dict[Key, dict[str, tuple[float, str, str]]] = {}
    for number, line in enumerate(lines, start=2):
        item, size, value, unit, bound, source, status, note = line
        if source not in known or bound not in BOUNDS or status not in STATUSES:
            raise BrokenShelf(table, number, line, "a row needs a known source, bound and status")
        try:
            si = float(value) * UNIT[unit]
        except (ValueError, KeyError):
            raise BrokenShelf(
                table, number, line, "a row needs a number and a known unit"
            ) from None
        key = (item, size)
        if bound == "floor":
            into.floors[key] = Floor(si, SourceKey(source))
            continue
        if status == "suspect":
            into.suspects[key] = note
        cell = gathered.setdefault(key, {})
        if bound in cell:
            raise BrokenShelf(table, number, line, "an item has one value per size and bound")
        cell[bound] = (si, source, status)
    for number, (key, cell) in enumerate(gathered.items(), start=2):
        into.dims[key] = _dim(table, number, key, cell)


def _dim(table: str, number: int, key: Key, cell: dict[str, tuple[float, str, str]]) -> Dim:
    within = cell.get("within", (0.0,))[0]
    if "typical" in cell:
        value, source, status = cell["typical"]
        low = cell["low"][0] if "low" in cell else value - within
        high = cell["high"][0] if "high" in cell else value + within
    elif "low" in cell and "high" in cell:
        low, high = cell["low"][0], cell["high"][0]
        value, source, status = (low + high) / 2, cell["high"][1], cell["high"][2]
        status = "derived" if status == "sourced" else status
    elif "within" in cell:
        # a plus-or-minus that stands alone, such as an out-of-round allowance
        value, source, status = cell["within"]
        low, high = 0.0, value
    else:
        raise BrokenShelf(table, number, key, "an item needs a typical value, or a low and a high")
    if not low <= value <= high:
        raise BrokenShelf(table, number, key, "the typical value must lie within low and high")
    return Dim(value, low, high, SourceKey(source), status)
