"""Round things on flat paper: tubes with their silhouettes and ends, painted back to front.

Parts in metres of the pit [m], what comes back in millimetres of the paper [mm].
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan2, ceil, cos, degrees, pi, sin

from pitwright.geometry.vector import Vec, across, add, dot, norm, scale, sub, unit
from pitwright.paper.camera import Camera
from pitwright.paper.ink import FINE, Pen
from pitwright.paper.marks import Point
from pitwright.paper.scene import Fitting, Limb, Pipe
from pitwright.paper.shapes import Arrow, Circle, Line, Polygon, Polyline, Shape

__all__ = ["Painted", "covers", "fitting_pieces", "hull", "pipe_pieces", "ring", "trimmed"]

_SIDES = 20
OUTLINE = Pen(0.4)
OLD_OUTLINE = Pen(0.28)


@dataclass(frozen=True, slots=True)
class Painted:
    """Shapes, and how near the reader [m]: nearer is painted later, ``rank`` breaks ties."""

    depth: float
    rank: int
    shapes: tuple[Shape, ...]
    area: tuple[Point, ...]
    name: str = ""


def hull(points: Sequence[Point]) -> tuple[Point, ...]:
    """The convex outline of points (monotone chain)."""
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return tuple(ordered)

    def half(run: Sequence[Point]) -> list[Point]:
        out: list[Point] = []
        for p in run:
            while len(out) > 1 and _left(out[-2], out[-1], p) <= 0:
                out.pop()
            out.append(p)
        return out[:-1]

    return tuple(half(ordered) + half(ordered[::-1]))


def _left(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _old_hatch(limb: Limb, camera: Camera) -> str:
    """The slope that crosses the tube: a hatch along it would look like bare pipe."""
    (x0, y0), (x1, y1) = camera.flat(limb.a), camera.flat(limb.b)
    slope = degrees(atan2(y0 - y1, x1 - x0)) % 180.0
    return "old steep" if 15.0 < slope < 75.0 else "old"


def covers(outline: Sequence[Point], at: Point) -> bool:
    """Whether a convex outline, as :func:`hull` gives it, holds a point."""
    if len(outline) < 3:  # seen end on it is a point or a line
        return False
    around = zip(outline, (*outline[1:], outline[0]), strict=True)
    return all(_left(a, b, at) >= 0 for a, b in around)


def ring(centre: Vec, axis: Vec, diameter: float, camera: Camera) -> tuple[Point, ...]:
    """The end of a tube on the paper, its points in order round the axis."""
    u, v = across(axis)
    r = diameter / 2
    points = []
    for i in range(_SIDES):
        a = 2 * pi * i / _SIDES
        points.append(camera.flat(add(centre, add(scale(u, r * cos(a)), scale(v, r * sin(a))))))
    return tuple((round(x, 6), round(y, 6)) for x, y in points)


@dataclass(frozen=True, slots=True)
class _Tube:
    """A straight tube on paper: outline, the two side lines, and both ends."""

    outline: tuple[Point, ...]
    sides: tuple[tuple[Point, Point], ...]
    first: tuple[Point, ...]
    last: tuple[Point, ...]
    facing: tuple[bool, bool]


def _tube(limb: Limb, camera: Camera) -> _Tube:
    axis = unit(sub(limb.b, limb.a))
    first, last = (ring(p, axis, limb.diameter, camera) for p in (limb.a, limb.b))
    outline = hull((*first, *last))
    one, other = set(first), set(last)
    sides = tuple(
        (a, b)
        for a, b in zip(outline, (*outline[1:], outline[0]), strict=True)
        if (a in one) != (b in one) or (a in other) != (b in other)
    )
    facing = dot(axis, camera.toward)
    return _Tube(outline, sides, first, last, (facing < -1e-6, facing > 1e-6))


def _arc_of(tube: _Tube, end: tuple[Point, ...]) -> tuple[Line, ...]:
    """The part of the outline that is this end's own."""
    own = set(end)
    return tuple(
        Line(a, b, OUTLINE)
        for a, b in zip(tube.outline, (*tube.outline[1:], tube.outline[0]), strict=True)
        if a in own and b in own
    )


def _end(tube: _Tube, which: int, pen: Pen) -> tuple[Shape, ...]:
    end = (tube.first, tube.last)[which]
    if tube.facing[which]:
        return (Polygon(end, pen, 1.0),)
    return tuple(Line(line.a, line.b, pen) for line in _arc_of(tube, end))


def _broken_end(tube: _Tube, which: int, limb: Limb, camera: Camera) -> tuple[Shape, ...]:
    """A long S across the end of a pipe that goes on into the soil."""
    if len(tube.sides) != 2:
        return ()
    end = (tube.first, tube.last)[which]
    own = set(end)
    corners = [a if a in own else b for a, b in tube.sides]
    (x0, y0), (x1, y1) = corners
    away = camera.flat((limb.a, limb.b)[which])
    inner = camera.flat((limb.b, limb.a)[which])
    long = max(1e-9, ((away[0] - inner[0]) ** 2 + (away[1] - inner[1]) ** 2) ** 0.5)
    ux, uy = (away[0] - inner[0]) / long, (away[1] - inner[1]) / long
    deep = 0.16 * ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    points = []
    for i in range(13):
        t = i / 12
        bend = deep * sin(2 * pi * t)
        points.append((x0 + (x1 - x0) * t + ux * bend, y0 + (y1 - y0) * t + uy * bend))
    return (Polygon(tuple(points), None, 1.0), Polyline(tuple(points), OLD_OUTLINE))


