"""The pit sheet: one plan on paper, to kneel on. [mm] on paper, [m] in the pit.

The first page shows the whole pit and what to settle before a cut; then one block a zone: its
elevation beside its cut list; then what to load and the cautions. The screen says the same, since
every sentence comes from ``wording``.
"""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import datetime
from itertools import groupby

from pitwright.findings import Refusal, StubId, Weight
from pitwright.geometry.vector import add, scale
from pitwright.paper.bent import enlarged, in_full, lines_of, shown_in
from pitwright.paper.blocks import (
    Block,
    Bullets,
    Drawing,
    Gap,
    Heading,
    Kept,
    Paragraph,
    Side,
    Steps,
    Table,
    stacked,
)
from pitwright.paper.built import ValveLook, as_built, together
from pitwright.paper.flow import flow
from pitwright.paper.found import as_found, outside_diameter
from pitwright.paper.pdf import pdf
from pitwright.paper.scene import Pipe, Scene, valve
from pitwright.paper.sheet import PAPERS, Paper, Sheet
from pitwright.paper.signs import legend
from pitwright.paper.svg import svg_drawing
from pitwright.paper.view import VIEWS, View, view
from pitwright.planning import Plan, ZonePlan, beside_load
from pitwright.renewal.option import Option, SetFirst
from pitwright.survey.stubs import Stub
from pitwright.survey.valves import ValveBody
from pitwright.trains.cut_list import Bend
from pitwright.trains.kitting import stub_end
from pitwright.wording import pit_sheet as words
from pitwright.wording.beside import (
    BESIDE,
    BESIDE_HEAD,
    BESIDE_NOTE,
    beside_lines,
    beside_name,
    beside_row,
)
from pitwright.wording.cautions import cautions
from pitwright.wording.chances import chance_lines, held_pieces, held_rolls
from pitwright.wording.findings import finding_words, gathered_words, refusal_lines
from pitwright.wording.steps import began_at, capital, step_lines
from pitwright.wording.survey import doubt_lines

__all__ = ["pit_sheet", "pit_sheet_pdf", "pit_sheet_svg", "plan_scene", "settle_lines"]

_SMALL = 3.5
_NUMBER = re.compile(r"^\d+\. ")
_HEIGHT, _BONNET = 0.11, 0.075
"""A valve nobody measured is drawn this high and wide. [m]"""
_TAIL = 0.1
"""So much of each stub is drawn. [m]"""
_MOST_REASONS = 3
_TWO = 2
_LEFT = 0.54
"""The share of the width that a zone's drawing gets. [-]"""
_WHOLE = 180.0
"""Width of the drawing that stands alone. [mm]"""


def plan_scene(plan: Plan) -> Scene:
    """The pit with the best option of every zone built in, each zone's parts under its id. [m]"""
    survey = plan.survey
    best = [option for z in plan.zones if (option := z.best) is not None]
    cuts = {work.stub: work.cut for option in best for work in option.works}
    found = as_found(survey, cuts, tail=_TAIL)
    return together([found, *(_built(plan, z) for z in plan.zones if z.best is not None)])


def _built(plan: Plan, zone: ZonePlan) -> Scene:
    survey, option = plan.survey, zone.best
    assert option is not None  # the caller looked
    inlet, outlet = option.stubs_of(survey)
    thick = outside_diameter(inlet), outside_diameter(outlet)
    pipes = {p.name: p.od.value for p in survey.shelf.pipes}
    built = as_built(
        option.train,
        option.cuts,
        (stub_end(inlet, survey.shelf), stub_end(outlet, survey.shelf)),
        od=pipes.get(option.pipe_name, thick[0]),
        look=_look(survey.valve(zone.zone.valve) if zone.zone.valve else None),
        words=zone.zone.name,
        zone=zone.zone.id,
        ods=thick,
        cut_words=tuple(words.cut_line(work) for work in option.works[-2:]),
    )
    return (
        built
        if option.first is None
        else _behind(
            built, option.first, survey.stub(StubId(option.first.feed.stub)), inlet, zone.zone.id
        )
    )


