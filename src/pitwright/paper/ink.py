"""Pens, eight dash styles that differ without colour, hatches drawn as lines. In millimetres."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, cos, floor, hypot, radians, sin

from pitwright.paper.marks import Fill, Point, Stroke, polyline_path, round_path

__all__ = ["DASHES", "FINE", "HATCHES", "HEAVY", "MEDIUM", "Hatch", "Pen", "hatched", "inked"]

DASHES: dict[int, tuple[float, ...]] = {
    1: (),
    2: (5.0, 2.0),
    3: (2.0, 1.4),
    4: (0.5, 1.3),
    5: (6.0, 1.4, 0.7, 1.4),
    6: (6.0, 1.3, 0.7, 1.3, 0.7, 1.3),
    7: (),
    8: (),
}
"""Styles by number: 1 solid, 2 long dashes, 3 short dashes, 4 dots, 5 dash-dot, 6 dash-dot-dot,
7 solid with cross ticks, 8 solid with beads. Lengths for a 0.35 mm line. [mm]"""
_TICKS, _BEADS = 7, 8
_SPACING = 5.0
"""Between ticks and between beads. [mm]"""


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn: width [mm], dash style 1 to 8, grey 0 (black) to 1 (white)."""

    width: float = 0.35
    dash: int = 1
    grey: float = 0.0


FINE = Pen(0.18)
MEDIUM = Pen(0.35)
HEAVY = Pen(0.6)


@dataclass(frozen=True, slots=True)
class Hatch:
    """Parallel lines, ``spacing`` mm apart, at each of ``angles`` (degrees, counter-clockwise)."""

    angles: tuple[float, ...]
    spacing: float
    width: float = 0.18


HATCHES: dict[str, Hatch] = {
    "old": Hatch((45.0,), 1.3),
    "cross": Hatch((45.0, 135.0), 1.5),
    "level": Hatch((0.0,), 1.2),
    "upright": Hatch((90.0,), 1.2),
    "earth": Hatch((60.0,), 2.2),
}


def _evenly(points: Sequence[Point], spacing: float) -> list[tuple[Point, Point]]:
    """Places along a polyline, and the unit direction there; the first half a spacing in."""
    places: list[tuple[Point, Point]] = []
    left = spacing / 2
    for (x0, y0), (x1, y1) in pairwise(points):
        long = hypot(x1 - x0, y1 - y0)
        if long == 0.0:
            continue
        way = (x1 - x0) / long, (y1 - y0) / long
        while left <= long:
            places.append(((x0 + way[0] * left, y0 + way[1] * left), way))
            left += spacing
        left -= long
    return places


def inked(points: Sequence[Point], pen: Pen, closed: bool = False) -> tuple[Stroke | Fill, ...]:
    """A polyline in one of the eight styles."""
    line: list[Stroke | Fill] = [
        Stroke(polyline_path(points, closed), pen.width, pen.grey, DASHES[pen.dash])
    ]
    walk = (*points, points[0]) if closed else points
    if pen.dash == _TICKS:
        for (x, y), (dx, dy) in _evenly(walk, _SPACING):
            ends = ((x - dy * 1.2, y + dx * 1.2), (x + dy * 1.2, y - dx * 1.2))
            line.append(Stroke(polyline_path(ends), pen.width, pen.grey))
    elif pen.dash == _BEADS:
        line += [Fill(round_path(at, 0.9), pen.grey) for at, _ in _evenly(walk, _SPACING)]
    return tuple(line)


def _crossings(ring: Sequence[Point], normal: Point, level: float) -> list[Point]:
    """Where the line ``normal . p = level`` meets a closed outline, half-open at the corners."""
    found: list[Point] = []
    for (x0, y0), (x1, y1) in zip(ring, (*ring[1:], ring[0]), strict=True):
        a = normal[0] * x0 + normal[1] * y0 - level
        b = normal[0] * x1 + normal[1] * y1 - level
        if (a < 0.0) != (b < 0.0):
            t = a / (a - b)
            found.append((x0 + t * (x1 - x0), y0 + t * (y1 - y0)))
    return found


def hatched(ring: Sequence[Point], hatch: Hatch, grey: float = 0.0) -> tuple[Stroke, ...]:
    """The lines of a hatch inside a closed outline (even-odd).

    Lines are counted from the page's own corner, so two areas that touch carry one pattern.
    """
    strokes: list[Stroke] = []
    for angle in hatch.angles:
        way = cos(radians(angle)), -sin(radians(angle))
        normal = -way[1], way[0]
        levels = [normal[0] * x + normal[1] * y for x, y in ring]
        first, last = ceil(min(levels) / hatch.spacing), floor(max(levels) / hatch.spacing)
        for number in range(first, last + 1):
            cut = _crossings(ring, normal, number * hatch.spacing)
            cut.sort(key=lambda p: way[0] * p[0] + way[1] * p[1])
            for a, b in zip(cut[0::2], cut[1::2], strict=False):
                strokes.append(Stroke(polyline_path((a, b)), hatch.width, grey))
    return tuple(strokes)
