"""What a pipe's round section does: areas, stiffness, and the bend a strain allows."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.errors import OutOfRange

__all__ = ["Beam", "area", "beam", "bend_radius", "inertia", "strain_of_radius"]


@dataclass(frozen=True, slots=True)
class Beam:
    """Outside diameter [m]; stiffness along EA [N], in bending EI and in torsion GJ [N·m²]."""

    od: float
    ea: float
    ei: float
    gj: float

    @property
    def strain_per_moment(self) -> float:
        """Strain at the outer fibre for each newton metre of bending, OD/(2 EI). [1/(N·m)]"""
        return self.od / (2.0 * self.ei)


def area(od: float, wall: float) -> float:
    """The metal, or plastic, of a ring: pi t (OD - t). [m²] od, wall [m]. Source: arithmetic."""
    return math.pi * wall * (od - wall)


def inertia(od: float, wall: float) -> float:
    """Second moment of area about a diameter: pi/64 (OD⁴ - ID⁴). [m⁴] od, wall [m].

    Source: textbook mechanics.
    """
    return math.pi / 64.0 * (od**4 - (od - 2.0 * wall) ** 4)


def beam(od: float, wall: float, modulus: float, poisson: float) -> Beam:
    """The stiffness of a pipe of outside diameter and wall [m], modulus E [Pa], Poisson's [-].

    G = E/(2 (1 + nu)), J = 2 I. [m, N, N·m²] Raises OutOfRange for a wall that is not between
    nothing and half the diameter, and for a modulus that is not positive.
    Source: textbook mechanics.
    """
    if not 0.0 < od < math.inf:
        raise OutOfRange("pipe outside diameter", od, "above 0", "any", "give it in metres")
    if not 0.0 < wall <= od / 2.0:
        raise OutOfRange("pipe wall", wall, "above 0", od / 2.0, "measure the wall at a cut end")
    if not 0.0 < modulus < math.inf:
        raise OutOfRange("modulus", modulus, "above 0", "any", "give it in pascals")
    ei = modulus * inertia(od, wall)
    return Beam(od, modulus * area(od, wall), ei, ei / (1.0 + poisson))


def bend_radius(od: float, strain: float) -> float:
    """The radius of the axis at which the outer fibre strains so: R = OD/(2 strain). [m]

    od [m], strain [-]. Infinite when no strain is allowed. Source: textbook mechanics.
    """
    return math.inf if strain <= 0.0 else od / (2.0 * strain)


def strain_of_radius(od: float, radius: float) -> float:
    """Strain at the outer fibre of a pipe bent to a radius of its axis [m]: OD/(2 R). [-]

    od [m]. Source: textbook mechanics.
    """
    return od / (2.0 * radius)
