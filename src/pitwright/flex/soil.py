"""How stiffly soil holds a pipe that bends on inside it: a foundation of springs (Winkler).

What soil gives back is the force on each metre of pipe for each metre that it moves. In sand it
grows with depth; in stiff clay it does not; neither depends on how thick the pipe is.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pitwright.errors import UnknownName
from pitwright.findings import SourceKey
from pitwright.units.kinds import FOOT, INCH, POUND_FORCE

__all__ = ["LEAST_DEPTH", "SOILS", "Foundation", "foundation"]

_SHORT_TON = 2000.0 * POUND_FORCE
LEAST_DEPTH = 2 * INCH
"""Shallower than this sand counts as this deep: springs of nothing hold nothing. Judgement. [m]"""


@dataclass(frozen=True, slots=True)
class Foundation:
    """What soil gives back, force a metre of pipe a metre moved [N/m²], and where it is from."""

    value: float
    source: SourceKey
    status: str


@cache
def _rows() -> dict[str, dict[str, str]]:
    text = files("pitwright.flex").joinpath("data", "soil.csv").read_text(encoding="utf-8")
    return {row["soil"]: row for row in csv.DictReader(text.splitlines())}


SOILS = tuple(_rows())
"""Kinds of soil with a figure."""


def foundation(soil: str, depth: float) -> Foundation:
    """What a kind of soil gives back at a depth [m] below the ground. [N/m²]

    Raises UnknownName for a soil that is not in SOILS.
    Source: ``data/soil.csv``, a key per row.
    """
    row = _rows().get(soil)
    if row is None:
        raise UnknownName("soil", soil, SOILS, "soil with a figure")
    deep = max(depth, LEAST_DEPTH)
    if row["flat_tons_ft2"]:
        value = float(row["flat_tons_ft2"]) * _SHORT_TON / FOOT**2
    else:
        value = float(row["per_depth_tons_ft3"]) * _SHORT_TON / FOOT**3 * deep
    return Foundation(value, SourceKey(row["source"]), row["status"])
