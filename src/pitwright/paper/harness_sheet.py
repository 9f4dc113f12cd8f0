"""The harness drawn, and a card of tests to carry to the controller.

Every conductor has a row of its own with its name and one of eight line styles, so that nothing is
told by colour alone. Columns are the controller and the boxes. Where a fault may be, a circle on
the row says how likely.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.paper.blocks import Block, Bullets, Drawing, Heading, Paragraph, Table
from pitwright.paper.flow import flow
from pitwright.paper.ink import FINE, HEAVY, MEDIUM, Pen
from pitwright.paper.pdf import pdf
from pitwright.paper.shapes import Group, Line, Marker, Polygon, Shape, rectangle, text
from pitwright.paper.sheet import PAPERS, Sheet
from pitwright.paper.svg import svg_drawing
from pitwright.survey.harness import CONTROLLER, Harness
from pitwright.units.kinds import FOOT
from pitwright.wiring.along import UPPER, Along
from pitwright.wiring.answer import Answer, PlaceChance
from pitwright.wording.along import along_lines, along_words
from pitwright.wording.wiring import (
    CAUTIONS,
    cautions_of,
    doubt_words,
    fault_words,
    go_words,
    percent_short,
    percent_words,
    place_words,
    reading_words,
    test_words,
)

__all__ = ["harness_drawing", "harness_pdf", "harness_svg", "test_card_pdf"]

ROW = 9.0
"""Between two conductors. [mm]"""
LEFT, TOP, RIGHT = 34.0, 16.0, 20.5
WIDTH = 186.0
LEAST_SHOWN = 0.01
"""Places less likely than this carry no mark."""
_STYLES = 8


@dataclass(frozen=True, slots=True)
class _Chart:
    """Where rows and columns stand. [mm]"""

    harness: Harness
    rows: dict[str, float]
    columns: dict[str, float]
    height: float

    def middle(self, segment: str) -> float:
        """The middle of a segment's stretch."""
        after = self.harness.box(segment).after
        return (self.columns[after] + self.columns[segment]) / 2.0

    def along(self, segment: str, metres: float) -> float:
        """A place in a segment, ``metres`` from the controller, clear of both boxes."""
        stretch = self.harness.box(segment)
        before = self.harness.length_to(segment) - stretch.length
        share = min(max((metres - before) / stretch.length, 0.0), 1.0)
        a, b = self.columns[stretch.after], self.columns[segment]
        return a + (0.15 + 0.7 * share) * (b - a)


def _chart(harness: Harness) -> _Chart:
    names = harness.conductors()
    rows = {name: TOP + ROW * (i + 1) for i, name in enumerate(names)}
    step = (WIDTH - LEFT - RIGHT) / len(harness.boxes)
    columns = {CONTROLLER: LEFT}
    columns |= {b.id: LEFT + step * (i + 1) for i, b in enumerate(harness.boxes)}
    return _Chart(harness, rows, columns, TOP + ROW * (len(names) + 1) + 6.0)


def harness_drawing(
    harness: Harness, got: Answer | None = None, far: Sequence[Along] = ()
) -> tuple[tuple[Shape, ...], float]:
    """The shapes of the harness with the answer's places and ``far`` marked, their height. [mm]"""
    chart = _chart(harness)
    shapes: list[Shape] = [*_columns(chart)]
    for number, name in enumerate(harness.conductors()):
        shapes.append(_conductor(chart, name, number % _STYLES + 1))
    drawn = [one for one in far if one.got is not None and not one.past_end]
    for number, one in enumerate(drawn):
        before = sum(other.wire == one.wire for other in drawn[:number])
        shapes.append(_distance(chart, one, before))
    if got is not None:
        for place in got.places:
            if place.chance >= LEAST_SHOWN and place.place.kind != "none":
                shapes.append(_mark(chart, place))
    return tuple(shapes), chart.height


def _columns(chart: _Chart) -> list[Shape]:
    harness, bottom = chart.harness, chart.height - 3.0
    shapes: list[Shape] = []
    for name, x in chart.columns.items():
        wide = 3.0 if name == CONTROLLER else 2.2
        pen = HEAVY if name == CONTROLLER else Pen(0.35, 3)
        shapes.append(rectangle((x - wide, TOP + 2.0, x + wide, bottom), pen, 1.0))
        shapes.append(text((x, TOP - 1.5), name, 3.6, anchor="middle", bold=True))
    for box in harness.boxes:
        x = chart.columns[box.id]
        give = f" +- {2 * box.length_sd / FOOT:.0f}" if box.length_sd else ""
        said = f"{box.length / FOOT:.0f}{give} ft"
        if box.after != CONTROLLER:
            said += f" from {box.after}"
        shapes.append(text((x, TOP - 5.5), said, 2.8, anchor="middle"))
    return shapes


