"""Signs every drawing shares: joint marks, scale bar, direction arrow, and the legend. [mm]"""

from __future__ import annotations

from math import hypot

from pitwright.paper.ink import FINE, MEDIUM, Pen
from pitwright.paper.marks import Point
from pitwright.paper.shapes import Arrow, Line, Marker, Polygon, Shape, Text, text
from pitwright.paper.words import runs_of, shortened, width_of
from pitwright.units.inches import both_text
from pitwright.units.kinds import INCH

__all__ = ["BENT", "JOINT_MARKERS", "WALL", "compass", "legend", "scale_bar"]

JOINT_MARKERS = {"bench": "square", "pit": "ring"}
"""Told apart without colour."""
WALL = Pen(0.5, 2)
"""How a box wall is drawn."""
BENT = Pen(0.55, 3)
"""How the axis of bent pipe is drawn."""


def compass(at: Point, way: Point, words: str, most: float = 60.0) -> tuple[Shape, ...]:
    """An arrow that points ``way`` on the paper, its name (at most so wide) ahead of it. [mm]"""
    long = hypot(*way)
    dx, dy = (way[0] / long, way[1] / long) if long else (0.0, -1.0)
    tail, head = (at[0] - dx * 6, at[1] - dy * 6), (at[0] + dx * 6, at[1] + dy * 6)
    runs = shortened(words, 4.2, most, bold=True)
    half = width_of(runs, 4.2) / 2
    middle = (head[0] + dx * (1.2 + half * abs(dx) + 2.4 * abs(dy)), head[1] + dy * 3.4)
    return (Arrow(tail, head, Pen(0.6), 4.0), Text(middle, runs, 4.2, "middle", centred=True))


def scale_bar(at: Point, mm_per_metre: float, longest: float = 45.0) -> tuple[Shape, ...]:
    """A bar of whole inches, the longest that fits, that starts at ``at``; mm beside. [mm]"""
    inches = 1
    for whole in (1, 2, 3, 6, 12, 24, 36, 60, 120, 240, 600, 1200):
        if whole * INCH * mm_per_metre <= longest:
            inches = whole
    long = inches * INCH * mm_per_metre
    x, y = at
    half = x + long / 2
    return (
        Polygon(((x, y - 1.4), (half, y - 1.4), (half, y), (x, y)), MEDIUM, 0.0),
        Polygon(((half, y - 1.4), (x + long, y - 1.4), (x + long, y), (half, y)), MEDIUM, 1.0),
        text((x + long + 2.0, y), both_text(inches * INCH), 3.3),
    )


def legend(words: dict[str, str] | None = None) -> tuple[tuple[Shape, ...], float, float]:
    """What the signs mean, in one row: shapes, width and height. [mm]

    ``words`` replaces the English ones by key: new, old, bench, pit, cut, wall.
    """
    said = {
        "new": "new pipe",
        "old": "old pipe",
        "bench": "bench joint",
        "pit": "pit joint",
        "cut": "cut here",
        "wall": "box wall",
    } | (words or {})
    shapes: list[Shape] = []
    x, y = 0.6, 4.0
    for key, name in said.items():
        shapes += _sign(key, (x, y))
        shapes.append(text((x + 10.5, y), name, 3.5, centred=True))
        x += 10.5 + width_of(runs_of(name), 3.5) + 5.0
    return tuple(shapes), x - 4.0, 8.0


def _sign(key: str, at: Point) -> list[Shape]:
    x, y = at
    box = ((x, y - 1.7), (x + 9, y - 1.7), (x + 9, y + 1.7), (x, y + 1.7))
    match key:
        case "new":
            return [Polygon(box, Pen(0.4), 1.0)]
        case "old":
            return [Polygon(box, Pen(0.28), 1.0, "old")]
        case "bench" | "pit":
            return [
                Line((x, y), (x + 9, y), FINE),
                Marker((x + 4.5, y), JOINT_MARKERS[key], 1.35, Pen(0.45)),
            ]
        case "cut":
            wedges = [
                Polygon(
                    ((x + 4.5, y + s * 2.3), (x + 3.4, y + s * 4.0), (x + 5.6, y + s * 4.0)),
                    None,
                    0.0,
                )
                for s in (1, -1)
            ]
            return [
                Polygon(
                    ((x, y - 1.2), (x + 9, y - 1.2), (x + 9, y + 1.2), (x, y + 1.2)),
                    Pen(0.28),
                    1.0,
                    "old",
                ),
                Line((x + 4.5, y - 2.3), (x + 4.5, y + 2.3), Pen(0.8)),
                *wedges,
            ]
        case _:
            return [Line((x, y), (x + 9, y), WALL)]
