"""How far things stand apart: capsules among themselves, and before a wall.

A capsule is all that lies within ``radius`` of a straight segment: a pipe, a socket, a valve's
body, a root. Distances are exact; a negative one says how deep two things overlap.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.geometry.vector import Vec, add, dot, norm, scale, sub

__all__ = ["Capsule", "HalfSpace", "between", "segment_distance", "to_wall"]

_POINT = 1e-12
"""A squared length below this is a point. [m²]"""


@dataclass(frozen=True, slots=True)
class Capsule:
    """Everything within ``radius`` of the segment from a to b. [m] ``name`` is for messages."""

    a: Vec
    b: Vec
    radius: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class HalfSpace:
    """The free side of a wall: normal · p <= most. [m] ``normal`` is a unit vector."""

    normal: Vec
    most: float
    name: str = ""


def _clamped(x: float) -> float:
    return 0.0 if x < 0.0 else 1.0 if x > 1.0 else x


def segment_distance(a: Vec, b: Vec, c: Vec, d: Vec) -> float:
    """The shortest distance between the segments ab and cd. [m]

    The nearest points minimise a convex quadratic on a square: the line of its free minimum, then
    each clamp. Source: textbook geometry; checked against a numeric optimiser.
    """
    u, v, w = sub(b, a), sub(d, c), sub(a, c)
    uu, vv, uv = dot(u, u), dot(v, v), dot(u, v)
    uw, vw = dot(u, w), dot(v, w)
    if uu < _POINT and vv < _POINT:
        return norm(w)
    if uu < _POINT:
        s, t = 0.0, _clamped(vw / vv)
    elif vv < _POINT:
        s, t = _clamped(-uw / uu), 0.0
    else:
        det = uu * vv - uv * uv
        s = _clamped((uv * vw - vv * uw) / det) if det > 1e-12 * uu * vv else 0.0
        t = (uv * s + vw) / vv
        if t < 0.0:
            s, t = _clamped(-uw / uu), 0.0
        elif t > 1.0:
            s, t = _clamped((uv - uw) / uu), 1.0
    return norm(sub(add(a, scale(u, s)), add(c, scale(v, t))))


def between(one: Capsule, other: Capsule) -> float:
    """The gap between two capsules, negative when they overlap. [m] Source: textbook geometry."""
    return segment_distance(one.a, one.b, other.a, other.b) - one.radius - other.radius


def to_wall(one: Capsule, wall: HalfSpace) -> float:
    """The gap between a capsule and a wall, negative when it stands in it. [m]

    A segment comes nearest to a plane with one of its ends. Source: textbook geometry.
    """
    nearest = max(dot(wall.normal, one.a), dot(wall.normal, one.b))
    return wall.most - nearest - one.radius
