"""The design study and the handbooks speak inches, pounds and psi; so do these few helpers."""

from __future__ import annotations

from pitwright.flex.path import BarePath, bare_path
from pitwright.flex.section import Beam, beam
from pitwright.units.kinds import INCH, POUND_FORCE, PSI

Inches = tuple[float, float, float]


def pipe(od: float = 1.315, wall: float = 0.133, psi: float = 400_000.0) -> Beam:
    """1 in schedule 40 unless said otherwise; Poisson's ratio 0.38."""
    return beam(od * INCH, wall * INCH, psi * PSI, 0.38)


def path(*corners: Inches, of: Beam | None = None, soil_psi: float | None = None) -> BarePath:
    """A bare path by its corners in inches, soil first."""
    soil = None if soil_psi is None else soil_psi * PSI
    points = [(x * INCH, y * INCH, z * INCH) for x, y, z in corners]
    return bare_path(points, of or pipe(), soil)


POUND_INCH = POUND_FORCE * INCH
"""[N·m]"""
