"""Which option is better: points for time, parts, doubt, springing and what is left for next time.

Fewer points are better. Each merit is counted in its own unit and weighed by the person's weights;
what no standard lists comes last whatever its points. Points that differ by less than a thousandth
are equal, and a fixed name decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.survey.weights import WEIGHTS, Weights
from pitwright.units.kinds import INCH

__all__ = ["KEY", "Merits", "Point", "key", "points", "ranked"]

KEY = ("time", "parts", "chance", "springing", "next_time", "digging", "no_thrust")
"""The merits that are weighed, each a field of :class:`Merits` and of the weights."""
_HOUR = 3600.0
_FINE = 1000.0
"""Points are compared to a thousandth. [-]"""


@dataclass(frozen=True, slots=True)
class Merits:
    """What one option is compared by; less is better.

    ``time`` until water may return [s]; ``parts`` fittings and pieces [-]; ``chance`` not to close
    [-]; ``springing`` the share of what old pipe and hands bear that closing takes [-];
    ``next_time`` old pipe given up [m]; ``digging`` pipe to be bared first [m]; ``no_thrust``
    joints that hold none [-]. ``unlisted``: no standard lists the way. ``name`` breaks a tie.
    """

    time: float
    parts: int
    chance: float
    springing: float
    next_time: float
    digging: float
    no_thrust: int
    unlisted: bool
    name: str


@dataclass(frozen=True, slots=True)
class Point:
    """One merit in the unit it is weighed in ("h", "in", "1"), and its points. [-]"""

    merit: str
    amount: float
    unit: str
    weight: float

    @property
    def points(self) -> float:
        """What it adds. [-]"""
        return self.weight * self.amount


def points(merits: Merits, weights: Weights = WEIGHTS) -> tuple[Point, ...]:
    """What each merit adds, in the order of :data:`KEY`. [-] Source: the weights, judgement."""
    amounts = (
        (merits.time / _HOUR, "h"),
        (float(merits.parts), "1"),
        (merits.chance, "1"),
        (merits.springing, "1"),
        (merits.next_time / INCH, "in"),
        (merits.digging / INCH, "in"),
        (float(merits.no_thrust), "1"),
    )
    return tuple(
        Point(name, amount, unit, getattr(weights, name))
        for name, (amount, unit) in zip(KEY, amounts, strict=True)
    )


def key(merits: Merits, weights: Weights = WEIGHTS) -> tuple[bool, int, str]:
    """Compared in order: unlisted last, points to a thousandth, name. [-] Source: judgement."""
    total = sum(p.points for p in points(merits, weights))
    return merits.unlisted, round(total * _FINE), merits.name


def ranked(merits: Sequence[Merits], weights: Weights = WEIGHTS) -> tuple[int, ...]:
    """The places of the options, best first. [-] Source: docs/decisions/0004."""
    return tuple(sorted(range(len(merits)), key=lambda i: key(merits[i], weights)))
