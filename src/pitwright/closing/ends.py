"""The two stubs a train closes between, worked out once and used for every train between them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.algebra import cholesky
from pitwright.algebra.dense import Matrix
from pitwright.closing.minimax import Five, Packed, packed
from pitwright.errors import OutOfRange
from pitwright.flex.compliance import Place, Vec6, stations, tip_compliance
from pitwright.flex.path import BarePath
from pitwright.geometry.vector import Vec, across, dot

__all__ = ["Ends", "FlexEnd", "RigidEnd", "Spot", "between", "five"]

_GIVE = 1e-6
"""What a rigid end still gives under a full push: next to nothing, so that numbers stay finite.
[m, and rad for the same push at 1 m]"""


@dataclass(frozen=True, slots=True)
class FlexEnd:
    """A stub that may be bent: its bare path, and the bending strain it bears. [-]

    ``beyond`` is where the open end is and which way it faces when something stiff stands on the
    path, None when the path's own tip is the open end. [m]
    """

    path: BarePath
    strain: float
    beyond: tuple[Vec, Vec] | None = None

    @property
    def tip(self) -> Vec:
        """The open end. [m]"""
        return self.beyond[0] if self.beyond else self.path.tip

    @property
    def outward(self) -> Vec:
        """The way out of it, unit vector. [-]"""
        return self.beyond[1] if self.beyond else self.path.outward


@dataclass(frozen=True, slots=True)
class RigidEnd:
    """A stub that must not be bent: where its tip is [m] and which way its pipe opens. [-]"""

    tip: Vec
    outward: Vec


@dataclass(frozen=True, slots=True)
class Spot:
    """Where strain may peak: on which stub ("inlet" or "outlet"), the place, the strain there per
    wrench (two rows of 5) [1/N and 1/(N·m)], and the strain that stub bears. [-]
    """

    stub: str
    place: Place
    first: Five
    second: Five
    limit: float

    def strain(self, wrench: Five) -> float:
        """The bending strain under a wrench (5) at the closing point. [-]"""
        a = b = 0.0
        for x, y, w in zip(self.first, self.second, wrench, strict=True):
            a += x * w
            b += y * w
        return math.hypot(a, b)


@dataclass(frozen=True, slots=True)
class Ends:
    """What all trains between two stubs share, seen at one point near the closing joint. [m]

    Five coordinates: x, y, z, then two turns about axes square to the closing joint's own, about
    which it rolls freely until the cement holds. ``stiffness`` (5, 5) turns misfit into wrench;
    ``sections`` (K, 15) are the squared ratios, the hands' last.
    """

    inlet: FlexEnd | RigidEnd
    outlet: FlexEnd | RigidEnd
    hands: float
    at: Vec
    tip: Vec
    axis: Vec
    across: tuple[Vec, Vec]
    stiffness: tuple[Five, ...]
    spots: tuple[Spot, ...]
    sections: tuple[Packed, ...]

    def wrench(self, y: Five) -> Five:
        """The wrench (5) that takes up a misfit y (5). [N, N·m]"""
        a, b, c, d, e = (sum(s * v for s, v in zip(r, y, strict=True)) for r in self.stiffness)
        return (a, b, c, d, e)

    def full(self, wrench: Five) -> Vec6:
        """The same wrench in world axes (6). [N, N·m]"""
        n, m = self.across
        x, y, z = (wrench[3] * n[i] + wrench[4] * m[i] for i in range(3))
        return (wrench[0], wrench[1], wrench[2], x, y, z)


def five(v: Sequence[float], across: tuple[Vec, Vec]) -> Five:
    """A movement, or wrench, (6) without its turn about the closing axis (5). Units stay. [-]

    Source: arithmetic.
    """
    turn: Vec = (v[3], v[4], v[5])
    return (v[0], v[1], v[2], dot(turn, across[0]), dot(turn, across[1]))


def _rigid(hands: float) -> list[list[float]]:
    return [[_GIVE / hands if i == j else 0.0 for j in range(6)] for i in range(6)]


def between(
    inlet: FlexEnd | RigidEnd, outlet: FlexEnd | RigidEnd, hands: float, at: Vec | None = None
) -> Ends:
    """Two stubs made ready for closing; ``hands`` is what a person can push. [N]

    The closing point ``at`` [m] is the outlet stub's tip unless it is given (the train's own end,
    say): for misfits that are small beside the lengths it makes no difference. Raises OutOfRange
    for a strain limit or a push that is not positive: a stub that bears nothing is a RigidEnd.
    Source: design study.
    """
    if not 0.0 < hands < math.inf:
        raise OutOfRange("hand force", hands, "above 0", "any", "give it in newtons")
    tip = outlet.tip
    at = tip if at is None else at
    axis = outlet.outward
    pair = across(axis)
    total = [[0.0] * 6 for _ in range(6)]
    raw: list[tuple[str, Place, Five, Five, float]] = []
    for name, end in (("inlet", inlet), ("outlet", outlet)):
        give: Matrix = _rigid(hands)
        if isinstance(end, FlexEnd):
            give = tip_compliance(end.path, at)
        for i in range(6):
            for j in range(6):
                total[i][j] += give[i][j]
        if isinstance(end, FlexEnd):
            if not 0.0 < end.strain < 1.0:
                raise OutOfRange(
                    f"{name} strain limit", end.strain, "above 0", 1.0, "make it a RigidEnd"
                )
            for s in stations(end.path, at):
                raw.append((name, s.place, five(s.first, pair), five(s.second, pair), end.strain))
    stiffness = _stiffness(total, pair)
    spots = tuple(Spot(*r) for r in raw)
    sections = [
        packed([_through(s.first, stiffness, s.limit), _through(s.second, stiffness, s.limit)])
        for s in spots
    ]
    sections.append(packed([_through(row, stiffness, hands) for row in _FORCE]))
    return Ends(inlet, outlet, hands, at, tip, axis, pair, stiffness, spots, tuple(sections))


_FORCE: tuple[Five, ...] = (
    (1.0, 0.0, 0.0, 0.0, 0.0),
    (0.0, 1.0, 0.0, 0.0, 0.0),
    (0.0, 0.0, 1.0, 0.0, 0.0),
)


def _stiffness(total: list[list[float]], pair: tuple[Vec, Vec]) -> tuple[Five, ...]:
    """The inverse of the compliance without the free roll (5, 5), scaled on the way."""
    half = [five(row, pair) for row in total]
    columns = [five([row[j] for row in half], pair) for j in range(5)]
    scale = [1.0 / math.sqrt(columns[i][i]) for i in range(5)]
    lower = cholesky.factor(
        [[columns[i][j] * scale[i] * scale[j] for j in range(5)] for i in range(5)]
    )
    assert lower is not None  # compliances of real pipe are positive definite
    inverse = cholesky.inverse(lower)
    out: list[Five] = []
    for i in range(5):
        a, b, c, d, e = (inverse[i][j] * scale[i] * scale[j] for j in range(5))
        out.append((a, b, c, d, e))
    return tuple(out)


def _through(row: Five, stiffness: tuple[Five, ...], limit: float) -> Five:
    """row · stiffness / limit: what the row reads per unit of misfit, against its limit."""
    a, b, c, d, e = (sum(row[i] * stiffness[i][j] for i in range(5)) / limit for j in range(5))
    return (a, b, c, d, e)
