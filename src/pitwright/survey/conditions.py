"""Conditions on the day: temperatures, damp, cement, and the clock as text."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pitwright.errors import Malformed, OutOfRange
from pitwright.survey.readings import Reading
from pitwright.survey.section import Section
from pitwright.survey.soil import Soil, read_soil

__all__ = ["CEMENTS", "Conditions", "read_conditions"]

CEMENTS = ("regular", "medium", "heavy", "fast", "wet")
"""Bodies of solvent cement, and the two special ones, by what their labels say."""
_COLDEST, _HOTTEST = 223.0, 343.0
_PERCENT = re.compile(r"\s*(\d{1,3}(?:\.\d+)?)\s*%?\s*\Z")


@dataclass(frozen=True, slots=True)
class Conditions:
    """Temperatures [K], relative humidity [0 to 1], cement class, time now as typed,
    and what the soil is, None where nobody said."""

    air: Reading | None
    pipe: Reading | None
    ground: Reading | None
    humidity: float | None
    cement: str
    now: str
    note: str
    soil: Soil | None = None


def read_conditions(section: Section, degrees: str) -> Conditions:
    """The section [conditions]; a bare temperature is in ``degrees`` ("F" or "C"). SI. BadInput."""

    def temperature(key: str) -> Reading | None:
        return section.reading(key, tool="thermometer", unit=degrees, low=_COLDEST, high=_HOTTEST)

    return Conditions(
        temperature("air"),
        temperature("pipe"),
        temperature("ground"),
        _humidity(section),
        section.choice("cement", CEMENTS, "") if section.has("cement") else "",
        section.text("now"),
        section.text("note"),
        read_soil(section),
    )


def _humidity(section: Section) -> float | None:
    if not section.has("humidity"):
        return None
    value = section.table["humidity"]
    text = value if isinstance(value, str) else repr(value)
    found = _PERCENT.match(text) if not isinstance(value, bool) else None
    if not found:
        raise Malformed(section.at("humidity"), value, "must be a percentage", 'as in "60 %"')
    percent = float(found[1])
    if percent > 100.0:
        raise OutOfRange(section.at("humidity"), value, "0 %", "100 %", "read it again")
    return percent / 100.0
