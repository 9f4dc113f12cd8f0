"""The cautions that stand on every sheet, each with its source."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["Caution", "cautions"]


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: its code, its words, its source and how surely that was read."""

    code: str
    words: str
    source: str
    status: str


@cache
def cautions() -> tuple[Caution, ...]:
    """Every caution in a fixed order. Source: each one's own."""
    text = files("pitwright.wording").joinpath("data/cautions.csv").read_text("utf-8")
    return tuple(
        Caution(r["code"], r["words"], r["source"], r["status"])
        for r in csv.DictReader(text.splitlines())
    )
