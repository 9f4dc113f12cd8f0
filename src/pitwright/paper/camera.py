"""Where a scene is looked at from: plan, elevation, isometric. Pure geometry, parallel light.

Points of the pit in metres [m], points of the paper in millimetres [mm], directions one long [-].
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import pairwise
from math import atan2, cos, hypot, radians, sin, sqrt

from pitwright.geometry.vector import Vec, add, cross, dot, norm, scale, sub, unit
from pitwright.paper.marks import Point, Rect
from pitwright.paper.scene import Scene

__all__ = [
    "NICE_SCALES",
    "Camera",
    "elevation",
    "extent",
    "fitted",
    "isometric",
    "plan",
    "points_of",
]

UP: Vec = (0.0, 0.0, 1.0)
NICE_SCALES = (
    *(1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 5.5, 6, 6.5, 7, 7.5, 8, 9, 10, 11, 12, 13, 14, 15, 16, 18),
    *(20, 22, 25, 30, 35, 40, 50, 60, 75, 100, 150, 200),
)
"""One to so much."""
_SNAP = radians(15)
"""The elevation looks square at a box wall that lies this near the run."""


@dataclass(frozen=True, slots=True)
class Camera:
    """Axes of the paper seen from the pit, mm of paper per metre, and where the pit's origin is.

    ``right`` and ``up`` lie in the paper, ``toward`` points at the reader. ``stretch`` makes
    lengths along the pit's axes true in an isometric.
    """

    name: str
    right: Vec
    up: Vec
    toward: Vec
    stretch: float = 1.0
    mm_per_metre: float = 100.0
    origin: Point = (0.0, 0.0)

    def flat(self, p: Vec) -> Point:
        """A point of the pit on the paper. [mm]"""
        k = self.mm_per_metre * self.stretch
        return self.origin[0] + k * dot(p, self.right), self.origin[1] - k * dot(p, self.up)

    def depth(self, p: Vec) -> float:
        """How near a point is to the reader. [m]"""
        return dot(p, self.toward)

    def shown(self, direction: Vec) -> float:
        """The share of a direction's length that this view shows. [-]"""
        return hypot(dot(direction, self.right), dot(direction, self.up)) / norm(direction)

    @property
    def one_to(self) -> float:
        """The scale's denominator. [-]"""
        return 1000.0 / self.mm_per_metre


def plan(scene: Scene) -> Camera:
    """From above: x to the right, y up the paper."""
    return Camera("plan", (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), UP)


def _new_directions(scene: Scene) -> Iterable[Vec]:
    pipes = [p for p in scene.pipes if not p.old] or list(scene.pipes)
    for pipe in pipes:
        for a, b in pairwise(pipe.path):
            yield sub(b, a)
    for fitting in scene.fittings:
        if not fitting.old:
            for limb in fitting.limbs:
                yield sub(limb.b, limb.a)


def _run_heading(scene: Scene) -> float:
    """The level direction along which the new work mostly lies, from x. [rad]

    The main axis of the second moments of all new lengths; its sense is downstream.
    """
    xx = yy = xy = sx = sy = 0.0
    for x, y, _ in _new_directions(scene):
        long = hypot(x, y)
        xx, yy, xy = xx + x * x * long, yy + y * y * long, xy + x * y * long
        sx, sy = sx + x, sy + y
    heading = 0.5 * atan2(2 * xy, xx - yy)
    along = cos(heading) * sx + sin(heading) * sy
    return heading if along >= -1e-12 else heading + radians(180)


def _snapped(heading: float, scene: Scene) -> float:
    if scene.walls is None or len(scene.walls.mouth) > 8:
        return heading
    ring = scene.walls.mouth
    best = heading
    least = _SNAP
    for a, b in zip(ring, (*ring[1:], ring[0]), strict=True):
        wall = atan2(b[1] - a[1], b[0] - a[0])
        off = (wall - heading + radians(180)) % radians(360) - radians(180)
        if abs(off) < least:
            best, least = heading + off, abs(off)
    return best


