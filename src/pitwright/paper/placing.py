"""Where labels and dimensions go: many places are tried, the one that covers least is taken.

Greedy and in the order given, so the same scene always gives the same picture. Places and sizes
are those of the paper [mm].
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import atan2, ceil, cos, degrees, floor, hypot, pi, sin

from pitwright.paper.ink import FINE, MEDIUM, Pen
from pitwright.paper.marks import Point, Rect
from pitwright.paper.shapes import Circle, Leader, Line, Shape, Text
from pitwright.paper.words import Run, drop, rise, runs_of, shortened, width_of

__all__ = ["Room", "dimension", "label", "letter"]

_OUT = 1e6
_MOST_LABEL = 0.6
"""A label takes no more of the frame's width. [-]"""
_MOST_LETTER = 14.0
"""A letter's ring holds no wider text. [mm]"""
_TEXT, _LINE, _BODY = 40.0, 8.0, 8.0
"""What it costs to cover a mm² of text, of line, of drawn body."""


class Room:
    """The frame being filled: what each square millimetre has cost so far.

    A grid of 1 mm cells makes a trial cheap; a cell counts as covered when a box touches it.
    """

    def __init__(self, frame: Rect) -> None:
        self.frame = frame
        self.left, self.top = int(frame[0]), int(frame[1])
        wide, high = ceil(frame[2]) - self.left + 1, ceil(frame[3]) - self.top + 1
        self.rows = [[0.0] * wide for _ in range(high)]

    def _cells(self, box: Rect) -> tuple[int, int, int, int]:
        return (
            max(0, floor(box[0]) - self.left),
            max(0, floor(box[1]) - self.top),
            max(0, ceil(box[2]) - self.left),
            max(0, ceil(box[3]) - self.top),
        )

    def take(self, boxes: Iterable[Rect], weight: float) -> None:
        """Note boxes [mm] as taken."""
        for box in boxes:
            x0, y0, x1, y1 = self._cells(box)
            for row in self.rows[y0:y1]:
                for x in range(x0, min(x1, len(row))):
                    row[x] = max(row[x], weight)

    def cost(self, boxes: Sequence[Rect], share: float = 1.0) -> float:
        """What it would cost to draw in these boxes, ``share`` of it inside the frame. [-]"""
        total = 0.0
        f = self.frame
        for box in boxes:
            if box[0] < f[0] or box[1] < f[1] or box[2] > f[2] or box[3] > f[3]:
                total += _OUT
                continue
            x0, y0, x1, y1 = self._cells(box)
            for row in self.rows[y0:y1]:
                total += share * sum(row[x0:x1])
        return total

    def body(self, outline: Sequence[Point]) -> None:
        """Note a drawn convex outline."""
        edges = list(zip(outline, (*outline[1:], outline[0]), strict=True)) if outline else []
        if not edges:
            return
        ys = [p[1] for p in outline]
        for y in range(floor(min(ys)), ceil(max(ys))):
            xs = [x for a, b in edges for x in _within(a, b, y, y + 1)]
            if xs:
                self.take([(min(xs), y, max(xs), y + 1)], _BODY)

    def line(self, a: Point, b: Point) -> None:
        """Note a drawn line."""
        self.take(line_boxes(a, b), _LINE)


def _within(a: Point, b: Point, low: float, high: float) -> list[float]:
    """The x of both ends of the part of an edge that lies between two levels."""
    (x0, y0), (x1, y1) = (a, b) if a[1] <= b[1] else (b, a)
    if y1 < low or y0 > high:
        return []
    if y1 - y0 < 1e-9:
        return [x0, x1]
    slope = (x1 - x0) / (y1 - y0)
    return [x0 + slope * (max(y0, low) - y0), x0 + slope * (min(y1, high) - y0)]


def line_boxes(a: Point, b: Point, half: float = 0.4) -> list[Rect]:
    """Small boxes along a line, at most 2 mm long each."""
    count = max(1, ceil(hypot(b[0] - a[0], b[1] - a[1]) / 2.0))
    boxes = []
    for i in range(count):
        p = (a[0] + (b[0] - a[0]) * i / count, a[1] + (b[1] - a[1]) * i / count)
        q = (a[0] + (b[0] - a[0]) * (i + 1) / count, a[1] + (b[1] - a[1]) * (i + 1) / count)
        box = (min(p[0], q[0]), min(p[1], q[1]), max(p[0], q[0]), max(p[1], q[1]))
        boxes.append((box[0] - half, box[1] - half, box[2] + half, box[3] + half))
    return boxes


