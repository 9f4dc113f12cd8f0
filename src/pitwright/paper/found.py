"""The pit as it was found, as a scene: box, ground, stubs, what is in the way. [m]"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import cos, pi, sin

from pitwright.geometry.solids import Block, corners
from pitwright.geometry.vector import Vec, add, minus, norm, scale, sub
from pitwright.paper.scene import Ground, Obstacle, Pipe, Scene, Walls
from pitwright.survey.box import Bounds, Box
from pitwright.survey.obstacles import Obstacle as InTheWay
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.units.kinds import INCH

__all__ = ["as_found", "outside_diameter"]

_TAIL = 6 * INCH
"""So much of a stub is drawn beyond what may be cut; a broken end says that it goes on. [m]"""
_UNKNOWN_OD = 1.315 * INCH
"""Drawn this thick where nobody measured it. [m]"""
_ROUND = 32


def as_found(
    survey: Survey,
    cuts: Mapping[str, float] | None = None,
    *,
    named: bool = True,
    tail: float | None = None,
) -> Scene:
    """The opened pit before any work.

    ``cuts`` says how much is cut off each stub, by its id [m]; what is cut off is not drawn.
    ``named``: every stub carries its id. ``tail``: how much of each stub is drawn [m]; None for
    all that may be cut back, and 6 in more.
    """
    off = cuts or {}
    zones = {stub: zone.id for zone in survey.zones for stub in (zone.inlet, zone.outlet)}
    return Scene(
        pipes=tuple(
            replace(
                _stub(s, off.get(s.id, 0.0), tail),
                words=s.id if named else "",
                zone=zones.get(s.id, ""),
            )
            for s in survey.stubs
        ),
        walls=_walls(survey.box),
        ground=Ground(survey.box.grade.value),
        obstacles=tuple(
            Obstacle(o.kind, (o.start, o.end), 2 * o.radius, o.name, corners=_corners(o))
            for o in survey.obstacles
        ),
        north=(0.0, 1.0, 0.0) if survey.downstream else None,
        north_words=survey.downstream,
    )


def _corners(thing: InTheWay) -> tuple[Vec, ...]:
    """The corners of a box that lies in the way; nothing has corners otherwise. [m]"""
    solid = thing.solid(0.0)
    return corners(solid) if isinstance(solid, Block) else ()


def outside_diameter(stub: Stub) -> float:
    """How thick a stub is: its pipe's, else as measured with calliper, tape or string. [m]"""
    if stub.pipe is not None:
        return stub.pipe.od.value
    read = stub.measured
    if read is not None:
        for several in (read.calliper, read.across):
            if several:  # taken crosswise: the middle one of a pipe out of round
                return sum(reading.value for reading in several) / len(several)
        if read.around is not None:
            return read.around.value / pi - (read.string.value if read.string else 0.0)
    return _UNKNOWN_OD


def _stub(stub: Stub, cut: float, tail: float | None) -> Pipe:
    """A stub from its end back along its bare path, as far as the drawing needs it."""
    inward = minus(stub.outward)
    points = [stub.tip.mean]
    for straight in stub.bare or ():
        points.append(add(points[-1], scale(straight.direction, straight.length)))
    if len(points) == 1:
        points.append(add(points[0], scale(inward, max(stub.cut_back, _TAIL))))
    points[0] = add(points[0], scale(inward, cut))
    most = max(0.0, stub.cut_back - cut) + _TAIL if tail is None else tail
    path = _shortened(points, most)
    name = f"stub {stub.id}"
    return Pipe(path, outside_diameter(stub), True, runs_on=(False, True), name=name)


def _shortened(points: list[Vec], most: float) -> tuple[Vec, ...]:
    out = [points[0]]
    for point in points[1:]:
        run = sub(point, out[-1])
        long = norm(run)
        if long >= most:
            return (*out, add(out[-1], scale(run, most / long)))
        out.append(point)
        most -= long
    return tuple(out)


def _walls(box: Box) -> Walls:
    top, low = box.grade.value, box.floor.value
    bottom = () if box.bottom == box.mouth else _ring(box.bottom, box.turn, low)
    return Walls(_ring(box.mouth, box.turn, top), top - low, bottom=bottom)


def _ring(bounds: Bounds, turn: float, z: float) -> tuple[Vec, ...]:
    """The walls in plan at a height, turned from the box's own axes to the pit's."""
    if bounds.radius is not None:
        (x0, y0), r = bounds.centre, bounds.radius
        steps = [2 * pi * i / _ROUND for i in range(_ROUND)]
        corners = [(x0 + r * cos(a), y0 + r * sin(a)) for a in steps]
    else:
        (x0, y0), (x1, y1) = bounds.least, bounds.most
        corners = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    c, s = cos(turn), sin(turn)
    return tuple((c * x - s * y, s * x + c * y, z) for x, y in corners)
