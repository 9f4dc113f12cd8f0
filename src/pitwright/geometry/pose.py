"""Where a thing stands and which way it faces.

A pose is named ``a_from_b``: it turns coordinates of b into coordinates of a, and
``a_from_b @ b_from_c`` is ``a_from_c``: inner names must match.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.geometry.vector import (
    ORIGIN,
    Vec,
    across,
    add,
    angle_between,
    cross,
    dot,
    minus,
    scale,
    turned,
)
from pitwright.geometry.vector import near as near_point

__all__ = ["IDENTITY", "Pose", "facing"]


@dataclass(frozen=True, slots=True)
class Pose:
    """A rigid placing: the three axes of b seen from a (unit vectors), and b's origin in a. [m]"""

    x: Vec
    y: Vec
    z: Vec
    at: Vec

    def direction(self, b: Vec) -> Vec:
        """A free direction of b, seen from a. [-]"""
        return add(add(scale(self.x, b[0]), scale(self.y, b[1])), scale(self.z, b[2]))

    def point(self, b: Vec) -> Vec:
        """A point of b, in a. [m]"""
        return add(self.direction(b), self.at)

    def __matmul__(self, other: Pose) -> Pose:
        return Pose(
            self.direction(other.x),
            self.direction(other.y),
            self.direction(other.z),
            self.point(other.at),
        )

    def inverse(self) -> Pose:
        """b_from_a."""
        columns = (self.x, self.y, self.z)
        x, y, z = ((columns[0][i], columns[1][i], columns[2][i]) for i in range(3))
        back = Pose(x, y, z, ORIGIN)
        return Pose(x, y, z, minus(back.direction(self.at)))

    def near(self, other: Pose, *, metres: float = 1e-9, radians: float = 1e-9) -> bool:
        """Whether both stand at one place and face one way, within the tolerances."""
        return near_point(self.at, other.at, metres) and self.angle_to(other) <= radians

    def angle_to(self, other: Pose) -> float:
        """The angle of the one rotation that turns this pose's axes into the other's. [rad]

        From the skew part and the trace of the relative rotation; exact near zero.
        Source: textbook mechanics.
        """
        pairs = ((self.x, other.x), (self.y, other.y), (self.z, other.z))
        skew = ORIGIN
        for mine, theirs in pairs:
            skew = add(skew, cross(mine, theirs))
        trace = sum(dot(mine, theirs) for mine, theirs in pairs)
        sine = math.sqrt(dot(skew, skew)) / 2.0
        return math.atan2(sine, (trace - 1.0) / 2.0)

    def rolled(self, angle: float) -> Pose:
        """The same place, turned about its own z axis by ``angle``. [rad]"""
        x = turned(self.x, self.z, angle)
        return Pose(x, cross(self.z, x), self.z, self.at)


IDENTITY = Pose((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), ORIGIN)


def facing(at: Vec, z: Vec, x: Vec | None = None) -> Pose:
    """A pose at ``at`` [m] whose z axis is the unit vector ``z``; x as given, else leaning up.

    ``x`` need not be square to z: what is square to z counts. Raises ZeroDivisionError when x
    lies along z. Source: our choice, see :func:`~pitwright.geometry.vector.across`.
    """
    if x is None or angle_between(x, z) == 0.0:
        first, second = across(z)
        return Pose(first, second, z, at)
    side = add(x, scale(z, -dot(x, z)))
    first = scale(side, 1.0 / math.sqrt(dot(side, side)))
    return Pose(first, cross(z, first), z, at)
