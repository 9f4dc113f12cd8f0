"""Plain, rolling and equal-spread offsets of two equal bends: the sums a fitter does on the lid.

One right triangle: the true offset stands across the run, the advance lies along it, the offset
travel is its long side, and the bend is the angle between travel and run. A rolling offset is
the same triangle, turned about the run.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

from pitwright.errors import Contradiction, Missing, OutOfRange
from pitwright.findings import Refusal, Short
from pitwright.units.inches import both_text
from pitwright.units.kinds import DEGREE, INCH

__all__ = [
    "STANDARD_BENDS",
    "End",
    "Offset",
    "Piece",
    "advance_of",
    "band",
    "cut_by_faces",
    "cut_from_faces",
    "cut_length",
    "least_centres",
    "least_offset",
    "nearest_bend",
    "offset_from_advance",
    "offset_from_travel",
    "piece_between",
    "run_left",
    "solve",
    "stagger",
    "swept_takeout",
    "travel_of",
    "true_offset",
]

STANDARD_BENDS = tuple(d * DEGREE for d in (11.25, 22.5, 30.0, 45.0, 60.0, 72.0, 90.0))
"""Bends that fittings are made for. [rad] Common practice, no source."""
SQUARE = math.pi / 2
AGREES = INCH / 32
"""Readings given beyond need must agree with the others this well. [m] Judgement."""
_STRAIGHT = 1e-9


@dataclass(frozen=True, slots=True)
class Offset:
    """An offset of two equal bends between two parallel runs, by its centre lines.

    ``bend`` and ``roll_angle`` [rad]; ``rise``, ``roll``, ``true``, ``travel``, ``advance`` [m].
    The roll angle is that of the offset's plane from the level, about the run.
    """

    bend: float
    rise: float
    roll: float
    true: float
    travel: float
    advance: float

    @property
    def roll_angle(self) -> float:
        """0 is level, pi/2 upright. [rad]"""
        return math.atan2(self.rise, self.roll)

    @property
    def rolling(self) -> bool:
        """Whether it goes up or down and sideways at once."""
        return self.rise > 0.0 and self.roll > 0.0


@dataclass(frozen=True, slots=True)
class End:
    """One end of a piece: the fitting's take-out and, when known, its socket depth. [m]"""

    takeout: float
    depth: float = 0.0


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece between two fittings: its cut length and what stays bare between the faces. [m]"""

    length: float
    bare: float


def true_offset(rise: float, roll: float) -> float:
    """Straight distance between the runs: the root of rise² [m] plus roll² [m]. [m]

    Source: Pythagoras.
    """
    return math.hypot(rise, roll)


def travel_of(true: float, bend: float) -> float:
    """Offset travel, centre to centre, of a true offset [m] with two bends [rad]. [m]

    Source: trigonometry. Bend above 0, at most 90 degrees; raises OutOfRange.
    """
    return true / math.sin(_bend(bend))


def advance_of(true: float, bend: float) -> float:
    """How far the run moves on during a true offset [m] with two bends [rad]. [m]

    Nothing at 90 degrees. Source: trigonometry. Raises OutOfRange.
    """
    if abs(_bend(bend) - SQUARE) < _STRAIGHT:
        return 0.0
    return true / math.tan(bend)


def offset_from_travel(travel: float, bend: float) -> float:
    """True offset that an offset travel [m] makes with two bends [rad]. [m]

    Source: trigonometry. Raises OutOfRange.
    """
    return travel * math.sin(_bend(bend))


def offset_from_advance(advance: float, bend: float) -> float:
    """True offset that an advance [m] makes with two bends [rad] below 90 degrees. [m]

    Source: trigonometry. Raises OutOfRange; at 90 degrees no advance tells the offset.
    """
    if abs(_bend(bend) - SQUARE) < _STRAIGHT:
        hint = "give the offset or the offset travel instead of the advance"
        raise OutOfRange("bend", f"{bend / DEGREE:g} deg", "above 0", "below 90 deg", hint)
    return advance * math.tan(bend)


def nearest_bend(bend: float) -> float:
    """The standard bend nearest to an angle [rad]. [rad] Source: common practice."""
    return min(STANDARD_BENDS, key=lambda standard: (abs(standard - bend), standard))


def cut_length(centres: float, takeouts: Sequence[float]) -> float:
    """Length of a piece [m]: centre to centre [m] less the take-out [m] of each end.

    May come out negative: :func:`piece_between` judges it. Source: common practice.
    """
    return centres - math.fsum(takeouts)


def cut_by_faces(centres: float, to_face: Sequence[float], depths: Sequence[float]) -> float:
    """The same length [m] by faces: centres less centre-to-face plus engagement of each end. [m]

    Identical to :func:`cut_length`, since take-out = centre to face - depth. Source: identity.
    """
    return centres - math.fsum(to_face) + math.fsum(depths)


def cut_from_faces(face_to_face: float, depths: Sequence[float]) -> float:
    """Length [m] of a piece that spans two faces [m] and enters each by its depth [m].

    Source: identity.
    """
    return face_to_face + math.fsum(depths)


def least_centres(ends: Sequence[End], least_nipple: float) -> float:
    """Least centre to centre [m] of two fittings that leaves ``least_nipple`` [m] bare.

    With a least nipple of 0 the faces touch: a close joint. Source: identity.
    """
    return math.fsum(end.takeout + end.depth for end in ends) + least_nipple


def least_offset(bend: float, ends: Sequence[End], least_nipple: float) -> float:
    """Smallest true offset [m] two fittings of a bend [rad] allow. Nipple [m], ends [m].

    sin(bend) times :func:`least_centres`. Source: identity. Raises OutOfRange.
    """
    return offset_from_travel(least_centres(ends, least_nipple), bend)


def piece_between(
    centres: float, ends: Sequence[End], least_nipple: float = 0.0
) -> Piece | Refusal:
    """The piece between two fittings [m], or why none fits: faces would meet, or nearly.

    ``centres`` and ``least_nipple`` [m]. Source: identity.
    """
    need = least_centres(ends, least_nipple)
    if centres < need - _STRAIGHT:
        missed = need - centres
        return Refusal((Short("LEG", "travel", centres, need, missed, "m", "offset.larger"),), 1)
    bare = centres - least_centres(ends, 0.0)
    return Piece(cut_length(centres, [end.takeout for end in ends]), max(bare, 0.0))


def run_left(run: float, advance: float) -> float:
    """What an offset leaves of a run [m] measured to the far bend: run less advance [m]. [m]

    Source: identity. Raises Contradiction when the advance is longer than the run.
    """
    if run < advance:
        hint = "a steeper bend has a shorter advance; or measure the run again"
        raise Contradiction(
            "run", both_text(run), f"must be at least the advance, {both_text(advance)}", hint
        )
    return run - advance


def stagger(spacing: float, bend: float, lean: float = 0.0) -> float:
    """How much later than its neighbour a pipe begins to bend, at both bends alike. [m]

    spacing [m] * cos(lean) * tan(bend/2), bend [rad]; ``lean`` [rad] is the angle between the row
    of pipes and the direction of the offset, 0 where they lie in one plane. All travels are alike
    and the spacing stays the same. Source: [PPFCM] for lean 0; derived for the rest.
    """
    return spacing * math.cos(lean) * math.tan(_bend(bend) / 2)


def swept_takeout(radius: float, bend: float) -> float:
    """Centre to end of a bend [rad] swept on a radius [m]: radius * tan(bend/2). [m]

    Source: geometry of tangents.
    """
    return radius * math.tan(_bend(bend) / 2)


def band(
    spans: Sequence[tuple[float, float]], value: Callable[[Sequence[float]], float]
) -> tuple[float, float]:
    """Least and most of a value when each input lies anywhere between its two limits.

    Exact where the value only rises or only falls with each input, as every length here does. In
    the unit of the value. Source: interval arithmetic.
    """
    corners = [value(corner) for corner in product(*spans)]
    return min(corners), max(corners)


def solve(
    *,
    rise: float | None = None,
    roll: float | None = None,
    true: float | None = None,
    travel: float | None = None,
    advance: float | None = None,
    bend: float | None = None,
) -> Offset:
    """The whole offset from what is known of it.

    Lengths [m], bend [rad]. Needed are two of: true offset (or rise and roll, or either alone for
    a plain offset), offset travel, advance, bend. What is given beyond need must agree.

    Raises Missing, OutOfRange or Contradiction. Source: trigonometry.
    """
    given = {"rise": rise, "roll": roll, "true offset": true, "travel": travel, "advance": advance}
    for name, size in given.items():
        _size(name, size)
    others = sum(known is not None for known in (travel, advance, bend))
    if true is None and rise is not None and roll is not None:
        true = true_offset(rise, roll)
    elif true is None and others < 2:
        true = rise if rise is not None else roll
    size, angle = _triangle(true, travel, advance, bend)
    rise, roll = _sides(size, rise, roll)
    answer = Offset(angle, rise, roll, size, travel_of(size, angle), advance_of(size, angle))
    _agree("true offset", true, answer.true)
    _agree("true offset", true_offset(rise, roll), answer.true)
    _agree("offset travel", travel, answer.travel)
    _agree("advance", advance, answer.advance)
    return answer


def _triangle(
    true: float | None, travel: float | None, advance: float | None, bend: float | None
) -> tuple[float, float]:
    """True offset and bend from the first two that are known."""
    if bend is not None:
        if true is not None:
            return true, _bend(bend)
        if travel is not None:
            return offset_from_travel(travel, bend), bend
        if advance is not None:
            return offset_from_advance(advance, bend), bend
    elif true is not None and travel is not None:
        _longest("offset travel", travel, "the true offset", true)
        return true, math.asin(true / travel)
    elif true is not None and advance is not None:
        return true, math.atan2(true, advance)
    elif travel is not None and advance is not None:
        _longest("offset travel", travel * (1 - 1e-12), "its advance", advance)
        return math.sqrt(travel * travel - advance * advance), math.acos(advance / travel)
    raise Missing("offset", "give two of: the offset, its bend, its offset travel, its advance")


def _sides(true: float, rise: float | None, roll: float | None) -> tuple[float, float]:
    """Rise and roll of a true offset; the one not given is what is left."""
    if rise is not None and roll is not None:
        return rise, roll
    if rise is None and roll is None:
        return 0.0, true
    known = rise if rise is not None else roll
    assert known is not None
    if abs(known - true) <= _STRAIGHT * true:
        other = 0.0
    else:
        _longest("true offset", true, "the rise" if rise is not None else "the roll", known)
        other = math.sqrt(true * true - known * known)
    return (known, other) if rise is not None else (other, known)


def _longest(name: str, size: float, what: str, other: float) -> None:
    if size < other:
        rule = f"must be at least {what}, {both_text(other)}"
        raise Contradiction(name, both_text(size), rule, "measure both again")


def _agree(name: str, given: float | None, worked_out: float) -> None:
    if given is not None and abs(given - worked_out) > AGREES:
        rule = f"does not agree with {both_text(worked_out)}, which follows from the others"
        raise Contradiction(name, both_text(given), rule, "leave one out, or measure again")


def _size(name: str, size: float | None) -> None:
    if size is not None and not 0.0 < size < math.inf:
        raise OutOfRange(name, size, "above 0", "any length in metres", "leave out what is nothing")


def _bend(bend: float) -> float:
    if not 0.0 < bend <= SQUARE + _STRAIGHT:
        hint = "count the bend from straight on: a 45 elbow is 45, not 135"
        raise OutOfRange("bend", f"{bend / DEGREE:g} deg", "above 0", "90 deg", hint)
    return bend
