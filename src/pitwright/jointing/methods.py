"""Ways to join, and which remain: those without cure, and cement where its surfaces allow it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from pitwright.errors import OutOfRange, UnknownName
from pitwright.findings import SourceKey
from pitwright.jointing.question import CementedJoint, cement_named
from pitwright.jointing.tables import records

__all__ = ["Method", "joinable", "methods", "thrust", "without_cure"]

CEMENT, CEMENT_WET = "cement", "cement wet"


@dataclass(frozen=True, slots=True)
class Method:
    """One way to join. ``holds_thrust`` and ``wet`` are "yes", "no" or whose word decides."""

    method: str
    words: str
    cement: bool
    materials: tuple[str, ...]
    holds_thrust: str
    wet: str
    source: SourceKey
    status: str
    note: str

    @property
    def waits(self) -> bool:
        """Whether water must wait for it to cure."""
        return self.cement


@cache
def methods() -> tuple[Method, ...]:
    """Every way to join, in a fixed order. Source: ``joint_method.csv``."""
    return tuple(
        Method(
            r["method"],
            r["words"],
            r["cement"] == "yes",
            tuple(r["materials"].split()),
            r["holds_thrust"],
            r["wet"],
            SourceKey(r["source"]),
            r["status"],
            r["note"],
        )
        for _, r in records("joint_method")
    )


def without_cure(material: str = "pvc") -> tuple[Method, ...]:
    """The joints of a pipe material that need no cement and no waiting. Raises UnknownName."""
    known = {m for way in methods() for m in way.materials}
    if material not in known:
        raise UnknownName("material", material, known, "pipe material")
    return tuple(m for m in methods() if not m.cement and material in m.materials)


def joinable(joint: CementedJoint, material: str = "pvc") -> tuple[Method, ...]:
    """Every way that remains for a joint as it is: the wetter, the fewer. Raises UnknownName.

    Ordinary cement needs dry surfaces; wet-tolerant cement counts only where it is named.
    """
    cement = cement_named(joint.cement)
    ways = without_cure(material)
    glued = tuple(m for m in methods() if m.cement and material in m.materials)
    if cement and cement.wet:
        return (*(m for m in glued if m.method == CEMENT_WET), *ways)
    if joint.wet:
        return ways
    return (*(m for m in glued if m.method == CEMENT), *ways)


def thrust(pressure: float, outside: float) -> float:
    """The push on a cap or a closed end: p pi d²/4 over the pipe's outside. [N]

    Parameters
    ----------
    pressure : float
        0 or more. [Pa]
    outside : float
        Outside diameter of the pipe, above 0. [m]

    Raises OutOfRange. Source: arithmetic; 80 psi pushes 109 lb on 1 in pipe.
    """
    if not 0.0 <= pressure < math.inf:
        raise OutOfRange("pressure", f"{pressure:g} Pa", "0", "any", "read the gauge again")
    if not 0.0 < outside < math.inf:
        raise OutOfRange("outside", f"{outside:g} m", "above 0", "any", "measure the pipe")
    return pressure * math.pi * outside**2 / 4
