"""Room for a train: between the walls of the pit and clear of what lies in it.

Walls are planes and go into the lengths themselves; obstacles are not convex and are tested
against the train's solids at many of the places where it may lie. The first place that is clear,
shortest first, is taken.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitwright.findings import Short
from pitwright.geometry.clearance import Capsule, HalfSpace, segment_distance, to_wall
from pitwright.geometry.solids import Solid, gap, shortest_gap
from pitwright.geometry.vector import Vec, across, add, norm, scale, sub
from pitwright.trains.kit import Girth
from pitwright.trains.rows import Body, Gap, Row

__all__ = ["Laid", "Room", "clearest", "solids"]

TOUCH = 1e-6
"""Things that touch within this are clear: the room to keep is part of the obstacle. [m]"""
SHARES = (0.0, 0.5, 1.0)
"""How a leg's slack may be shared about its valve: all after it, half, all before. [-]"""


APART = 3
"""Legs so far apart in a train may cross each other; nearer ones their bends keep apart. [-]"""
_THIN = Girth(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Room:
    """The free space: inside every wall, outside every obstacle (thickened by its clearance)."""

    walls: tuple[HalfSpace, ...] = ()
    obstacles: tuple[Solid, ...] = ()
    girth: Girth = _THIN

    @property
    def bend_walls(self) -> tuple[HalfSpace, ...]:
        """The walls as they stand for the centre of a bend. [m]"""
        thick = self.girth.fitting
        return tuple(HalfSpace(w.normal, w.most - thick, w.name) for w in self.walls)


@dataclass(frozen=True, slots=True)
class Laid:
    """Leg lengths [m], and which share of the valve leg's slack lies before the valve. [-]"""

    lengths: tuple[float, ...]
    share: float


def solids(
    directions: Sequence[Vec], rows: Sequence[Row], tip: Vec, laid: Laid, girth: Girth
) -> Iterator[Capsule]:
    """The train as capsules: bends with their sockets, valve and bonnet, then the legs. [m]

    Source: shapes of revolution about the axes; a capsule covers a socket's rim.
    """
    points = _corners(directions, laid.lengths, tip)
    yield from _bends(directions, [_arm(row) for row in rows], points, girth)
    yield from _valves(directions, rows, points, laid, girth)
    for number, (a, b) in enumerate(pairwise(points), start=1):
        yield Capsule(a, b, girth.pipe, f"leg {number}")


def _corners(directions: Sequence[Vec], lengths: Sequence[float], tip: Vec) -> list[Vec]:
    """Where the legs begin and end: one point more than legs. [m]"""
    x, y, z = tip
    points = [tip]
    for (a, b, c), length in zip(directions, lengths, strict=True):
        x, y, z = x + a * length, y + b * length, z + c * length
        points.append((x, y, z))
    return points


def _bends(
    directions: Sequence[Vec], arms: Sequence[float], points: Sequence[Vec], girth: Girth
) -> Iterator[Capsule]:
    for number in range(1, len(directions)):
        name, a, b = f"bend {number}", points[number - 1], points[number]
        reach = min(arms[number - 1], _apart(a, b))
        yield Capsule(add(b, scale(directions[number - 1], -reach)), b, girth.fitting, name)
        yield Capsule(b, add(b, scale(directions[number], arms[number])), girth.fitting, name)


def _valves(
    directions: Sequence[Vec], rows: Sequence[Row], points: Sequence[Vec], laid: Laid, girth: Girth
) -> Iterator[Capsule]:
    for a, direction, row, length in zip(points, directions, rows, laid.lengths, strict=False):
        middle = _valve_at(row, length, laid.share)
        if middle is not None:
            centre, half = add(a, scale(direction, middle[0])), middle[1]
            back, front = scale(direction, -half), scale(direction, half)
            yield Capsule(add(centre, back), add(centre, front), girth.valve, "valve")
            top = add(centre, scale(across(direction)[0], max(girth.bonnet - girth.valve, 0.0)))
            yield Capsule(centre, top, girth.valve * 0.9, "bonnet")


def _apart(a: Vec, b: Vec) -> float:
    return norm(sub(b, a))


def _arm(row: Row) -> float:
    """From a bend's centre to its socket's face, from the row it stands on. [m]"""
    gaps = row.gaps
    depth = max((max(g.depth_before, g.depth_after) for g in gaps), default=0.0)
    return row.ends / 2 + depth if len(gaps) else row.ends


def _valve_at(row: Row, length: float, share: float) -> tuple[float, float] | None:
    """The valve's middle from the leg's beginning, and half its length; None without one. [m]

    The row's corner before takes its part of ``ends``; bodies and gaps follow in order.
    """
    if not any(isinstance(i, Body) and i.name == "valve" for i in row.items):
        return None
    slack = row.spare(length)
    gaps = [i for i in row.items if isinstance(i, Gap)]
    at = row.start
    for item, drawn in zip(row.items, row.drawn(length), strict=True):
        if isinstance(item, Body):
            if item.name == "valve":
                return at + item.length / 2, item.length / 2
            at += item.length + drawn
        else:
            first, last = item is gaps[0], item is gaps[-1]
            at += item.least
            if len(gaps) > 1:
                at += slack * share if first else slack * (1.0 - share) if last else 0.0
            else:
                at += slack
    return None


def clearest(
    candidates: Sequence[Laid],
    directions: Sequence[Vec],
    rows: Sequence[Row],
    tip: Vec,
    room: Room,
    label: str,
    brief: bool = False,
) -> Laid | Short:
    """The first candidate that is clear of everything, or the one that lacked least. [m]

    ``brief`` asks for any lack, not the least: for whom only a clear place will do. [-]
    Source: the shapes of :func:`solids`.
    """
    best: Short | None = None
    looking = _Looking(directions, rows, tip, room, label)
    for laid in candidates:
        enough = math.inf if best is None else best.missed
        lack = looking.lack(laid, TOUCH if brief else enough)
        if lack is None:
            return laid
        if best is None or lack.missed < best.missed:
            best = lack
    assert best is not None
    return best


class _Looking:
    """One skeleton on one chain, looked at in many places.

    Places that differ only in where the valve sits share what is known of their legs and bends.
    An obstacle far from a leg's axis is far from all that stands on the leg.
    """

    __slots__ = (
        "arms", "directions", "hot", "known", "label", "reach", "room",
        "rows", "struck", "tip", "valve",
    )  # fmt: skip

    def __init__(
        self, directions: Sequence[Vec], rows: Sequence[Row], tip: Vec, room: Room, label: str
    ) -> None:
        self.directions, self.rows, self.tip = directions, rows, tip
        self.room, self.label = room, label
        self.arms = [_arm(row) for row in rows]
        self.valve = any(isinstance(i, Body) and i.name == "valve" for r in rows for i in r.items)
        girth = room.girth
        self.reach = max(girth.pipe, girth.fitting, girth.valve, girth.bonnet)
        self.hot = 0
        self.struck: Short | None = None
        self.known: dict[tuple[float, ...], tuple[list[Vec], bool, Short | None]] = {}

    def lack(self, laid: Laid, enough: float) -> Short | None:
        """The worst overlap of a place, or any of ``enough`` [m]; None when there is none. [m]"""
        known = self.known.get(laid.lengths)
        if known is None:
            points = _corners(self.directions, laid.lengths, self.tip)
            if enough <= TOUCH and self._struck_again(points):
                near, worst = True, self.struck
            else:
                near, worst = self._legs(points, laid, enough)
            known = self.known[laid.lengths] = (points, near, worst)
        points, near, worst = known
        if worst is not None and worst.missed >= enough:
            return worst
        if self.valve and (near or self.room.walls):
            deepest = TOUCH if worst is None else worst.missed
            valves = _valves(self.directions, self.rows, points, laid, self.room.girth)
            for solid in valves:
                worst, deepest = self._against(solid, near, worst, deepest)
                if worst is not None and deepest >= enough:
                    return worst
        return worst or _crossed(_standing(points, laid.lengths), self.room, self.label)

    def _struck_again(self, points: Sequence[Vec]) -> bool:
        """Whether the leg that stood in the way last time does so again."""
        if self.struck is None:
            return False
        a, b, pipe = points[self.hot], points[self.hot + 1], self.room.girth.pipe
        return any(pipe - shortest_gap(a, b, o, pipe) > TOUCH for o in self.room.obstacles)

    def _legs(self, points: Sequence[Vec], laid: Laid, enough: float) -> tuple[bool, Short | None]:
        """Whether any obstacle is near at all, and the worst overlap of legs and bends. [m]"""
        room, pipe = self.room, self.room.girth.pipe
        near = False
        worst: Short | None = None
        deepest = TOUCH
        for number, (a, b) in enumerate(pairwise(points), start=1):
            over = max(self.arms[number - 1] - laid.lengths[number - 1], 0.0)
            for obstacle in room.obstacles:
                apart = shortest_gap(a, b, obstacle, self.reach + over)
                near = near or apart < self.reach + over
                if pipe - apart > deepest:
                    deepest, name = pipe - apart, f"leg {number}"
                    worst = self._struck(obstacle.name, name, deepest)
            if worst is not None and deepest >= enough:
                self.hot, self.struck = number - 1, worst
                return near, worst
        if near:
            for solid in _bends(self.directions, self.arms, points, room.girth):
                worst, deepest = self._against(solid, near, worst, deepest)
                if worst is not None and deepest >= enough:
                    break
        return near, worst

    def _struck(self, obstacle: str, solid: str, deep: float) -> Short:
        tried = f"{self.label}: {solid}"
        return Short("OBSTACLE", obstacle, -deep, 0.0, deep, "m", "other_side", tried)

    def _against(
        self, solid: Capsule, near: bool, worst: Short | None, deepest: float
    ) -> tuple[Short | None, float]:
        """The worse of what is known and this solid's overlap with obstacles and walls. [m]"""
        for obstacle in self.room.obstacles if near else ():
            apart = gap(solid, obstacle)
            if -apart > deepest:
                deepest = -apart
                worst = self._struck(obstacle.name, solid.name, deepest)
        for wall in self.room.walls if solid.name in ("valve", "bonnet") else ():
            apart = to_wall(solid, wall)
            if -apart > deepest:
                deepest, tried = -apart, f"{self.label}: {solid.name}"
                worst = Short("WALL", wall.name, apart, 0.0, -apart, "m", "dig_wall", tried)
        return worst, deepest


def _standing(points: Sequence[Vec], lengths: Sequence[float]) -> Sequence[Vec]:
    """The corners between which pipe stands: not where a stub is cut back past its own tip. [m]"""
    first = points[1] if lengths[0] < 0.0 else points[0]
    last = points[-2] if lengths[-1] < 0.0 else points[-1]
    return (first, *points[1:-1], last)


def _crossed(points: Sequence[Vec], room: Room, label: str) -> Short | None:
    """The worst overlap of a leg with a later one of its train, None when there is none. [m]"""
    worst: Short | None = None
    for n, (a, b) in enumerate(pairwise(points)):
        for later in range(n + APART, len(points) - 1):
            apart = segment_distance(a, b, points[later], points[later + 1]) - 2 * room.girth.pipe
            if apart < -TOUCH and (worst is None or -apart > worst.missed):
                tried = f"{label}: leg {later + 1}"
                lift = "other_bends"
                worst = Short("CROSSED", f"leg {n + 1}", apart, 0.0, -apart, "m", lift, tried)
    return worst