def _conductor(chart: _Chart, name: str, style: int) -> Shape:
    harness, y = chart.harness, chart.rows[name]
    pen = Pen(0.5 if style in (1, 7, 8) else 0.4, style)
    parts: list[Shape] = []
    for segment in harness.segments(name):
        after = harness.box(segment).after
        parts.append(Line((chart.columns[after], y), (chart.columns[segment], y), pen))
        parts.append(Marker((chart.columns[segment], y), "dot", 0.6))
        colour = harness.colour(name, segment)
        before = harness.colour(name, after) if after != CONTROLLER else ""
        if colour and colour != before:
            parts.append(text((chart.columns[after] + 4.0, y - 1.1), colour, 2.6))
    parts.append(Marker((chart.columns[CONTROLLER], y), "open square", 1.1))
    parts.append(text((LEFT - 5.0, y + 1.2), name, 3.9, anchor="end", bold=True))
    parts.append(text((2.0, y + 1.0), f"{harness.awg(name)} AWG", 2.8))
    parts += _far_end(chart, name, y)
    for through in harness.throughs:
        if through.conductor == name:
            at = (chart.columns[through.box], y)
            parts.append(Marker(at, "open triangle", 1.3))
    return Group(f"wire {name}", tuple(parts), f"wire {name}")


def _far_end(chart: _Chart, name: str, y: float) -> list[Shape]:
    """A coil, an open end, or nothing for a common."""
    for station in chart.harness.stations:
        if station.id == name:
            x = chart.columns[station.box] + 3.6
            coil = rectangle((x, y - 1.6, x + 5.2, y + 1.6), MEDIUM, 1.0)
            said = {"zone": "", "master": "M", "pump": "P"}[station.role]
            return [
                Line((x - 3.6, y), (x, y), MEDIUM),
                coil,
                Line((x, y + 1.6), (x + 5.2, y - 1.6), FINE),
                text((x + 2.6, y), said, 2.6, anchor="middle", centred=True),
            ]
    for spare in chart.harness.spares:
        if spare.id == name:
            x = chart.columns[spare.box]
            return [Marker((x, y), "ring", 1.2), text((x + 3.0, y + 1.0), "spare", 2.8)]
    return []


def _mark(chart: _Chart, one: PlaceChance) -> Shape:
    """A circle with the chance where the place lies; a bar joins the rows of two conductors."""
    place, harness = one.place, chart.harness
    parts: list[Shape] = []
    if place.kind == "valve":
        station = harness.station(place.on)
        at = (chart.columns[station.box] + 12.6, chart.rows[place.on])
    elif place.kind == "sensor":
        at = (chart.columns[CONTROLLER], TOP + 4.0)
    else:
        x = chart.columns[CONTROLLER]
        if place.kind != "terminals":
            x = chart.middle(place.segment)
            if one.metres is not None:
                x = chart.along(place.segment, one.metres)
        at = (x, chart.rows[place.on])
        if place.other:
            low = (x, chart.rows[place.other])
            parts.append(Line(at, low, HEAVY))
            parts += [Marker(at, "square", 0.9), Marker(low, "square", 0.9)]
            at = (x, (at[1] + low[1]) / 2.0)
    wide = 7.0 if one.chance > 0.99 else 5.6
    field = tuple(
        (at[0] + dx * wide, at[1] + dy * 2.4) for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    )
    pen = HEAVY if one.chance >= 0.5 else MEDIUM
    parts.append(Polygon(field, pen, 1.0))
    parts.append(
        text(
            at,
            percent_short(one.chance),
            3.4,
            anchor="middle",
            bold=True,
            centred=True,
        )
    )
    return Group(
        f"place {place_words(harness, place)}",
        tuple(parts),
        f"{percent_words(one.chance)} {place_words(harness, place)}",
    )


def _distance(chart: _Chart, one: Along, before: int) -> Shape:
    """A bar under the wire's row over the band, a diamond at the place, and the feet.

    ``before``: how many bars that wire has already; two lie clear of each other.
    """
    assert one.got is not None
    y = chart.rows[one.wire] + 1.9 + 1.9 * (before % 2)
    low, high = (chart.along(one.segments[i], at) for i, at in ((0, one.low), (-1, one.high)))
    upper = one.got.kind == UPPER
    at = high if upper else chart.along(one.segment, one.got.metres)
    feet = f"{(one.high if upper else one.got.metres) / FOOT:.0f} ft"
    said = f"at most {feet}" if upper else feet
    left = not upper and one.segments[-1] == chart.harness.segments(one.wire)[-1]
    beside = low - 1.2 if left else high + 1.2
    parts: list[Shape] = [
        Line((low, y), (high, y), HEAVY),
        *(Line((x, y - 0.8), (x, y + 0.8), MEDIUM) for x in (low, high)),
        *(() if upper else (Marker((at, y), "diamond", 1.1),)),
        text((beside, y + 1.0), said, 2.8, anchor="end" if left else "start", bold=True),
    ]
    words = f"distance on {one.wire}: {along_words(chart.harness, one)}"
    return Group(words, tuple(parts), words)


