"""What the plan says: drawing, what to settle, each zone with its cut list, and what to load.

Lengths come in [m] and leave as [in, mm], in the words of the pit sheet.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime

from pitwright.carry.markup import bullets, section, table
from pitwright.findings import Refusal
from pitwright.joining.assembly import Step
from pitwright.paper.markup import Html, h
from pitwright.paper.pit_sheet import plan_scene, settle_lines
from pitwright.paper.turning import plan_turning, stills, turning_html
from pitwright.planning import Plan, ZonePlan, beside_load
from pitwright.records.progress import labelled, step_label
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


def drawing_part(plan: Plan) -> Html:
    """The drawing that turns; plan and elevation where no script runs."""
    drawn = Html(turning_html(plan_turning(plan), stills(plan_scene(plan))))
    return section("drawing", PAGE["drawing"], drawn, open=True)


def settle_part(plan: Plan) -> Html:
    """What to settle before a cut."""
    lines = settle_lines(plan)
    return section("before", PAGE["before"], bullets(lines, "ol"), open=True) if lines else h("div")


def zone_parts(plan: Plan, stages: Mapping[str, int]) -> Html:
    """Every zone: its cut list and how it is put in, or why there is none.

    ``stages`` says how many times its work was resumed, where it was: what is noted says so too.
    """
    conditions = plan.survey.conditions
    began = began_at(conditions.now) if conditions else None
    parts = [_zone(z, began, stages.get(str(z.zone.id), 0)) for z in plan.zones]
    return section("zones", PAGE["zones"], *parts, *_beside(plan, began), open=True)


def _beside(plan: Plan, began: datetime | None) -> Iterator[Html]:
    """Every planned way that is no train between two stubs: what stays, steps, what to load."""
    for one in plan.beside:
        if isinstance(one.answer, Refusal):
            continue
        load = beside_load(plan.survey, one.answer)
        yield h(
            "details",
            h("summary", f"{BESIDE}: {beside_name(one, plan.survey)}"),
            bullets([line.strip() for line in beside_lines(one, began)]),
            table(words.LOAD_HEAD, words.load_rows(load.lines, load.pipes), "load list"),
        )


def _zone(zone: ZonePlan, began: datetime | None, stage: int) -> Html:
    option = zone.best
    if isinstance(zone.answer, Refusal) or option is None:
        assert isinstance(zone.answer, Refusal)
        lines = [refused_line(), *refusal_lines(zone.answer, 3)]
        return h("section", h("h3", zone.zone.name), h("p", lines[0]), bullets(lines[1:]))
    name = str(zone.zone.id)
    return h(
        "section",
        h("h3", words.zone_title(zone.zone.name, option)),
        table(
            words.CUT_HEAD[:3],
            [_row(p, held_pieces(option.doubt)) for p in option.cuts.pieces],
            "cut list",
        )
        if option.cuts.pieces
        else "",
        *(_as_cut(p, labelled(name, stage, p.letter), zone.zone.name) for p in option.cuts.pieces),
        bullets([line for line in _lines(option) if line]),
        _steps(option, name, stage, began) or _joints(option, name, stage),
        _others(zone, began),
    )


def _row(piece: Piece, held: Sequence[str]) -> tuple[Html, Html, str]:
    sure = f" ({within_words(piece.within)})" if piece.within > 0.0 else ""
    long = words.first_long(piece, held)
    sure += f", {long}" if long else ""
    between = f"{piece.before} to {piece.after}"
    return h("b", piece.letter), h("b", both_text(piece.length) + sure), between


def _as_cut(piece: Piece, named: str, called: str) -> Html:
    """The field that notes how long a piece was cut; shown once the script runs."""
    said = f"{NOTES['as_cut']}, {called} {piece.letter}"
    id = f"cut-{named}".replace(" ", "-")
    return h(
        "div",
        h("label", said, for_=id),
        h("input", id=id, inputmode="text", autocomplete="off", data_draft=id),
        h("button", NOTES["note"], type="button", aria_label=f"{NOTES['note']}: {said}"),
        h("p", class_="told", role="status"),
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


def _steps(option: Option, zone: str, stage: int, began: datetime | None) -> Html:
    """How it goes in, each step to be ticked; what it joins is noted as made."""
    if option.assembly is None:
        return Html("")
    lines = list(
        step_lines(option.assembly, began, held_pieces(option.doubt), held_rolls(option.doubt))
    )
    rows = [
        _step(line, n, zone, stage, step)
        for n, (line, step) in enumerate(zip(lines, option.assembly.steps, strict=True), 1)
    ]
    title = words.steps_title(option, began)
    cure = max((step.waits.cure for step in option.assembly.steps), default=0.0)
    water = h("p", water_after(cure), class_="clock", data_water=zone) if cure else ""
    return h("div", h("h4", title), bullets(rows, "ol"), water)


def _step(line: str, number: int, zone: str, stage: int, step: Step) -> Html:
    """A step with its tick; one that is cemented has the clocks that its tick starts. [s]"""
    done = f"{NOTES['done']}: {zone} {number}, {line}"
    button = h("button", NOTES["done"], type="button", aria_label=done, aria_pressed="false")
    named = "|".join(labelled(zone, stage, joint + 1) for joint in step.joints)
    waits = step.waits
    runs = {
        f"data_{name}": f"{seconds:.0f}"
        for name, seconds in (("hold", waits.hold), ("set", waits.set), ("cure", waits.cure))
        if seconds > 0.0
    }
    form = h(
        "span", button, hidden=True, data_form="step",
        data_step=step_label(zone, stage, number, step.code),
        data_zone=zone, data_label=named, data_what=step_words(step), **runs,
    )  # fmt: skip
    clock = h("p", class_="clock", hidden=True) if runs else ""
    return h("div", h("span", line), form, clock, class_="joint")


def _others(zone: ZonePlan, began: datetime | None) -> Html:
    """Every way of the zone side by side, where there is more than one."""
    if isinstance(zone.answer, Refusal) or len(zone.answer) == 1:
        return Html("")
    rows = [words.option_row(o, n, began) for n, o in enumerate(zone.answer, 1)]
    head = (PAGE["number"], *words.OPTIONS_HEAD[1:])
    ways = table(head, rows, f"{words.OPTIONS}: {zone.zone.name}")
    return h("details", h("summary", f"{words.OPTIONS} ({len(rows)})"), ways)


def _joints(option: Option, zone: str, stage: int) -> Html:
    """Every joint in order, each to be noted as made."""
    rows = [_joint(j, labelled(zone, stage, n)) for n, j in enumerate(option.cuts.joints, 1)]
    return h("div", h("h4", PAGE["joints"]), bullets(rows, "ol"))


def _joint(joint: Joint, named: str) -> Html:
    where = PAGE["pit" if joint.where is Where.PIT else "bench"]
    text = f"{joint.before} – {joint.after} ({where})"
    said = f"{NOTES['made']}: {NOTES['joint']} {named}, {text}"
    button = h("button", NOTES["made"], type="button", aria_label=said)
    return h(
        "div",
        h("span", text),
        h("span", button, hidden=True, data_form="joint", data_label=named, data_what=text),
        class_="joint",
    )


def load_part(plan: Plan) -> Html:
    """What to take along."""
    if not plan.load.lines:
        return Html("")
    rows = words.load_rows(plan.load.lines, plan.load.pipes)
    return section(
        "load",
        PAGE["load"],
        table(words.LOAD_HEAD, rows, "load list"),
        h("p", words.tools_line(plan.load.wants)),
    )
