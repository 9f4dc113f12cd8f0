"""A scene on paper: the pure road from three dimensions [m] to shapes in a frame [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, pi, sin

from pitwright.geometry.vector import Vec, add, scale, sub, unit
from pitwright.paper.camera import Camera, elevation, extent, fitted, isometric, plan
from pitwright.paper.ink import Pen
from pitwright.paper.marks import Point, Rect
from pitwright.paper.placing import Room, dimension, label, letter
from pitwright.paper.scene import Cut, Dimension, Obstacle, Scene
from pitwright.paper.shapes import (
    Group,
    Line,
    Marker,
    Placed,
    Polygon,
    Polyline,
    Shape,
    box_of,
)
from pitwright.paper.signs import BENT, JOINT_MARKERS, WALL, compass, scale_bar
from pitwright.paper.solid import Painted, covers, fitting_pieces, hull, pipe_pieces, ring

__all__ = ["VIEWS", "View", "view"]

VIEWS = {"plan": plan, "elevation": elevation, "isometric": isometric}
_TRUE = 0.94
"""A dimension is drawn in a view that shows at least this share of its length. [-]"""
_BAR = 4.0
"""What the scale bar needs below the drawing. [mm]"""
_END_ON = 0.3
"""A pipe of which less is shown is seen along its axis. [-]"""
_HIDDEN = 0.025
"""A joint this much farther off than what covers it is not marked in that view. [m]"""


@dataclass(frozen=True, slots=True)
class View:
    """Shapes in a frame of ``width`` x ``height`` mm from (0, 0), at one to ``one_to``."""

    name: str
    shapes: tuple[Shape, ...]
    width: float
    height: float
    one_to: float


def view(scene: Scene, name: str, width: float, height: float, *, air: float = 13.0) -> View:
    """One of VIEWS in a frame.

    Parameters
    ----------
    name : str
        plan, elevation or isometric.
    width, height : float
        The frame, 60 x 60 at least; nothing is drawn outside it while the words fit in. Height
        that would stay empty is given back. [mm]
    air : float
        Left free about the pit for dimensions and words. [mm]
    """
    looked = VIEWS[name](scene)
    camera = fitted(looked, scene, (air, air, width - air, height - air))
    shorter = 2 * air + extent(camera, scene)[1] + _BAR
    if shorter < height:
        height = shorter
        camera = fitted(looked, scene, (air, air, width - air, height - air), camera.mm_per_metre)
    frame = (0.0, 0.0, width, height)
    room = Room((0.6, 0.6, width - 0.6, height - 0.6))
    furniture = _furniture(scene, camera, frame, room)
    painted = _painted(scene, camera)
    for piece in painted:
        room.body(piece.area)
    shapes: list[Shape] = [*_ground(scene, camera, frame), *_walls(scene, camera, room)]
    for piece in painted:
        shapes += (Group(piece.name, piece.shapes),) if piece.name else piece.shapes
    shapes += _bent(scene, camera)
    shapes += _cuts(scene, camera, room)
    shapes += _joints(scene, camera, room, painted)
    shapes += _cut_words(scene, camera, room)
    shapes += _dimensions(scene, camera, room)
    shapes += _letters(scene, camera, room, painted)
    shapes += _words(scene, camera, room, painted)
    shapes += furniture
    return View(name, tuple(shapes), width, height, camera.one_to)


def _painted(scene: Scene, camera: Camera) -> list[Painted]:
    sleeves = [limb for f in scene.fittings for limb in f.limbs]
    pieces = [piece for p in scene.pipes for piece in pipe_pieces(p, sleeves, camera)]
    pieces += [fitting_pieces(f, camera) for f in scene.fittings]
    pieces += [_obstacle(o, camera) for o in scene.obstacles]
    return sorted(pieces, key=lambda piece: (round(piece.depth, 6), piece.rank))


def _obstacle(thing: Obstacle, camera: Camera) -> Painted:
    flat = [camera.flat(p) for p in thing.path]
    depth = sum(camera.depth(p) for p in thing.path) / len(thing.path)
    radius = thing.diameter / 2 * camera.mm_per_metre * camera.stretch
    if thing.kind == "wire":
        area = hull([(x + d, y + d) for x, y in flat for d in (-0.6, 0.6)])
        return Painted(depth, 2, (Polyline(tuple(flat), Pen(0.5, thing.dash)),), area)
    if thing.corners:
        return _box(thing, camera, depth)
    if thing.kind == "rock" or all(p == thing.path[0] for p in thing.path):
        lumpy = _lumpy(flat[0], radius)
        return Painted(depth, 0, (Polygon(lumpy, Pen(0.5), 1.0, "cross"),), lumpy)
    hatch = {"root": "earth", "pipe": "level"}.get(thing.kind, "cross")
    shapes: list[Shape] = []
    whole: tuple[Point, ...] = ()
    for a, b in pairwise(thing.path):
        if a == b:
            continue
        axis = unit(sub(b, a))
        outline = hull(
            (*ring(a, axis, thing.diameter, camera), *ring(b, axis, thing.diameter, camera))
        )
        shapes.append(Polygon(outline, Pen(0.3), 1.0, hatch))
        whole = hull((*whole, *outline))
    return Painted(depth, 0, tuple(shapes), whole)


def _box(thing: Obstacle, camera: Camera, depth: float) -> Painted:
    """A box in the way: its outline, and the edges that meet at its nearest corner."""
    flat = [camera.flat(p) for p in thing.corners]
    outline = hull(flat)
    near = max(range(8), key=lambda i: (round(camera.depth(thing.corners[i]), 9), i))
    edges = tuple(Polyline((flat[near], flat[near ^ bit]), Pen(0.3)) for bit in (1, 2, 4))
    return Painted(depth, 0, (Polygon(outline, Pen(0.3), 1.0, "cross"), *edges), outline)


def _lumpy(at: Point, radius: float) -> tuple[Point, ...]:
    """The outline of a rock: a circle with corners, always the same ones."""
    lumps = (1.0, 0.86, 1.02, 0.9, 0.98, 0.84, 1.0, 0.92, 0.88)
    return tuple(
        (
            at[0] + radius * lump * cos(2 * pi * i / len(lumps)),
            at[1] - radius * lump * sin(2 * pi * i / len(lumps)),
        )
        for i, lump in enumerate(lumps)
    )


def _walls(scene: Scene, camera: Camera, room: Room) -> list[Shape]:
    if scene.walls is None:
        return []
    mouth = scene.walls.mouth
    top = tuple(camera.flat(p) for p in mouth)
    bottom = tuple(camera.flat(p) for p in scene.walls.floor)
    lines: list[tuple[tuple[Point, ...], Pen]] = []
    thin = Pen(0.25, 2)
    match camera.name:
        case "plan":
            lines.append(((*top, top[0]), WALL))
            if scene.walls.bottom:
                lines.append(((*bottom, bottom[0]), thin))
        case "elevation":
            corners = (min(top), min(bottom), max(bottom), max(top))
            lines.append((corners, WALL))
        case _:
            upright = range(len(mouth)) if len(mouth) <= 8 else _outermost(top)
            lines += [((*bottom, bottom[0]), thin), ((*top, top[0]), WALL)]
            lines += [((top[i], bottom[i]), thin) for i in upright]
    for points, _ in lines:
        for a, b in pairwise(points):
            room.line(a, b)
    return [Polyline(points, pen) for points, pen in lines]


def _outermost(points: Sequence[Point]) -> tuple[int, int]:
    order = sorted(range(len(points)), key=lambda i: (points[i][0], i))
    return order[0], order[-1]


def _ground(scene: Scene, camera: Camera, frame: Rect) -> list[Shape]:
    if scene.ground is None or camera.name != "elevation":
        return []
    y = camera.flat((0.0, 0.0, scene.ground.z))[1]
    left, right = frame[0] + 2.0, frame[2] - 2.0
    gap = (left, left)
    if scene.walls is not None:
        xs = [camera.flat(p)[0] for p in scene.walls.mouth]
        gap = (min(xs), max(xs))
    shapes: list[Shape] = []
    for x0, x1 in ((left, gap[0]), (gap[1], right)):
        if x1 - x0 < 1.0:
            continue
        band = ((x0, y), (x1, y), (x1, y + 2.6), (x0, y + 2.6))
        shapes += [Polygon(band, None, None, "earth"), Line((x0, y), (x1, y), Pen(0.5))]
    return shapes


def _bent(scene: Scene, camera: Camera) -> list[Shape]:
    """Bent pipe as its axis alone, dashed on a white edge so that hatching does not hide it."""
    shapes: list[Shape] = []
    for line in scene.bent:
        flat = tuple(camera.flat(p) for p in line.path)
        shapes += [Polyline(flat, Pen(1.3, 1, 1.0)), Polyline(flat, BENT)]
    return shapes


def _cuts(scene: Scene, camera: Camera, room: Room) -> list[Shape]:
    shapes: list[Shape] = []
    for cut in scene.cuts:
        if camera.shown(cut.along) < _END_ON:
            continue  # seen along the pipe, there is nothing to cut across
        shapes += _cut(cut, camera)
        box = box_of(_cut(cut, camera))
        if box is not None:
            room.take([box], 6.0)
    return shapes


def _cut_words(scene: Scene, camera: Camera, room: Room) -> list[Shape]:
    """Before the dimensions, which have more places to go to."""
    shapes: list[Shape] = []
    k = camera.mm_per_metre * camera.stretch / 2
    for cut in scene.cuts:
        if cut.words and camera.shown(cut.along) >= _END_ON:
            shapes += label(room, camera.flat(cut.at), cut.words, clear=cut.diameter * k + 4.5)
    return shapes


def _cut(cut: Cut, camera: Camera) -> list[Shape]:
    """A heavy line right across the pipe with a wedge at each end."""
    x, y = camera.flat(cut.at)
    ahead = camera.flat(add(cut.at, scale(unit(cut.along), 0.05)))
    dx, dy = ahead[0] - x, ahead[1] - y
    long = hypot(dx, dy)
    dx, dy = dx / long, dy / long
    reach = cut.diameter / 2 * camera.mm_per_metre * camera.stretch + 1.6
    shapes: list[Shape] = []
    for sign in (1.0, -1.0):
        nx, ny = -dy * sign, dx * sign
        tip = (x + nx * reach, y + ny * reach)
        far = (tip[0] + nx * 2.4, tip[1] + ny * 2.4)
        wedge = (
            tip,
            (far[0] + dx * 1.1, far[1] + dy * 1.1),
            (far[0] - dx * 1.1, far[1] - dy * 1.1),
        )
        shapes.append(Polygon(wedge, None, 0.0))
        shapes.append(Line((x, y), tip, Pen(0.8)))
    return shapes


def _joints(scene: Scene, camera: Camera, room: Room, painted: Sequence[Painted]) -> list[Shape]:
    shapes: list[Shape] = []
    for joint in scene.joints:
        x, y = camera.flat(joint.at)
        if not _seen(joint.at, camera, painted):
            continue
        shapes.append(Marker((x, y), JOINT_MARKERS[joint.where], 1.25, Pen(0.45)))
        room.take([(x - 1.8, y - 1.8, x + 1.8, y + 1.8)], 12.0)
    return shapes


def _seen(at: Vec, camera: Camera, painted: Sequence[Painted]) -> bool:
    """Whether nothing nearer covers a point on a part's axis."""
    flat, near = camera.flat(at), camera.depth(at) + _HIDDEN
    return not any(p.depth > near and covers(p.area, flat) for p in painted)