def _behind(built: Scene, first: SetFirst, feed: Stub, nipple: Stub, zone: str) -> Scene:
    """The shut-off that is set first, and the new pipe before it and between it and the train."""
    body, thick = first.solid, outside_diameter(nipple)
    up = (0.0, 0.0, 1.0)
    stop = valve(
        body.a, body.b, up, diameter=1.2 * thick, height=_BONNET, bonnet=_BONNET / 2,
        words=first.body,
    )  # fmt: skip
    cut = add(feed.tip.mean, scale(feed.outward, -first.feed.cut))
    new = (
        Pipe((cut, body.a), thick, zone=zone, name=f"before the {first.body}"),
        Pipe((body.b, nipple.tip.mean), thick, zone=zone, name=f"behind the {first.body}"),
    )
    stop = replace(stop, zone=zone, name=first.body)
    return replace(built, fittings=(*built.fittings, stop), pipes=(*built.pipes, *new))


def _look(valve: ValveBody | None) -> ValveLook:
    if valve is None:
        return ValveLook(_HEIGHT, _HEIGHT, _BONNET)
    height = valve.height.value if valve.height else _HEIGHT
    bonnet = valve.width.value if valve.width else _BONNET
    return ValveLook(valve.length.value, height, bonnet)


def pit_sheet(plan: Plan, paper: Paper) -> Sheet:
    """The whole sheet. [mm]"""
    left, _, right, _ = paper.inside
    width = right - left
    scene = plan_scene(plan)
    title = words.title(plan.survey)
    blocks: list[Block] = [
        Heading(title, 1),
        Paragraph(words.pit_line(plan.survey), _SMALL),
        *_pictures(scene, width),
        *_settle(plan),
    ]
    began = _began(plan)
    for zone in plan.zones:
        if zone.best is not None:
            blocks.append(Kept(_zone(plan, zone, zone.best, scene, width)))
            blocks += _steps(zone.best, began)
    blocks += [*_side_by_side(plan, began), *_beside(plan, began), *_refused(plan)]
    told = Bullets(tuple(c.words for c in cautions()), _SMALL)
    blocks += [*_load(plan), Kept((Heading(words.CAUTIONS), told))]
    pages = flow(blocks, paper, head=title, foot=words.FOOT, page_words=words.PAGE)
    return Sheet(title, pages, words.pit_line(plan.survey))


def pit_sheet_pdf(plan: Plan, paper: str) -> bytes:
    """The sheet as a PDF file, on "letter" or "a4". Raises KeyError for another paper. [mm]"""
    return pdf(pit_sheet(plan, PAPERS[paper]))


def pit_sheet_svg(plan: Plan) -> bytes:
    """The drawings alone, one below the other, as an SVG file. [mm]"""
    scene = plan_scene(plan)
    blocks: list[Block] = [*_pictures(scene, _WHOLE)]
    for zone in plan.zones:
        if zone.best is not None:
            blocks += [
                Heading(words.zone_title(zone.zone.name, zone.best)),
                *_zone_drawings(plan, zone, scene, _WHOLE, 120.0),
            ]
    whole = stacked([slab for block in blocks for slab in block.lay(_WHOLE)])
    title, said = words.title(plan.survey), words.pit_line(plan.survey)
    box = (-4.0, -4.0, _WHOLE + 4.0, whole.height + 4.0)
    return svg_drawing(whole.shapes, box, title, described=said).encode("utf-8")


def _overview(scene: Scene) -> Scene:
    """The whole pit without what only the zones' own drawings have room for."""
    return replace(
        scene,
        pipes=tuple(replace(p, letter="") for p in scene.pipes),
        cuts=tuple(replace(c, words="") for c in scene.cuts),
        dimensions=(),
    )


def _drawing(drawn: View, bent: int = 0) -> Drawing:
    said = words.caption(drawn.name, drawn.one_to, bent)
    return Drawing(drawn.shapes, drawn.width, drawn.height, drawn.name, said, said)


