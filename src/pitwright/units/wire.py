"""American wire gauge: diameter and area of a bare round conductor."""

from __future__ import annotations

import math

from pitwright.errors import OutOfRange

__all__ = ["awg_area", "awg_diameter"]


def awg_diameter(gauge: int) -> float:
    """Bare diameter of a solid conductor. [m]

    Parameters
    ----------
    gauge : int
        American wire gauge, 0 to 40. [-]

    d = 0.005 in * 92^((36 - n)/39) [ASTM-B258]. Raises OutOfRange.
    """
    if not 0 <= gauge <= 40:
        raise OutOfRange("wire gauge", gauge, 0, 40, "read the print on the jacket")
    return float(0.005 * 0.0254 * 92.0 ** ((36 - gauge) / 39))


def awg_area(gauge: int) -> float:
    """Bare cross-section of a solid conductor. [m²] Gauge 0 to 40 [-]; [ASTM-B258]; OutOfRange."""
    return math.pi / 4 * awg_diameter(gauge) ** 2
