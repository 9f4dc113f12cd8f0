"""Blocks: words, tables, check lists and drawings that a flow puts on pages. [mm]

A block turns into slabs, pieces that are never cut, for a given width.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pitwright.paper.ink import FINE, HEAVY, MEDIUM, Pen
from pitwright.paper.shapes import Group, Line, Placed, Polygon, Shape, Text, rectangle
from pitwright.paper.words import Run, drop, longest, rise, runs_of, width_of, wrap

__all__ = [
    "BODY",
    "SMALL",
    "Block",
    "Bullets",
    "Drawing",
    "Gap",
    "Heading",
    "Kept",
    "Paragraph",
    "Rule",
    "Side",
    "Slab",
    "Steps",
    "Table",
    "lines",
    "stacked",
]

BODY = 3.9
"""Size of plain words on a sheet, about 11 pt. [mm]"""
SMALL = 3.3
"""Size of the words under the line, about 9.5 pt. [mm]"""
_PAD = 1.5
"""White at both sides of a table's cell. [mm]"""
_LEAD = 0.18
"""White between lines. [em]"""


@dataclass(frozen=True, slots=True)
class Slab:
    """A piece that is never cut: its height [mm] and its shapes from its own top left corner.

    ``keep``: stays on one page with the slab after it. ``again``: what is repeated above it when
    it starts a page.
    """

    height: float
    shapes: tuple[Shape, ...] = ()
    keep: bool = False
    again: Slab | None = None


def lines(
    runs: Sequence[Run], size: float, width: float, left: float = 0.0, anchor: str = "start"
) -> tuple[Slab, ...]:
    """Wrapped lines, a slab each, as high as their tallest run. [mm]"""
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    slabs = []
    for line in wrap(runs, size, width):
        up, down = rise(line, size), drop(line, size)
        at = (left + share * width, up + _LEAD * size / 2)
        slabs.append(Slab(up + down + _LEAD * size, (Text(at, line, size, anchor),)))
    return tuple(slabs)


def stacked(slabs: Sequence[Slab]) -> Slab:
    """Slabs as one."""
    shapes: list[Shape] = []
    down = 0.0
    for slab in slabs:
        shapes.append(Placed(slab.shapes, (0.0, down)))
        down += slab.height
    return Slab(down, tuple(shapes))


def _kept(slabs: Sequence[Slab]) -> tuple[Slab, ...]:
    """The first two and the last two lines of a paragraph stay together."""
    last = len(slabs) - 1
    return tuple(
        replace(s, keep=i < last and (i == 0 or i == last - 1)) for i, s in enumerate(slabs)
    )


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Words, wrapped; a newline starts a new line. ``space`` mm below."""

    words: str
    size: float = BODY
    bold: bool = False
    anchor: str = "start"
    space: float = 1.6

    def lay(self, width: float) -> tuple[Slab, ...]:
        """A slab a line."""
        slabs: list[Slab] = []
        for line in self.words.splitlines() or [""]:
            slabs += lines(runs_of(line, self.bold), self.size, width, 0.0, self.anchor)
        return (*_kept(slabs), Slab(self.space))


@dataclass(frozen=True, slots=True)
class Heading:
    """Bold words that stay with what follows; ``level`` 1 (largest) to 3."""

    words: str
    level: int = 2

    def lay(self, width: float) -> tuple[Slab, ...]:
        """Space, the words, a rule under levels 1 and 2."""
        size = {1: 6.4, 2: 4.9, 3: 4.2}[self.level]
        slabs = [Slab({1: 0.0, 2: 2.2, 3: 1.2}[self.level])]
        slabs += lines(runs_of(self.words, True), size, width)
        if self.level < 3:
            pen = HEAVY if self.level == 1 else MEDIUM
            slabs.append(Slab(1.6, (Line((0.4, 0.4), (width - 0.4, 0.4), pen),)))
        return (Slab(stacked(slabs).height, stacked(slabs).shapes, keep=True),)


@dataclass(frozen=True, slots=True)
class Gap:
    """White space [mm]."""

    height: float

    def lay(self, width: float) -> tuple[Slab, ...]:
        """One empty slab."""
        return (Slab(self.height),)


@dataclass(frozen=True, slots=True)
class Rule:
    """A line across."""

    pen: Pen = FINE

    def lay(self, width: float) -> tuple[Slab, ...]:
        """One slab."""
        return (Slab(2.4, (Line((0.4, 1.2), (width - 0.4, 1.2), self.pen),)),)


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes drawn in their own box, ``width`` x ``height`` mm, from its top left corner."""

    shapes: tuple[Shape, ...]
    width: float
    height: float
    name: str = ""
    said: str = ""
    caption: str = ""

    def lay(self, width: float) -> tuple[Slab, ...]:
        """The drawing in the middle, its caption below; one slab."""
        left = max(0.0, (width - self.width) / 2)
        inner: tuple[Shape, ...] = (Placed(self.shapes, (left, 0.0)),)
        if self.name or self.said:
            inner = (Group(self.name, inner, self.said),)
        slabs = [Slab(self.height, inner)]
        if self.caption:
            slabs += lines(runs_of(self.caption), SMALL, width, 0.0, "middle")
        return (stacked([*slabs, Slab(1.5)]),)


