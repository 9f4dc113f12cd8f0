"""What the soil is that the old pipe runs on into: whether it clamps the pipe, or gives."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import Malformed
from pitwright.survey.readings import Reading
from pitwright.survey.section import Section
from pitwright.units.kinds import PSI

__all__ = ["CLAMP", "SOILS", "Soil", "read_soil"]

CLAMP = "clamp"
"""The soil lets the pipe neither move nor turn where the bare path ends."""
SOILS = (CLAMP, "loose sand", "firm sand", "wet loose sand", "wet firm sand", "stiff clay")
"""What may be said in words; a subgrade modulus is said as a pressure."""
_SOFTEST, _STIFFEST = 5 * PSI, 20_000 * PSI


@dataclass(frozen=True, slots=True)
class Soil:
    """A kind in words, or a subgrade modulus somebody measured or was told. [N/m²]

    ``kind`` is one of SOILS, or "" where ``modulus`` is given.
    """

    kind: str
    modulus: Reading | None = None


def read_soil(section: Section) -> Soil | None:
    """The key ``soil`` of a section, None when not written: words of SOILS or a pressure. [N/m²]

    Raises Malformed or another BadInput. Source: none needed.
    """
    if not section.has("soil"):
        return None
    value = section.table["soil"]
    if isinstance(value, str):
        word = " ".join(value.casefold().split())
        if word in SOILS:
            return Soil(word)
        if not any(c.isdigit() for c in word):
            rule = f"must be one of: {', '.join(SOILS)}"
            hint = 'or give its subgrade modulus as a pressure, "500 psi"'
            raise Malformed(section.at("soil"), value, rule, hint)
    return Soil("", section.reading("soil", tool="gauge", unit="psi", low=_SOFTEST, high=_STIFFEST))
