"""The same scene as the paper's, handed to a screen that turns it: small JSON, no I/O. [m, deg]

:func:`turning` turns any scene into plain data; :func:`plan_turning` does it for a whole plan, with
bent pipe and clearances. :func:`turning_html` is the element that ``assets/turning.js`` finds and
brings to life; without a script it shows the still drawings it was given. The layout of the data is
written down in ``docs/json.md``.

A page needs three things::

    turning_html(plan_turning(made), stills(scene))    in its body
    asset("turning.css")                               as a style sheet
    asset("turning.js")                                as a script, deferred or at the end

Drawing and words are the page's own colour; ``--turning-paper`` is what a part is filled with.
A finger on a part sends the event ``turning:pick`` (bubbling; ``detail``: ``name``, ``zone``,
``letter``).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from importlib.resources import files
from math import atan2, degrees
from typing import Any

from pitwright.findings import Refusal
from pitwright.geometry.clearance import Capsule, HalfSpace
from pitwright.geometry.solids import Solid, gap
from pitwright.geometry.solids import nearest as nearest_of
from pitwright.geometry.vector import Vec, add, dot, norm, scale, sub
from pitwright.paper.bent import FACTORS, in_full, lines_of
from pitwright.paper.camera import elevation, isometric
from pitwright.paper.found import outside_diameter
from pitwright.paper.markup import Html, h, json_block
from pitwright.paper.pit_sheet import plan_scene
from pitwright.paper.scene import Fitting, Scene
from pitwright.paper.svg import svg_drawing
from pitwright.paper.view import view
from pitwright.planning import Plan
from pitwright.renewal.bending import Bowed
from pitwright.renewal.option import Option
from pitwright.renewal.surroundings import walls_of
from pitwright.wording.turning import TURNING, bent_words, clear_words, still_words, wall_words

__all__ = [
    "SCHEMA",
    "Clear",
    "asset",
    "clearances",
    "plan_turning",
    "stills",
    "turning",
    "turning_html",
]

SCHEMA = "pitwright-scene-1"
_FINE = 4
"""Decimals of a metre that are handed over: a tenth of a millimetre."""
_CORNER = 35.264
"""How high the isometric looks from. [°]"""


@dataclass(frozen=True, slots=True)
class Clear:
    """The least room between new work and one other thing: two points [m], the gap [m]."""

    a: Vec
    b: Vec
    gap: float
    what: str
    zone: str


def asset(name: str) -> str:
    """``turning.js`` or ``turning.css``, as text."""
    return files("pitwright.paper").joinpath(f"assets/{name}").read_text("utf-8")


def turning(
    scene: Scene,
    title: str,
    *,
    zones: Sequence[tuple[str, str]] = (),
    bowed: Sequence[tuple[str, Bowed]] = (),
    thick: float = 0.0,
    clear: Sequence[Clear] = (),
) -> dict[str, Any]:
    """A scene as plain data.

    Parameters
    ----------
    zones : sequence of (id, name)
        Zones that can be looked at alone.
    bowed : sequence of (zone, Bowed)
        Pipe that closing bends; drawn so many times too far that it leaves its pipe.
    thick : float
        Outside diameter of that pipe. [m]
    clear : sequence of Clear
        The least room about the new work.
    """
    by = _times([line for _, line in bowed], thick)
    return {
        "schema": SCHEMA,
        "title": title,
        "words": dict(TURNING),
        "views": _views(scene),
        "zones": [list(pair) for pair in zones],
        "pipes": [
            {
                "path": _path(p.path), "od": _n(p.diameter), "old": p.old, "letter": p.letter,
                "words": p.words, "zone": p.zone, "name": p.name, "on": list(p.runs_on),
            }
            for p in scene.pipes
        ],
        "fittings": [_fitting(f) for f in scene.fittings],
        "joints": [{"at": _p(j.at), "where": j.where, "zone": j.zone} for j in scene.joints],
        "cuts": [
            {"at": _p(c.at), "along": _p(c.along), "od": _n(c.diameter), "zone": c.zone}
            for c in scene.cuts
        ],
        "walls": _walls(scene),
        "ground": None if scene.ground is None else _n(scene.ground.z),
        "obstacles": [
            {
                "kind": o.kind,
                "path": _path(o.path),
                "od": _n(o.diameter),
                "words": o.words,
                "corners": _path(o.corners),
            }
            for o in scene.obstacles
        ],
        "north": None if scene.north is None else _p(scene.north),
        "north_words": scene.north_words,
        "bent": [
            {"path": _path(add(at, scale(shift, by)) for at, shift in b.line), "zone": zone}
            for zone, b in bowed
            if by
        ],
        "bent_words": bent_words(by) if by else "",
        "clear": [
            {"a": _p(c.a), "b": _p(c.b), "zone": c.zone, "words": clear_words(c.gap, c.what)}
            for c in sorted(clear, key=lambda c: c.gap)
        ],
    }  # fmt: skip


def _n(value: float) -> float:
    return round(value, _FINE) + 0.0


def _p(point: Vec) -> list[float]:
    return [_n(v) for v in point]


def _path(points: Iterable[Vec]) -> list[list[float]]:
    return [_p(point) for point in points]


def _fitting(f: Fitting) -> dict[str, Any]:
    return {
        "kind": f.kind,
        "limbs": [[_p(limb.a), _p(limb.b), _n(limb.diameter)] for limb in f.limbs],
        "old": f.old,
        "words": f.words,
        "arrow": None if f.arrow is None else _path(f.arrow),
        "zone": f.zone,
        "name": f.name,
    }


def _walls(scene: Scene) -> dict[str, Any] | None:
    if scene.walls is None:
        return None
    return {"mouth": _path(scene.walls.mouth), "floor": _path(scene.walls.floor)}


def _views(scene: Scene) -> dict[str, list[float]]:
    """Heading of the picture's right-hand side and how high it is looked at from. [°]"""
    found = {"plan": [0.0, 90.0]}
    for name, camera, high in (
        ("elevation", elevation(scene), 0.0),
        ("isometric", isometric(scene), _CORNER),
    ):
        found[name] = [round(degrees(atan2(camera.right[1], camera.right[0])), 2), high]
    return found


