"""The valve box: its walls at the mouth and the bottom, the ground, the gravel, the soil's edge."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.errors import Contradiction, Malformed, Missing
from pitwright.geometry.vector import Vec
from pitwright.survey.directions import turn_in_words
from pitwright.survey.readings import Located, Reading
from pitwright.survey.section import Section

__all__ = ["Bounds", "Box", "read_box"]

_WALLS = (("left", "right"), ("upstream", "downstream"))
_EVERY = tuple(k for pair in _WALLS for k in pair)
_LEAST_ACROSS = 0.05
"""No box is narrower. [m]"""


@dataclass(frozen=True, slots=True)
class Bounds:
    """Walls in plan: a rectangle from least to most x and y, or a round of centre and radius. [m]

    The rectangle stands in the box's own axes, which :attr:`Box.turn` turns about the datum.
    """

    least: tuple[float, float]
    most: tuple[float, float]
    centre: tuple[float, float]
    radius: float | None
    readings: tuple[Reading, ...]

    def room(self, x: float, y: float) -> float:
        """How far inside the nearest wall a point of the box's axes lies; below 0 outside. [m]"""
        if self.radius is not None:
            return self.radius - math.hypot(x - self.centre[0], y - self.centre[1])
        return min(x - self.least[0], self.most[0] - x, y - self.least[1], self.most[1] - y)


@dataclass(frozen=True, slots=True)
class Box:
    """One valve box as found.

    ``mouth`` is the opening that a spool must pass, ``bottom`` the walls at the pipes, ``soil`` as
    far as the soil is dug away; ``grade`` is z of the ground and ``floor`` z of the gravel [m];
    ``turn`` turns the box's axes from the pit's, to the left seen from above counting up [rad].
    """

    shape: str
    mouth: Bounds
    bottom: Bounds
    soil: Bounds
    grade: Reading
    floor: Reading
    turn: float
    turn_reading: Reading | None

    def own(self, point: Vec) -> tuple[float, float]:
        """A point of the pit in plan, in the box's own axes. [m]"""
        c, s = math.cos(self.turn), math.sin(self.turn)
        return (c * point[0] + s * point[1], c * point[1] - s * point[0])

    def room(self, point: Vec) -> float:
        """How far a point lies inside walls, dug soil, ground and gravel; below 0 outside. [m]"""
        x, y = self.own(point)
        plan = max(b.room(x, y) for b in (self.mouth, self.bottom, self.soil))
        return min(plan, self.grade.value - point[2], point[2] - self.floor.value)


def read_box(section: Section) -> Box:
    """The section [box]. [m] Raises BadInput: Missing, Contradiction and those of a reading."""
    shape = section.choice("shape", ("rectangle", "round"), "rectangle")
    mouth = _bounds(section, "mouth", shape, None)
    if mouth is None:
        raise Missing(section.at("mouth"), _how(shape))
    bottom = _bounds(section, "bottom", shape, mouth) or mouth
    soil = _bounds(section, "soil", shape, bottom) or bottom
    grade = section.need_reading("grade", "the ground's height above the datum: measure it")
    floor = section.need_reading(
        "floor", "the gravel's height from the datum (below it: a minus sign): measure it"
    )
    if grade.value <= floor.value:
        raise Contradiction(
            section.at("floor"),
            floor.text,
            f"must lie below the ground ({grade.text})",
            "heights count upward from the datum; below it they carry a minus sign",
        )
    turned = None
    if section.has("turned"):
        eye = section.bench.tools["eye"]
        turned = turn_in_words(section.table["turned"], eye, where=section.at("turned"))
    return Box(shape, mouth, bottom, soil, grade, floor, turned.value if turned else 0.0, turned)


def _how(shape: str) -> str:
    if shape == "round":
        return 'write it as { centre = ["0", "6"], across = "10" }'
    return 'write it as { left = "-4", right = "12", upstream = "-3", downstream = "14" }'


def _bounds(section: Section, key: str, shape: str, within: Bounds | None) -> Bounds | None:
    walls = section.sub(key, f"box.{shape}")
    if walls is None:
        return None
    return _round(walls) if shape == "round" else _rectangle(walls, within)


def _rectangle(walls: Section, within: Bounds | None) -> Bounds:
    """Four walls; one that is not told stands where that of ``within`` stands."""
    known = dict(zip(_EVERY, within.readings, strict=True)) if within else {}
    sides: list[tuple[Reading, Reading]] = []
    for low, high in _WALLS:
        a, b = (
            known[k]
            if k in known and not walls.has(k)
            else walls.need_reading(k, "measure to that wall from the datum")
            for k in (low, high)
        )
        if b.value - a.value < _LEAST_ACROSS:
            raise Contradiction(
                walls.at(high),
                b.text,
                f"must lie beyond the {low} wall ({a.text})",
                "walls count from the datum: left and upstream of it they carry a minus sign",
            )
        sides.append((a, b))
    (left, right), (up, down) = sides
    least, most = (left.value, up.value), (right.value, down.value)
    centre = ((least[0] + most[0]) / 2, (least[1] + most[1]) / 2)
    return Bounds(least, most, centre, None, (left, right, up, down))


def _round(walls: Section) -> Bounds:
    value = walls.need(
        "centre", "measure the middle of the box from the datum, right and downstream"
    )
    if not isinstance(value, list) or len(value) != 2:
        raise Malformed(
            walls.at("centre"), value, "must be two lengths, right and downstream", _how("round")
        )
    x, y = (
        walls.read(v, f"{walls.at('centre')}.{i}", low=-10.0, high=10.0)
        for i, v in enumerate(value)
    )
    across = walls.need_reading("across", "measure straight across the inside", low=_LEAST_ACROSS)
    r = across.value / 2
    return Bounds(
        (x.value - r, y.value - r),
        (x.value + r, y.value + r),
        (x.value, y.value),
        r,
        (x, y, across),
    )


def box_covers(box: Box, at: Located, spare: float) -> bool:
    """Whether a located point lies in the opened hole, ``spare`` [m] and three sigmas allowed.

    Source: judgement.
    """
    sigma = math.sqrt(max(at.covariance[i][i] for i in range(3)))
    return box.room(at.mean) >= -(spare + 3.0 * sigma)
