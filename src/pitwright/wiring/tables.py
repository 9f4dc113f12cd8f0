"""The wiring room's own tables: each row has a source and says when it is only judgement."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files

from pitwright.errors import BrokenShelf, UnknownName

__all__ = ["clue_kinds", "meter", "minutes", "rows", "type_weights"]


@cache
def rows(table: str) -> tuple[dict[str, str], ...]:
    """All rows of ``wiring/data/<table>.csv``; every row must name its source and status.

    Raises BrokenShelf.
    """
    text = files("pitwright.wiring").joinpath("data", f"{table}.csv").read_text(encoding="utf-8")
    found = tuple(csv.DictReader(text.splitlines()))
    for number, row in enumerate(found, start=2):
        if not row.get("source") or not row.get("status") or None in row:
            raise BrokenShelf(table, number, str(row), "a row needs a source and a status")
    return found


@cache
def type_weights() -> dict[str, float]:
    """Weight of each kind of fault before any reading. [-]"""
    return {r["kind"]: float(r["weight"]) for r in rows("type_weights")}


@cache
def minutes(test: str) -> float:
    """Minutes one test costs. [min] Raises UnknownName."""
    table = {r["test"]: float(r["minutes"]) for r in rows("test_minutes")}
    if test not in table:
        raise UnknownName("test", test, table, "test")
    return table[test]


@cache
def meter(function: str) -> tuple[float, float, float]:
    """Two-sigma limits of a meter's function: share of the reading [-], fixed part, over range.

    Fixed part and over-range point in SI (Ω, V, A, F). Raises UnknownName.
    """
    for row in rows("meters"):
        if row["function"] == function:
            si = 1e-9 if row["unit"] == "nF" else 1.0
            return float(row["rel"]), float(row["abs"]) * si, float(row["limit"] or "inf")
    raise UnknownName("meter function", function, [r["function"] for r in rows("meters")])


@cache
def clue_kinds() -> dict[str, tuple[float, tuple[str, ...], str, str]]:
    """Clue -> factor [-], kinds of fault it touches, its scope, and what it says."""
    return {
        r["clue"]: (float(r["factor"]), tuple(r["faults"].split()), r["scope"], r["says"])
        for r in rows("clues")
    }