def _pictures(scene: Scene, width: float) -> tuple[Block, ...]:
    """The whole pit from above and from a corner, and what the signs mean."""
    half = (width - 4.0) / 2
    whole = _overview(scene)
    bare = replace(whole, pipes=tuple(replace(p, words="") for p in whole.pipes), obstacles=())
    shapes, wide, high = legend()
    columns: tuple[tuple[Block, ...], ...] = (
        (_drawing(view(whole, "plan", half, 112.0)),),
        (_drawing(view(bare, "isometric", half, 112.0, air=11.0)),),
    )
    return (Side(columns, (1.0, 1.0), 4.0), Drawing(shapes, wide, high, "legend"))


def settle_lines(plan: Plan) -> tuple[str, ...]:
    """What to settle before a cut, each once: stops, then checks, then doubts about readings."""
    found = [*plan.findings]
    found += [f for zone in plan.zones if zone.best is not None for f in zone.best.findings]
    doubts = doubt_lines(plan.survey.findings)
    lines = [
        *(words.STOP + finding_words(f) for f in found if f.weight is Weight.STOP),
        *(line for line in doubts if line.startswith(words.STOPS)),
        *gathered_words([f for f in found if f.weight is Weight.CHECK]),
        *(line for line in doubts if not line.startswith(words.STOPS)),
        *gathered_words([f for f in found if f.weight is Weight.NOTE]),
    ]
    return tuple(dict.fromkeys(lines))


def _settle(plan: Plan) -> tuple[Block, ...]:
    once = settle_lines(plan)
    return (Heading(words.BEFORE), Steps(once, size=_SMALL)) if once else ()


def _refused(plan: Plan) -> tuple[Block, ...]:
    blocks: list[Block] = []
    for zone in plan.zones:
        if isinstance(zone.answer, Refusal):
            lines = [zone.zone.name, *refusal_lines(zone.answer, _MOST_REASONS)]
            blocks.append(Paragraph(lines[0], _SMALL, bold=True, space=0.2))
            blocks.append(Bullets(tuple(lines[1:]), _SMALL))
    return (Kept((Heading(words.REFUSED), *blocks)), Gap(1.0)) if blocks else ()


def _zone(
    plan: Plan, zone: ZonePlan, option: Option, scene: Scene, width: float
) -> tuple[Block, ...]:
    """One zone: its elevation beside its cut list, then the lines that go with it."""
    drawn = _zone_drawings(plan, zone, scene, width * _LEFT - 2.0, 78.0)
    cut = Table(
        words.CUT_HEAD,
        tuple(words.piece_row(p, held_pieces(option.doubt)) for p in option.cuts.pieces),
        (1.0, 3.1, 2.2, 1.0),
        ("middle", "start", "start", "middle"),
        _SMALL,
    )
    bends = [i for i in option.cuts.items if isinstance(i, Bend)]
    lines = [
        words.depth_line(option.cuts.pieces),
        *(words.stub_line(work) for work in option.works),
        *(words.bend_line(bend, n) for n, bend in enumerate(bends)),
    ]
    beside: list[Block] = [cut] if option.cuts.pieces else []
    beside += [Paragraph(line, _SMALL, space=0.8) for line in lines if line]
    below = (words.option_line(option), words.parts_line(option))
    return (
        Heading(words.zone_title(zone.zone.name, option)),
        Side((drawn, tuple(beside)), (_LEFT, 1 - _LEFT), 3.0),
        Paragraph(" ".join(line for line in below if line), _SMALL),
    )


def _began(plan: Plan) -> datetime | None:
    """When work begins, where the survey says."""
    return began_at(plan.survey.conditions.now) if plan.survey.conditions else None


def _steps(option: Option, began: datetime | None) -> tuple[Block, ...]:
    """How it goes in, step by step with a box to tick; before them how sure it is to close."""
    blocks: list[Block] = []
    if option.doubt is not None:
        blocks.append(Bullets(tuple(capital(x) for x in chance_lines(option.doubt)), _SMALL))
    if option.assembly is not None:
        lines = tuple(
            step_lines(option.assembly, began, held_pieces(option.doubt), held_rolls(option.doubt))
        )
        blocks += [Heading(words.steps_title(option, began), 3), Steps(lines, size=_SMALL)]
    return (*blocks, Gap(1.0)) if blocks else ()