def elevation(scene: Scene) -> Camera:
    """From the side that shows the run, downstream to the right."""
    heading = _snapped(_run_heading(scene), scene)
    right = (cos(heading), sin(heading), 0.0)
    return Camera("elevation", right, UP, cross(right, UP))


def isometric(scene: Scene) -> Camera:
    """From the front and above, from the left or the right, whichever spreads the parts more."""
    side = elevation(scene)
    views = []
    for sense in (1.0, -1.0):
        level = add(side.toward, scale(side.right, sense))
        toward = unit(add(level, UP))
        right = unit(cross(UP, toward))
        views.append(Camera("isometric", right, cross(toward, right), toward, sqrt(1.5)))
    return max(views, key=lambda camera: round(_spread(camera, scene), 6))


def _spread(camera: Camera, scene: Scene) -> float:
    """Sum of distances between neighbouring centres as seen. [m]"""
    centres = [f.centre for f in scene.fittings if not f.old]
    return sum(camera.shown(sub(b, a)) * norm(sub(b, a)) for a, b in pairwise(centres) if a != b)


def points_of(scene: Scene) -> tuple[tuple[Vec, float], ...]:
    """Every point a picture must hold, each with the radius about it. [m]"""
    found: list[tuple[Vec, float]] = []
    for pipe in scene.pipes:
        found += [(p, pipe.diameter / 2) for p in pipe.path]
    for fitting in scene.fittings:
        for limb in fitting.limbs:
            found += [(limb.a, limb.diameter / 2), (limb.b, limb.diameter / 2)]
    for thing in scene.obstacles:
        found += [(p, 0.0 if thing.corners else thing.diameter / 2) for p in thing.path]
        found += [(p, 0.0) for p in thing.corners]
    found += [(p, 0.0) for line in scene.bent for p in line.path]
    if scene.walls is not None:
        found += [(p, 0.0) for p in (*scene.walls.mouth, *scene.walls.floor)]
    found += [(p, 0.0) for d in scene.dimensions for p in (d.a, d.b)]
    found += [(j.at, 0.0) for j in scene.joints] + [(c.at, c.diameter) for c in scene.cuts]
    return tuple(found)


def _flat_box(camera: Camera, scene: Scene) -> Rect:
    """The box on paper of everything a picture must hold. [mm]"""
    seen = points_of(scene) or (((0.0, 0.0, 0.0), 0.1),)
    k = camera.mm_per_metre * camera.stretch
    flat = [(camera.flat(p), r * k) for p, r in seen]
    return (
        min(p[0] - r for p, r in flat),
        min(p[1] - r for p, r in flat),
        max(p[0] + r for p, r in flat),
        max(p[1] + r for p, r in flat),
    )


def extent(camera: Camera, scene: Scene) -> Point:
    """How wide and how high the scene is on paper. [mm]"""
    x0, y0, x1, y1 = _flat_box(camera, scene)
    return x1 - x0, y1 - y0


def fitted(camera: Camera, scene: Scene, frame: Rect, zoom: float | None = None) -> Camera:
    """The camera with the scene in the middle of the frame. [mm]

    ``zoom`` is in mm of paper a metre; None for the largest nice scale that fits.
    """
    bare = replace(camera, mm_per_metre=1.0, origin=(0.0, 0.0))
    x0, y0, x1, y1 = _flat_box(bare, scene)
    if zoom is None:
        room = frame[2] - frame[0], frame[3] - frame[1]
        most = min(room[0] / max(x1 - x0, 1e-6), room[1] / max(y1 - y0, 1e-6))
        zoom = next((1000 / n for n in NICE_SCALES if 1000 / n <= most), most)
    middle = (frame[0] + frame[2]) / 2, (frame[1] + frame[3]) / 2
    origin = middle[0] - zoom * (x0 + x1) / 2, middle[1] - zoom * (y0 + y1) / 2
    return replace(camera, mm_per_metre=zoom, origin=origin)
