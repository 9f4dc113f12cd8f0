"""A bare path under load: what a movement of its tip costs, or a wrench does."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.algebra import cholesky
from pitwright.errors import Malformed
from pitwright.flex.compliance import Matrix6, Place, Vec6, stations, tip_compliance
from pitwright.flex.path import BarePath

__all__ = ["ALL_HELD", "TURNING_FREE", "Flexed", "Held", "moved", "pushed", "turning_cost"]

Held = tuple[bool, bool, bool, bool, bool, bool]
ALL_HELD: Held = (True, True, True, True, True, True)
"""The tip goes where it is told and may not turn."""
TURNING_FREE: Held = (True, True, True, False, False, False)
"""The tip goes where it is told and turns as it likes."""


@dataclass(frozen=True, slots=True)
class Flexed:
    """A path under load: wrench (F, M) at its tip [N, N·m] and movement (u, theta) of it [m, rad].

    ``strain`` is the peak bending strain [-] and ``peak`` where; ``force`` |F| is what hands must
    give, and, as long as nothing moves back, what springs on a joint that holds it. [N]
    """

    wrench: Vec6
    movement: Vec6
    strain: float
    peak: Place

    @property
    def force(self) -> float:
        """|F|. [N]"""
        return math.hypot(*self.wrench[:3])

    @property
    def moment(self) -> float:
        """|M|. [N·m]"""
        return math.hypot(*self.wrench[3:])

    def ratio(self, strain_limit: float, hands: float | None = None) -> float:
        """The worse of strain over its limit [-] and force over what hands give [N]; <= 1 is safe.

        Without ``hands`` strain alone counts.
        """
        strain = self.strain / strain_limit if strain_limit > 0.0 else math.inf
        return strain if hands is None else max(strain, self.force / hands)


def _six(values: list[float]) -> Vec6:
    a, b, c, d, e, f = values
    return (a, b, c, d, e, f)


def _result(path: BarePath, compliance: Matrix6, wrench: Vec6) -> Flexed:
    movement = _six([sum(c * w for c, w in zip(r, wrench, strict=True)) for r in compliance])
    strain, peak = -1.0, None
    for station in stations(path):
        here = station.strain(wrench)
        if peak is None or here > strain * (1.0 + 1e-12):
            strain, peak = here, station.place
    assert peak is not None
    return Flexed(wrench, movement, strain, peak)


def pushed(path: BarePath, wrench: Vec6) -> Flexed:
    """What a wrench (F, M) [N, N·m] at its tip does to a path. Source: textbook mechanics."""
    return _result(path, tip_compliance(path), wrench)


def moved(path: BarePath, movement: Vec6, held: Held = ALL_HELD) -> Flexed:
    """What it takes to move a path's tip by (u, theta) [m, rad] along the components ``held``.

    Components that are not held move as they like, without force. World axes. Raises Malformed
    when nothing is held. Source: textbook mechanics.
    """
    names = [i for i in range(6) if held[i]]
    if not names:
        raise Malformed("held", held, "must hold something", "hold the three movements at least")
    compliance = tip_compliance(path)
    # scaled so that metres and radians weigh alike
    size = [1.0 / math.sqrt(compliance[i][i]) for i in names]
    part = [
        [compliance[i][j] * size[a] * size[b] for b, j in enumerate(names)]
        for a, i in enumerate(names)
    ]
    lower = cholesky.factor(part)
    assert lower is not None  # a compliance with positive stiffness has no null space
    right = [movement[i] * s for i, s in zip(names, size, strict=True)]
    wrench = [0.0] * 6
    for i, w, s in zip(names, cholesky.solve(lower, right), size, strict=True):
        wrench[i] = w * s
    return _result(path, compliance, _six(wrench))


def turning_cost(path: BarePath, movement: Vec6) -> float:
    """How many times more strain when the tip may not turn as it moves along u (of 6, m). [-]

    2 for one straight moved sideways; far more in some bent paths. 1 when nothing strains.
    Source: textbook mechanics.
    """
    u = (movement[0], movement[1], movement[2], 0.0, 0.0, 0.0)
    free = moved(path, u, TURNING_FREE).strain
    return 1.0 if free <= 0.0 else moved(path, u, ALL_HELD).strain / free