def _ways(count: int = 16) -> list[Point]:
    return [(cos(2 * pi * i / count), -sin(2 * pi * i / count)) for i in range(count)]


def _spots(at: Point, half: Point, clear: float) -> Iterable[tuple[Point, float]]:
    """Middles for a box about ``at``, nearest first, with the way gone."""
    for far in (clear, clear + 2.5, clear + 5.5, clear + 9.0, clear + 14.0, clear + 20.0):
        for dx, dy in _ways():
            reach = far + min(
                half[0] / abs(dx) if abs(dx) > 1e-9 else 1e9,
                half[1] / abs(dy) if abs(dy) > 1e-9 else 1e9,
            )
            yield (at[0] + dx * reach, at[1] + dy * reach), far - clear


def _best(room: Room, at: Point, half: Point, clear: float) -> tuple[Point, float]:
    best: tuple[float, Point, float] | None = None
    for middle, gone in _spots(at, half, clear):
        x, y = middle
        box = (x - half[0], y - half[1], x + half[0], y + half[1])
        cost = room.cost([box]) + 0.9 * gone
        if gone > 2.0:
            cost += room.cost(line_boxes(_edge(middle, half, at), at, 0.15), 0.45)
        if best is None or cost < best[0] - 1e-9:
            best = cost, middle, gone
    assert best is not None  # _spots is never empty
    if best[0] < _OUT:
        return best[1], best[2]
    f = room.frame
    x = min(max(at[0], f[0] + half[0]), f[2] - half[0])
    y = min(max(at[1], f[1] + half[1]), f[3] - half[1])
    return (x, y), 0.0


def _edge(middle: Point, half: Point, to: Point) -> Point:
    """Where the line from a box's middle to a point leaves the box."""
    dx, dy = to[0] - middle[0], to[1] - middle[1]
    share = min(
        half[0] / abs(dx) if abs(dx) > 1e-9 else 1e9, half[1] / abs(dy) if abs(dy) > 1e-9 else 1e9
    )
    return (middle[0] + dx * share, middle[1] + dy * share) if share < 1 else to


def _half_of(runs: Sequence[Run], size: float) -> Point:
    return width_of(runs, size) / 2 + 0.6, (rise(runs, size) + drop(runs, size)) / 2 + 0.4


def _middled(middle: Point, runs: tuple[Run, ...], size: float, backed: bool = False) -> Text:
    down = (rise(runs, size) - drop(runs, size)) / 2
    return Text((middle[0], middle[1] + down), runs, size, "middle", backed=backed)


def label(room: Room, at: Point, words: str, size: float = 3.6, clear: float = 1.2) -> list[Shape]:
    """Words near a point, with a leader where they had to go far."""
    runs = shortened(words, size, _MOST_LABEL * (room.frame[2] - room.frame[0]))
    half = _half_of(runs, size)
    middle, gone = _best(room, at, half, clear)
    box = (middle[0] - half[0], middle[1] - half[1], middle[0] + half[0], middle[1] + half[1])
    room.take([box], _TEXT)
    shapes: list[Shape] = []
    if gone > 2.0 or clear > 4.0:
        start = _edge(middle, half, at)
        shapes.append(Leader(start, at))
        room.line(start, at)
    shapes.append(_middled(middle, runs, size, backed=True))
    return shapes


def letter(room: Room, at: Point, words: str, size: float = 4.6, clear: float = 1.0) -> list[Shape]:
    """A piece's letter in a ring near its middle, always with a leader."""
    runs = shortened(words, size, _MOST_LETTER, bold=True)
    radius = max(3.3, width_of(runs, size) / 2 + 1.0)
    middle, _ = _best(room, at, (radius, radius), clear)
    x, y = middle
    room.take([(x - radius, y - radius, x + radius, y + radius)], _TEXT)
    far = hypot(at[0] - x, at[1] - y)
    shapes: list[Shape] = []
    if far > radius + 0.3:
        start = (x + (at[0] - x) / far * radius, y + (at[1] - y) / far * radius)
        shapes.append(Leader(start, at))
        room.line(start, at)
    shapes.append(Circle(middle, radius, MEDIUM, 1.0))
    shapes.append(Text((x, y), runs, size, "middle", centred=True))
    return shapes


