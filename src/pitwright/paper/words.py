"""Text as runs: plain words, and fractions that are drawn, never typed.

``4 3/16 in`` is three runs: plain "4 ", a fraction of 3 and 16, plain " in". The fraction is
digit, digit, and a drawn line, so that no font can turn it into 43/16. Spaces inside a measure do
not break.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.paper.marks import Glyphs, Phrase, Point, Stroke, polyline_path, turned
from pitwright.paper.typeface import CAP_HEIGHT, face, tidy

__all__ = [
    "LEAST_SIZE",
    "Plain",
    "Run",
    "Vulgar",
    "drop",
    "longest",
    "phrase",
    "rise",
    "runs_of",
    "shortened",
    "spoken",
    "width_of",
    "wrap",
]

LEAST_SIZE = 3.175
"""No letter on a sheet is set smaller than 9 pt. [mm]"""
_SMALL = 0.74
"""Fraction digits to the words beside them, where LEAST_SIZE lets them. [-]"""
_AXIS = 0.34
"""Height of the fraction line above the baseline. [em]"""
_GAP = 0.17
"""White between fraction digits and their line. [em of the digits]"""
_UNITS = "in|ft|mm|cm|m|psi|kPa|bar|gpm|L/min|V|A|mA|ohm|Ω|kΩ|°F|°C|°|s|min|h|lb|×"
_GLUE = re.compile(rf"(?<=[\d/]) (?=\d{{1,2}}/\d|(?:{_UNITS})(?![\w]))")
_FRACTION = re.compile(r"(?<![\d/.,])(\d{1,2})/(2|4|8|16|32|64)(?![\d/]|[.,]\d)")


@dataclass(frozen=True, slots=True)
class Plain:
    """Characters of one face, tidied."""

    text: str
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Vulgar:
    """A fraction: digits over a drawn line over digits."""

    numerator: int
    denominator: int
    bold: bool = False


Run = Plain | Vulgar


def runs_of(text: str, bold: bool = False) -> tuple[Run, ...]:
    """The runs of a text: halves to sixty-fourths become fractions, the rest stays as it is."""
    glued = _GLUE.sub("\xa0", tidy(text))
    runs: list[Run] = []
    done = 0
    for found in _FRACTION.finditer(glued):
        numerator, denominator = int(found[1]), int(found[2])
        if not 0 < numerator < denominator:
            continue
        if found.start() > done:
            runs.append(Plain(glued[done : found.start()], bold))
        runs.append(Vulgar(numerator, denominator, bold))
        done = found.end()
    if done < len(glued):
        runs.append(Plain(glued[done:], bold))
    return tuple(runs)


def spoken(runs: Sequence[Run]) -> str:
    """What a reader hears: ``4 3/16 in``."""
    return "".join(
        r.text.replace("\xa0", " ") if isinstance(r, Plain) else f"{r.numerator}/{r.denominator}"
        for r in runs
    )


def _digits(size: float) -> float:
    return max(_SMALL * size, LEAST_SIZE)


def _widths(run: Vulgar, size: float) -> tuple[float, float, float]:
    """Upper digits, lower digits, the whole run. [mm]"""
    one = face(run.bold)
    small = _digits(size)
    upper, lower = one.width(str(run.numerator), small), one.width(str(run.denominator), small)
    return upper, lower, max(upper, lower) + 0.2 * small


def _width(run: Run, size: float) -> float:
    if isinstance(run, Plain):
        return face(run.bold).width(run.text, size)
    return _widths(run, size)[2]


def width_of(runs: Sequence[Run], size: float) -> float:
    """How long the runs are when set at ``size`` [mm]. [mm]"""
    return sum(_width(r, size) for r in runs)


def rise(runs: Sequence[Run], size: float) -> float:
    """How far the runs reach above the baseline. [mm]"""
    over = _AXIS * size + (_GAP + 0.76) * _digits(size)
    return max([0.93 * size, *(over for r in runs if isinstance(r, Vulgar))])


def drop(runs: Sequence[Run], size: float) -> float:
    """How far the runs reach below the baseline. [mm]"""
    under = (_GAP + CAP_HEIGHT + 0.02) * _digits(size) - _AXIS * size
    return max([0.24 * size, *(under for r in runs if isinstance(r, Vulgar))])


def phrase(
    at: Point, runs: Sequence[Run], size: float, angle: float = 0.0, grey: float = 0.0
) -> Phrase:
    """The marks of runs that start at a point of the baseline.

    Parameters
    ----------
    at : Point
        [mm]
    size : float
        Height of an em. [mm]
    angle : float
        Counter-clockwise. [°]
    """
    marks: list[Stroke | Glyphs] = []
    along = 0.0
    for run in runs:
        wide = _width(run, size)
        start = turned(at, along, 0.0, angle)
        if isinstance(run, Plain):
            marks.append(Glyphs(start, run.text, size, wide, run.bold, angle, grey))
        else:
            marks += _fraction(start, run, size, angle, grey)
        along += wide
    return Phrase(spoken(runs), tuple(marks))


def _fraction(
    at: Point, run: Vulgar, size: float, angle: float, grey: float
) -> list[Stroke | Glyphs]:
    small = _digits(size)
    upper, lower, wide = _widths(run, size)
    axis, gap = _AXIS * size, _GAP * small

    def digits(text: str, width: float, up: float) -> Glyphs:
        start = turned(at, (wide - width) / 2, up, angle)
        return Glyphs(start, text, small, width, run.bold, angle, grey, as_shape=True)

    ends = [turned(at, part * wide, axis, angle) for part in (0.04, 0.96)]
    read = f"{run.numerator}/{run.denominator}"
    return [
        Glyphs(at, read, size, wide, run.bold, angle, grey, shown=False),
        digits(str(run.numerator), upper, axis + gap),
        Stroke(polyline_path(ends), 0.09 * small, grey),
        digits(str(run.denominator), lower, axis - gap - CAP_HEIGHT * small),
    ]


def _pieces(runs: Sequence[Run]) -> list[list[Run]]:
    """Runs cut at ordinary spaces: each piece stays on one line."""
    pieces: list[list[Run]] = [[]]
    for run in runs:
        if isinstance(run, Vulgar):
            pieces[-1].append(run)
            continue
        for index, part in enumerate(run.text.split(" ")):
            if index:
                pieces.append([])
            if part:
                pieces[-1].append(Plain(part, run.bold))
    return [piece for piece in pieces if piece]


def _broken(piece: list[Run], size: float, width: float) -> list[list[Run]]:
    """A piece too long for any line, cut where it must be."""
    if width_of(piece, size) <= width:
        return [piece]
    lines: list[list[Run]] = [[]]
    room = width
    for run in piece:
        atoms: list[Run] = (
            [run] if isinstance(run, Vulgar) else [Plain(c, run.bold) for c in run.text]
        )
        for atom in atoms:
            wide = _width(atom, size)
            if wide > room and lines[-1]:
                lines.append([])
                room = width
            lines[-1].append(atom)
            room -= wide
    return [_joined(line) for line in lines]


def _joined(runs: Sequence[Run]) -> list[Run]:
    out: list[Run] = []
    for run in runs:
        last = out[-1] if out else None
        if isinstance(run, Plain) and isinstance(last, Plain) and run.bold == last.bold:
            out[-1] = Plain(last.text + run.text, run.bold)
        else:
            out.append(run)
    return out


def shortened(words: str, size: float, most: float, bold: bool = False) -> tuple[Run, ...]:
    """The runs of a text no wider than ``most`` [mm]; what had to go shows as an ellipsis."""
    runs = runs_of(words, bold)
    kept = len(words)
    while kept > 0 and width_of(runs, size) > most:
        kept = min(kept - 1, int(kept * most / width_of(runs, size)) + 1)
        runs = runs_of(words[:kept].rstrip() + "…", bold)
    return runs


def longest(runs: Sequence[Run], size: float) -> float:
    """The width of the longest piece that wrapping would not break. [mm]"""
    return max((width_of(piece, size) for piece in _pieces(runs)), default=0.0)


def wrap(runs: Sequence[Run], size: float, width: float) -> tuple[tuple[Run, ...], ...]:
    """Lines of runs, none longer than ``width`` [mm] unless one character alone is.

    Breaks fall at spaces; a word longer than a line is cut. At least one line comes back.
    """
    lines: list[list[Run]] = []
    room = 0.0
    for whole in _pieces(runs):
        for piece in _broken(whole, size, width):
            wide = width_of(piece, size)
            bold = piece[0].bold
            space = face(bold).width(" ", size)
            if lines and lines[-1] and space + wide <= room:
                lines[-1] += [Plain(" ", bold), *piece]
                room -= space + wide
            else:
                lines.append(list(piece))
                room = width - wide
    return tuple(tuple(_joined(line)) for line in lines) or ((),)