def harness_svg(harness: Harness, got: Answer | None = None, far: Sequence[Along] = ()) -> bytes:
    """The drawing as SVG. Source: none; a drawing of this house."""
    shapes, height = harness_drawing(harness, got, far)
    title = f"Wiring of {harness.name}"
    return svg_drawing(
        shapes, (0.0, 0.0, WIDTH, height), title, described="conductors by line style and name"
    ).encode()


def _legend(far: bool) -> Block:
    said = (
        "Each conductor has a row, a name and a line style of its own. Open square: its terminal. "
        "Dot: it passes or ends in a box. Rectangle with a stroke: coil (M master valve, P pump "
        "relay). Open triangle: joined on its way. Ring: spare end. Framed per cent: how likely "
        "the fault lies there; a thick bar joins the two conductors concerned. Not to scale."
    )
    if far:
        said += (
            " Diamond on a bar under a wire: a distance reading and its 95 % band, in feet from "
            "the controller; a bar without one: no farther than its end."
        )
    return Paragraph(said, 3.1)


def harness_pdf(
    harness: Harness, got: Answer, paper: str = "letter", far: Sequence[Along] = ()
) -> bytes:
    """The drawing with places and distances in words, on one or two pages."""
    shapes, height = harness_drawing(harness, got, far)
    blocks: list[Block] = [
        Heading(f"Wiring of {harness.name}", 1),
        Drawing(shapes, WIDTH, height, "harness", "the wiring harness"),
        _legend(bool(far)),
    ]
    if got.refusal is None:
        rows = tuple(
            (place_words(harness, p.place), percent_words(p.chance), percent_words(p.without_clues))
            for p in got.places
            if p.chance >= LEAST_SHOWN
        )
        blocks += [
            Heading("Where it may be", 2),
            Table(
                ("place", "chance", "without clues"),
                rows,
                (6.0, 1.4, 1.6),
                ("start", "end", "end"),
                3.5,
            ),
        ]
    if far:
        said = tuple(" ".join(line.split()) for line in along_lines(harness, far))
        blocks += [
            Heading(said[0].rstrip(":"), 2),
            *(Paragraph(line, 3.3, bold=line.endswith(":")) for line in said[1:]),
        ]
    if len(got.alike) > 1:
        blocks += [
            Heading("Not told apart by these readings", 2),
            Bullets(tuple(fault_words(harness, f) for f in got.alike[:12]), 3.3),
        ]
    return _sheet(blocks, f"Wiring of {harness.name}", paper)


def test_card_pdf(harness: Harness, got: Answer, paper: str = "letter") -> bytes:
    """What was read, which test comes next, room for what it shows, and the cautions."""
    blocks: list[Block] = [Heading(f"Test card: {harness.name}", 1)]
    if harness.complaint:
        blocks.append(Paragraph(f"Complaint: {harness.complaint}"))
    tests = [t.test for t in got.tests]
    blocks += [
        Heading("Cautions", 2),
        Bullets(tuple(CAUTIONS[c] for c in cautions_of(tests)), 3.4),
        Heading("Readings so far", 2),
        Table(
            ("", "test", "shown"),
            tuple((str(i), *reading_words(harness, r)) for i, r in enumerate(got.readings, 1)),
            (0.5, 6.0, 2.2),
            size=3.4,
        ),
    ]
    blocks += [Paragraph(line, bold=True) for line in go_words(harness, got)]
    if got.doubt is not None:
        blocks.append(Paragraph(doubt_words(got), bold=True))
    blocks += [
        Heading("Next, best first", 2),
        Table(
            ("", "test", "min", "bit", "range", "shown"),
            tuple(
                (str(i), test_words(harness, t.test), f"{t.minutes:g}", f"{t.bits:.2f}", "", "")
                for i, t in enumerate(got.tests, 1)
            )
            or (("", "none tells enough more", "", "", "", ""),),
            (0.5, 5.6, 0.8, 0.8, 1.2, 1.6),
            size=3.4,
        ),
        Table(
            ("other tests", "range", "shown"),
            tuple(("", "", "") for _ in range(6)),
            (5.0, 1.5, 2.0),
            size=4.6,
        ),
    ]
    return _sheet(blocks, f"Test card: {harness.name}", paper)


def _sheet(blocks: list[Block], title: str, paper: str) -> bytes:
    pages = flow(blocks, PAPERS[paper], head=title, foot=CAUTIONS["law"])
    return pdf(Sheet(title, pages, "wiring"))
