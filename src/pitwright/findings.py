"""What a calculation has to say besides its answer: findings, refusals and what fell short.

Nothing here is a sentence. A :class:`Finding` is a code with numbers and a source; ``wording``
turns it into words. "It can't be done" is a value, :class:`Refusal`, never an exception.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import NewType

__all__ = [
    "COMMON_PRACTICE",
    "Finding",
    "PitId",
    "ReadingId",
    "Refusal",
    "Short",
    "SourceKey",
    "StubId",
    "Weight",
    "ZoneId",
    "finding",
    "nearest_first",
]

ZoneId = NewType("ZoneId", str)
"""One zone and its station: one thing in two trades, one id."""
StubId = NewType("StubId", str)
PitId = NewType("PitId", str)
ReadingId = NewType("ReadingId", str)
SourceKey = NewType("SourceKey", str)
"""A key of ``catalogue/data/sources.csv``, or "common practice, no source", or "memory"."""

_NEWTONS = 1000.0
"""So many newtons missed weigh as a metre. Judgement. [N/m]"""
COMMON_PRACTICE = SourceKey("common practice, no source")


class Weight(Enum):
    """How a finding must be read: a note, a thing to check first, or a stop."""

    NOTE = "note"
    CHECK = "check"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found on the way to a result, without its sentence.

    ``numbers`` are SI (metres, radians, newtons, pascals) unless a name ends in another unit;
    ``names`` are the labels a person gave. Source: each finding carries its own key.
    """

    code: str
    weight: Weight
    numbers: tuple[tuple[str, float], ...]
    names: tuple[tuple[str, str], ...]
    source: SourceKey

    def number(self, name: str) -> float:
        """The number called ``name``, in the unit its name or the class says."""
        return dict(self.numbers)[name]

    def name(self, name: str) -> str:
        """The label called ``name``."""
        return dict(self.names)[name]


def finding(
    code: str,
    weight: Weight = Weight.NOTE,
    *,
    numbers: Mapping[str, float] | None = None,
    names: Mapping[str, str] | None = None,
    source: str = COMMON_PRACTICE,
) -> Finding:
    """A finding that can be hashed, pickled and never edited. Numbers are SI; source by key."""
    return Finding(
        code,
        weight,
        tuple((numbers or {}).items()),
        tuple((names or {}).items()),
        SourceKey(source),
    )


@dataclass(frozen=True, slots=True)
class Short:
    """One limit that stopped a search, by how much it was missed, and what would lift it.

    ``missed`` is in the unit of ``unit`` ("m", "rad", "1", "N") and never negative; ``have`` and
    ``need`` are the two numbers compared. ``where`` names the stub, leg or part concerned;
    ``lift`` is the code of the remedy, put into words by ``wording``. ``tried`` is the skeleton
    that failed ("45-45, direct-coupled").
    """

    code: str
    where: str
    have: float
    need: float
    missed: float
    unit: str
    lift: str
    tried: str = ""
    source: SourceKey = COMMON_PRACTICE


@dataclass(frozen=True, slots=True)
class Refusal:
    """Nothing works: every limit that pruned the search, nearest miss first.

    ``looked_at`` counts the possibilities examined; ``cut_short`` says the search stopped early
    and so cannot claim that nothing exists.
    """

    because: tuple[Short, ...]
    looked_at: int = 0
    cut_short: bool = False


def nearest_first(shorts: Iterable[Short]) -> tuple[Short, ...]:
    """The limits in a fixed order: by the size of the miss, then code, place and skeleton.

    Lengths [m] and angles [rad] are compared as one: a radian counts as a metre, so that a
    quarter inch (0.006) and a third of a degree (0.006) weigh alike; a kilonewton counts as a
    metre too. Source: judgement.
    """
    return tuple(sorted(set(shorts), key=_nearness))


def _nearness(short: Short) -> tuple[float, str, str, str]:
    missed = short.missed / _NEWTONS if short.unit == "N" else short.missed
    return (missed, short.code, short.where, short.tried)
