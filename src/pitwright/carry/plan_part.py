"""What the plan says: drawing, what to settle, each zone with its cut list, and what to load.

Lengths come in [m] and leave as [in, mm], in the words of the pit sheet.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from pitwright.carry.markup import Markup, bullets, el, section, table
from pitwright.findings import Refusal
from pitwright.joining.assembly import Step
from pitwright.paper.pit_sheet import plan_scene, settle_lines
from pitwright.paper.turning import plan_turning, stills, turning_html
from pitwright.planning import Plan, ZonePlan, beside_load
from pitwright.records.progress import step_label
from pitwright.renewal.option import Option
from pitwright.trains.cut_list import Bend, Joint, Piece, Where
from pitwright.units.inches import both_text, inches_text
from pitwright.wording import pit_sheet as words
from pitwright.wording.beside import BESIDE, beside_lines, beside_name
from pitwright.wording.carry import NOTES, PAGE, refused_line
from pitwright.wording.chances import chance_lines, held_pieces, held_rolls
from pitwright.wording.clocks import water_after
from pitwright.wording.findings import refusal_lines, within_words
from pitwright.wording.steps import began_at, capital, step_lines, step_words

__all__ = ["drawing_part", "load_part", "settle_part", "zone_parts"]


def drawing_part(plan: Plan) -> Markup:
    """The drawing that turns; plan and elevation where no script runs."""
    drawn = Markup(turning_html(plan_turning(plan), stills(plan_scene(plan))))
    return section("drawing", PAGE["drawing"], drawn, open=True)


def settle_part(plan: Plan) -> Markup:
    """What to settle before a cut."""
    lines = settle_lines(plan)
    return (
        section("before", PAGE["before"], bullets(lines, "ol"), open=True) if lines else el("div")
    )


def zone_parts(plan: Plan) -> Markup:
    """Every zone: its cut list and how it is put in, or why there is none."""
    conditions = plan.survey.conditions
    began = began_at(conditions.now) if conditions else None
    parts = [_zone(z, began) for z in plan.zones]
    return section("zones", PAGE["zones"], *parts, *_beside(plan, began), open=True)


def _beside(plan: Plan, began: datetime | None) -> Iterator[Markup]:
    """Every planned way that is no train between two stubs: what stays, steps, what to load."""
    for one in plan.beside:
        if isinstance(one.answer, Refusal):
            continue
        load = beside_load(plan.survey, one.answer)
        yield el(
            "details",
            el("summary", f"{BESIDE}: {beside_name(one, plan.survey)}"),
            bullets([line.strip() for line in beside_lines(one, began)]),
            table(words.LOAD_HEAD, words.load_rows(load.lines, load.pipes), "load list"),
        )


def _zone(zone: ZonePlan, began: datetime | None) -> Markup:
    option = zone.best
    if isinstance(zone.answer, Refusal) or option is None:
        assert isinstance(zone.answer, Refusal)
        lines = [refused_line(), *refusal_lines(zone.answer, 3)]
        return el("section", el("h3", zone.zone.name), el("p", lines[0]), bullets(lines[1:]))
    name = str(zone.zone.id)
    return el(
        "section",
        el("h3", words.zone_title(zone.zone.name, option)),
        table(words.CUT_HEAD[:3], [_row(p) for p in option.cuts.pieces], "cut list")
        if option.cuts.pieces
        else "",
        *(_as_cut(p, name, zone.zone.name) for p in option.cuts.pieces),
        bullets([line for line in _lines(option) if line]),
        _steps(option, name, began) or _joints(option, name),
        _others(zone, began),
    )


def _row(piece: Piece) -> tuple[Markup, Markup, str]:
    sure = f" ({within_words(piece.within)})" if piece.within > 0.0 else ""
    between = f"{piece.before} to {piece.after}"
    return el("b", piece.letter), el("b", both_text(piece.length) + sure), between


def _as_cut(piece: Piece, zone: str, called: str) -> Markup:
    """The field that notes how long a piece was cut; shown once the script runs."""
    named = f"{zone} {piece.letter}"
    said = f"{NOTES['as_cut']}, {called} {piece.letter}"
    id = f"cut-{named}".replace(" ", "-")
    return el(
        "div",
        el("label", said, for_=id),
        el("input", id=id, inputmode="text", autocomplete="off", data_draft=id),
        el("button", NOTES["note"], type="button", aria_label=f"{NOTES['note']}: {said}"),
        el("p", class_="told", role="status"),
        class_="field", hidden=True, data_form="piece", data_label=named,
        data_planned=f"{inches_text(piece.length)}", data_metres=f"{piece.length:.6f}",
    )  # fmt: skip


def _lines(option: Option) -> Iterator[str]:
    yield words.depth_line(option.cuts.pieces)
    yield from (words.stub_line(work) for work in option.works)
    bends = [i for i in option.cuts.items if isinstance(i, Bend)]
    yield from (words.bend_line(bend, n) for n, bend in enumerate(bends))
    yield words.parts_line(option)
    yield words.option_line(option)
    if option.doubt is not None:
        yield from (f"{capital(line)}." for line in chance_lines(option.doubt))


def _steps(option: Option, zone: str, began: datetime | None) -> Markup:
    """How it goes in, each step to be ticked; what it joins is noted as made."""
    if option.assembly is None:
        return Markup("")
    lines = list(
        step_lines(option.assembly, began, held_pieces(option.doubt), held_rolls(option.doubt))
    )
    rows = [
        _step(line, n, zone, step)
        for n, (line, step) in enumerate(zip(lines, option.assembly.steps, strict=True), 1)
    ]
    title = words.steps_title(option, began)
    cure = max((step.waits.cure for step in option.assembly.steps), default=0.0)
    water = el("p", water_after(cure), class_="clock", data_water=zone) if cure else ""
    return el("div", el("h4", title), bullets(rows, "ol"), water)


def _step(line: str, number: int, zone: str, step: Step) -> Markup:
    """A step with its tick; one that is cemented has the clocks that its tick starts. [s]"""
    done = f"{NOTES['done']}: {zone} {number}, {line}"
    button = el("button", NOTES["done"], type="button", aria_label=done, aria_pressed="false")
    named = "|".join(f"{zone} {joint + 1}" for joint in step.joints)
    waits = step.waits
    runs = {
        f"data_{name}": f"{seconds:.0f}"
        for name, seconds in (("hold", waits.hold), ("set", waits.set), ("cure", waits.cure))
        if seconds > 0.0
    }
    form = el(
        "span", button, hidden=True, data_form="step",
        data_step=step_label(zone, 0, number, step.code),
        data_zone=zone, data_label=named, data_what=step_words(step), **runs,
    )  # fmt: skip
    clock = el("p", class_="clock", hidden=True) if runs else ""
    return el("div", el("span", line), form, clock, class_="joint")


def _others(zone: ZonePlan, began: datetime | None) -> Markup:
    """Every way of the zone side by side, where there is more than one."""
    if isinstance(zone.answer, Refusal) or len(zone.answer) == 1:
        return Markup("")
    rows = [words.option_row(o, n, began) for n, o in enumerate(zone.answer, 1)]
    head = (PAGE["number"], *words.OPTIONS_HEAD[1:])
    ways = table(head, rows, f"{words.OPTIONS}: {zone.zone.name}")
    return el("details", el("summary", f"{words.OPTIONS} ({len(rows)})"), ways)


def _joints(option: Option, zone: str) -> Markup:
    """Every joint in order, each to be noted as made."""
    rows = [_joint(j, f"{zone} {n}") for n, j in enumerate(option.cuts.joints, 1)]
    return el("div", el("h4", PAGE["joints"]), bullets(rows, "ol"))


def _joint(joint: Joint, named: str) -> Markup:
    where = PAGE["pit" if joint.where is Where.PIT else "bench"]
    text = f"{joint.before} – {joint.after} ({where})"
    said = f"{NOTES['made']}: {NOTES['joint']} {named}, {text}"
    button = el("button", NOTES["made"], type="button", aria_label=said)
    return el(
        "div",
        el("span", text),
        el("span", button, hidden=True, data_form="joint", data_label=named, data_what=text),
        class_="joint",
    )


def load_part(plan: Plan) -> Markup:
    """What to take along."""
    if not plan.load.lines:
        return Markup("")
    rows = words.load_rows(plan.load.lines, plan.load.pipes)
    return section(
        "load",
        PAGE["load"],
        table(words.LOAD_HEAD, rows, "load list"),
        el("p", words.tools_line(plan.load.wants)),
    )