def _times(bowed: Sequence[Bowed], thick: float) -> int:
    """By how much bent pipe is enlarged so that it leaves its pipe; 0 where nothing is left."""
    most = max((norm(shift) for b in bowed for _, shift in b.line), default=0.0)
    return next((f for f in FACTORS if f * most >= thick), 0) if most > 0.0 else 0


def plan_turning(plan: Plan) -> dict[str, Any]:
    """The pit with the best option of every zone, its bent pipe and its clearances. [m]"""
    scene = plan_scene(plan)
    bowed: list[tuple[str, Bowed]] = []
    best: list[Option] = []
    for zone in plan.zones:
        if isinstance(zone.answer, Refusal):
            continue
        option = zone.answer[0]
        best.append(option)
        lines = lines_of(plan.survey, zone.zone, option)
        if lines:
            scene = in_full(scene, plan.survey, option, lines)
        bowed += [(zone.zone.id, line) for line in lines]
    thick = max((outside_diameter(plan.survey.stub(b.stub)) for _, b in bowed), default=0.0)
    clear = [c for option in best for c in clearances(plan, option, best)]
    zones = [(z.zone.id, z.zone.name) for z in plan.zones if z.best is not None]
    zones = zones if len(zones) > 1 else []
    return turning(scene, plan.survey.name, zones=zones, bowed=bowed, thick=thick, clear=clear)