def _pointed_at(path: Sequence[Vec], camera: Camera, painted: Sequence[Painted]) -> Vec | None:
    """The place of a path that its words point at: its middle, or as near as can be seen."""
    index = max(0, (len(path) - 2) // 2)
    a, b = path[index], path[min(index + 1, len(path) - 1)]
    for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9):
        at = add(a, scale(sub(b, a), share))
        if _seen(at, camera, painted):
            return at
    return None


def _letters(scene: Scene, camera: Camera, room: Room, painted: Sequence[Painted]) -> list[Shape]:
    shapes: list[Shape] = []
    for pipe in scene.pipes:
        at = _pointed_at(pipe.path, camera, painted) if pipe.letter else None
        if at is not None:
            reach = pipe.diameter / 2 * camera.mm_per_metre * camera.stretch
            shapes += letter(room, camera.flat(at), pipe.letter, clear=reach + 1.6)
    return shapes


def _drawn_in(dim: Dimension, camera: Camera) -> bool:
    if dim.views:
        return camera.name in dim.views
    if camera.name == "isometric":
        return False
    way = sub(dim.b, dim.a)
    return hypot(*way) > 1e-9 and camera.shown(way) >= _TRUE


def _dimensions(scene: Scene, camera: Camera, room: Room) -> list[Shape]:
    shapes: list[Shape] = []
    chosen = [d for d in scene.dimensions if _drawn_in(d, camera)]
    flat = [(camera.flat(d.a), camera.flat(d.b), d.words) for d in chosen]
    for a, b, words in sorted(
        flat, key=lambda d: round(hypot(d[1][0] - d[0][0], d[1][1] - d[0][1]), 3)
    ):
        shapes += dimension(room, a, b, words)
    return shapes