def trimmed(limb: Limb, sleeves: Sequence[Limb]) -> Limb | None:
    """A tube without what lies in a wider one along the same line; None if nothing is left."""
    axis = sub(limb.b, limb.a)
    long = norm(axis)
    if long < 1e-6:
        return None
    way = scale(axis, 1 / long)
    low, high = 0.0, long
    for sleeve in sleeves:
        run = sub(sleeve.b, sleeve.a)
        if norm(run) < 1e-6 or abs(dot(unit(run), way)) < 0.98:
            continue
        if sleeve.diameter <= limb.diameter:
            continue
        t = sorted((dot(sub(sleeve.a, limb.a), way), dot(sub(sleeve.b, limb.a), way)))
        middle = add(limb.a, scale(way, sum(t) / 2))
        if norm(sub(middle, scale(add(sleeve.a, sleeve.b), 0.5))) > sleeve.diameter / 2:
            continue
        if t[0] <= low < t[1]:
            low = t[1]
        if t[0] < high <= t[1]:
            high = t[0]
    if high - low < 1e-6:
        return None
    return Limb(add(limb.a, scale(way, low)), add(limb.a, scale(way, high)), limb.diameter)


def pipe_pieces(pipe: Pipe, sleeves: Sequence[Limb], camera: Camera) -> tuple[Painted, ...]:
    """A pipe in short lengths, each painted at its own depth."""
    pen = OLD_OUTLINE if pipe.old else OUTLINE
    out: list[Painted] = []
    last = len(pipe.path) - 2
    for index, (a, b) in enumerate(pairwise(pipe.path)):
        limb = trimmed(Limb(a, b, pipe.diameter), sleeves)
        if limb is None:
            continue
        hatch = _old_hatch(limb, camera) if pipe.old else None
        count = max(1, min(24, ceil(norm(sub(limb.b, limb.a)) / (1.5 * pipe.diameter))))
        for i in range(count):
            part = _part(limb, i / count, (i + 1) / count)
            tube = _tube(part, camera)
            shapes: list[Shape] = [
                Polygon(tube.outline, None, 1.0, hatch),
                *(Line(p, q, pen) for p, q in tube.sides),
            ]
            for which, real in ((0, index == 0 and i == 0), (1, index == last and i == count - 1)):
                if not real:
                    continue
                if pipe.runs_on[which] and len(tube.sides) == 2:
                    shapes += _broken_end(tube, which, part, camera)
                else:
                    shapes += _end(tube, which, pen)
            depth = camera.depth(scale(add(part.a, part.b), 0.5))
            out.append(Painted(depth, 0, tuple(shapes), tube.outline, pipe.name))
    return tuple(out)


def _part(limb: Limb, low: float, high: float) -> Limb:
    run = sub(limb.b, limb.a)
    return Limb(add(limb.a, scale(run, low)), add(limb.a, scale(run, high)), limb.diameter)


def fitting_pieces(fitting: Fitting, camera: Camera) -> Painted:
    """A fitting as one outline: every arm is stroked, then every arm is filled, then the rims."""
    pen = OLD_OUTLINE if fitting.old else OUTLINE
    thick = Pen(pen.width * 2)
    limbs = [limb for limb in fitting.limbs if norm(sub(limb.b, limb.a)) > 1e-6]
    if not limbs:
        return Painted(camera.depth(fitting.centre), 1, (), ())
    tubes = [_tube(limb, camera) for limb in limbs]
    ball: list[Circle] = []
    if fitting.kind in ("elbow", "tee"):
        k = camera.mm_per_metre * camera.stretch
        radius = limbs[0].diameter / 2 * k
        ball = [Circle(camera.flat(fitting.centre), radius, thick, 1.0)]
    shapes: list[Shape] = [*(Polygon(t.outline, thick) for t in tubes), *ball]
    hatch = _old_hatch(limbs[0], camera) if fitting.old else None
    order = sorted(range(len(tubes)), key=lambda i: _limb_depth(limbs[i], camera))
    for i in order:
        shapes.append(Polygon(tubes[i].outline, None, 1.0, hatch))
        if len(limbs) > 1 and fitting.kind not in ("elbow", "tee"):
            shapes.append(Polygon(tubes[i].outline, Pen(0.25)))
    shapes += [Circle(c.centre, c.radius, None, 1.0) for c in ball]
    if ball and hatch:
        shapes += [Polygon(tubes[i].outline, None, None, hatch) for i in order]
    shapes += _rims(fitting, tubes, order)
    if fitting.arrow is not None:
        a, b = (camera.flat(p) for p in fitting.arrow)
        shapes.append(Arrow(a, b, Pen(0.7), 3.4))
    area = hull([p for t in tubes for p in t.outline])
    depth = max(_limb_depth(limb, camera) for limb in limbs)
    return Painted(depth + limbs[0].diameter / 4, 1, tuple(shapes), area, fitting.name)


def _limb_depth(limb: Limb, camera: Camera) -> float:
    return camera.depth(scale(add(limb.a, limb.b), 0.5))


def _rims(fitting: Fitting, tubes: Sequence[_Tube], order: Sequence[int]) -> list[Shape]:
    """The faces of sockets that can be seen, and the stop line of a sleeve."""
    shapes: list[Shape] = []
    for i in order:
        tube = tubes[i]
        ends = (1,) if fitting.kind in ("elbow", "tee") else (0, 1)
        for which in ends:
            end = (tube.first, tube.last)[which]
            if tube.facing[which]:
                shapes.append(Polygon(end, FINE, 1.0))
    if fitting.kind == "coupling" and len(tubes[0].sides) == 2:
        (a, b), (c, d) = tubes[0].sides
        middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), ((c[0] + d[0]) / 2, (c[1] + d[1]) / 2)
        shapes.append(Line(*middle, FINE))
    return shapes