def dimension(room: Room, a: Point, b: Point, words: str, size: float = 3.9) -> list[Shape]:
    """A dimension line beside a and b, with slashes at its ends and the words on it.

    Points closer than 1 mm on paper get no dimension. Where no dimension line finds room in the
    frame the words alone point at the middle.
    """
    long = hypot(b[0] - a[0], b[1] - a[1])
    if long < 1.0:
        return []
    runs = runs_of(words)
    best: tuple[float, float] | None = None
    for off in (7.0, 11.0, 15.5, 20.0, 25.0, 31.0, 38.0):
        for side in (1.0, -1.0):
            plan = _Laid(a, b, off * side, runs, size)
            cost = room.cost(plan.boxes()) + room.cost(plan.thin(), 0.25) + 1.2 * off
            if best is None or cost < best[0] - 1e-9:
                best = cost, off * side
    assert best is not None  # the loops are never empty
    if best[0] >= _OUT:
        return label(room, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), words, size)
    plan = _Laid(a, b, best[1], runs, size)
    room.take(plan.boxes(), _TEXT)
    room.take(plan.thin(), _LINE)
    return plan.shapes()


class _Laid:
    """One way to lay a dimension: ``off`` mm to the left of the way from a to b."""

    def __init__(self, a: Point, b: Point, off: float, runs: tuple[Run, ...], size: float) -> None:
        self.long = hypot(b[0] - a[0], b[1] - a[1])
        ux, uy = (b[0] - a[0]) / self.long, (b[1] - a[1]) / self.long
        nx, ny = uy, -ux
        self.a, self.b, self.u, self.n, self.off = a, b, (ux, uy), (nx, ny), off
        self.p = (a[0] + nx * off, a[1] + ny * off)
        self.q = (b[0] + nx * off, b[1] + ny * off)
        self.runs, self.size = runs, size
        self.wide = width_of(runs, size) + 1.2
        self.inside = self.wide + 2.0 <= self.long
        self.angle = degrees(atan2(-uy, ux))
        if self.angle <= -80.0:  # steep ones are read from the right-hand side, all of them
            self.angle += 180.0
        elif self.angle > 100.0:
            self.angle -= 180.0

    def middle(self) -> Point:
        """The middle of the words."""
        share = 0.5 if self.inside else 1.0
        past = 0.0 if self.inside else self.wide / 2 + 2.6
        return (
            self.p[0] + (self.q[0] - self.p[0]) * share + self.u[0] * past,
            self.p[1] + (self.q[1] - self.p[1]) * share + self.u[1] * past,
        )

    def text(self) -> Text:
        m = self.middle()
        down = (rise(self.runs, self.size) - drop(self.runs, self.size)) / 2
        a = self.angle * pi / 180
        at = (m[0] + down * sin(a), m[1] + down * cos(a))
        return Text(at, self.runs, self.size, "middle", self.angle, backed=self.inside)

    def boxes(self) -> list[Rect]:
        """What the words cover."""
        m, half = self.middle(), self.wide / 2
        high = (rise(self.runs, self.size) + drop(self.runs, self.size)) / 2 + 0.3
        start = (m[0] - self.u[0] * half, m[1] - self.u[1] * half)
        end = (m[0] + self.u[0] * half, m[1] + self.u[1] * half)
        if abs(self.u[1]) < 0.02:
            return [(min(start[0], end[0]), m[1] - high, max(start[0], end[0]), m[1] + high)]
        return line_boxes(start, end, high)

    def thin(self) -> list[Rect]:
        """What the lines cover."""
        (e1, e2), (f1, f2) = self.extensions()
        return line_boxes(self.p, self.q) + line_boxes(e1, e2, 0.2) + line_boxes(f1, f2, 0.2)

    def extensions(self) -> tuple[tuple[Point, Point], tuple[Point, Point]]:
        sign = 1.0 if self.off > 0 else -1.0

        def one(at: Point) -> tuple[Point, Point]:
            near, far = 1.2 * sign, self.off + 1.4 * sign
            n = self.n
            return (at[0] + n[0] * near, at[1] + n[1] * near), (
                at[0] + n[0] * far,
                at[1] + n[1] * far,
            )

        return one(self.a), one(self.b)

    def shapes(self) -> list[Shape]:
        past = 0.0 if self.inside else 2.0
        start = (self.p[0] - self.u[0] * past, self.p[1] - self.u[1] * past)
        end = (self.q[0] + self.u[0] * past, self.q[1] + self.u[1] * past)
        shapes: list[Shape] = [Line(*e, FINE) for e in self.extensions()]
        shapes.append(Line(start, end, Pen(0.25)))
        sx, sy = self.u[0] - self.n[0], self.u[1] - self.n[1]
        for x, y in (self.p, self.q):
            shapes.append(Line((x - sx, y - sy), (x + sx, y + sy), Pen(0.5)))
        shapes.append(self.text())
        return shapes
