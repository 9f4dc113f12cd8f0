"""One cell of one table: which row holds for a size, a temperature and a pressure.

Rules: a size between two rows takes the larger row; an edge between two bands takes the row on
the slower side (colder, higher pressure); above the hottest row that row is used as a bound;
colder, larger or at more pressure than a table prints, the table says nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.errors import UnknownName
from pitwright.findings import Short
from pitwright.jointing.tables import CureRow, cure_rows, cure_tables
from pitwright.units.kinds import INCH, PSI

__all__ = ["Cell", "Reading", "pressure_tables", "read_table", "slowest"]

_SAME_KELVIN = 0.01
"""A temperature this near a band's edge stands on it. [K]"""
_SAME_PASCAL = 0.01 * PSI
"""A pressure this near a band's edge stands on it. [Pa]"""
KINDS_OF = {"set": ("set", "handling"), "cure": ("cure",)}
"""A handling row is a set time; the longest of both counts."""


@dataclass(frozen=True, slots=True)
class Cell:
    """Nominal size [in], temperature [K], and pressure [Pa] or None when nobody said."""

    inches: float
    kelvin: float
    pressure: float | None


@dataclass(frozen=True, slots=True)
class Reading:
    """What one table says for a cell: its row; [s] are the row's own.

    ``beyond``: hotter than the table's hottest row. ``at_edge``: the temperature stands on a
    band's edge and the colder row was taken.
    """

    table: str
    row: CureRow
    beyond: bool
    at_edge: bool

    @property
    def seconds(self) -> float:
        """The printed time. [s]"""
        return self.row.seconds


def pressure_tables() -> tuple[str, ...]:
    """The tables that speak of pressure lines, in a fixed order. A vent's never does."""
    return tuple(t.table for t in cure_tables().values() if t.service == "pressure")


def read_table(table: str, kind: str, cell: Cell) -> Reading | Short:
    """The time one table prints for one cell, asked alone, or what it does not reach to.

    ``kind`` is "set" or "cure". A vent table answers only where the pressure is said to be 0.
    Raises UnknownName. [in, K, Pa, s] Source: the row's own.
    """
    if table not in cure_tables():
        raise UnknownName("table", table, cure_tables(), "cure table")
    printed = [r for r in cure_rows() if r.table == table]
    if cure_tables()[table].service == "vent" and cell.pressure != 0.0:
        return _short("VENT_ONLY", printed, table, 0.0, cell.pressure or 0.0, "Pa")
    answers = [
        _looked_up(table, rows, cell)
        for raw in KINDS_OF[kind]
        if (rows := [r for r in printed if r.kind == raw])
    ]
    readings = [a for a in answers if isinstance(a, Reading)]
    if readings:
        return max(readings, key=lambda reading: reading.seconds)
    shorts = [a for a in answers if isinstance(a, Short)]
    return shorts[0] if shorts else _short("TABLE_SILENT", printed, table, 0.0, 1.0, "1")


def _looked_up(table: str, rows: Sequence[CureRow], cell: Cell) -> Reading | Short:
    """The row of one kind in one table: by size, then temperature, then pressure."""
    got_size = _of_size(rows, cell.inches)
    if not got_size:
        most = max(r.size[1] for r in rows)
        return _short("TABLE_SIZE", rows, table, most * INCH, cell.inches * INCH, "m")
    got_warmth = _of_temperature(got_size, cell.kelvin)
    if not got_warmth:
        least = min(r.temperature[0] for r in got_size)
        return _short("TABLE_COLD", got_size, table, cell.kelvin, least, "K")
    got = _of_pressure(got_warmth, cell.pressure)
    if not got:
        most = max(r.pressure[1] for r in got_warmth)
        return _short("TABLE_PRESSURE", got_warmth, table, most, cell.pressure or 0.0, "Pa")
    row = slowest(got)
    hot = cell.kelvin > max(r.temperature[1] for r in got_size) + _SAME_KELVIN
    edge = abs(cell.kelvin - row.temperature[1]) <= _SAME_KELVIN and any(
        r.temperature[0] >= row.temperature[1] for r in got_size
    )
    return Reading(table, row, hot, edge)


def slowest(rows: Sequence[CureRow]) -> CureRow:
    """The longest of several rows; of equals one that was read in a source, then the first. [s]

    Source: the row's own.
    """
    return max(rows, key=lambda r: (r.seconds, r.status == "sourced"))


def _of_size(rows: Sequence[CureRow], inches: float) -> list[CureRow]:
    tops = [r.size[1] for r in rows if inches <= r.size[1]]
    return [r for r in rows if r.size[1] == min(tops)] if tops else []


def _of_temperature(rows: Sequence[CureRow], kelvin: float) -> list[CureRow]:
    hottest = max(r.temperature[1] for r in rows)
    kelvin = min(kelvin, hottest)
    within = [
        r.temperature[0]
        for r in rows
        if r.temperature[0] - _SAME_KELVIN <= kelvin <= r.temperature[1] + _SAME_KELVIN
    ]
    return [r for r in rows if r.temperature[0] == min(within)] if within else []


def _of_pressure(rows: Sequence[CureRow], pressure: float | None) -> list[CureRow]:
    if pressure is None:
        return [r for r in rows if r.pressure[0] == min(q.pressure[0] for q in rows)]
    return [
        r for r in rows if r.pressure[0] - _SAME_PASCAL <= pressure <= r.pressure[1] + _SAME_PASCAL
    ]


def _short(
    code: str, rows: Sequence[CureRow], table: str, have: float, need: float, unit: str
) -> Short:
    source = rows[0].source if rows else cure_tables()[table].source
    return Short(code, table, have, need, abs(need - have), unit, "label_or_mechanical", "", source)
