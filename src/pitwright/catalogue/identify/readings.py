"""What was measured on an unknown pipe: its outside by calliper, tape or string, wall and bore."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from math import erf, exp, pi, sqrt

from pitwright.errors import Missing, OutOfRange, UnknownName
from pitwright.units.inches import inches_text
from pitwright.units.kinds import INCH
from pitwright.units.measure import Measure
from pitwright.units.spread import Limit, sigma_from

__all__ = ["Clues", "Reading", "Tool", "inside_reading", "known_word", "outside_reading"]


class Tool(Enum):
    """How a diameter was read."""

    CALLIPER = "calliper"
    ACROSS = "across"
    AROUND = "around"


SIGMA = {Tool.CALLIPER: 0.005 * INCH, Tool.ACROSS: INCH / 16, Tool.AROUND: INCH / 32}
"""One sigma of each tool; that of the string is on the circumference. [m] common practice"""
INSIDE_SIGMA = 0.005 * INCH
"""One sigma of a wall or bore by calliper. [m] common practice, no source"""
SURE = 3.0
"""A pipe farther off than this many sigmas is not listed. [-] judgement"""
LEAST_OD, MOST_OD = 0.2 * INCH, 8.0 * INCH
_COLOURS = (
    *("white", "black", "blue", "cream", "yellow"),
    *("copper", "brown", "green", "silver", "rust"),
)
_WORDS: dict[str, dict[str, tuple[str, ...]]] = {
    "material": {
        "pvc": ("pvc", "upvc", "vinyl"),
        "cpvc": ("cpvc",),
        "pe": ("pe", "poly", "polyethylene", "polythene", "hdpe", "ldpe"),
        "copper": ("copper",),
        "steel": ("steel", "iron", "galvanised", "galvanized", "galv"),
        "asbestos cement": ("asbestos cement", "asbestos-cement", "asbestos", "cement", "ac"),
    },
    "stiffness": {
        "rigid": ("rigid", "stiff", "hard"),
        "bends": ("bends", "bendy", "flexible", "soft"),
        "metal": ("metal", "metallic"),
    },
    "colour": {"grey": ("grey", "gray"), **{c: (c,) for c in _COLOURS}},
}


@dataclass(frozen=True, slots=True)
class Reading:
    """One length of an unknown pipe. [m]

    ``value`` with one ``sigma``; ``limit`` is set where the reader gave limits, and is then hard.
    ``crossed`` says that two or more diameters were taken, which cancels an oval; ``apart`` is how
    far they differ.
    """

    what: str
    text: str
    value: float
    sigma: float
    limit: float | None
    tool: Tool | None = None
    crossed: bool = False
    apart: float = 0.0

    @property
    def near(self) -> float:
        """Within this of a pipe's own range the pipe fits: the limit, or one sigma. [m]"""
        return self.sigma if self.limit is None else self.limit

    @property
    def far(self) -> float:
        """Beyond this of a pipe's own range the pipe is out: the limit, or three sigmas. [m]"""
        return SURE * self.sigma if self.limit is None else self.limit

    def density(self, low: float, high: float, more: float = 0.0) -> float:
        """How likely this reading is of a pipe that lies anywhere in low to high alike. [1/m]

        ``more`` is a further sigma [m] to count in, such as that of an oval. A uniform part seen
        through a normal reading. Source: arithmetic.
        """
        sigma = sqrt(self.sigma**2 + more**2)
        if high - low < 1e-9:
            return exp(-(((self.value - low) / sigma) ** 2) / 2) / (sigma * sqrt(2 * pi))
        upper, lower = (high - self.value) / sigma, (low - self.value) / sigma
        return (_below(upper) - _below(lower)) / (high - low)


@dataclass(frozen=True, slots=True)
class Clues:
    """All that is known of a pipe. Words are those of :func:`known_word`; lengths are [m]."""

    outside: Reading | None = None
    wall: Reading | None = None
    bore: Reading | None = None
    material: str | None = None
    colour: str | None = None
    stiffness: str | None = None
    old: bool = False

    def checked(self) -> Clues:
        """The same clues, if there is a length among them. Raises Missing. Source: none needed."""
        if self.outside or self.bore or self.wall:
            return self
        raise Missing(
            "a measurement of the pipe",
            "give one of --calliper, --across or --around, or a --bore or --wall",
        )


def _below(z: float) -> float:
    return (1 + erf(z / sqrt(2))) / 2


def outside_reading(tool: Tool, measures: tuple[Measure, ...], string: float = 0.0) -> Reading:
    """The outside diameter from one or more readings of one tool.

    Parameters
    ----------
    measures : tuple of Measure
        Diameters, or lengths of string around. [m]
    string : float
        Thickness of the string: its own middle runs half of that off the pipe. [m]

    A circumference is pi (OD + string). Several diameters are averaged, and their number narrows
    the sigma. Raises OutOfRange. Source: geometry; sigmas are common practice, no source.
    """
    count = len(measures)
    scale = 1 / pi if tool is Tool.AROUND else 1.0
    value = sum(m.si for m in measures) / count * scale - (string if tool is Tool.AROUND else 0.0)
    limits = [m.limit.half for m in measures if m.limit]
    limit = max(limits) * scale if limits else None
    sigma = sigma_from(Limit(limit)).one if limit else SIGMA[tool] * scale / sqrt(count)
    text = ", ".join(m.text for m in measures)
    if not LEAST_OD <= value <= MOST_OD:
        raise OutOfRange(
            f"the outside diameter by {tool.value}",
            text,
            inches_text(LEAST_OD),
            inches_text(MOST_OD),
            "read it again; a string goes once around, less its own thickness",
        )
    apart = max(m.si for m in measures) - min(m.si for m in measures)
    crossed = count > 1 and tool is not Tool.AROUND
    return Reading("outside", text, value, sigma, limit or None, tool, crossed, apart)


def inside_reading(what: str, measure: Measure) -> Reading:
    """A wall or bore by calliper. [m] Raises OutOfRange. Sigma: common practice, no source."""
    if not 0 < measure.si <= MOST_OD:
        raise OutOfRange(
            f"the {what}", measure.text, "more than 0 in", inches_text(MOST_OD), "read it again"
        )
    half = measure.limit.half if measure.limit else 0.0
    sigma = sigma_from(Limit(half)).one if half else INSIDE_SIGMA
    return Reading(what, measure.text, measure.si, sigma, half or None)


def known_word(what: str, word: str | None) -> str | None:
    """The shelf's own word for a material, colour or stiffness; None stays. Raises UnknownName."""
    if word is None:
        return None
    said = " ".join(word.casefold().split())
    for ours, theirs in _WORDS[what].items():
        if said in theirs:
            return ours
    raise UnknownName(f"--{what}", word, _WORDS[what], what)
