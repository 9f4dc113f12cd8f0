"""What may be dangerous or fragile about a pipe nobody has named yet."""

from __future__ import annotations

from pitwright.catalogue.identify.readings import Clues
from pitwright.catalogue.parts import Pipe
from pitwright.findings import Finding, Weight, finding
from pitwright.units.kinds import INCH

__all__ = ["hazards_of"]

MOST_OVAL = 0.030 * INCH
"""No PVC of these sizes is allowed to be more out of round, either way. [m] [ASTM-D2241], memory"""


def hazards_of(pipes: list[Pipe], clues: Clues) -> tuple[Finding, ...]:
    """Findings on asbestos cement, corroded steel, brittle thin wall and out-of-round readings.

    Source: common practice; no figure is given.
    """
    named = {h for p in pipes for h in p.hazards}
    found = []
    if "asbestos cement" in named or clues.material == "asbestos cement":
        found.append(finding("asbestos-cement", Weight.STOP))
    if "corroded steel" in named:
        sure = clues.material == "steel" or clues.stiffness == "metal"
        found.append(finding("corroded-steel", Weight.CHECK if sure else Weight.NOTE))
    if "thin wall" in named:
        found.append(finding("brittle-thin-wall", Weight.CHECK if clues.old else Weight.NOTE))
    reading = clues.outside
    if clues.old and reading and not reading.crossed and reading.text and _one_diameter(clues):
        found.append(finding("one-diameter-of-old-pipe", Weight.CHECK))
    if reading and reading.crossed and reading.apart / 2 > MOST_OVAL:
        found.append(finding("diameters-far-apart", Weight.CHECK, numbers={"apart": reading.apart}))
    return tuple(found)


def _one_diameter(clues: Clues) -> bool:
    tool = clues.outside.tool if clues.outside else None
    return tool is not None and tool.value != "around"
