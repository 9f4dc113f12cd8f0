"""Marks: the few things a writer must be able to put on paper, y down [mm].

Every shape becomes marks before it is written, so the two writers stay small and cannot differ in
what a hatch or a fraction looks like.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

__all__ = [
    "Fill",
    "Glyphs",
    "Mark",
    "Path",
    "Phrase",
    "Point",
    "Rect",
    "Stroke",
    "Tagged",
    "arc_path",
    "joined",
    "loop",
    "marks_box",
    "path_box",
    "polyline_path",
    "round_path",
    "shifted",
    "turned",
    "union",
]

Step = tuple[str, tuple[float, ...]]
"""One letter and its numbers."""
Path = tuple[Step, ...]
"""Steps: M x y, L x y, Q x1 y1 x y, C x1 y1 x2 y2 x y, Z."""
Point = tuple[float, float]
Rect = tuple[float, float, float, float]
"""Left, top, right, bottom. [mm]"""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A drawn line: width and dash lengths in mm, grey 0 (black) to 1 (white)."""

    path: Path
    width: float
    grey: float = 0.0
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Fill:
    """A filled outline, grey 0 (black) to 1 (white)."""

    path: Path
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Glyphs:
    """Tidied characters from a point on the baseline, ``angle`` in degrees counter-clockwise.

    ``as_shape``: a writer must draw outlines, never a font's own text. ``shown`` False: text that
    only a reader of the file meets; it is stretched to ``width``. ``width`` is the advance [mm].
    """

    at: Point
    text: str
    size: float
    width: float
    bold: bool = False
    angle: float = 0.0
    grey: float = 0.0
    as_shape: bool = False
    shown: bool = True


@dataclass(frozen=True, slots=True)
class Phrase:
    """The marks of one text, with the text as it is read aloud."""

    text: str
    marks: tuple[Stroke | Fill | Glyphs, ...]


@dataclass(frozen=True, slots=True)
class Tagged:
    """Marks that belong together, with a name a screen can find them by and words to say."""

    name: str
    text: str
    marks: tuple[Mark, ...]


Mark = Stroke | Fill | Glyphs | Phrase | Tagged


def polyline_path(points: Sequence[Point], closed: bool = False) -> Path:
    """Straight from point to point."""
    steps: list[Step] = [("M" if i == 0 else "L", p) for i, p in enumerate(points)]
    if closed:
        steps.append(("Z", ()))
    return tuple(steps)


def loop(points: Sequence[Point]) -> Path:
    """A closed outline."""
    return polyline_path(points, closed=True)


def arc_path(centre: Point, rx: float, ry: float, start: float, sweep: float) -> Path:
    """Part of an ellipse as cubic curves; angles in degrees, counter-clockwise as seen."""
    pieces = max(1, round(abs(sweep) / 90 + 0.499))
    step = radians(sweep) / pieces
    k = 4 / 3 * (1 - cos(step / 2)) / sin(step / 2) if step else 0.0
    cx, cy = centre

    def at(angle: float, pull: float) -> Point:
        x, y = cos(angle) - pull * sin(angle), sin(angle) + pull * cos(angle)
        return cx + rx * x, cy - ry * y

    angle = radians(start)
    steps: list[Step] = [("M", at(angle, 0.0))]
    for _ in range(pieces):
        steps.append(("C", (*at(angle, k), *at(angle + step, -k), *at(angle + step, 0.0))))
        angle += step
    return tuple(steps)


def round_path(centre: Point, radius: float) -> Path:
    """A full circle."""
    return (*arc_path(centre, radius, radius, 0.0, 360.0), ("Z", ()))


def turned(at: Point, along: float, up: float, angle: float) -> Point:
    """The point ``along`` the baseline and ``up`` from it, of a text set at ``angle`` degrees."""
    c, s = cos(radians(angle)), sin(radians(angle))
    return at[0] + along * c - up * s, at[1] - along * s - up * c


def shifted(path: Path, by: Point) -> Path:
    """The same path, moved. [mm]"""
    x, y = by
    steps: list[Step] = []
    for op, n in path:
        if len(n) == 2:
            steps.append((op, (n[0] + x, n[1] + y)))
        else:
            steps.append((op, tuple(v + (y if i % 2 else x) for i, v in enumerate(n))))
    return tuple(steps)


def joined(marks: Iterable[Mark]) -> Iterator[Mark]:
    """The same ink with neighbouring strokes of one style as one stroke: less to write."""
    last: Stroke | None = None
    for mark in marks:
        if isinstance(mark, Stroke):
            if last is None:
                last = mark
            elif (last.width, last.grey, last.dash) == (mark.width, mark.grey, mark.dash):
                last = Stroke((*last.path, *mark.path), mark.width, mark.grey, mark.dash)
            else:
                yield last
                last = mark
            continue
        if last is not None:
            yield last
            last = None
        yield mark
    if last is not None:
        yield last


def path_box(path: Path) -> Rect:
    """A box that holds the path (control points included)."""
    xs = [v for _, numbers in path for v in numbers[0::2]]
    ys = [v for _, numbers in path for v in numbers[1::2]]
    return min(xs), min(ys), max(xs), max(ys)


def union(boxes: Iterable[Rect]) -> Rect | None:
    """The least box that holds them all, None for none."""
    kept = list(boxes)
    if not kept:
        return None
    return (
        min(b[0] for b in kept),
        min(b[1] for b in kept),
        max(b[2] for b in kept),
        max(b[3] for b in kept),
    )


def _glyph_box(mark: Glyphs) -> Rect:
    digits = mark.text.isdigit()  # these have no tails and no accents
    low, high = (-0.02, 0.76) if digits else (-0.24, 0.93)
    corners = [
        turned(mark.at, a, u * mark.size, mark.angle)
        for a in (0.0, mark.width)
        for u in (low, high)
    ]
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    return min(xs), min(ys), max(xs), max(ys)


def marks_box(marks: Iterable[Mark]) -> Rect | None:
    """The box that holds every mark, the width of strokes included. [mm]"""
    boxes: list[Rect] = []
    for mark in marks:
        match mark:
            case Stroke():
                x0, y0, x1, y1 = path_box(mark.path)
                h = mark.width / 2
                boxes.append((x0 - h, y0 - h, x1 + h, y1 + h))
            case Fill():
                boxes.append(path_box(mark.path))
            case Glyphs():
                boxes.append(_glyph_box(mark))
            case Phrase() | Tagged():
                inner = marks_box(mark.marks)
                if inner is not None:
                    boxes.append(inner)
    return union(boxes)
