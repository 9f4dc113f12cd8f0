"""One pit's history on paper: where it lies, from fixed marks, and what was ever done there. [mm]

The tie drawing is to scale where the marks were taped to each other, and says so where they were
not.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pitwright.paper.blocks import (
    Block,
    Bullets,
    Drawing,
    Heading,
    Kept,
    Paragraph,
    Side,
    Table,
    stacked,
)
from pitwright.paper.flow import flow
from pitwright.paper.ink import FINE, MEDIUM, Pen
from pitwright.paper.marks import Point
from pitwright.paper.pdf import pdf
from pitwright.paper.shapes import Circle, Line, Marker, Shape, text
from pitwright.paper.sheet import PAPERS, Paper, Sheet
from pitwright.paper.svg import svg_drawing
from pitwright.records.history import Event, Standing
from pitwright.records.ties import Crossing, Tie, crossing
from pitwright.wording import record as words

__all__ = ["History", "history_pdf", "history_sheet", "history_svg", "tie_drawing"]

_SMALL, _TINY = 3.5, 3.1
_WIDE, _HIGH = 82.0, 62.0
"""Room for one tie drawing. [mm]"""
_MARGIN = 8.5
"""Room for names above and below it. [mm]"""
_SCALES = (10, 15, 20, 25, 30, 40, 50, 60, 75, 100, 125, 150, 200, 250, 300, 400, 500, 1000)
_TAPE = Pen(0.35, 2)
_WHOLE = 180.0


@dataclass(frozen=True, slots=True)
class History:
    """What goes on the sheet: the property, the pit, its time line, its ties, who is who."""

    land: str
    pit: str
    events: tuple[Event, ...]
    ties: tuple[Tie, ...]
    people: Mapping[str, str]

    @property
    def title(self) -> str:
        """The pit and where it lies."""
        return words.sheet_title(self.land, self.pit)


def history_sheet(history: History, paper: Paper) -> Sheet:
    """The whole sheet. [mm]"""
    blocks = (Heading(history.title, 1), *_blocks(history))
    pages = flow(
        blocks, paper, head=history.title, foot=words.SHEET_FOOT, page_words=words.SHEET_PAGE
    )
    return Sheet(history.title, pages, words.SHEET_SUBJECT)


def history_pdf(history: History, paper: str) -> bytes:
    """The sheet as PDF on "letter" or "a4". Raises KeyError for another paper. [mm]"""
    return pdf(history_sheet(history, PAPERS[paper]))


def history_svg(history: History) -> bytes:
    """The same on one long page, as SVG. [mm]"""
    blocks = (Heading(history.title, 1), *_blocks(history))
    whole = stacked([slab for block in blocks for slab in block.lay(_WHOLE)])
    box = (-4.0, -4.0, _WHOLE + 4.0, whole.height + 4.0)
    said = words.SHEET_SUBJECT
    return svg_drawing(whole.shapes, box, history.title, described=said).encode("utf-8")


def _blocks(history: History) -> tuple[Block, ...]:
    blocks: list[Block] = []
    if history.ties:
        blocks += [Heading(words.WHERE), *_tie_blocks(history.ties)]
    rows = tuple(_row(e, history.people) for e in history.events)
    blocks.append(Heading(words.WHAT))
    if rows:
        blocks.append(Table(words.HISTORY_HEAD, rows, (1.5, 1.1, 4.4, 1.4), size=_TINY))
    else:
        blocks.append(Paragraph(words.NOTHING, _SMALL))
    if any(e.standing is Standing.NEWER for e in history.events):
        blocks.append(Paragraph(words.WITHHELD, _SMALL, bold=True))
    blocks.append(Kept((Heading(words.MIND), Bullets(words.CAUTIONS, _SMALL))))
    return tuple(blocks)


def _row(event: Event, people: Mapping[str, str]) -> tuple[str, ...]:
    standing = words.standing_text(event.kind, event.standing.value)
    said = words.entry_text(event.kind, event.body)
    if standing:
        said = f"{said} ({standing})" if said else standing
    when = words.moment(event.happened.start, event.happened.end)
    kind = words.KIND.get("redo" if event.again else event.kind, event.kind)
    return when, kind, said, people.get(event.author, "")


def _tie_blocks(ties: Sequence[Tie]) -> tuple[Block, ...]:
    """Two drawings beside each other."""
    drawn = [tie_drawing(tie) for tie in ties]
    rows: list[Block] = []
    for k in range(0, len(drawn), 2):
        pair = drawn[k : k + 2]
        columns: tuple[tuple[Block, ...], ...] = tuple((d,) for d in pair)
        if len(pair) == 1:
            columns = (columns[0], (Paragraph("", _SMALL),))
        rows.append(Side(columns, (1.0, 1.0), 4.0))
    return tuple(rows)


def tie_drawing(tie: Tie) -> Drawing:
    """One tie from above: the two marks, the two tapes, and where they cross. [mm], [m] inside."""
    met = None if tie.between is None else crossing(tie.a, tie.b, tie.between, tie.left)
    if tie.between is None or not isinstance(met, Crossing):
        points, said, high = _sketch(tie), words.NOT_TO_SCALE, _HIGH
        if tie.between is not None:
            said = words.TAPES_MISS
    else:
        points, said, high = _placed(tie.between, met)
    shapes = _shapes(tie, points)
    return Drawing(shapes, _WIDE, high, "tie", f"{tie.thing}: {said}", f"{tie.thing}: {said}")


def _sketch(tie: Tie) -> tuple[Point, Point, Point]:
    """Marks and thing, not to scale."""
    down = 12.0 if tie.left else _HIGH - 18.0
    base = _HIGH - 14.0 if tie.left else 12.0
    return (14.0, base), (_WIDE - 14.0, base), (_WIDE * 0.45, down)


def _placed(between: float, met: Crossing) -> tuple[tuple[Point, Point, Point], str, float]:
    """Marks and thing on paper at the largest even scale that fits, and the height it takes."""
    xs, ys = (0.0, between, met.x), (0.0, met.y)
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    room = min((_WIDE - 28.0) / max(wide, 1e-6), (_HIGH - 2 * _MARGIN) / max(high, 1e-6))
    one_to = next((s for s in _SCALES if 1000 / s <= room), math.ceil(1000 / room / 1000) * 1000)
    k = 1000 / one_to
    left = (_WIDE - wide * k) / 2 - min(xs) * k
    low = _MARGIN + max(ys) * k
    a, b = (left, low), (left + between * k, low)
    return (
        (a, b, (left + met.x * k, low - met.y * k)),
        words.scale_text(one_to),
        high * k + 2 * _MARGIN,
    )


def _shapes(tie: Tie, points: tuple[Point, Point, Point]) -> tuple[Shape, ...]:
    a, b, thing = points
    above = thing[1] <= a[1]
    under = 5.2 if above else -3.2
    shapes: list[Shape] = [
        Line(a, thing, _TAPE),
        Line(b, thing, _TAPE),
        Line(a, b, FINE),
        Marker(a, "square"),
        Marker(b, "triangle"),
        Circle(thing, 1.6, MEDIUM, 1.0),
        Marker(thing, "cross", 0.9),
        text((a[0], a[1] + under), tie.mark_a, _TINY, anchor="middle", backed=True),
        text((b[0], b[1] + under), tie.mark_b, _TINY, anchor="middle", backed=True),
        text(
            (thing[0], thing[1] + (-3.0 if above else 6.0)), tie.thing, _SMALL,
            anchor="middle", bold=True, backed=True,
        ),
    ]  # fmt: skip
    pairs = ((a, thing, tie.typed[0]), (b, thing, tie.typed[1]), (a, b, tie.typed[2]))
    shapes += [
        text(_between(p, q), said, _TINY, anchor="middle", centred=True, backed=True)
        for p, q, said in pairs
        if said
    ]
    return tuple(shapes)


def _between(p: Point, q: Point) -> Point:
    return (p[0] + q[0]) / 2, (p[1] + q[1]) / 2
