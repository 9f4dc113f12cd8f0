"""A bare path: straights of pipe with rigid corners, from where the soil holds it to its tip."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from pitwright.errors import Malformed, OutOfRange
from pitwright.flex.section import Beam
from pitwright.geometry.vector import Vec, add, near, norm, scale, sub, unit

__all__ = ["BarePath", "bare_path", "path_from_tip"]


@dataclass(frozen=True, slots=True)
class BarePath:
    """Corners from the soil to the tip [m]; the pipe; soil stiffness [N/m²], None for a clamp.

    ``soil`` is the force the ground gives back for each metre of pipe and metre of movement
    (a Winkler foundation); along the pipe and in torsion the soil clamps.
    """

    points: tuple[Vec, ...]
    beam: Beam
    soil: float | None = None

    @property
    def tip(self) -> Vec:
        """The open end. [m]"""
        return self.points[-1]

    @property
    def outward(self) -> Vec:
        """The way out of the pipe, unit vector. [-]"""
        return unit(sub(self.points[-1], self.points[-2]))

    @property
    def length(self) -> float:
        """All that is bare. [m]"""
        return sum(norm(sub(b, a)) for a, b in pairwise(self.points))

    def dug(self, extra: float) -> BarePath:
        """The same path with ``extra`` [m] more bare, straight on into the soil."""
        first, second = self.points[0], self.points[1]
        back = scale(unit(sub(first, second)), extra)
        return BarePath((add(first, back), *self.points[1:]), self.beam, self.soil)

    def cut_back(self, by: float) -> BarePath:
        """The same path with ``by`` [m] of its last straight cut off.

        Raises OutOfRange when the last straight is not longer than that.
        """
        last = norm(sub(self.points[-1], self.points[-2]))
        if not 0.0 <= by < last:
            raise OutOfRange("cut back", by, 0.0, f"less than {last}", "measure the last straight")
        tip = add(self.tip, scale(self.outward, -by))
        return BarePath((*self.points[:-1], tip), self.beam, self.soil)


def bare_path(points: Iterable[Vec], beam: Beam, soil: float | None = None) -> BarePath:
    """A path by its corners from the soil to the tip. [m] soil as in BarePath. [N/m²]

    Raises Malformed for fewer than two corners or two corners at one place, OutOfRange for a soil
    that is not positive. Source: none needed.
    """
    corners = tuple(points)
    if len(corners) < 2:
        raise Malformed("bare path", len(corners), "must have 2 corners or more", "add a straight")
    for i, (a, b) in enumerate(pairwise(corners)):
        if near(a, b, 1e-9):
            raise Malformed(f"bare path corner {i + 1}", b, "is where the last one was", "drop it")
    if soil is not None and not soil > 0.0:
        raise OutOfRange("soil stiffness", soil, "above 0", "any", "leave it out for a clamp")
    return BarePath(corners, beam, soil)


def path_from_tip(
    tip: Vec, straights: Iterable[tuple[Vec, float]], beam: Beam, soil: float | None = None
) -> BarePath:
    """A path from its tip [m] and straights (unit direction toward the soil, length [m]).

    The order a survey gives them in: the straight at the tip first. soil [N/m²] and errors as in
    :func:`bare_path`. Source: none needed.
    """
    corners = [tip]
    for direction, length in straights:
        corners.append(add(corners[-1], scale(direction, length)))
    return bare_path(reversed(corners), beam, soil)