@dataclass(frozen=True, slots=True)
class Steps:
    """Numbered steps with a box to tick; ``boxes`` False leaves the box out."""

    words: tuple[str, ...]
    first: int = 1
    boxes: bool = True
    size: float = BODY

    def lay(self, width: float) -> tuple[Slab, ...]:
        """A slab a line; the lines of a step stay together while a page can hold them."""
        side = 4.2
        number = width_of(runs_of(f"{self.first + len(self.words)}.", True), self.size)
        left = (side + 2.0 if self.boxes else 0.4) + number + 1.6
        slabs: list[Slab] = []
        for index, words in enumerate(self.words):
            said_lines = lines(runs_of(words), self.size, width - left, left)
            base = rise(wrap(runs_of(words), self.size, width - left)[0], self.size)
            base += _LEAD * self.size / 2
            down = max(0.0, side + 0.4 - base)
            said = runs_of(f"{self.first + index}.", True)
            tick: list[Shape] = [Text((left - 1.6, base + down), said, self.size, "end")]
            if self.boxes:
                low = base + down + 0.6
                tick.append(rectangle((0.4, low - side, 0.4 + side, low), MEDIUM))
            shapes = (*tick, Placed(said_lines[0].shapes, (0.0, down)))
            slabs.append(Slab(said_lines[0].height + down, shapes, keep=True))
            slabs += [replace(line, keep=True) for line in said_lines[1:]]
            slabs.append(Slab(1.2))
        return tuple(slabs)


@dataclass(frozen=True, slots=True)
class Bullets:
    """Lines with a dot before each, hanging; ``space`` mm below each."""

    words: tuple[str, ...]
    size: float = BODY
    space: float = 0.5

    def lay(self, width: float) -> tuple[Slab, ...]:
        """A slab a line; the lines of one bullet stay together."""
        dot = runs_of("•")
        left = width_of(dot, self.size) + 1.8
        slabs: list[Slab] = []
        for words in self.words:
            said = lines(runs_of(words), self.size, width - left, left)
            base = rise(wrap(runs_of(words), self.size, width - left)[0], self.size)
            mark = Text((0.4, base + _LEAD * self.size / 2), dot, self.size)
            slabs.append(replace(said[0], shapes=(mark, *said[0].shapes), keep=True))
            slabs += [replace(line, keep=True) for line in said[1:]]
            slabs.append(Slab(self.space))
        return tuple(slabs)


