"""What people say of a valve, what it may mean, and what to try first."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["Symptom", "symptom_words", "symptoms"]


@dataclass(frozen=True, slots=True)
class Symptom:
    """One symptom: what is seen, what it may mean, what to try first, and whence that is known."""

    seen: str
    may_mean: str
    check: str
    source: str
    status: str


@cache
def symptoms() -> tuple[Symptom, ...]:
    """Every symptom in a fixed order. Source: each one's own."""
    text = files("pitwright.wording").joinpath("data/symptoms.csv").read_text("utf-8")
    return tuple(
        Symptom(r["seen"], r["may_mean"], r["check"], r["source"], r["status"])
        for r in csv.DictReader(text.splitlines())
    )


def symptom_words(one: Symptom) -> str:
    """What stands behind a symptom that was noted."""
    return f": may be {one.may_mean}. {one.check}."
