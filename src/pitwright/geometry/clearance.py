"""How far things stand apart: capsules among themselves, and before a wall.

A capsule is all that lies within ``radius`` of a straight segment: a pipe, a socket, a valve's
body, a root. Distances are exact; a negative one says how deep two things overlap.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from pitwright.geometry.vector import Vec, dot

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
    # spelt out in numbers: a search asks this a hundred thousand times
    ax, ay, az = a
    cx, cy, cz = c
    ux, uy, uz = b[0] - ax, b[1] - ay, b[2] - az
    vx, vy, vz = d[0] - cx, d[1] - cy, d[2] - cz
    wx, wy, wz = ax - cx, ay - cy, az - cz
    uu, vv = ux * ux + uy * uy + uz * uz, vx * vx + vy * vy + vz * vz
    uw, vw = ux * wx + uy * wy + uz * wz, vx * wx + vy * wy + vz * wz
    if uu < _POINT and vv < _POINT:
        s = t = 0.0
    elif uu < _POINT:
        s, t = 0.0, _clamped(vw / vv)
    elif vv < _POINT:
        s, t = _clamped(-uw / uu), 0.0
    else:
        uv = ux * vx + uy * vy + uz * vz
        det = uu * vv - uv * uv
        s = _clamped((uv * vw - vv * uw) / det) if det > 1e-12 * uu * vv else 0.0
        t = (uv * s + vw) / vv
        if t < 0.0:
            s, t = _clamped(-uw / uu), 0.0
        elif t > 1.0:
            s, t = _clamped((uv - uw) / uu), 1.0
    x, y, z = wx + s * ux - t * vx, wy + s * uy - t * vy, wz + s * uz - t * vz
    return sqrt(x * x + y * y + z * z)


def between(one: Capsule, other: Capsule) -> float:
    """The gap between two capsules, negative when they overlap. [m] Source: textbook geometry."""
    return segment_distance(one.a, one.b, other.a, other.b) - one.radius - other.radius


def to_wall(one: Capsule, wall: HalfSpace) -> float:
    """The gap between a capsule and a wall, negative when it stands in it. [m]

    A segment comes nearest to a plane with one of its ends. Source: textbook geometry.
    """
    nearest = max(dot(wall.normal, one.a), dot(wall.normal, one.b))
    return wall.most - nearest - one.radius
