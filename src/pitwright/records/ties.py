"""Where a buried thing lies: two taped distances from fixed marks, crossed.

The frame has the first mark at its origin and the second along +x; +y is on the left of a person
who stands at the first mark and looks at the second. Lengths are metres [m], angles radians.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from pitwright.records.fold import State
from pitwright.records.kinds import INCH_IN_METRES

__all__ = ["FLAT", "Crossing", "Miss", "Tie", "crossing", "ties_of"]

TAPE_SIGMA = 0.0254 / 16
"""One sigma of one taped distance; the house's default for a tape. [m]"""
FLAT = math.radians(30)
"""Two tapes that cross at less than this, or more than its supplement, fix a place badly; common
practice, no source. [rad]"""


@dataclass(frozen=True, slots=True)
class Tie:
    """One tie as it stands in the record; ``between`` is None when the marks were not taped."""

    id: str
    thing: str
    mark_a: str
    mark_b: str
    a: float
    b: float
    between: float | None
    """Distances from the marks, and between them. [m]"""
    left: bool
    typed: tuple[str, str, str]
    """The three as they were typed."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where two tapes meet [m], one sigma of the worst direction [m], and the angle they make."""

    x: float
    y: float
    sigma: float
    angle: float
    """[rad]"""

    @property
    def poor(self) -> bool:
        """Whether the tapes cross so flat that a third tie is wanted."""
        return not FLAT <= self.angle <= math.pi - FLAT


@dataclass(frozen=True, slots=True)
class Miss:
    """The two tapes cannot meet: by how much they are too short or one too long. [m]"""

    by: float


def crossing(
    a: float, b: float, between: float, left: bool = True, sigma: float = TAPE_SIGMA
) -> Crossing | Miss:
    """Where distances ``a`` and ``b`` from two marks ``between`` apart meet. [m]

    A miss of less than three sigma of the tapes is taken as meeting on the line through the marks.
    Source: plane trigonometry; the sigma is that of the linear propagation of three equal tapes.
    """
    by = max(between - a - b, abs(a - b) - between)
    if between <= 0:
        return Miss(abs(a - b))
    if by > 3 * sigma * math.sqrt(3):
        return Miss(by)
    x = (a * a - b * b + between * between) / (2 * between)
    y = math.sqrt(max(a * a - x * x, 0.0))
    angle = (
        math.acos(max(-1.0, min(1.0, (a * a + b * b - between**2) / (2 * a * b)))) if a * b else 0
    )
    return Crossing(x, y if left else -y, _worst(a, b, between, x, y, sigma), angle)


def _worst(a: float, b: float, d: float, x: float, y: float, sigma: float) -> float:
    """One sigma along the worst direction; infinite where the tapes lie in one line."""
    if y <= 0.0:
        return math.inf
    dx = (a / d, -b / d, 1 - x / d)
    dy = ((a - x * dx[0]) / y, -x * dx[1] / y, -x * dx[2] / y)
    xx, yy = sum(v * v for v in dx), sum(v * v for v in dy)
    xy = sum(p * q for p, q in zip(dx, dy, strict=True))
    largest = (xx + yy) / 2 + math.hypot((xx - yy) / 2, xy)
    return sigma * math.sqrt(largest)


def _metres(length: Mapping[str, Any]) -> float:
    return float(Fraction(str(length["inch"])) * INCH_IN_METRES)


def ties_of(state: State) -> tuple[Tie, ...]:
    """The ties of a pit as they stand, by thing."""
    found = []
    for fact in state.of_kind("tie"):
        body = fact.body or {}
        if not {"thing", "mark_a", "mark_b", "a", "b"} <= body.keys():
            continue  # erased
        between = body.get("between")
        typed = tuple(str(body[k]["typed"]) if k in body else "" for k in ("a", "b", "between"))
        found.append(
            Tie(
                fact.id, body["thing"], body["mark_a"], body["mark_b"], _metres(body["a"]),
                _metres(body["b"]), _metres(between) if between else None,
                body.get("side", "left") == "left", (typed[0], typed[1], typed[2]),
            )
        )  # fmt: skip
    return tuple(sorted(found, key=lambda t: (t.thing, t.id)))
