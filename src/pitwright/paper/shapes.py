"""Shapes: what a drawing is made of. From the top left corner, y down [mm]; angles in degrees [°].

Each is a frozen value that turns into marks. All ink is black or grey.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import hypot

from pitwright.paper.ink import DASHES, FINE, HATCHES, MEDIUM, Pen, hatched, inked
from pitwright.paper.marks import (
    Fill,
    Glyphs,
    Mark,
    Path,
    Phrase,
    Point,
    Rect,
    Stroke,
    Tagged,
    arc_path,
    loop,
    marks_box,
    round_path,
    shifted,
    turned,
)
from pitwright.paper.words import Run, drop, phrase, rise, runs_of, width_of

__all__ = [
    "MARKERS",
    "Arc",
    "Arrow",
    "Circle",
    "Group",
    "Leader",
    "Line",
    "Marker",
    "Placed",
    "Polygon",
    "Polyline",
    "Shape",
    "Text",
    "box_of",
    "moved",
    "rectangle",
    "text",
]


@dataclass(frozen=True, slots=True)
class Line:
    """Straight from a to b."""

    a: Point
    b: Point
    pen: Pen = MEDIUM

    def marks(self) -> tuple[Mark, ...]:
        """The line as marks."""
        return inked((self.a, self.b), self.pen)


@dataclass(frozen=True, slots=True)
class Polyline:
    """Straight from point to point, two or more."""

    points: tuple[Point, ...]
    pen: Pen = MEDIUM
    closed: bool = False

    def marks(self) -> tuple[Mark, ...]:
        """The line as marks."""
        return inked(self.points, self.pen, self.closed)


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed outline; ``fill`` a grey (0 black, 1 white) or None, ``hatch`` a name or None."""

    points: tuple[Point, ...]
    pen: Pen | None = MEDIUM
    fill: float | None = None
    hatch: str | None = None

    def marks(self) -> tuple[Mark, ...]:
        """Fill, then hatch, then outline."""
        out: list[Mark] = []
        if self.fill is not None:
            out.append(Fill(loop(self.points), self.fill))
        if self.hatch is not None:
            out += hatched(self.points, HATCHES[self.hatch])
        if self.pen is not None:
            out += inked(self.points, self.pen, closed=True)
        return tuple(out)


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle; ``fill`` a grey or None."""

    centre: Point
    radius: float
    pen: Pen | None = MEDIUM
    fill: float | None = None

    def marks(self) -> tuple[Mark, ...]:
        """Fill, then outline. Dash styles 7 and 8 are drawn solid."""
        path = round_path(self.centre, self.radius)
        out: list[Mark] = []
        if self.fill is not None:
            out.append(Fill(path, self.fill))
        if self.pen is not None:
            out.append(_stroke(path, self.pen))
        return tuple(out)


def _stroke(path: Path, pen: Pen) -> Stroke:
    return Stroke(path, pen.width, pen.grey, DASHES[pen.dash])


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of an ellipse, angles in degrees counter-clockwise from the right."""

    centre: Point
    rx: float
    ry: float
    start: float
    sweep: float
    pen: Pen = MEDIUM

    def marks(self) -> tuple[Mark, ...]:
        """The arc as marks."""
        return (_stroke(arc_path(self.centre, self.rx, self.ry, self.start, self.sweep), self.pen),)


@dataclass(frozen=True, slots=True)
class Text:
    """Runs on a baseline.

    ``at`` is the baseline's start, middle or end as ``anchor`` says; ``centred`` moves the text
    down so that the capitals are centred on ``at``. ``size`` is the height of an em [mm],
    ``angle`` counter-clockwise [°]. ``backed``: a white field behind, to keep lines out.
    """

    at: Point
    runs: tuple[Run, ...]
    size: float
    anchor: str = "start"
    angle: float = 0.0
    centred: bool = False
    backed: bool = False
    grey: float = 0.0

    def _start(self) -> Point:
        share = {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]
        down = 0.36 * self.size if self.centred else 0.0
        return turned(self.at, -share * width_of(self.runs, self.size), -down, self.angle)

    def field(self, pad: float = 0.5) -> tuple[Point, Point, Point, Point]:
        """The four corners of the space the text takes, ``pad`` mm more on each side."""
        start, wide = self._start(), width_of(self.runs, self.size)
        high, low = rise(self.runs, self.size) + pad, -drop(self.runs, self.size) - pad
        a = self.angle
        return (
            turned(start, -pad, low, a),
            turned(start, wide + pad, low, a),
            turned(start, wide + pad, high, a),
            turned(start, -pad, high, a),
        )

    def marks(self) -> tuple[Mark, ...]:
        """The field (if backed), then the phrase."""
        said = phrase(self._start(), self.runs, self.size, self.angle, self.grey)
        if not self.runs:
            return ()
        return (Fill(loop(self.field()), 1.0), said) if self.backed else (said,)


def text(
    at: Point,
    words: str,
    size: float = 3.9,
    *,
    anchor: str = "start",
    bold: bool = False,
    angle: float = 0.0,
    centred: bool = False,
    backed: bool = False,
) -> Text:
    """A text from a string; fractions in it are drawn as fractions."""
    return Text(at, runs_of(words, bold), size, anchor, angle, centred, backed)


