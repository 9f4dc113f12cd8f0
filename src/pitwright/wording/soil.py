"""What soil is taken to do to the old pipe that runs on into it, in words."""

from __future__ import annotations

from pitwright.units.inches import both_text
from pitwright.units.kinds import PSI

__all__ = ["soil_words"]


def soil_words(soil: str, stiffness: float, depth: float, source: str, status: str) -> str:
    """Such as ``the soil is taken to give: loose sand, 12 in down, 97 psi [source]``. [N/m², m]"""
    kind = f"{soil}, {both_text(max(depth, 0.0))} down, " if soil else "a modulus you gave, "
    memory = ", from memory" if status == "memory" else ""
    told = f" [{source}{memory}]" if soil else ""
    return (
        f"the soil is taken to give, not to clamp: {kind}"
        f"{stiffness / PSI:.0f} psi ({stiffness / 1e3:.0f} kPa){told}"
    )
