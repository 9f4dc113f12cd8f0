"""A scene as SVG for a screen: tubes back to front, letters, things to tap, turned by a finger.

The scene is the one that goes on paper. Every element carries its points of the pit [m] in
``data-p``, so that a small script can project them again when a finger turns the view; without
the script the three views are links. Screen units are pixels at a width of 360 [px].

Why this beside :mod:`pitwright.paper.turning`: here the server draws, stubs are links to tap and
nothing is lost without a script; there one file without a server draws itself, with hatching,
dimensions and toggles, from data. They share the scene, the cameras and the words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pitwright.geometry.vector import Vec, across, add, scale, sub, unit
from pitwright.pages.html import Html, h
from pitwright.pages.labels import Labels
from pitwright.paper.camera import Camera, elevation, isometric, plan, points_of
from pitwright.paper.scene import Scene
from pitwright.units.kinds import INCH
from pitwright.wording.turning import TURNING

__all__ = ["VIEWS", "WIDE", "Spot", "drawn"]

WIDE, HIGH = 360.0, 330.0
"""The drawing's own width and height. [px]"""
AIR = 42.0
"""Left free about the parts, for labels and thumbs. [px]"""
REACH = 25.0
"""Radius of what a thumb must hit. [px]"""
BAR, BAR_WORDS = 12 * INCH, "scale: 12 in"
"""The scale that is drawn in the pit. [m]"""
VIEWS = {"isometric": isometric, "plan": plan, "elevation": elevation}


@dataclass(frozen=True, slots=True)
class Spot:
    """Something to tap at a point [m]: where it leads, and what it is called."""

    at: Vec
    words: str
    href: str
    chosen: bool = False


def drawn(
    scene: Scene,
    view: str,
    *,
    title: str,
    spots: Sequence[Spot] = (),
    link: str = "",
    kept_clear: bool = False,
    whole: bool = False,
    said: Sequence[tuple[Vec, str]] = (),
) -> Html:
    """The drawing with its three views; ``link`` is the address that a view is added to. [m]

    ``whole``: all of the box and of what lies in the way stands in the frame, with a scale;
    ``said`` are words at points [m].
    """
    name = view if view in VIEWS else "isometric"
    camera = _fitted(VIEWS[name](scene), scene, whole)
    labels = Labels([camera.flat(s.at) for s in spots], WIDE, HIGH)
    parts = [*_walls(scene), *_tubes(scene, kept_clear)]
    for kind, points, thick in parts:
        if thick or kind.startswith("obstacle"):
            a, b = (camera.flat(p) for p in points)
            labels.pipe(a, b, thick * camera.mm_per_metre)
    scale_bar = _scale(scene, camera, labels) if whole else []
    parts.sort(key=lambda part: _depth(part[1], camera))
    svg = h(
        "svg",
        h("title", title),
        *(_tube(kind, points, thick, camera) for kind, points, thick in parts),
        *_letters(scene, camera, labels),
        *_joints(scene, camera),
        *(_spot(s, camera, labels) for s in spots),
        *(_words(at, words, camera, labels, "said") for at, words in said),
        *scale_bar,
        viewBox=f"0 0 {WIDE:g} {HIGH:g}",
        class_="pit-drawing",
        role="group" if spots else "img",
        aria_label=title,
        data_view=name,
        data_turn=True,
        data_camera=_numbers((*camera.right, *camera.up, *camera.toward)),
        preserveAspectRatio="xMidYMid meet",
    )
    return h("figure", svg, _views(name, link), class_="drawing")


def _views(name: str, link: str) -> Html:
    mark = "&" if "?" in link else "?"
    links = [
        h(
            "a",
            TURNING[key],
            href=f"{link}{mark}view={key}#drawing",
            data_turn_to=key,
            aria_current="true" if key == name else None,
        )
        for key in VIEWS
    ]
    return h("figcaption", *links, class_="views")


def _scale(scene: Scene, camera: Camera, labels: Labels) -> list[Html]:
    """A foot as it lies in the pit, at the box's lower edge, so that it turns with the drawing."""
    points = [p for p, _ in points_of(scene)]
    x0, y0, z0 = (min(p[axis] for p in points) for axis in range(3))
    ways = ((BAR, 0.0, 0.0), (0.0, BAR, 0.0))
    way = max(ways, key=camera.shown)
    start = (x0, y0, z0)
    end = add(start, way)
    (ax, ay), (bx, by) = camera.flat(start), camera.flat(end)
    labels.pipe((ax, ay), (bx, by), 4.0)
    line = _tube("scale", (start, end), 0.0, camera)
    return [line, _words(scale(add(start, end), 0.5), BAR_WORDS, camera, labels, "said")]


def _fitted(camera: Camera, scene: Scene, whole: bool) -> Camera:
    parts = scene if whole else replace(scene, walls=None, obstacles=())
    points = [p for p, _ in points_of(parts)] or [(0.0, 0.0, 0.0), (0.1, 0.1, 0.0)]
    bare = replace(camera, mm_per_metre=1.0, stretch=1.0, origin=(0.0, 0.0))
    flat = [bare.flat(p) for p in points]
    xs, ys = [p[0] for p in flat], [p[1] for p in flat]
    k = min(
        (WIDE - 2 * AIR) / max(max(xs) - min(xs), 0.05),
        (HIGH - 2 * AIR) / max(max(ys) - min(ys), 0.05),
    )
    origin = (
        WIDE / 2 - k * (min(xs) + max(xs)) / 2,
        HIGH / 2 - k * (min(ys) + max(ys)) / 2,
    )
    return replace(bare, mm_per_metre=k, origin=origin)


