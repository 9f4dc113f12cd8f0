"""Room for what moves: the way in, a stub pushed aside, a turning body, a tool and a hand."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache, partial

from pitwright.findings import Short
from pitwright.flex.flexed import TURNING_FREE
from pitwright.flex.path import BarePath
from pitwright.flex.reach import reach
from pitwright.geometry.clearance import Capsule, HalfSpace, to_wall
from pitwright.geometry.solids import drum, gap, shortest_gap
from pitwright.geometry.vector import Vec, across, add, dot, scale
from pitwright.joining.layout import Layout
from pitwright.joining.numbers import tool_rooms
from pitwright.joining.order import Order
from pitwright.joining.work import StubSide, Work
from pitwright.trains.room import TOUCH, Room

__all__ = ["aside", "in_the_way", "open_walls", "swept", "tool_for", "tool_short", "turning_short"]

_WAYS = 12
"""Sides of the pipe from which a tool is tried. [-]"""
_HALF_WAYS = (0.5, 1.0)
"""Where along its way in a moving part is looked at. [-]"""
_UP = 0.9


def open_walls(room: Room) -> tuple[HalfSpace, ...]:
    """Every wall but the lid: the hole is open while work goes on. [m] Source: the survey."""
    return tuple(w for w in room.walls if w.normal[2] < _UP)


def aside(work: Work) -> tuple[float, float]:
    """How far both stubs together can be pushed aside, and how far they must be. [m]

    A hub's radius and a pipe's; the tips may turn. One goes its best way, the other along with it
    whichever way that is. Source: design study.
    """
    need = work.room.girth.fitting + max(s.outside for s in work.sides) / 2
    one, two = (_sideways(s, work.hands) for s in work.sides)
    return max(one[0] + two[1], one[1] + two[0]), need


def _sideways(side: StubSide, hands: float) -> tuple[float, float]:
    """Whichever way it goes, and the best way."""
    if side.path is None or side.strain <= 0.0:
        return 0.0, 0.0
    return _reach(side.path, side.strain, hands)


@lru_cache(maxsize=256)
def _reach(path: BarePath, strain: float, hands: float) -> tuple[float, float]:
    got = reach(path, TURNING_FREE, strain, hands)
    return got.least, got.most


def in_the_way(work: Work, laid: Layout, order: Order) -> Short | None:
    """What a moving part would touch on its way in, worst first; None when all is clear. [m]

    Only what it does not already stand in when it is seated counts. Source: textbook geometry.
    """
    worst: Short | None = None
    walls = open_walls(work.room)
    for begin, end, off in order.moves:
        for solid in laid.moved(begin, end):
            for share in _HALF_WAYS:
                got = _touch(work.room, walls, solid, scale(off, share))
                if got and (worst is None or got.missed > worst.missed):
                    worst = got
    return worst


def swept(laid: Layout, order: Order) -> tuple[Capsule, ...]:
    """Where the moving parts of an order pass on their way in, half way and all the way off. [m]

    Source: textbook geometry.
    """
    return tuple(
        _off(solid, scale(off, share))
        for begin, end, off in order.moves
        for solid in laid.moved(begin, end)
        for share in _HALF_WAYS
    )


def _off(solid: Capsule, off: Vec) -> Capsule:
    return Capsule(add(solid.a, off), add(solid.b, off), solid.radius, solid.name)


def _touch(room: Room, walls: Sequence[HalfSpace], solid: Capsule, off: Vec) -> Short | None:
    there = _off(solid, off)
    worst: Short | None = None
    deepest = TOUCH
    for name, lift, moved, seated in _gaps(room, walls, solid, there):
        if -moved <= deepest:
            continue
        lack = min(0.0, seated()) - moved
        if lack > deepest:
            deepest = lack
            worst = Short("WAY_IN", name, moved, 0.0, lack, "m", lift, solid.name)
    return worst


def _gaps(
    room: Room, walls: Sequence[HalfSpace], solid: Capsule, there: Capsule
) -> Iterator[tuple[str, str, float, Callable[[], float]]]:
    """What may be touched, what lifts it, how near the part is on its way, and when seated. [m]"""
    for thing in room.obstacles:
        # what is farther off than touching may be told too near, but not as touching
        moved = shortest_gap(there.a, there.b, thing, there.radius) - there.radius
        yield thing.name, "other_side", moved, partial(gap, solid, thing)
    for wall in walls:
        yield wall.name, "dig_wall", to_wall(there, wall), partial(to_wall, solid, wall)


def turning_short(room: Room, solid: Capsule, radius: float, what: str) -> Short | None:
    """What a body would hit that turns about its own axis with so large a radius. [m]

    Source: textbook geometry.
    """
    axis = add(solid.b, scale(solid.a, -1.0))
    length = math.hypot(*axis)
    worst: Short | None = None
    for thing in room.obstacles:
        have = shortest_gap(solid.a, solid.b, thing)
        if have < radius and isinstance(thing, Capsule) and length > 0.0:
            have = _free_about(solid.a, solid.b, thing, max(have, 0.0), radius)
        worst = _worse(worst, have, radius, thing.name, "bonnet_off", what)
    for wall in open_walls(room):
        slope = dot(axis, wall.normal) / length if length else 0.0
        lean = math.sqrt(max(0.0, 1.0 - slope * slope))
        if lean < 1e-6:
            continue
        have = (wall.most - max(dot(wall.normal, solid.a), dot(wall.normal, solid.b))) / lean
        worst = _worse(worst, have, radius, wall.name, "dig_wall", what)
    return worst


def _free_about(a: Vec, b: Vec, thing: Capsule, low: float, high: float) -> float:
    """The widest flat-ended drum about an axis that stays clear of a thing, up to ``high``. [m]

    What lies beyond the body's ends is not swept.
    """
    if gap(thing, drum(a, b, high)) >= 0.0:
        return high
    while high - low > TOUCH:
        middle = (low + high) / 2
        if middle > 0.0 and gap(thing, drum(a, b, middle)) >= 0.0:
            low = middle
        else:
            high = middle
    return low


def _worse(
    worst: Short | None, have: float, need: float, where: str, lift: str, what: str
) -> Short | None:
    lack = need - have
    if lack <= TOUCH or (worst is not None and worst.missed >= lack):
        return worst
    return Short("SWING", where, have, need, lack, "m", lift, what)


def tool_short(work: Work, tools: Iterable[str], at: Vec, axis: Vec, where: str) -> str | Short:
    """As :func:`tool_for`, in the room of a train. [m] Source: ``data/tool_room.csv``."""
    return tool_for(work.room, tools, at, axis, where)


def tool_for(room: Room, tools: Iterable[str], at: Vec, axis: Vec, where: str) -> str | Short:
    """The first tool for which there is room at a place of a pipe, or what the best one lacks. [m]

    Each is tried from all sides of the pipe, from gravity round; ``where`` names the place.
    Source: ``data/tool_room.csv``.
    """
    one, two = across(axis)
    best: Short | None = None
    for tool in tools:
        wants = tool_rooms().get(tool)
        if wants is None:
            continue
        for n in range(_WAYS):
            turn = 2.0 * math.pi * n / _WAYS
            way = add(scale(one, math.cos(turn)), scale(two, math.sin(turn)))
            space = Capsule(at, add(at, scale(way, wants.reach)), wants.thick, tool)
            lack, what = _lack(room, space)
            if lack <= TOUCH:
                return tool
            if best is None or lack < best.missed:
                walls = {w.name for w in open_walls(room)}
                lift = "dig_wall" if what in walls else "hand_room"
                best = Short("NO_TOOL_ROOM", what, -lack, 0.0, lack, "m", lift, tool)
    return best or Short("NO_TOOL", where, 0.0, 1.0, 1.0, "1", "bring_tool")


def _lack(room: Room, space: Capsule) -> tuple[float, str]:
    worst, where = 0.0, ""
    things = ((gap(space, t), t.name) for t in room.obstacles)
    walls = ((to_wall(space, w), w.name) for w in open_walls(room))
    for free, name in (*things, *walls):
        if -free > worst:
            worst, where = -free, name
    return worst, where
