"""The words of an offset: what a fitter reads off the calculator."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.findings import Refusal
from pitwright.trains.offset import End, Offset, Piece, nearest_bend, travel_of
from pitwright.units.inches import Rounding, both_text
from pitwright.units.kinds import DEGREE

__all__ = ["CAUTIONS", "OffsetSheet", "Run", "offset_text"]

CAUTIONS = (
    "Measure take-out and depth on the fittings in your hand: like parts differ by 1/16 in.",
    "Put it together dry, mark the depths, and cut the last piece after that.",
    "Local codes, the maker's sheet and licensed trades come first.",
)
_WIDTH = 34
_SHARE = 1e-9


@dataclass(frozen=True, slots=True)
class Run:
    """A run measured to the centre of the far bend, and what the offset leaves of it. [m]"""

    name: str
    measured: float
    left: float


@dataclass(frozen=True, slots=True)
class OffsetSheet:
    """All that one use of the calculator has to say. Lengths [m].

    ``cut_band`` holds the least and most of the cut length, when a reading came with its limits.
    ``later`` is how much later each of the pipes side by side begins to bend.
    """

    offset: Offset
    bend_given: bool
    ends: tuple[End, ...]
    depths_given: bool
    least_nipple: float
    piece: Piece | Refusal | None
    cut_band: tuple[float, float] | None
    least_offset: float | None
    runs: tuple[Run, ...]
    spacing: float | None
    later: tuple[float, ...]


def offset_text(sheet: OffsetSheet) -> str:
    """The whole answer, line by line. Source: each figure is one of ``trains.offset``; [in, mm]."""
    lines = [
        *_triangle(sheet),
        *_piece(sheet),
        *_runs(sheet),
        *_side_by_side(sheet),
        "",
        *(f"! {line}" for line in CAUTIONS),
    ]
    return "\n".join(lines)


def _row(what: str, value: str) -> str:
    return f"  {what:<{_WIDTH}}{value}"


def _degrees(angle: float) -> str:
    return f"{round(angle / DEGREE, 2):g}°"


def _triangle(sheet: OffsetSheet) -> list[str]:
    offset = sheet.offset
    kind = "rolling offset" if offset.rolling else "plain offset"
    lines = [f"{kind}, two bends of {_degrees(offset.bend)}"]
    if offset.rolling:
        lines += [
            _row("rise", both_text(offset.rise)),
            _row("roll", both_text(offset.roll)),
            _row("roll angle, up from level", _degrees(offset.roll_angle)),
        ]
    lines += [
        _row("true offset, axis to axis", both_text(offset.true)),
        _row("advance along the run", both_text(offset.advance)),
        _row("offset travel, centre to centre", both_text(offset.travel)),
    ]
    if not sheet.bend_given:
        lines += _no_standard_bend(offset)
    return lines


def _no_standard_bend(offset: Offset) -> list[str]:
    near = nearest_bend(offset.bend)
    if abs(near - offset.bend) < _SHARE:
        return []
    travel = both_text(travel_of(offset.true, near))
    return [
        f"  No fitting bends by {_degrees(offset.bend)}. The nearest, {_degrees(near)}, makes this"
        f" offset with a travel of {travel}."
    ]


def _piece(sheet: OffsetSheet) -> list[str]:
    piece = sheet.piece
    if piece is None:
        return [_row("cut", "give --takeout to get the cut length")]
    if isinstance(piece, Refusal):
        return ["", *_refused(piece), *_least(sheet)]
    lines = [_row("cut, seat to seat", both_text(piece.length))]
    if sheet.cut_band is not None:
        low, high = sheet.cut_band
        lines.append(
            _row(
                "  it may come out anywhere from",
                f"{both_text(low, Rounding.NOT_LONGER)} to {both_text(high, Rounding.NOT_SHORTER)}:"
                " leave it long, trim it last",
            )
        )
    if sheet.depths_given:
        lines.append(_row("  bare between the faces", both_text(piece.bare)))
    return lines + _least(sheet)


def _refused(refusal: Refusal) -> list[str]:
    short = refusal.because[0]
    have = both_text(short.have, Rounding.NOT_LONGER)
    need, missed = (both_text(x, Rounding.NOT_SHORTER) for x in (short.need, short.missed))
    return [
        f"Refused: no piece fits. The centres are {have} apart; these two fittings need {need},"
        f" so {missed} is missing.",
        "What would lift it: a larger offset, flatter bends (their travel is longer), or fittings"
        " with shorter sockets.",
    ]


def _least(sheet: OffsetSheet) -> list[str]:
    if sheet.least_offset is None:
        return []
    what = "least offset of these fittings"
    return [
        _row(what, both_text(sheet.least_offset, Rounding.NOT_SHORTER)),
        _row("  with a least nipple of", both_text(sheet.least_nipple)),
    ]


def _runs(sheet: OffsetSheet) -> list[str]:
    lines = []
    for run in sheet.runs:
        lines.append(_row(f"{run.name}, end to bend centre", both_text(run.left)))
        if sheet.ends:
            end = sheet.ends[0] if run.name == "run before" else sheet.ends[-1]
            cut = both_text(run.left - end.takeout)
            lines.append(
                _row("  less the take-out at the bend", f"{cut}, less that at its other end")
            )
    return lines


def _side_by_side(sheet: OffsetSheet) -> list[str]:
    if sheet.spacing is None:
        return []
    spacing = both_text(sheet.spacing)
    lines = ["", f"{len(sheet.later)} pipes side by side, kept {spacing} apart, axis to axis"]
    for number, later in enumerate(sheet.later, start=1):
        when = "bends first" if number == 1 else f"both bends later by {both_text(later)}"
        lines.append(_row(f"pipe {number}", when))
    lines.append("  Pipe 1 is the one on the side the offset goes to; all travels are alike.")
    if sheet.offset.rolling:
        lines.append("  The pipes lie level, side by side, before and after.")
    return lines
