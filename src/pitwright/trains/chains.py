"""Which way the legs point: every chain of directions a sequence of bends allows.

The first leg leaves along the inlet stub's axis, the last arrives along the outlet's. Between
them each bend turns the train by its own angle about an azimuth that is free. With ``v`` the
direction of arrival (minus the outlet stub's outward direction):

* no bend: the stubs must look at each other; one: their axes must meet at the bend's angle;
* three and four: a family; the azimuths of the first and last bend are taken from a grid;
* two: the middle leg lies on two cones, about u and about v: at most two directions, or, where u
  and v are parallel, a whole cone from which the offset itself picks one (the rolling offset).

Stubs are never true. Where the angle between them lies within ``budget`` of one at which the
chain turns flat or parallel, the chain is built for that angle (*snapped*) and what is left over
is reported as ``residual``; the exact chain near such an angle has absurd legs.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitwright.geometry.vector import (
    Vec,
    Z,
    across,
    add,
    angle_between,
    cross,
    dot,
    norm,
    scale,
    turned,
    unit,
    without,
)

__all__ = [
    "Chain",
    "NoChain",
    "chains",
    "four",
    "neighbours",
    "nice_sides",
    "on_two_cones",
    "three",
]

ALIGNED = 1e-9
"""Directions closer than this are one direction. [rad]"""
AZIMUTHS = 8
"""Azimuths of the grid besides the nice planes: people clock joints to planes anyway. [-]"""
SAME_LINE = 1e-6
"""Axes closer than this are one line: there is no offset to roll towards. [m]"""


_SAME_SIDE = math.cos(1e-6)
_PARALLEL = 1e-7
_EDGE = 1e-6
"""Nearer than this to the edge of what two bends can turn, a chain is flat. [rad]"""


@dataclass(frozen=True, slots=True)
class Chain:
    """Unit directions of the legs, and the angle by which the last one misses the stub. [rad]"""

    directions: tuple[Vec, ...]
    residual: float
    snapped: bool


@dataclass(frozen=True, slots=True)
class NoChain:
    """No directions exist: ``code`` is ANGLE or NO_OFFSET, with the angle had and needed. [rad]"""

    code: str
    have: float
    need: float

    @property
    def missed(self) -> float:
        """By how much. [rad]"""
        return abs(self.have - self.need)


def chains(
    bends: Sequence[float],
    u: Vec,
    v: Vec,
    way: Vec,
    budget: float,
    around: int = AZIMUTHS,
    aim: Vec | None = None,
) -> tuple[Chain, ...] | NoChain:
    """Every chain of directions: all of them for 0 to 2 bends, a grid of them for 3 and 4.

    Parameters
    ----------
    bends : sequence of float
        Angle of each bend. [rad]
    u, v : Vec
        Unit directions in which the train leaves and must arrive. [-]
    way : Vec
        From the inlet's tip to the outlet's. [m]
    budget : float
        How much angle may be left over. [rad]
    around : int
        How many azimuths the grid takes besides the nice planes, for 3 and 4 bends. [-]
    aim : Vec, optional
        From the end of the first bend's take-out to the end of the last's, both straight on the
        stubs: where the middle leg of a U between two parallel sockets points. [m]

    Source: closed forms of the cones, derived in docs/decisions/0003.
    """
    if len(bends) == 0:
        return _none(u, v, budget)
    if len(bends) == 1:
        return _one(bends[0], u, v, budget)
    if len(bends) == 2:
        return _two(bends[0], bends[1], u, v, way, budget)
    azimuths = nice_sides(u, v, way, around), nice_sides(v, u, way, around)
    if len(bends) == 3:
        found = list(three(bends, u, v, azimuths[0], azimuths[1]))
    else:
        found = list(four(bends, u, v, azimuths[0], azimuths[1], aim))
    if not found:
        turn = angle_between(u, v)
        return NoChain("ANGLE", turn, min(sum(bends), math.pi))
    return tuple(found)


def _none(u: Vec, v: Vec, budget: float) -> tuple[Chain, ...] | NoChain:
    turn = angle_between(u, v)
    if turn > budget:
        return NoChain("ANGLE", turn, 0.0)
    return (Chain((u,), turn, turn > ALIGNED),)


def _one(bend: float, u: Vec, v: Vec, budget: float) -> tuple[Chain, ...] | NoChain:
    turn = angle_between(u, v)
    residual = abs(turn - bend)
    side = without(v, u)
    if residual > budget or norm(side) < ALIGNED:
        return NoChain("ANGLE", turn, bend)
    return (Chain((u, _leaning(u, side, bend)), residual, residual > ALIGNED),)


def _leaning(axis: Vec, side: Vec, angle: float) -> Vec:
    """The unit vector at ``angle`` from ``axis``, towards ``side``."""
    e = unit(without(side, axis))
    return add(scale(axis, math.cos(angle)), scale(e, math.sin(angle)))


def _two(
    first: float, second: float, u: Vec, v: Vec, way: Vec, budget: float
) -> tuple[Chain, ...] | NoChain:
    turn = angle_between(u, v)
    least, most = abs(first - second), first + second
    most = min(most, 2 * math.pi - most)
    for flat, arrive in ((0.0, u), (math.pi, scale(u, -1.0))):
        reaches = abs(least - flat) < ALIGNED or abs(most - flat) < ALIGNED
        if reaches and abs(turn - flat) <= budget:
            snapped = _parallel(first, u, arrive, way, abs(turn - flat))
            exact = _exact(first, second, u, v) if least + _EDGE < turn < most - _EDGE else ()
            # the exact chain stays: a wider budget must not lose what a tighter one has
            return exact or snapped if isinstance(snapped, NoChain) else (*snapped, *exact)
    if not least - budget <= turn <= most + budget:
        near = least if turn < least else most
        return NoChain("ANGLE", turn, near)
    found: list[Chain] = []
    if least + _EDGE < turn < most - _EDGE:
        found += _exact(first, second, u, v)
    for edge in (least, most):
        if abs(turn - edge) <= budget:
            found += _planar(first, second, edge, u, v)
    return tuple(found)


def _exact(first: float, second: float, u: Vec, v: Vec) -> tuple[Chain, ...]:
    return tuple(Chain((u, w, v), 0.0, False) for w in on_two_cones(u, first, v, second))


def _parallel(
    bend: float, u: Vec, arrive: Vec, way: Vec, residual: float
) -> tuple[Chain, ...] | NoChain:
    """The rolling offset: the offset itself says in which azimuth the middle leg lies."""
    offset = without(way, u)
    if norm(offset) < SAME_LINE:
        return NoChain("NO_OFFSET", residual, 0.0)
    w = _leaning(u, offset, bend)
    return (Chain((u, w, arrive), residual, residual > ALIGNED),)


def _planar(first: float, second: float, edge: float, u: Vec, v: Vec) -> list[Chain]:
    """All legs in the plane of both stubs, at the edge of what the two bends can turn.

    At the wide edge the middle leg leans towards v by the first bend; at the narrow edge of two
    unlike bends it does so too when the first is the wider, and away from v otherwise.
    """
    turn = angle_between(u, v)
    side = without(v, u)
    if norm(side) < ALIGNED:
        return []
    arrive = _leaning(u, side, edge)
    lean = _leaning(u, side, first)
    away = _leaning(u, scale(side, -1.0), first)
    residual = abs(turn - edge)
    w = min((lean, away), key=lambda d: abs(angle_between(d, arrive) - second))
    return [Chain((u, w, arrive), residual, residual > ALIGNED)]


def nice_sides(axis: Vec, other: Vec, way: Vec, around: int) -> tuple[Vec, ...]:
    """Unit directions square to ``axis`` that a pit suggests, then an even grid from the first.

    The planes through the way, the other stub and plumb, and those at right angles to them,
    then ``around`` steps [-]; like ones once. Source: the pit's own directions, so that turning
    the pit turns the grid.
    """
    found: list[Vec] = []
    for hint in (way, other, Z):
        side = without(hint, axis)
        if norm(side) <= 1e-6 * max(norm(hint), 1e-9):
            continue
        first = unit(side)
        second = cross(axis, first)
        found += [first, second, scale(first, -1.0), scale(second, -1.0)]
    if not found:
        first, second = across(axis)
        found = [first, second, scale(first, -1.0), scale(second, -1.0)]
    start = found[0]
    found += [turned(start, axis, 2 * math.pi * n / around) for n in range(around)]
    kept: list[Vec] = []
    for side in found:
        if all(dot(side, k) < _SAME_SIDE for k in kept):
            kept.append(side)
    return tuple(kept)


def three(
    bends: Sequence[float], u: Vec, v: Vec, sides_u: Sequence[Vec], sides_v: Sequence[Vec]
) -> Iterator[Chain]:
    """Chains of three bends [rad] whose second leg leaves u towards one of ``sides_u``. [-]

    Source: docs/decisions/0003.
    """
    for side in sides_u:
        w1 = _leaning(u, side, bends[0])
        for w2 in _between(w1, bends[1], v, bends[2], sides_v):
            yield Chain((u, w1, w2, v), 0.0, False)


def four(
    bends: Sequence[float],
    u: Vec,
    v: Vec,
    sides_u: Sequence[Vec],
    sides_v: Sequence[Vec],
    aim: Vec | None = None,
) -> Iterator[Chain]:
    """Chains of four bends [rad]: the second leg towards ``sides_u``, the fourth from ``sides_v``.

    ``aim`` as in :func:`chains`. [m] Source: docs/decisions/0003.
    """
    free = (u, v, *sides_u) if aim is None else (aim, u, v, *sides_u)
    for side in sides_u:
        w1 = _leaning(u, side, bends[0])
        for last in sides_v:
            w3 = _leaning(v, last, bends[3])
            for w2 in _between(w1, bends[1], w3, bends[2], free):
                yield Chain((u, w1, w2, w3, v), 0.0, False)


def neighbours(chain: Chain, bends: Sequence[float], step: float) -> Iterator[Chain]:
    """Chains of three or four bends whose outer bends are clocked a ``step`` farther or less. [rad]

    Source: docs/decisions/0003.
    """
    u, v = chain.directions[0], chain.directions[-1]
    side_u, side_v = without(chain.directions[1], u), without(chain.directions[-2], v)
    if norm(side_u) < 1e-9 or norm(side_v) < 1e-9:
        return
    sides_u = [unit(turned(side_u, u, step * k)) for k in (-1, 0, 1)]
    sides_v = [unit(turned(side_v, v, step * k)) for k in (-1, 0, 1)]
    if len(bends) == 3:
        yield from three(bends, u, v, sides_u, sides_v)
    else:
        yield from four(bends, u, v, sides_u, sides_v)


def _between(a: Vec, first: float, b: Vec, second: float, free: Sequence[Vec]) -> Iterator[Vec]:
    """Directions at angle ``first`` from a and ``second`` from b. [rad]

    Where a and b lie along one line (every square layout), the two cones are one or miss each
    other; on one cone every azimuth will do, and the ``free`` sides say which are tried.
    """
    apart = angle_between(a, b)
    same, opposite = apart < _PARALLEL, apart > math.pi - _PARALLEL
    if not (same or opposite):
        yield from on_two_cones(a, first, b, second)
        return
    if abs(second - first) > _PARALLEL and same:
        return
    if abs(math.pi - second - first) > _PARALLEL and opposite:
        return
    kept: list[Vec] = []
    for side in free:
        square = without(side, a)
        if norm(square) < 1e-3 * norm(side) or norm(square) < ALIGNED:
            continue
        w = _leaning(a, unit(square), first)
        if all(dot(w, k) < _SAME_SIDE for k in kept):
            kept.append(w)
            yield w


def on_two_cones(u: Vec, first: float, v: Vec, second: float) -> tuple[Vec, ...]:
    """The unit directions at angle ``first`` from u and ``second`` from v: none, one or two. [-]

    u and v are unit vectors and not parallel; angles in radians. Source: docs/decisions/0003.
    """
    c, c1, c2 = dot(u, v), math.cos(first), math.cos(second)
    square = cross(u, v)
    s2 = dot(square, square)
    if s2 < ALIGNED:
        return ()
    a, b = (c1 - c * c2) / s2, (c2 - c * c1) / s2
    g2 = (1.0 - a * c1 - b * c2) / s2
    middle = add(scale(u, a), scale(v, b))
    if g2 < -1e-12 / s2:
        return ()
    g = math.sqrt(max(g2, 0.0))
    if g < ALIGNED:
        return (unit(middle),)
    return tuple(unit(add(middle, scale(square, s))) for s in (g, -g))
