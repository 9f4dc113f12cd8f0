"""The line that a bare path takes under a wrench, for drawings and for whoever looks along it."""

from __future__ import annotations

from itertools import pairwise

from pitwright.flex.compliance import Vec6
from pitwright.flex.path import BarePath
from pitwright.flex.section import Beam
from pitwright.geometry.vector import Vec, add, cross, dot, norm, scale, sub

__all__ = ["Bow", "bow"]

Bow = tuple[tuple[Vec, Vec], ...]
"""Points along a path from the soil to the tip, each with how far it moves. [m]"""


def bow(path: BarePath, wrench: Vec6, at: Vec, steps: int = 8) -> Bow:
    """Points of a path and their movement under a wrench (F, M) [N, N·m] at the point ``at``. [m]

    ``steps`` points on every straight. Each straight bends to a cubic, twists and stretches; the
    soil clamps (a foundation's own give is left out, so that the drawing starts at the soil).
    Source: textbook mechanics.
    """
    force, moment = (wrench[0], wrench[1], wrench[2]), (wrench[3], wrench[4], wrench[5])
    shift, turn = (0.0, 0.0, 0.0), (0.0, 0.0, 0.0)
    out: list[tuple[Vec, Vec]] = [(path.points[0], shift)]
    for a, b in pairwise(path.points):
        size = norm(sub(b, a))
        e = scale(sub(b, a), 1.0 / size)
        # the moment at a, and how it changes for each metre onward
        first = _curve(path.beam, e, add(moment, cross(sub(at, a), force)))
        change = _curve(path.beam, e, scale(cross(e, force), -1.0))
        stretch = scale(e, dot(force, e) / path.beam.ea)
        start, lean = shift, turn
        for n in range(1, steps + 1):
            s = size * n / steps
            bent = add(scale(first, s * s / 2.0), scale(change, s**3 / 6.0))
            shift = add(start, cross(add(scale(lean, s), bent), e))
            shift = add(shift, scale(stretch, s))
            out.append((add(a, scale(e, s)), shift))
        turn = add(lean, add(scale(first, size), scale(change, size * size / 2.0)))
    return tuple(out)


def _curve(beam: Beam, e: Vec, moment: Vec) -> Vec:
    """Turn for each metre under a moment: M/GJ along the axis, M/EI across it. [1/m]"""
    along = dot(moment, e)
    return add(scale(moment, 1.0 / beam.ei), scale(e, along * (1.0 / beam.gj - 1.0 / beam.ei)))
