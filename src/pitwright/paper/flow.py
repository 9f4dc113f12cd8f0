"""Flow: blocks of words, tables, check lists and drawings, one below the other, over pages.

A block turns into slabs (pieces that are never cut) for a given width; the flow puts slabs on
pages, keeps headings with what they head, and repeats a table's first row on the next page. [mm]
"""

from __future__ import annotations

from collections.abc import Sequence

from pitwright.paper.blocks import SMALL, Block, Slab, lines, stacked
from pitwright.paper.ink import FINE
from pitwright.paper.shapes import Line, Placed, Shape, Text
from pitwright.paper.sheet import Page, Paper
from pitwright.paper.words import rise, runs_of

__all__ = ["flow"]


def _chunks(slabs: Sequence[Slab]) -> list[list[Slab]]:
    """Slabs that stay together."""
    out: list[list[Slab]] = []
    joined = False
    for slab in slabs:
        if joined:
            out[-1].append(slab)
        else:
            out.append([slab])
        joined = slab.keep
    return out


def flow(
    blocks: Sequence[Block],
    paper: Paper,
    *,
    head: str = "",
    foot: str = "",
    page_words: str = "page {page} of {pages}",
) -> tuple[Page, ...]:
    """Blocks on as many pages as they need, never beyond the margin unless one slab alone is.

    ``head`` stands over and ``foot`` under every page; ``page_words`` says which page it is.
    """
    left, top, right, bottom = paper.inside
    width = right - left
    heading = lines(runs_of(head), SMALL, width * 0.75)[0] if head else None
    under = lines(runs_of(foot), SMALL, width * 0.8)
    foot_high = sum(s.height for s in under) + 1.6
    first = top + (heading.height + 2.4 if heading else 0.0)
    last = bottom - foot_high
    bodies: list[list[Shape]] = [[]]
    down = first
    for chunk in _chunks([s for b in blocks for s in b.lay(width)]):
        high = sum(s.height for s in chunk)
        if down + high > last + 1e-9 and down > first:
            bodies.append([])
            down = first
            if chunk[0].again is not None:
                bodies[-1].append(Placed(chunk[0].again.shapes, (left, down)))
                down += chunk[0].again.height
        for slab in chunk:
            if not slab.shapes and down == first:
                continue
            if down + slab.height > last + 1e-9 and down > first and slab.shapes:
                bodies.append([])
                down = first
            bodies[-1].append(Placed(slab.shapes, (left, down)))
            down += slab.height
    pages = []
    for index, shapes in enumerate(bodies):
        said = page_words.replace("{page}", str(index + 1)).replace("{pages}", str(len(bodies)))
        furniture = _furniture(paper, heading, under, said, foot_high)
        pages.append(Page(paper, (*shapes, *furniture), said))
    return tuple(pages)


def _furniture(
    paper: Paper, heading: Slab | None, under: Sequence[Slab], said: str, foot_high: float
) -> tuple[Shape, ...]:
    left, top, right, bottom = paper.inside
    shapes: list[Shape] = []
    if heading is not None:
        y = top + heading.height
        shapes.append(Placed(heading.shapes, (left, top)))
        shapes.append(Line((left + 0.3, y + 0.5), (right - 0.3, y + 0.5), FINE))
    y = bottom - foot_high
    shapes.append(Line((left + 0.3, y + 0.8), (right - 0.3, y + 0.8), FINE))
    shapes.append(Placed(stacked(under).shapes, (left, y + 1.6)))
    shapes.append(Text((right - 0.3, y + 1.6 + rise((), SMALL)), runs_of(said), SMALL, "end"))
    return tuple(shapes)