def _side_by_side(plan: Plan, began: datetime | None) -> tuple[Block, ...]:
    """Every option of every zone that has more than one, on one page where it can be."""
    blocks: list[Block] = []
    for zone in plan.zones:
        if isinstance(zone.answer, Refusal) or len(zone.answer) < _TWO:
            continue
        rows = tuple(words.option_row(o, n, began) for n, o in enumerate(zone.answer, 1))
        anchors = ("middle", "start", "middle", "middle", "middle", "middle")
        table = Table(words.OPTIONS_HEAD, rows, (0.5, 5.2, 0.9, 1.7, 1.5, 1.7), anchors, _SMALL)
        blocks += [Paragraph(zone.zone.name, _SMALL, bold=True, space=0.4), table]
    return (Heading(words.OPTIONS), *blocks, Gap(1.0)) if blocks else ()


def _beside(plan: Plan, began: datetime | None) -> tuple[Block, ...]:
    """The planned ways that are no train between two stubs: in rows, then each with its steps."""
    rows = [row for one in plan.beside if (row := beside_row(one, plan.survey, began))]
    if not rows:
        return ()
    table = Table(BESIDE_HEAD, tuple(rows), (3.0, 2.2, 4.2, 1.6), ("start",) * 4, _SMALL)
    blocks: list[Block] = [Heading(BESIDE), table, Paragraph(BESIDE_NOTE, _SMALL)]
    for one in plan.beside:
        if isinstance(one.answer, Refusal):
            continue
        load = beside_load(plan.survey, one.answer)
        told = tuple(line.strip() for line in beside_lines(one, began))
        blocks.append(Heading(beside_name(one, plan.survey), 3))
        for numbered, run in groupby(told[1:], lambda line: bool(_NUMBER.match(line))):
            lines = tuple(run)
            steps = tuple(_NUMBER.sub("", line) for line in lines)
            blocks.append(Steps(steps, size=_SMALL) if numbered else Bullets(lines, _SMALL))
        loaded = words.load_rows(load.lines, load.pipes)
        anchors = ("start", "middle", "middle", "middle", "end")
        blocks.append(Table(words.LOAD_HEAD, loaded, (4.2, 1, 1, 1.5, 2.6), anchors, _SMALL))
        blocks.append(Paragraph(words.tools_line(load.wants), _SMALL))
    return (*blocks, Gap(1.0))


def _close(scene: Scene, zone: str) -> Scene:
    """One zone as large as it will go: without neighbours, box and ground."""
    return replace(scene.only(zone), obstacles=(), walls=None, ground=None, north=None)


def _zone_drawings(
    plan: Plan, zone: ZonePlan, scene: Scene, width: float, height: float
) -> tuple[Drawing, ...]:
    """The zone's elevation; also its plan view where only that shows how a stub is bent."""
    option = zone.best
    assert option is not None  # the caller looked
    close = _close(scene, zone.zone.id)
    lines = lines_of(plan.survey, zone.zone, option)
    if not lines:
        return (_drawing(view(close, "elevation", width, height)),)
    close = in_full(close, plan.survey, option, lines)
    found, left = [], lines
    for name in ("elevation", "plan"):
        camera = VIEWS[name](close)
        shown = shown_in(left, camera)
        with_lines, by = enlarged(close, plan.survey, shown, camera)
        if name == "elevation" or by:
            found.append(_drawing(view(with_lines, name, width, height), by))
        left = tuple(line for line in left if line not in shown)
    return tuple(found)


def _load(plan: Plan) -> tuple[Block, ...]:
    if not plan.load.lines:
        return ()
    rows = words.load_rows(plan.load.lines, plan.load.pipes)
    anchors = ("start", "middle", "middle", "middle", "end")
    return (
        Heading(words.LOAD),
        Table(words.LOAD_HEAD, rows, (4.2, 1, 1, 1.5, 2.6), anchors, _SMALL),
        Paragraph(words.tools_line(plan.load.wants), _SMALL),
    )
