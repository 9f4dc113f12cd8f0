"""Sheets that several tests draw: invented content, and content meant to break things."""

from __future__ import annotations

from hypothesis import strategies as st

from pitwright.paper.blocks import (
    Block,
    Bullets,
    Drawing,
    Gap,
    Heading,
    Kept,
    Paragraph,
    Rule,
    Side,
    Steps,
    Table,
)
from pitwright.paper.flow import flow
from pitwright.paper.ink import HATCHES, MEDIUM, Pen
from pitwright.paper.shapes import MARKERS, Arrow, Marker, Polygon, Polyline, Shape, text
from pitwright.paper.sheet import A4, LETTER, Paper, Sheet

NASTY = (
    "<script>alert(1)</script>",
    "</text></svg><script>",
    '"><image href="x" onerror="y"/>',
    "]]> <![CDATA[ & &amp; &#60;",
    "(paren \\) ) Tj ET endstream",
    "\x00\x07\ud800\u202e\ufffe",
    "javascript:alert(1)",
    "<b>bold</b> <para>",
    "W" * 300,
)
words = st.one_of(st.text(max_size=60), st.sampled_from(NASTY), st.just("4 3/16 in (106 mm)"))
papers = st.sampled_from([LETTER, A4])


def _table(rows: list[tuple[str, str]]) -> Table:
    return Table(("piece", "length"), tuple(rows), (1.0, 2.0), ("middle", "end"))


plain_blocks: st.SearchStrategy[Block] = st.one_of(
    st.builds(Paragraph, words),
    st.builds(Bullets, st.lists(words, max_size=4).map(tuple)),
    st.builds(Heading, words, st.sampled_from([1, 2, 3])),
    st.builds(Gap, st.floats(0, 60)),
    st.just(Rule()),
    st.builds(Steps, st.lists(words, max_size=5).map(tuple), boxes=st.booleans()),
    st.lists(st.tuples(words, words), max_size=40).map(_table),
)
blocks: st.SearchStrategy[Block] = st.one_of(
    plain_blocks,
    st.lists(plain_blocks, max_size=3).map(lambda some: Kept(tuple(some))),
    st.lists(st.builds(Paragraph, words).map(lambda p: (p,)), min_size=2, max_size=2).map(
        lambda columns: Side(tuple(columns), (1.0, 2.0))
    ),
)


def legend() -> Drawing:
    """Every dash style, marker and hatch."""
    shapes: list[Shape] = []
    for i in range(8):
        y = 4.0 + 6 * i
        shapes.append(Polyline(((2.0, y), (70.0, y), (90.0, y - 3)), Pen(0.35, i + 1)))
        shapes.append(text((94.0, y), f"style {i + 1}", centred=True))
        shapes.append(Marker((120.0, y), MARKERS[i]))
        shapes.append(text((125.0, y), MARKERS[i], centred=True))
    for i, name in enumerate(HATCHES):
        x = 2.0 + 30 * i
        ring = ((x, 54.0), (x + 24, 56.0), (x + 20, 70.0), (x + 3, 68.0))
        shapes.append(Polygon(ring, MEDIUM, 1.0, name))
    shapes.append(text((155.0, 40.0), "4 3/16 in turned", angle=60.0, backed=True))
    shapes.append(Arrow((155.0, 55.0), (175.0, 65.0)))
    return Drawing(tuple(shapes), 180.0, 72.0, "legend", "styles, markers, hatches", "Legend")


def sample(paper: Paper) -> Sheet:
    """A sheet with one of everything."""
    rows = tuple(
        (chr(65 + i), "elbow and valve adapter", f"{i + 2} {2 * i + 1}/16 in ({51 + i} mm)", "□")
        for i in range(7)
    )
    content: tuple[Block, ...] = (
        Heading("Pit sheet: north gate", 1),
        Paragraph("Cut piece A to 4 3/16 in (106 mm); the header is 1-1/4 in."),
        Heading("Cut list"),
        Table(
            ("piece", "between", "length", "cut"),
            rows,
            (1, 5, 4, 1),
            ("middle", "start", "end", "middle"),
        ),
        Steps(("Shut the water off.", "Mark 1 1/4 in on every spigot.")),
        legend(),
    )
    return Sheet(
        "Pit sheet", flow((*content, *content), paper, head="school garden", foot="Measure again.")
    )