def _words(scene: Scene, camera: Camera, room: Room, painted: Sequence[Painted]) -> list[Shape]:
    shapes: list[Shape] = []
    k = camera.mm_per_metre * camera.stretch / 2
    for fitting in scene.fittings:
        if fitting.words:
            reach = max(limb.diameter for limb in fitting.limbs) * k
            shapes += label(room, camera.flat(fitting.centre), fitting.words, clear=reach + 1.0)
    for pipe in scene.pipes:
        spot = _pointed_at(pipe.path, camera, painted) if pipe.words else None
        if spot is not None:
            shapes += label(room, camera.flat(spot), pipe.words, clear=pipe.diameter * k + 1.0)
    for thing in scene.obstacles:
        spot = _pointed_at(thing.path, camera, painted) if thing.words else None
        if spot is not None:
            shapes += label(room, camera.flat(spot), thing.words, clear=thing.diameter * k + 1.0)
    for joint in scene.joints:
        if joint.words:
            shapes += label(room, camera.flat(joint.at), joint.words, clear=2.2)
    return shapes


def _furniture(scene: Scene, camera: Camera, frame: Rect, room: Room) -> list[Shape]:
    """Scale bar at the bottom left; the plan's direction arrow at the top right."""
    shapes: list[Shape] = list(
        scale_bar((3.0, frame[3] - 3.0), camera.mm_per_metre, min(45.0, 0.35 * frame[2]))
    )
    if scene.north is not None and camera.name == "plan":
        way = camera.flat(scene.north)
        zero = camera.flat((0.0, 0.0, 0.0))
        toward = (way[0] - zero[0], way[1] - zero[1])
        signed = compass((0.0, 0.0), toward, scene.north_words, 0.6 * frame[2])
        sign = box_of(signed) or (0.0, 0.0, 0.0, 0.0)
        shapes.append(Placed(signed, (frame[2] - 1.0 - sign[2], frame[1] + 1.0 - sign[1])))
    for shape in shapes:
        box = box_of([shape])
        if box is not None:
            room.take([box], 30.0)
    return shapes