MARKERS = (
    "square",
    "open square",
    "dot",
    "ring",
    "triangle",
    "open triangle",
    "diamond",
    "cross",
)
"""Marks told apart by shape alone."""
_CORNERS: dict[str, tuple[Point, ...]] = {
    "square": ((-0.8, -0.8), (0.8, -0.8), (0.8, 0.8), (-0.8, 0.8)),
    "triangle": ((0.0, -1.1), (1.0, 0.75), (-1.0, 0.75)),
    "diamond": ((0.0, -1.15), (1.15, 0.0), (0.0, 1.15), (-1.15, 0.0)),
}


@dataclass(frozen=True, slots=True)
class Marker:
    """One of MARKERS, ``radius`` mm from its middle, white inside where it is open."""

    at: Point
    kind: str
    radius: float = 1.3
    pen: Pen = MEDIUM

    def marks(self) -> tuple[Mark, ...]:
        """The marker as marks."""
        (x, y), r = self.at, self.radius
        opened = self.kind.startswith("open ") or self.kind == "ring"
        if self.kind in ("dot", "ring"):
            return Circle(self.at, r, self.pen, 1.0 if opened else 0.0).marks()
        if self.kind == "cross":
            return (
                *Line((x - r, y - r), (x + r, y + r), self.pen).marks(),
                *Line((x - r, y + r), (x + r, y - r), self.pen).marks(),
            )
        corners = tuple(
            (x + r * cx, y + r * cy) for cx, cy in _CORNERS[self.kind.removeprefix("open ")]
        )
        return Polygon(corners, self.pen, 1.0 if opened else 0.0).marks()


@dataclass(frozen=True, slots=True)
class Arrow:
    """A line from a to b with a filled head at b."""

    a: Point
    b: Point
    pen: Pen = MEDIUM
    head: float = 2.4

    def marks(self) -> tuple[Mark, ...]:
        """Shaft and head."""
        (ax, ay), (bx, by) = self.a, self.b
        long = hypot(bx - ax, by - ay)
        if long == 0.0:
            return ()
        dx, dy = (bx - ax) / long, (by - ay) / long
        head = min(self.head, long)
        base = bx - dx * head, by - dy * head
        wing = head * 0.32
        tip = (
            (bx, by),
            (base[0] - dy * wing, base[1] + dx * wing),
            (base[0] + dy * wing, base[1] - dx * wing),
        )
        return (*inked((self.a, base), self.pen), Fill(loop(tip), self.pen.grey))


@dataclass(frozen=True, slots=True)
class Leader:
    """A fine line from a label to what it speaks of, with a dot at its end."""

    label: Point
    target: Point
    pen: Pen = FINE

    def marks(self) -> tuple[Mark, ...]:
        """Line and dot."""
        return (
            *inked((self.label, self.target), self.pen),
            Fill(round_path(self.target, 0.45), self.pen.grey),
        )


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes that belong together; a screen finds them by ``name``, ``said`` is read aloud."""

    name: str
    parts: tuple[Shape, ...]
    said: str = ""

    def marks(self) -> tuple[Mark, ...]:
        """One tagged mark."""
        return (Tagged(self.name, self.said, tuple(m for p in self.parts for m in p.marks())),)


@dataclass(frozen=True, slots=True)
class Placed:
    """Shapes moved by (x, y)."""

    parts: tuple[Shape, ...]
    by: Point

    def marks(self) -> tuple[Mark, ...]:
        """The marks of every part, moved once however deep the nesting."""
        out: list[Mark] = []
        for part in self.parts:
            if isinstance(part, Placed):
                by = (self.by[0] + part.by[0], self.by[1] + part.by[1])
                out += Placed(part.parts, by).marks()
            else:
                out += (moved(m, self.by) for m in part.marks())
        return tuple(out)


Shape = Line | Polyline | Polygon | Circle | Arc | Text | Marker | Arrow | Leader | Group | Placed


def moved(mark: Mark, by: Point) -> Mark:
    """The same mark, moved by (x, y)."""
    match mark:
        case Stroke() | Fill():
            return replace(mark, path=shifted(mark.path, by))
        case Glyphs():
            return replace(mark, at=(mark.at[0] + by[0], mark.at[1] + by[1]))
        case Phrase():
            return replace(mark, marks=tuple(moved(m, by) for m in mark.marks))  # type: ignore[misc]
        case Tagged():
            return replace(mark, marks=tuple(moved(m, by) for m in mark.marks))


def box_of(shapes: Iterable[Shape]) -> Rect | None:
    """The box that holds the ink of the shapes; None where there is none. [mm]"""
    return marks_box(m for s in shapes for m in s.marks())


def rectangle(box: Rect, pen: Pen | None = MEDIUM, fill: float | None = None) -> Polygon:
    """A box as a polygon."""
    left, top, right, bottom = box
    return Polygon(((left, top), (right, top), (right, bottom), (left, bottom)), pen, fill)
