"""What stands around a zone's new work: walls of the hole, what lies in it, the neighbours."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.catalogue.parts import Pipe
from pitwright.catalogue.shelf import Shelf
from pitwright.geometry.clearance import Capsule, HalfSpace
from pitwright.geometry.solids import gap
from pitwright.geometry.vector import Vec, add, dot, scale
from pitwright.survey.box import Box
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.valves import ValveBody
from pitwright.trains.kit import Girth
from pitwright.trains.room import Room

__all__ = ["girth_of", "room_for", "walls_of"]

_SIDES = 16
"""A round hole is planned as a polygon of so many sides inside it. [-]"""
_FITTING_WALL = 1.35
"""A fitting's outside over its pipe's, where the shelf does not say. Judgement. [-]"""
_VALVE = (0.038, 0.115)
"""Half width and height of a valve nobody measured: 1-1/2 and 4-1/2 in. From memory. [m]"""


def walls_of(box: Box) -> tuple[HalfSpace, ...]:
    """The hole as planes: its dug sides, the gravel below and the ground above. [m]

    A round hole is a polygon inside it, so nothing planned touches the round.
    Source: the survey.
    """
    soil = box.soil
    found: list[HalfSpace] = []
    if soil.radius is not None:
        inner = soil.radius * math.cos(math.pi / _SIDES)
        for n in range(_SIDES):
            turn = 2 * math.pi * n / _SIDES
            normal = (math.cos(turn), math.sin(turn), 0.0)
            centre = (soil.centre[0], soil.centre[1], 0.0)
            found.append(_turned(box, normal, dot(normal, centre) + inner, "wall of the hole"))
    else:
        (left, upstream), (right, downstream) = soil.least, soil.most
        found += [
            _turned(box, (-1.0, 0.0, 0.0), -left, "left wall"),
            _turned(box, (1.0, 0.0, 0.0), right, "right wall"),
            _turned(box, (0.0, -1.0, 0.0), -upstream, "upstream wall"),
            _turned(box, (0.0, 1.0, 0.0), downstream, "downstream wall"),
        ]
    found.append(HalfSpace((0.0, 0.0, -1.0), -box.floor.value, "floor"))
    found.append(HalfSpace((0.0, 0.0, 1.0), box.grade.value, "lid"))
    return tuple(found)


def _turned(box: Box, normal: Vec, most: float, name: str) -> HalfSpace:
    """A wall of the box's own axes, in the pit's."""
    c, s = math.cos(box.turn), math.sin(box.turn)
    x, y, z = normal
    return HalfSpace((c * x - s * y, s * x + c * y, z), most, name)


def room_for(survey: Survey, own: tuple[Stub, Stub], pipe: Pipe, valve: ValveBody | None) -> Room:
    """The free space for one zone's train. [m] Source: the survey.

    What already touches one of the zone's own stubs is what that stub belongs to, and is left out.
    """
    mine = [_stub_solid(stub) for stub in own]
    things = [o.solid(o.clear) for o in survey.obstacles if o.radius > 0.0]
    things += list(_neighbours(survey, own))
    apart = [t for t in things if all(gap(stub, t) > 0.0 for stub in mine)]
    return Room(walls_of(survey.box), tuple(apart), girth_of(survey.shelf, pipe, valve))


def _neighbours(survey: Survey, own: tuple[Stub, Stub]) -> Iterator[Capsule]:
    ids = {stub.id for stub in own}
    for stub in survey.stubs:
        if stub.id not in ids:
            yield _stub_solid(stub)


def _stub_solid(stub: Stub) -> Capsule:
    """A stub's first straight as it lies; unknown pipe as the size it was measured at. [m]"""
    radius = stub.pipe.od.value / 2 if stub.pipe else 0.0167
    length = stub.bare[0].length if stub.bare else 0.0
    back = add(stub.tip.mean, scale(stub.outward, -length))
    return Capsule(stub.tip.mean, back, radius, f"stub {stub.id}")


def girth_of(shelf: Shelf, pipe: Pipe, valve: ValveBody | None) -> Girth:
    """How thick the new work is: the shelf's outsides, the valve as measured. [m]

    Source: the shelf; from memory for a valve nobody measured.
    """
    elbow = shelf.fitting("elbow", pipe.size)
    fitting = elbow.outside.value / 2 if elbow else pipe.od.value / 2 * _FITTING_WALL
    half, up = _VALVE
    if valve and valve.width:
        half = valve.width.value / 2
    if valve and valve.below:
        half = max(half, valve.below.value)
    if valve and valve.height:
        up = valve.height.value
    return Girth(pipe.od.value / 2, fitting, half, up)
