"""The pick list: parts of the chosen options with spares where a slip is likely."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

__all__ = ["PickLine", "consumables", "pick_list", "pipe_to_load"]

SPARES = 1
"""One more of every fitting kind: a socket is glued once. Common practice, no source. [-]"""
PIPE_SPARE = 0.3048
"""A foot more pipe than the pieces need, for a cut gone wrong. Judgement. [m]"""


@dataclass(frozen=True, slots=True)
class PickLine:
    """One line: how many the work needs, how many spare, how many the truck has already. [-]"""

    item: str
    need: int
    spare: int
    on_truck: int

    @property
    def to_load(self) -> int:
        """How many to put on the truck. [-]"""
        return max(0, self.need + self.spare - self.on_truck)


def pick_list(
    needed: Iterable[tuple[str, int]], on_truck: Mapping[str, int] | None = None
) -> tuple[PickLine, ...]:
    """Lines in the order of first need; valves get no spare. [-]

    Source: common practice, no source.
    """
    total: Counter[str] = Counter()
    for item, count in needed:
        total[item] += count
    have = on_truck or {}
    return tuple(
        PickLine(item, count, 0 if item.startswith("valve ") else SPARES, have.get(item, 0))
        for item, count in total.items()
    )


def pipe_to_load(pieces: float, cuts: int, kerf: float) -> float:
    """How much pipe to take: the pieces, a saw's width each, and a spare foot. [m]

    Parameters
    ----------
    pieces : float
        Sum of the pieces. [m]
    kerf : float
        What one cut turns to dust. [m]

    Source: common practice, no source.
    """
    return pieces + cuts * kerf + PIPE_SPARE


def consumables(wants: Container[str] | None = None) -> tuple[tuple[str, str, str], ...]:
    """Consumables and tools: item, when it is wanted, how much. [-]

    ``wants`` are the occasions of the work ("glue", "thread", "joint", "valve"; what is wanted
    "always" always comes); None: every one. Source: the table's own.
    """
    if wants is None:
        return _consumables()
    return tuple(row for row in _consumables() if row[1] == "always" or row[1] in wants)


@cache
def _consumables() -> tuple[tuple[str, str, str], ...]:
    text = files("pitwright.load").joinpath("data/consumables.csv").read_text("utf-8")
    return tuple((r["item"], r["when"], r["amount"]) for r in csv.DictReader(text.splitlines()))
