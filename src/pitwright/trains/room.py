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
from pitwright.geometry.clearance import Capsule, HalfSpace, between, to_wall
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
    obstacles: tuple[Capsule, ...] = ()
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
    at = tip
    ends: list[tuple[Vec, Vec, Vec]] = []
    for direction, length in zip(directions, laid.lengths, strict=True):
        onward = add(at, scale(direction, length))
        ends.append((at, onward, direction))
        at = onward
    for number, ((a, b, before), (_, _, after)) in enumerate(pairwise(ends), start=1):
        name, arm = f"bend {number}", rows[number - 1]
        reach = _arm(arm)
        yield Capsule(add(b, scale(before, -min(reach, _apart(a, b)))), b, girth.fitting, name)
        yield Capsule(b, add(b, scale(after, _arm(rows[number]))), girth.fitting, name)
    for (a, _, direction), row, length in zip(ends, rows, laid.lengths, strict=True):
        middle = _valve_at(row, length, laid.share)
        if middle is not None:
            centre, half = add(a, scale(direction, middle[0])), middle[1]
            back, front = scale(direction, -half), scale(direction, half)
            yield Capsule(add(centre, back), add(centre, front), girth.valve, "valve")
            top = add(centre, scale(across(direction)[0], max(girth.bonnet - girth.valve, 0.0)))
            yield Capsule(centre, top, girth.valve * 0.9, "bonnet")
    for number, (a, b, _) in enumerate(ends, start=1):
        yield Capsule(a, b, girth.pipe, f"leg {number}")


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
) -> Laid | Short:
    """The first candidate that is clear of everything, or the one that lacked least. [m]

    Source: the shapes of :func:`solids`.
    """
    best: Short | None = None
    for laid in candidates:
        enough = math.inf if best is None else best.missed
        lack = _lack(laid, directions, rows, tip, room, label, enough)
        if lack is None:
            return laid
        if best is None or lack.missed < best.missed:
            best = lack
    assert best is not None
    return best


def _lack(
    laid: Laid,
    directions: Sequence[Vec],
    rows: Sequence[Row],
    tip: Vec,
    room: Room,
    label: str,
    enough: float,
) -> Short | None:
    """The worst overlap of a candidate, or any of ``enough`` [m]; None when there is none. [m]"""
    worst: Short | None = None
    deepest = TOUCH
    for solid in solids(directions, rows, tip, laid, room.girth):
        tried = f"{label}: {solid.name}"
        for obstacle in room.obstacles:
            gap = between(solid, obstacle)
            if -gap > deepest:
                deepest, name = -gap, obstacle.name
                worst = Short("OBSTACLE", name, gap, 0.0, -gap, "m", "other_side", tried)
        if solid.name in ("valve", "bonnet"):
            for wall in room.walls:
                gap = to_wall(solid, wall)
                if -gap > deepest:
                    deepest = -gap
                    worst = Short("WALL", wall.name, gap, 0.0, -gap, "m", "dig_wall", tried)
        if worst is not None and deepest >= enough:
            break
    return worst or _crossed(laid, directions, tip, room, label)


def _crossed(
    laid: Laid, directions: Sequence[Vec], tip: Vec, room: Room, label: str
) -> Short | None:
    """The worst overlap of a leg with a later one of its train, None when there is none. [m]"""
    points = [tip]
    for direction, length in zip(directions, laid.lengths, strict=True):
        points.append(add(points[-1], scale(direction, length)))
    legs = [
        Capsule(a, b, room.girth.pipe, f"leg {n}") for n, (a, b) in enumerate(pairwise(points), 1)
    ]
    worst: Short | None = None
    for n, leg in enumerate(legs):
        for later in legs[n + APART :]:
            gap = between(leg, later)
            if gap < -TOUCH and (worst is None or -gap > worst.missed):
                tried = f"{label}: {later.name}"
                worst = Short("CROSSED", leg.name, gap, 0.0, -gap, "m", "other_bends", tried)
    return worst
