"""How far the end of a bare path may be moved sideways by hand before a limit stops it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.flex.compliance import Place
from pitwright.flex.flexed import Flexed, Held, moved
from pitwright.flex.path import BarePath
from pitwright.geometry.vector import Vec, across, add, scale

__all__ = ["SMALL", "Reach", "reach"]

SMALL = 0.1
"""Movements beyond this share of the bare length are no longer small; nothing is promised. [-]"""
_WAYS = 24
"""Directions tried over half a turn; between two of them a reach differs by 0.9 % at most. [-]"""


@dataclass(frozen=True, slots=True)
class Reach:
    """The movement that is safe in every sideways direction.

    ``least`` [m] is safe whichever way the tip goes, ``way`` (unit) the direction that allows no
    more; ``most`` [m] the farthest of all directions, ``best_way`` which. ``governs`` is "strain",
    "force" or "length" (the movement is no longer small); at ``least`` the strain [-] peaks at
    ``peak`` and the push is ``force``. [N]
    """

    least: float
    way: Vec
    most: float
    best_way: Vec
    governs: str
    strain: float
    peak: Place
    force: float


def reach(path: BarePath, held: Held, strain_limit: float, hands: float) -> Reach:
    """How far the tip may be moved at right angles to its own axis. [m]

    ``held`` says whether the tip may turn as it moves; ``strain_limit`` [-], ``hands`` [N]. Strain
    and push grow with the movement, so one small movement each way tells them all.
    Source: textbook mechanics.
    """
    one, two = across(path.outward)
    cap = SMALL * path.length
    tries: list[tuple[float, str, Vec, Flexed]] = []
    for n in range(_WAYS):
        turn = math.pi * n / _WAYS
        way = add(scale(one, math.cos(turn)), scale(two, math.sin(turn)))
        unit = moved(path, (*way, 0.0, 0.0, 0.0), held)
        by_strain, by_force = strain_limit / unit.strain, hands / unit.force
        far = min(by_strain, by_force, cap)
        code = "length" if far == cap else "strain" if far == by_strain else "force"
        tries.append((far, code, way, unit))
    least = min(tries, key=lambda t: t[0])
    most = max(tries, key=lambda t: t[0])
    far, code, way, unit = least
    return Reach(far, way, most[0], most[2], code, unit.strain * far, unit.peak, unit.force * far)