def clearances(plan: Plan, option: Option, best: Sequence[Option]) -> list[Clear]:
    """What comes nearest to an option: each obstacle, each neighbour, soil, gravel and lid. [m]

    Source: none needed.
    """
    names = {z.zone.id: z.zone.name for z in plan.zones}
    found: list[Clear] = []
    others = [(o.zone, c) for o in best if o.zone > option.zone for c in o.solids]
    things = [(t.name or t.kind, t.solid(0.0)) for t in plan.survey.obstacles]
    things += [(names[zone], c) for zone, c in others]
    for what in dict.fromkeys(name for name, _ in things):
        gaps = [
            _apart(solid, thing)
            for solid in option.solids
            for name, thing in things
            if name == what
        ]
        a, b, gap = min(gaps, key=lambda g: g[2])
        found.append(Clear(a, b, gap, what, option.zone))
    planes = walls_of(plan.survey.box)
    for what in dict.fromkeys(wall_words(w.name) for w in planes):
        mine = [w for w in planes if wall_words(w.name) == what]
        a, b, gap = min((_before(c, w) for c in option.solids for w in mine), key=lambda g: g[2])
        found.append(Clear(a, b, gap, what, option.zone))
    return found


def _before(solid: Capsule, wall: HalfSpace) -> tuple[Vec, Vec, float]:
    """The nearest points of a capsule and a wall, and the gap. [m]"""
    end = max((solid.a, solid.b), key=lambda p: dot(wall.normal, p))
    gap = wall.most - dot(wall.normal, end)
    skin = add(end, scale(wall.normal, solid.radius))
    return skin, add(end, scale(wall.normal, gap)), gap - solid.radius


def _apart(solid: Capsule, thing: Solid) -> tuple[Vec, Vec, float]:
    """The nearest points on the outsides of a part and of what is near it, and the gap. [m]"""
    a, b, one = solid.a, solid.b, solid.radius
    if isinstance(thing, Capsule):
        p, q = nearest(a, b, thing.a, thing.b)
        other = thing.radius
    else:
        p, q = nearest_of(a, b, thing)
        other = 0.0
    far = norm(sub(q, p))
    if far <= 1e-9:
        return p, q, gap(solid, thing)
    way = scale(sub(q, p), 1 / far)
    return add(p, scale(way, one)), add(q, scale(way, -other)), far - one - other


def nearest(a: Vec, b: Vec, c: Vec, d: Vec) -> tuple[Vec, Vec]:
    """The points of the segments ab and cd that lie nearest to each other. [m]"""
    u, v = sub(b, a), sub(d, c)
    uu, vv, uv = dot(u, u), dot(v, v), dot(u, v)
    best: tuple[float, Vec, Vec] | None = None
    det = uu * vv - uv * uv
    w = sub(a, c)
    trials: list[tuple[float, float]] = []
    if det > 1e-12 * uu * vv:
        trials.append(((uv * dot(v, w) - vv * dot(u, w)) / det, 0.0))
    shares = [_clamped(s) for s, _ in trials] + [0.0, 1.0]
    shares += [_clamped(dot(sub(end, a), u) / uu) if uu > 0.0 else 0.0 for end in (c, d)]
    for share in shares:
        p = add(a, scale(u, share))
        q = add(c, scale(v, _clamped(dot(sub(p, c), v) / vv) if vv > 0.0 else 0.0))
        far = norm(sub(q, p))
        if best is None or far < best[0]:
            best = far, p, q
    assert best is not None  # there are always four trials
    return best[1], best[2]


def _clamped(share: float) -> float:
    return min(1.0, max(0.0, share))


def stills(scene: Scene, prefix: str = "still") -> str:
    """Plan and elevation as SVG, for where no script runs. [mm]"""
    found = []
    for name in ("plan", "elevation"):
        drawn = view(scene, name, 120.0, 112.0)
        box = (0.0, 0.0, drawn.width, drawn.height)
        said = still_words(name)
        found.append(svg_drawing(drawn.shapes, box, said, prefix=f"{prefix}{name}"))
    return "".join(found)


def turning_html(data: dict[str, Any], still: str) -> str:
    """The element that turns: ``still`` is markup shown where no script runs."""
    return h(
        "div",
        h("div", Html(still), class_="turning-still"),
        json_block(data),
        class_="turning",
        data_turning=True,
        data_title=str(data["title"]),
    )
