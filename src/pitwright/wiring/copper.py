"""Ohms of copper wire by gauge, length and temperature.

Source: the gauge rule and copper's resistivity, see each function.
"""

from __future__ import annotations

from pitwright.errors import OutOfRange

__all__ = ["COPPER_COEFFICIENT", "FOOT", "circular_mils", "ohm_per_metre"]

FOOT = 0.3048
"""One foot. [m] Exact by definition."""
COPPER_COEFFICIENT = 0.00393
"""Change of copper's resistance per kelvin, from 20 °C. [1/K] [IEC-60028; from memory]"""
_OHM_CMIL_PER_FOOT = 10.371
"""Resistivity of annealed copper at 20 °C. [Ω·cmil/ft] [ASTM-B193; from memory]"""


def circular_mils(awg: int) -> float:
    """Area of one solid conductor by the gauge rule. [circular mil]

    Diameter 5 mil at gauge 36, a factor 92 over 39 steps [ASTM-B258; from memory]. Holds for
    gauges 4 to 26; raises OutOfRange outside.
    """
    if not 4 <= awg <= 26:
        raise OutOfRange("awg", awg, 4, 26, "give the gauge printed on the jacket")
    mils = 5.0 * float(92.0 ** ((36 - awg) / 39.0))
    return mils * mils


def ohm_per_metre(awg: int, celsius: float = 20.0) -> float:
    """Resistance of one solid copper conductor. [Ω/m]

    ``celsius`` is the conductor's temperature, -40 to 90 °C; the change is linear from 20 °C.
    Raises OutOfRange.
    """
    if not -40.0 <= celsius <= 90.0:
        raise OutOfRange("temperature", celsius, "-40 °C", "90 °C", "give the wire's temperature")
    at_20 = _OHM_CMIL_PER_FOOT / circular_mils(awg) / FOOT
    return at_20 * (1.0 + COPPER_COEFFICIENT * (celsius - 20.0))