@dataclass(frozen=True, slots=True)
class Table:
    """Ruled rows under a bold first row.

    ``widths`` are shares of the width; ``anchors`` one per column (start, middle, end). A row
    whose ``strong`` flag is set is bold.
    """

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    anchors: tuple[str, ...] = ()
    size: float = BODY
    strong: tuple[int, ...] = ()

    def lay(self, width: float) -> tuple[Slab, ...]:
        """A slab a row; the first row is repeated on every page."""
        slabs: list[Slab] = []
        head: Slab | None = None
        sizes = self._sizes(width)
        if self.head:
            row = stacked(self._row(self.head, sizes, bold=True))
            head = Slab(row.height, (_shade(width, row.height), *row.shapes), keep=True)
            slabs.append(head)
        for index, cells in enumerate(self.rows):
            row_lines = self._row(cells, sizes, bold=index in self.strong)
            slabs += [replace(line, again=head, keep=True) for line in row_lines[:-1]]
            slabs.append(replace(row_lines[-1], again=head))
        return (*slabs, Slab(1.8))

    def _sizes(self, width: float) -> tuple[float, ...]:
        """Column widths: the shares, but no column narrower than its longest word if it can be."""
        shares = [width * share / sum(self.widths) for share in self.widths]
        rows = [(self.head, True), *((r, i in self.strong) for i, r in enumerate(self.rows))]
        least = [
            2 * _PAD
            + max(
                (longest(runs_of(cells[n], bold), self.size) for cells, bold in rows if cells),
                default=0.0,
            )
            for n in range(len(shares))
        ]
        if sum(least) >= width:
            return tuple(shares)
        lack = sum(max(0.0, need - size) for need, size in zip(least, shares, strict=True))
        spare = sum(max(0.0, size - need) for need, size in zip(least, shares, strict=True))
        given = lack / spare if spare else 0.0
        return tuple(
            need if size <= need else size - given * (size - need)
            for need, size in zip(least, shares, strict=True)
        )

    def _row(self, cells: Sequence[str], sizes: Sequence[float], bold: bool) -> tuple[Slab, ...]:
        """The lines of a row, a slab each; the n-th lines of all cells share a baseline."""
        width = sum(sizes)
        anchors = self.anchors or ("start",) * len(self.widths)
        columns: list[list[tuple[Run, ...]]] = []
        places: list[float] = []
        left = 0.0
        for cell, wide, anchor in zip(cells, sizes, anchors, strict=True):
            room = wide - 2 * _PAD
            columns.append(
                [
                    w
                    for line in cell.splitlines() or [""]
                    for w in wrap(runs_of(line, bold), self.size, room)
                ]
            )
            places.append(left + _PAD + {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * room)
            left += wide
        slabs = [Slab(0.7)]
        for number in range(max(map(len, columns))):
            line = [c[number] if number < len(c) else () for c in columns]
            up = max(rise(runs, self.size) for runs in line) + _LEAD * self.size / 2
            under = max(drop(runs, self.size) for runs in line) + _LEAD * self.size / 2
            texts = tuple(
                Text((x, up), runs, self.size, anchor)
                for x, runs, anchor in zip(places, line, anchors, strict=True)
            )
            slabs.append(Slab(up + under, texts))
        return (*slabs, Slab(0.7, (Line((0.3, 0.7), (width - 0.3, 0.7), FINE),)))


def _shade(width: float, height: float) -> Polygon:
    return rectangle((0.3, 0.3, width - 0.3, height), None, 0.9)


@dataclass(frozen=True, slots=True)
class Side:
    """Columns of blocks side by side, never cut; ``widths`` are shares, ``gutter`` mm between."""

    columns: tuple[tuple[Block, ...], ...]
    widths: tuple[float, ...]
    gutter: float = 5.0

    def lay(self, width: float) -> tuple[Slab, ...]:
        """One slab as high as the tallest column."""
        room = width - self.gutter * (len(self.columns) - 1)
        shapes: list[Shape] = []
        tallest, left = 0.0, 0.0
        for blocks, share in zip(self.columns, self.widths, strict=True):
            wide = room * share / sum(self.widths)
            body = stacked([s for b in blocks for s in b.lay(wide)])
            shapes.append(Placed(body.shapes, (left, 0.0)))
            tallest, left = max(tallest, body.height), left + wide + self.gutter
        return (Slab(tallest, tuple(shapes)),)


@dataclass(frozen=True, slots=True)
class Kept:
    """Blocks that stay on one page while a page can hold them."""

    blocks: tuple[Block, ...]

    def lay(self, width: float) -> tuple[Slab, ...]:
        """The slabs of all blocks, each kept with the next."""
        slabs = [slab for block in self.blocks for slab in block.lay(width)]
        last = len(slabs) - 1
        return tuple(replace(slab, keep=i < last) for i, slab in enumerate(slabs))


Block = Kept | Bullets | Paragraph | Heading | Gap | Rule | Drawing | Steps | Table | Side
