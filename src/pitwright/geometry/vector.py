"""Small vectors: three floats in a tuple, in metres unless a name says otherwise."""

from __future__ import annotations

import math

__all__ = [
    "ORIGIN",
    "Vec",
    "X",
    "Y",
    "Z",
    "across",
    "add",
    "angle_between",
    "cross",
    "dot",
    "minus",
    "near",
    "norm",
    "scale",
    "sub",
    "turned",
    "unit",
    "without",
]

Vec = tuple[float, float, float]

ORIGIN: Vec = (0.0, 0.0, 0.0)
X: Vec = (1.0, 0.0, 0.0)
Y: Vec = (0.0, 1.0, 0.0)
Z: Vec = (0.0, 0.0, 1.0)


def add(a: Vec, b: Vec) -> Vec:
    """a + b, in their own unit. [-] Source: arithmetic."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def sub(a: Vec, b: Vec) -> Vec:
    """a - b, in their own unit. [-] Source: arithmetic."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scale(a: Vec, by: float) -> Vec:
    """a times ``by``, in the product's unit. [-] Source: arithmetic."""
    return (a[0] * by, a[1] * by, a[2] * by)


def minus(a: Vec) -> Vec:
    """The opposite of a, in its own unit. [-] Source: arithmetic."""
    return (-a[0], -a[1], -a[2])


def dot(a: Vec, b: Vec) -> float:
    """The scalar product, in the product's unit. [-] Source: arithmetic."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """The vector product, in the product's unit. [-] Source: arithmetic."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def norm(a: Vec) -> float:
    """The length of a, in its own unit. [-] Source: arithmetic."""
    return math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2])


def unit(a: Vec) -> Vec:
    """a made one long. [-] Raises ZeroDivisionError for the zero vector. Source: arithmetic."""
    return scale(a, 1.0 / norm(a))


def angle_between(a: Vec, b: Vec) -> float:
    """The angle from a to b, 0 to pi, exact near both ends (no arc cosine). [rad]

    atan2(|a x b|, a.b). Source: arithmetic.
    """
    return math.atan2(norm(cross(a, b)), dot(a, b))


def without(a: Vec, axis: Vec) -> Vec:
    """What is left of a when its share along the unit ``axis`` is taken away. [-]

    In a's own unit. Source: arithmetic.
    """
    return sub(a, scale(axis, dot(a, axis)))


def across(axis: Vec) -> tuple[Vec, Vec]:
    """Two unit vectors at right angles to ``axis`` and to each other, the second level if it can.

    The first leans upward as far as it can (gravity picks it), so that turning the pit in plan
    turns the pair with it; for a plumb axis the pair lies along x and y. [-] Source: our choice.
    """
    up = without(Z, axis)
    if norm(up) < 1e-6:
        up = without(X, axis)
    first = unit(up)
    return first, cross(axis, first)


def turned(a: Vec, axis: Vec, angle: float) -> Vec:
    """a turned about the unit ``axis`` through the origin by ``angle`` [rad], right-handed. [-]

    Rodrigues' formula; in a's own unit. Source: textbook mechanics.
    """
    c, s = math.cos(angle), math.sin(angle)
    along = scale(axis, dot(axis, a) * (1.0 - c))
    return add(add(scale(a, c), scale(cross(axis, a), s)), along)


def near(a: Vec, b: Vec, tolerance: float) -> bool:
    """Whether a lies within ``tolerance`` of b, in their own unit. [-] Source: arithmetic."""
    return norm(sub(a, b)) <= tolerance
