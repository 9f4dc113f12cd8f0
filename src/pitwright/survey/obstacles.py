"""Obstacles: what lies in the way, as thick lines with round ends, boxes or cylinders, and the room
to keep from each.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import Malformed, Missing
from pitwright.geometry.clearance import Capsule
from pitwright.geometry.solids import Solid, block, drum
from pitwright.geometry.vector import Vec, Z, cross, norm, sub, unit
from pitwright.survey.readings import Located, Reading
from pitwright.survey.section import Section

__all__ = ["KINDS_OF_OBSTACLE", "LONG", "SHAPES", "Obstacle", "read_obstacle"]

KINDS_OF_OBSTACLE = ("root", "wire", "pipe", "rock", "wall", "footing", "meter box", "drum")
LONG = ("root", "wire", "pipe")
"""What runs from one place to another: one end alone would say nothing of where it lies."""
ROUNDED, BOX, CYLINDER = SHAPES = ("rounded", "box", "cylinder")
"""A thick line with round ends; a box; a round thing with flat ends."""
_RIGHT: Vec = (1.0, 0.0, 0.0)
_PLUMB = 1e-6
_LEAST = 1e-3
"""A box or cylinder is longer than this. [m]"""
_WIDEST = 3.0


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something from ``start`` to ``end`` [m], ``clear`` [m] about which is kept free.

    A box runs from the middle of one face to the middle of the face across from it; it is
    ``thick`` wide, measured level, and ``high`` square to both (of one that stands on end it is
    wide to the right and high downstream).
    """

    name: str
    kind: str
    starts: Located
    ends: Located
    thick: Reading
    clear_reading: Reading | None
    note: str
    shape: str = ROUNDED
    high: Reading | None = None

    @property
    def start(self) -> Vec:
        """One end of its axis. [m]"""
        return self.starts.mean

    @property
    def end(self) -> Vec:
        """The other end of its axis; the same point for a lump. [m]"""
        return self.ends.mean

    @property
    def radius(self) -> float:
        """Half its thickness. [m]"""
        return self.thick.value / 2.0

    @property
    def clear(self) -> float:
        """The room to keep between it and new work. [m]"""
        return self.clear_reading.value if self.clear_reading else 0.0

    @property
    def side(self) -> Vec:
        """The way in which a box is wide: level, or to the right where it stands on end. [-]"""
        level = cross(unit(sub(self.end, self.start)), Z)
        return unit(level) if norm(level) > _PLUMB else _RIGHT

    def solid(self, margin: float) -> Solid:
        """What it takes up, with ``margin`` [m] all round. Source: the survey."""
        if self.shape == CYLINDER:
            return drum(self.start, self.end, self.radius, margin=margin, name=self.name)
        if self.shape == BOX:
            wide, high = self.thick.value, self.high.value if self.high else self.thick.value
            return block(self.start, self.end, self.side, wide, high, margin=margin, name=self.name)
        return Capsule(self.start, self.end, self.radius + margin, self.name)


def read_obstacle(name: str, section: Section) -> Obstacle:
    """One section [obstacle.name]. Raises Missing, Malformed or another BadInput. SI."""
    shape = section.choice("shape", SHAPES, ROUNDED)
    kind = section.choice("kind", KINDS_OF_OBSTACLE, None)
    start = section.located("start", "measure one end of it from the datum")
    if shape != ROUNDED and not section.has("end"):
        hint = f"a {shape} runs from the middle of one end face to the middle of the other"
        raise Missing(section.at("end"), hint)
    if kind in LONG and not section.has("end"):
        hint = f"a {kind} runs on: measure where it comes into the hole and where it leaves it"
        raise Missing(section.at("end"), hint)
    end = section.located("end", "") if section.has("end") else start
    if shape != ROUNDED and norm(sub(end.mean, start.mean)) < _LEAST:
        rule = f"must lie apart from the start of a {shape}"
        raise Malformed(section.at("end"), section.table["end"], rule, "measure the other end face")
    return Obstacle(
        name,
        kind,
        start,
        end,
        _thick(section, shape),
        section.reading("clear", low=0.0, high=1.0),
        section.text("note"),
        shape,
        _high(section, shape),
    )


def _thick(section: Section, shape: str) -> Reading:
    """How thick a round thing is, or how wide a box. [m]"""
    if shape == BOX:
        if section.has("thick"):
            rule, hint = "is not for a box", "give its wide (level, across) and high"
            raise Malformed(section.at("thick"), section.table["thick"], rule, hint)
        hint = "measure how wide the box is, level and across its axis"
        return section.need_reading("wide", hint, low=_LEAST, high=_WIDEST)
    for key in ("wide", "high"):
        if section.has(key):
            rule, hint = f"is for a box, and this is {shape}", 'give thick, or say shape = "box"'
            raise Malformed(section.at(key), section.table[key], rule, hint)
    hint = "measure how thick it is, straight across"
    low = 0.0 if shape == ROUNDED else _LEAST
    return section.need_reading("thick", hint, low=low, high=_WIDEST)


def _high(section: Section, shape: str) -> Reading | None:
    if shape != BOX:
        return None
    hint = "measure how high the box is, square to its axis and its width"
    return section.need_reading("high", hint, low=_LEAST, high=_WIDEST)