Part = tuple[str, tuple[Vec, ...], float]
"""Kind, points [m], thickness [m]."""


def _tubes(scene: Scene, kept_clear: bool) -> Iterable[Part]:
    for pipe in scene.pipes:
        for pair in pairwise(pipe.path):
            yield ("old" if pipe.old else "new"), pair, pipe.diameter
    for fitting in scene.fittings:
        kind = "valve" if fitting.kind == "valve" else "fitting"
        for limb in fitting.limbs:
            yield kind, (limb.a, limb.b), limb.diameter
    for thing in scene.obstacles:
        ends = (thing.path[0], thing.path[-1])
        if thing.corners:
            for one in range(8):
                for bit in (b for b in (1, 2, 4) if not one & b):
                    edge = (thing.corners[one], thing.corners[one | bit])
                    yield "obstacle box", edge, 0.0
            continue
        yield f"obstacle {thing.kind}", ends, thing.diameter
        if kept_clear:
            yield "keep", ends, thing.diameter
    for cut in scene.cuts:
        side = across(unit(cut.along))[1]
        reach = scale(side, cut.diameter)
        yield "cut", (add(cut.at, reach), sub(cut.at, reach)), 0.0
    for line in scene.bent:
        for pair in pairwise(line.path):
            yield "bent", pair, 0.0


def _walls(scene: Scene) -> Iterable[Part]:
    if scene.walls is None:
        return
    top, low = scene.walls.mouth, scene.walls.floor
    for ring in (top, low):
        for pair in zip(ring, (*ring[1:], ring[0]), strict=True):
            yield "wall", pair, 0.0
    if len(top) <= 8:
        for pair in zip(top, low, strict=True):
            yield "wall", pair, 0.0


def _depth(points: tuple[Vec, ...], camera: Camera) -> float:
    return sum(camera.depth(p) for p in points) / len(points)


def _numbers(values: Iterable[float]) -> str:
    return " ".join(f"{v:.4f}".rstrip("0").rstrip(".") for v in values)


def _points(points: Iterable[Vec]) -> str:
    return _numbers(v for p in points for v in p)


def _tube(kind: str, points: tuple[Vec, ...], thick: float, camera: Camera) -> Html:
    (x1, y1), (x2, y2) = (camera.flat(p) for p in points)
    wide = max(thick * camera.mm_per_metre, 1.5 if thick else 0.0)
    where = {"x1": f"{x1:.1f}", "y1": f"{y1:.1f}", "x2": f"{x2:.1f}", "y2": f"{y2:.1f}"}
    lines = [h("line", **where, class_="edge", stroke_width=f"{wide:.1f}" if thick else None)]
    if thick:
        lines.append(h("line", **where, class_="body", stroke_width=f"{max(wide - 2.4, 0.6):.1f}"))
    return h("g", *lines, class_=kind, data_p=_points(points), data_d=_numbers([thick]))


def _words(at: Vec, words: str, camera: Camera, labels: Labels, kind: str = "") -> Html:
    x, y = camera.flat(at)
    dx, dy = labels.shift((x, y), words)
    return h(
        "text",
        words,
        x=f"{x + dx:.1f}",
        y=f"{y + dy:.1f}",
        data_dx=f"{dx:.0f}",
        data_dy=f"{dy:.0f}",
        class_=kind or None,
        data_p=_points([at]) if kind else None,
    )


def _letters(scene: Scene, camera: Camera, labels: Labels) -> Iterable[Html]:
    for pipe in scene.pipes:
        if pipe.letter:
            middle = scale(add(pipe.path[0], pipe.path[-1]), 0.5)
            x, y = camera.flat(middle)
            yield h(
                "g",
                h("circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r=11),
                h("text", pipe.letter, x=f"{x:.1f}", y=f"{y:.1f}"),
                class_="letter",
                data_p=_points([middle]),
            )
    for thing in scene.obstacles:
        if thing.words:
            middle = scale(add(thing.path[0], thing.path[-1]), 0.5)
            yield _words(middle, thing.words, camera, labels, "said")


def _joints(scene: Scene, camera: Camera) -> Iterable[Html]:
    for joint in scene.joints:
        x, y = camera.flat(joint.at)
        yield h(
            "circle",
            cx=f"{x:.1f}",
            cy=f"{y:.1f}",
            r=4,
            class_=f"joint {joint.where}",
            data_p=_points([joint.at]),
        )


def _spot(spot: Spot, camera: Camera, labels: Labels) -> Html:
    x, y = camera.flat(spot.at)
    where = {"cx": f"{x:.1f}", "cy": f"{y:.1f}"}
    return h(
        "a",
        h("circle", **where, r=f"{REACH:g}", class_="hit"),
        h("circle", **where, r=7, class_="dot"),
        _words(spot.at, spot.words, camera, labels),
        href=spot.href,
        class_="spot chosen" if spot.chosen else "spot",
        data_p=_points([spot.at]),
        aria_label=spot.words,
    )
