"""What is asked about a cemented joint: its size, how warm things are, pressure, damp, cement."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from pitwright.errors import BadInput, Missing, OutOfRange, UnknownName
from pitwright.findings import SourceKey
from pitwright.jointing.tables import records
from pitwright.units.kinds import INCH, PSI
from pitwright.units.measure import measure

__all__ = [
    "Cement",
    "CementedJoint",
    "Warmth",
    "cement_named",
    "cements",
    "inches_of",
    "nominal_size",
    "nominal_sizes",
]

COLDEST, HOTTEST = 223.0, 343.0
"""No reading outside these is believed: -58 to 158 °F. [K] Source: judgement."""
MOST_PRESSURE = 1000 * PSI
"""No reading above this is believed. [Pa] Source: judgement."""
_SAME_SIZE = 1e-6
NOT_NAMED = ""


@dataclass(frozen=True, slots=True)
class Warmth:
    """How warm one thing is, from its coldest to its hottest. [K]"""

    low: float
    high: float

    @classmethod
    def of(cls, kelvin: float) -> Warmth:
        """Exactly so warm. [K] Source: none; a number as it is."""
        return cls(kelvin, kelvin)


@dataclass(frozen=True, slots=True)
class CementedJoint:
    """One joint to be cemented, as asked.

    ``size`` is the nominal size ("1-1/4"); ``air``, ``pipe`` and ``ground`` are as warm as they
    are, at least one of them known [K]; ``pressure`` is what will stand in it [Pa], None when
    nobody said. ``humid``: humid air or damp weather; ``wet``: the joint's own surfaces are wet,
    or water will reach them within hold and set; ``loose``: the dry fit bottoms without
    interference. ``cement``: a class by its label, "" when nobody named it. ``wet_after``: from
    the last coat until seeping water reaches the joint [s], None when none will.
    """

    size: str
    air: Warmth | None = None
    pipe: Warmth | None = None
    ground: Warmth | None = None
    pressure: float | None = None
    humid: bool = False
    wet: bool = False
    loose: bool = False
    cement: str = NOT_NAMED
    wet_after: float | None = None

    def checked(self) -> CementedJoint:
        """The same, where it can be asked. Raises BadInput, Missing, OutOfRange, UnknownName."""
        cement_named(self.cement)
        known = self.warmths()
        if not known:
            raise Missing("the temperature", "read the air, the pipe or the ground: a guess is 5 F")
        for name, warmth in known:
            if not COLDEST <= warmth.low <= warmth.high <= HOTTEST:
                got = f"{warmth.low:.1f} to {warmth.high:.1f} K"
                raise OutOfRange(name, got, f"{COLDEST:.0f} K", f"{HOTTEST:.0f} K", "read it again")
        if self.pressure is not None and not 0.0 <= self.pressure <= MOST_PRESSURE:
            got = f"{self.pressure / PSI:.0f} psi"
            raise OutOfRange("pressure", got, "0", "1000 psi", "read the gauge again")
        if self.wet_after is not None and not 0.0 <= self.wet_after < math.inf:
            got = f"{self.wet_after:g} s"
            raise OutOfRange("wet after", got, "0 s", "any time", "time the seep with a bucket")
        nominal_size(self.size)
        return self

    def warmths(self) -> tuple[tuple[str, Warmth], ...]:
        """What is known of air, pipe and ground, in this order. [K]"""
        given = (("air", self.air), ("pipe", self.pipe), ("ground", self.ground))
        return tuple((name, warmth) for name, warmth in given if warmth is not None)

    def coldest(self) -> tuple[str, float]:
        """Which of them is coldest, and how cold [K]: tables are entered by it. Missing."""
        name, warmth = min(self.checked().warmths(), key=lambda pair: pair[1].low)
        return name, warmth.low

    def hottest(self) -> tuple[str, float]:
        """Which of them is hottest, and how hot [K]: open time goes by it. Missing."""
        name, warmth = max(self.checked().warmths(), key=lambda pair: pair[1].high)
        return name, warmth.high


@dataclass(frozen=True, slots=True)
class Cement:
    """One class of cement by its label.

    ``table`` is the one table made for it ("" : all tables), ``largest`` the largest nominal
    size it fills [in], ``wet`` whether its label may allow damp surfaces, ``open_row`` the class
    of open time that is its own.
    """

    cement: str
    words: str
    table: str
    largest: float
    wet: bool
    open_row: str
    source: SourceKey
    status: str
    note: str


@cache
def cements() -> dict[str, Cement]:
    """Every class by its name. Source: ``cement.csv``. [in]"""
    return {
        r["cement"]: Cement(
            r["cement"],
            r["words"],
            r["table"],
            float(r["largest_in"]),
            r["wet"] == "by label",
            r["open_row"],
            SourceKey(r["source"]),
            r["status"],
            r["note"],
        )
        for _, r in records("cement")
    }


def cement_named(name: str) -> Cement | None:
    """The class called ``name``; None for "". Raises UnknownName."""
    if name == NOT_NAMED:
        return None
    found = cements().get(name)
    if found is None:
        raise UnknownName("cement", name, cements(), "cement class")
    return found


@cache
def nominal_sizes() -> dict[str, float]:
    """Every nominal size and its number. [in] Source: ``nominal.csv``."""
    return {r["size"]: float(r["value"]) for _, r in records("nominal")}


def nominal_size(text: str, where: str = "size") -> str:
    """The nominal size as the tables write it: ``1-1/4`` for "1.25", "1 1/4 in", "1-1/4".

    Raises BadInput, and what a measure may. An outside diameter is not a nominal size.
    """
    if text in nominal_sizes():
        return text
    read = measure(text, default="in", where=where)
    for size, number in nominal_sizes().items():
        if read.limit is None and abs(read.si / INCH - number) < _SAME_SIZE:
            return size
    by_nearness = sorted(nominal_sizes(), key=lambda s: abs(nominal_sizes()[s] - read.si / INCH))
    hint = f"the nearest are {by_nearness[0]} and {by_nearness[1]}; for a measured diameter ask "
    raise BadInput(where, text, "is not a nominal pipe size", f"{hint}pitwright identify")


def inches_of(size: str) -> float:
    """The number of a nominal size. [in] Raises BadInput. Source: [ASME-B36.10]."""
    return nominal_sizes()[nominal_size(size)]
