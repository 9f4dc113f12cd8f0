"""How far a straight thing stands from a box or a drum: a footing, a meter box, a barrel.

A :class:`Block` is a box turned any way, a :class:`Drum` a round thing with flat ends; both with
everything within ``margin`` of them. Distances from a segment are exact; inside, a negative one
says how deep. Each also knows the capsule that holds it (``a``, ``b``, ``radius``), which is much
quicker to ask and never nearer than the thing itself is deep.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product
from math import hypot, sqrt

from pitwright.geometry.clearance import Capsule, between, segment_distance
from pitwright.geometry.vector import Vec, add, cross, dot, norm, scale, sub, unit

__all__ = ["Block", "Drum", "Solid", "block", "corners", "drum", "gap", "nearest", "shortest_gap"]

_TOUCH = 1e-12
_ROUNDS = 80


@dataclass(frozen=True, slots=True)
class Block:
    """A box about ``centre`` with unit ``axes``, each half as long as ``halves`` says. [m]"""

    centre: Vec
    axes: tuple[Vec, Vec, Vec]
    halves: tuple[float, float, float]
    margin: float
    name: str
    a: Vec
    b: Vec
    radius: float


@dataclass(frozen=True, slots=True)
class Drum:
    """A round thing with flat ends at a and b, ``size`` thick from its axis. [m]"""

    a: Vec
    b: Vec
    size: float
    margin: float
    name: str
    radius: float


Solid = Capsule | Block | Drum


def block(
    start: Vec,
    end: Vec,
    side: Vec,
    wide: float,
    high: float,
    *,
    margin: float = 0.0,
    name: str = "",
) -> Block:
    """A box from the middle of one face to the middle of the face across from it. [m]

    ``wide`` is its size along ``side`` (made square to the axis), ``high`` its size square to
    both. start and end differ, side does not lie along them. Source: none needed.
    """
    line = sub(end, start)
    along = unit(line)
    across = unit(sub(side, scale(along, dot(side, along))))
    axes = (along, across, cross(along, across))
    halves = norm(line) / 2.0, wide / 2.0, high / 2.0
    centre = add(start, scale(line, 0.5))
    longest = max(range(3), key=lambda i: halves[i])
    reach = scale(axes[longest], halves[longest])
    others = [h for i, h in enumerate(halves) if i != longest]
    held = sub(centre, reach), add(centre, reach), hypot(*others) + margin
    return Block(centre, axes, halves, margin, name, *held)


def corners(box: Block) -> tuple[Vec, ...]:
    """The eight corners of a box without its margin, by their signs along its axes. [m]

    Source: none needed.
    """
    found: list[Vec] = []
    for signs in product((-1.0, 1.0), repeat=3):
        point = box.centre
        for sign, axis, half in zip(signs, box.axes, box.halves, strict=True):
            point = add(point, scale(axis, sign * half))
        found.append(point)
    return tuple(found)


def drum(a: Vec, b: Vec, size: float, *, margin: float = 0.0, name: str = "") -> Drum:
    """A round thing with flat ends, ``size`` [m] from its axis; a and b differ. [m]

    Source: none needed.
    """
    return Drum(a, b, size, margin, name, size + margin)


def gap(one: Capsule, other: Solid) -> float:
    """The gap between a capsule and anything, negative when they overlap. [m]

    Source: convex geometry; checked against a conic optimiser.
    """
    if isinstance(other, Capsule):
        return between(one, other)
    return shortest_gap(one.a, one.b, other) - one.radius


def shortest_gap(a: Vec, b: Vec, thing: Solid, enough: float = float("inf")) -> float:
    """From the segment ab to a thing's outside, negative when it lies inside. [m]

    At ``enough`` [m] or more it may be told too small, but not below that: the capsule that holds
    the thing is asked first. Source: convex geometry.
    """
    rough = segment_distance(a, b, thing.a, thing.b) - thing.radius
    if isinstance(thing, Capsule) or rough >= enough:
        return rough
    _, apart = _to_block(a, b, thing) if isinstance(thing, Block) else _to_drum(a, b, thing)
    return apart - thing.margin


def nearest(a: Vec, b: Vec, thing: Block | Drum) -> tuple[Vec, Vec]:
    """The point of the segment ab nearest to a thing without its margin, and the thing's. [m]

    The same point twice where the segment passes through it. Source: convex geometry.
    """
    if isinstance(thing, Block):
        t, _ = _to_block(a, b, thing)
        p = add(a, scale(sub(b, a), t))
        q = thing.centre
        for axis, half in zip(thing.axes, thing.halves, strict=True):
            x = dot(sub(p, thing.centre), axis)
            q = add(q, scale(axis, min(half, max(-half, x))))
        return p, q
    t, _ = _to_drum(a, b, thing)
    p = add(a, scale(sub(b, a), t))
    line = sub(thing.b, thing.a)
    along, off = unit(line), sub(p, thing.a)
    high = dot(off, along)
    out = sub(off, scale(along, high))
    far = norm(out)
    held = add(thing.a, scale(along, min(norm(line), max(0.0, high))))
    return p, add(held, scale(out, thing.size / far) if far > thing.size else out)


def _to_block(a: Vec, b: Vec, box: Block) -> tuple[float, float]:
    """Where along the segment, and how far: the lowest spot of a convex run of parabolas."""
    off, way = sub(a, box.centre), sub(b, a)
    at = [dot(off, axis) for axis in box.axes]
    by = [dot(way, axis) for axis in box.axes]

    def beyond(i: int, t: float) -> float:
        x = at[i] + by[i] * t
        half = box.halves[i]
        return x - half if x > half else x + half if x < -half else 0.0

    def slope(t: float) -> float:
        return sum(beyond(i, t) * by[i] for i in range(3))

    breaks = [0.0, 1.0]
    for x, dx, half in zip(at, by, box.halves, strict=True):
        if abs(dx) > _TOUCH:
            breaks += [t for t in ((half - x) / dx, (-half - x) / dx) if 0.0 < t < 1.0]
    t = _flat_spot(slope, sorted(breaks))
    apart = hypot(*(beyond(i, t) for i in range(3)))
    return t, apart if apart > _TOUCH else -_deep_in_block(at, by, way, box)


def _flat_spot(slope: Callable[[float], float], breaks: Sequence[float]) -> float:
    """Where a rising slope, straight between breaks, passes through nothing."""
    last, before = breaks[0], slope(breaks[0])
    if before >= 0.0:
        return last
    for t in breaks[1:]:
        here = slope(t)
        if here >= 0.0:
            return last + (t - last) * before / (before - here)
        last, before = t, here
    return last


def _deep_in_block(at: Sequence[float], by: Sequence[float], way: Vec, box: Block) -> float:
    """The shortest way out: square to a face, or to an edge and the segment."""
    ways = [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)]
    if norm(way) > _TOUCH:
        line = (by[0], by[1], by[2])
        crossed = [cross(line, axis) for axis in ways]
        ways += [unit(n) for n in crossed if norm(n) > 1e-9 * norm(way)]
    deepest = float("inf")
    for n in ways:
        reach = sum(abs(x) * half for x, half in zip(n, box.halves, strict=True))
        first = n[0] * at[0] + n[1] * at[1] + n[2] * at[2]
        last = first + n[0] * by[0] + n[1] * by[1] + n[2] * by[2]
        deepest = min(deepest, reach - min(first, last), reach + max(first, last))
    return max(deepest, 0.0)


def _to_drum(a: Vec, b: Vec, thing: Drum) -> tuple[float, float]:
    """Where along the segment, and how far: where the slope of a convex curve is nothing."""
    axis = sub(thing.b, thing.a)
    half, along = norm(axis) / 2.0, unit(axis)
    off, way = sub(a, scale(add(thing.a, thing.b), 0.5)), sub(b, a)
    z, dz = dot(off, along), dot(way, along)
    out, dout = sub(off, scale(along, z)), sub(way, scale(along, dz))
    oo, od, dd = dot(out, out), dot(out, dout), dot(dout, dout)

    def parts(t: float) -> tuple[float, float, float]:
        """Beyond the nearer end, beyond the round side, and from the axis. [m]"""
        high = z + dz * t
        far = sqrt(max(oo + t * (2.0 * od + t * dd), 0.0))
        over = high - half if high > half else high + half if high < -half else 0.0
        return over, max(far - thing.size, 0.0), far

    def slope(t: float) -> float:
        over, beyond, far = parts(t)
        return over * dz + (beyond * (od + t * dd) / far if far > 0.0 else 0.0)

    t = _rising_to_nothing(slope)
    over, beyond, _ = parts(t)
    apart = hypot(over, beyond)
    if apart > _TOUCH:
        return t, apart
    middle = 0.0 if dd < _TOUCH**2 else min(1.0, max(0.0, -od / dd))
    across = thing.size - sqrt(max(oo + middle * (2.0 * od + middle * dd), 0.0))
    endways = half - max(min(z, z + dz), -max(z, z + dz))
    return t, -max(min(across, endways), 0.0)


def _rising_to_nothing(slope: Callable[[float], float]) -> float:
    """Where a slope that rises from 0 to 1 passes through nothing (false position, halved)."""
    low, high = 0.0, 1.0
    below, above = slope(low), slope(high)
    if below >= 0.0:
        return low
    if above <= 0.0:
        return high
    for n in range(_ROUNDS):
        t = low + (high - low) * below / (below - above) if n % 3 else (low + high) / 2.0
        here = slope(t)
        if here < 0.0:
            low, below = t, here
        elif here > 0.0:
            high, above = t, here
        else:
            return t
        if high - low < 1e-13:
            break
    return (low + high) / 2.0
