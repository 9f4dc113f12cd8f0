"""Lengths as a tape shows them: whole inches and sixteenths, millimetres beside."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from math import gcd

from pitwright.units.kinds import INCH

__all__ = ["Rounding", "Tape", "both_text", "inches_text", "mm_text", "on_tape"]

SIXTEENTH = INCH / 16
"""[m]"""
_SAME = 1e-6
"""Sixteenths closer than this to a mark stand on the mark: float noise must not move a cut. [-]"""


class Rounding(Enum):
    """Which mark of the tape a length goes to."""

    NEAREST = "nearest"
    NOT_LONGER = "not longer than"
    NOT_SHORTER = "not shorter than"


@dataclass(frozen=True, slots=True)
class Tape:
    """A length on the tape: sign, whole inches and a reduced fraction (0/1 when there is none)."""

    negative: bool
    whole: int
    numerator: int
    denominator: int

    @property
    def metres(self) -> float:
        """The length of this very mark. [m]"""
        size = (self.whole + self.numerator / self.denominator) * INCH
        return -size if self.negative else size

    def __str__(self) -> str:
        sign = "-" if self.negative else ""
        if not self.numerator:
            return f"{sign}{self.whole}"
        fraction = f"{self.numerator}/{self.denominator}"
        return f"{sign}{self.whole} {fraction}" if self.whole else f"{sign}{fraction}"


def on_tape(length: float, rounding: Rounding = Rounding.NEAREST, *, per_inch: int = 16) -> Tape:
    """The mark of a tape for a length.

    Parameters
    ----------
    length : float
        [m]
    per_inch : int
        Marks to an inch, a power of two up to 64. [-]

    NOT_LONGER and NOT_SHORTER speak of the signed length. Halves go to the even mark.
    Source: arithmetic.
    """
    marks = length / INCH * per_inch
    near = round(marks)
    if rounding is Rounding.NEAREST or abs(marks - near) < _SAME:
        count = near
    else:
        count = math.floor(marks) if rounding is Rounding.NOT_LONGER else math.ceil(marks)
    whole, part = divmod(abs(count), per_inch)
    common = gcd(part, per_inch)
    return Tape(count < 0, whole, part // common, per_inch // common)


def inches_text(length: float, rounding: Rounding = Rounding.NEAREST) -> str:
    """``4 3/16 in`` for a length [m]. Source: arithmetic."""
    return f"{on_tape(length, rounding)} in"


def mm_text(length: float) -> str:
    """``106 mm`` for a length [m], to the whole millimetre. Source: arithmetic."""
    return f"{round(length * 1000) + 0} mm"


def both_text(length: float, rounding: Rounding = Rounding.NEAREST) -> str:
    """``4 3/16 in (106 mm)`` for a length [m]: the mm are those of the printed mark.

    Both so name one cut. Source: arithmetic.
    """
    tape = on_tape(length, rounding)
    return f"{tape} in ({mm_text(tape.metres)})"
