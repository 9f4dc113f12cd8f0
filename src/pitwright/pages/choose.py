"""Choose: the ways of each zone side by side, what they cost the old pipe, and what is refused."""

from __future__ import annotations

from collections.abc import Iterable

from pitwright.findings import Refusal, Weight
from pitwright.pages import fields
from pitwright.pages.app_words import in_app
from pitwright.pages.asked import Asked, Page, Taken, Want
from pitwright.pages.drawing import drawn
from pitwright.pages.frame import empty, notice, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.linked import linked
from pitwright.pages.readings import field_of
from pitwright.pages.scenes import option_scene, plan_as_chosen
from pitwright.pages.stage_scene import built_scene, stage_plan
from pitwright.pages.standing import Pit, Zoned, chosen_option
from pitwright.pages.waits import working_note
from pitwright.paper.scene import Scene
from pitwright.paper.turning import clearances
from pitwright.planning import Plan, ZonePlan, beside_load
from pitwright.renewal.option import Option
from pitwright.resuming import Stage
from pitwright.trains.cut_list import Bend
from pitwright.wording import choosing
from pitwright.wording import pit_sheet as words
from pitwright.wording.beside import BESIDE, BESIDE_NOTE, beside_lines, beside_name
from pitwright.wording.chances import chance_lines, held_pieces
from pitwright.wording.findings import finding_words, gathered_words, refusal_lines, short_words
from pitwright.wording.pit_sheet import bend_line, parts_line, piece_row, stub_line
from pitwright.wording.plan import closing_words, ends_words, left_over, train_words
from pitwright.wording.steps import began_at
from pitwright.wording.survey import doubt_lines
from pitwright.wording.turning import clear_words

__all__ = ["choose_page", "cut_list", "stage_picture", "take_choose", "waiting"]

_CUT_HEAD = ("piece", "cut to", "between")
_MOST_REFUSED = 5


def choose_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """Every zone with its options, best first, or its refusal."""
    inside: list[Child] = [trouble_box(asked)]
    if pit.planned is None:
        inside.append(_not_yet(pit))
    else:
        waited = waiting(pit, asked, "choose")
        inside += [waited, _guessed(pit)]
        for zone in pit.planned.zones:
            if zone.plan is not None:
                inside.append(_zone(pit, asked, zone.plan))
        inside.append(_together(pit))
        if not pit.planned.zones:
            inside.append(empty(choosing.NONE_ASKED))
    return shell(
        "Choose",
        *inside,
        up=(pit.home, pit.place.name),
        pit=pit.place.subject,
        step="choose",
        notices=notices,
    )


def _guessed(pit: Pit) -> Child:
    """What was not read and is planned with all the same: the ways change with it."""
    survey = pit.partly.survey
    lines = [in_app(line) for line in doubt_lines(survey.findings)] if survey else []
    if not lines:
        return ""
    return h(
        "details",
        h("summary", choosing.doubt_summary(len(lines))),
        h("ul", *(h("li", line) for line in lines)),
        h("p", h("a", "Take them under Measure", href=f"{pit.home}/measure#doubts")),
        class_="notice check",
    )


def _not_yet(pit: Pit) -> Html:
    return notice(
        h("p", choosing.not_yet(len(pit.partly.mistakes) or 1)),
        h("p", h("a", "Measure", href=f"{pit.home}/measure", class_="main")),
        kind="check",
    )


def waiting(pit: Pit, asked: Asked, step: str) -> Child:
    """What is still being worked out, with a way to stop it; asks again by itself."""
    zones = pit.planned.zones if pit.planned else ()
    working = [z for z in zones if z.status == "working"]
    halted = [z for z in zones if z.status in ("stopped", "broken")]
    address = f"{pit.home}/{step}"
    if working:
        words = f"Working out {', '.join(z.name for z in working)} …"
        return working_note(asked, address, words, (len(zones) - len(working), len(zones)))
    if halted:
        return notice(
            _halted(halted), fields.form(asked, address, name="again", button="Work it out")
        )
    return ""


def _halted(zones: Iterable[Zoned]) -> Html:
    said = ["stopped" if z.status == "stopped" else z.name for z in zones]
    return h("p", f"Not worked out: {', '.join(said)}.")


def _zone(pit: Pit, asked: Asked, zone: ZonePlan) -> Html:
    head = h("h2", f"Zone {zone.zone.name}")
    if isinstance(zone.answer, Refusal):
        return h(
            "section",
            head,
            _refused(pit, zone.answer),
            _ways(pit, zone),
            class_="zone",
            id=f"zone-{zone.zone.id}",
        )
    picked = chosen_option(pit, zone)
    gone = pit.chosen(str(zone.zone.id)) is not None and picked is None
    told = notice(h("p", choosing.GONE), kind="check")
    options = [
        _option(pit, asked, zone, option, f"{number} of {len(zone.answer)}", option is picked)
        for number, option in enumerate(zone.answer, start=1)
    ]
    passed = [h("li", short_words(s)) for s in zone.passed_over[:_MOST_REFUSED]]
    return h(
        "section",
        head,
        told if gone else "",
        h(
            "div",
            *options,
            class_="options",
            tabindex="0",
            role="group",
            aria_label=f"Ways for {zone.zone.name}",
        ),
        h("details", h("summary", "Tried, and does not fit"), h("ul", *passed)) if passed else "",
        _ways(pit, zone),
        class_="zone",
        id=f"zone-{zone.zone.id}",
    )


def _ways(pit: Pit, zone: ZonePlan) -> Child:
    """Every way that was asked, and what stopped those that came to nothing."""
    told = []
    for way in zone.ways:
        came: Child = choosing.came_words(way)
        if isinstance(way.answer, Refusal):
            came = h("ul", *(h("li", linked(pit, line)) for line in refusal_lines(way.answer, 2)))
        told.append(h("li", h("b", choosing.way_words(way)), came))
    if not told:
        return ""
    return h("details", h("summary", "Every way that was asked"), h("ul", *told))


def _refused(pit: Pit, refusal: Refusal) -> Html:
    lines = [linked(pit, line) for line in refusal_lines(refusal, _MOST_REFUSED)]
    return notice(
        h("p", h("b", choosing.REFUSED), choosing.AGAINST),
        h("ul", *(h("li", line) for line in lines)),
        h("p", h("a", "Change a reading", href=f"{pit.home}/measure")),
        kind="stop",
    )


def _option(
    pit: Pit, asked: Asked, zone: ZonePlan, option: Option, place: str, chosen: bool
) -> Html:
    rows = [
        ("Chance to close", choosing.chance_cell(option)),
        ("Old pipe", closing_words(option)),
        ("Parts", choosing.parts_words(option)),
        ("As cut", left_over(option)),
        ("Stays", choosing.stays_words(option)),
        ("Digging", choosing.digging_words(option)),
    ]
    found = [
        h("li", linked(pit, finding_words(f))) for f in option.findings if f.weight is Weight.STOP
    ]
    found += [
        h("li", linked(pit, line))
        for line in gathered_words([f for f in option.findings if f.weight is Weight.CHECK])
    ]
    zone_id, number = str(zone.zone.id), place.partition(" ")[0]
    pick = fields.form(
        asked,
        f"{pit.home}/choose",
        fields.hidden("zone", zone_id),
        fields.hidden("way", option.key),
        name=f"choose-{zone_id}-{number}",
        seen=pit.count,
        button="Chosen: keep it" if chosen else "Choose this way",
        plain=chosen,
    )
    return h(
        "article",
        h(
            "h3",
            f"{place}: ",
            option.way,
            h("small", f"{train_words(option)}; {ends_words(option)}"),
        ),
        h("p", h("b", "✓ chosen"), class_="picked") if chosen else "",
        h("dl", *(h("div", h("dt", name), h("dd", said)) for name, said in rows)),
        h(
            "details",
            h("summary", "Cut list and drawing"),
            cut_list(option),
            option_picture(pit, asked, zone, option, f"{pit.home}/choose"),
        ),
        h(
            "details",
            h("summary", "How sure it is, and why"),
            h("ul", *(h("li", line) for line in chance_lines(option.doubt))),
        )
        if option.doubt is not None
        else "",
        h("details", h("summary", f"To settle first ({len(found)})"), h("ul", *found))
        if found
        else "",
        pick,
        class_="option chosen" if chosen else "option",
        id=f"option-{zone_id}-{number}",
    )


def cut_list(option: Option) -> Html:
    """The cut list as a table, with what comes off the stubs and how each bend is clocked."""
    held = held_pieces(option.doubt)
    cells = (piece_row(p, held)[:3] for p in option.cuts.pieces)
    rows = [h("tr", *(h("td", cell) for cell in row)) for row in cells]
    head = h("tr", *(h("th", word, scope="col") for word in _CUT_HEAD))
    bends = [i for i in option.cuts.items if isinstance(i, Bend)]
    lines = [*(stub_line(w) for w in option.works), *(bend_line(b, n) for n, b in enumerate(bends))]
    return h(
        "div",
        h("table", h("thead", head), h("tbody", *rows)) if rows else "",
        h("ul", *(h("li", line) for line in [*lines, parts_line(option)])),
        class_="cuts",
    )


def option_picture(pit: Pit, asked: Asked, zone: ZonePlan, option: Option, link: str) -> Html:
    """One option built in; bent pipe and kept clearances on demand."""
    shown = asked.query.get("show", "")
    scene = option_scene(pit, zone, option, bent=shown == "bent")
    whole = pit.planned.whole if pit.planned else None
    others = [z.best for z in whole.zones if z.best and z.zone.id != zone.zone.id] if whole else []
    told = _nearest(whole, option, others) if whole and shown == "clear" else ""
    return _picture(asked, scene, f"{zone.zone.name}: {train_words(option)}", link, told)


def stage_picture(pit: Pit, asked: Asked, stage: Stage, link: str) -> Html:
    """What is being built at a stage, on what stands already."""
    if not stage.number:
        return option_picture(pit, asked, ZonePlan(stage.root, stage.options), stage.option, link)
    assert pit.partly.survey is not None  # nothing is planned before it is whole
    scene = built_scene(pit.partly.survey, ((stage, stage.option),)).only(str(stage.root.id))
    told = ""
    if asked.query.get("show", "") == "clear":
        told = _nearest(stage_plan(stage), stage.option, ())
    title = f"{stage.root.name}: {train_words(stage.option)}"
    return _picture(asked, scene, title, link, told, bends=False)


def _picture(
    asked: Asked, scene: Scene, title: str, link: str, told: Child, *, bends: bool = True
) -> Html:
    shown = asked.query.get("show", "")
    view = asked.query.get("view", "isometric")
    figure = drawn(
        scene, view, title=title, link=f"{link}?show={shown}", kept_clear=shown == "clear"
    )
    ways = [("", "As built"), ("bent", "Bent pipe"), ("clear", "Clearances")]
    more = [
        h(
            "a",
            words,
            href=f"{link}?view={view}&show={name}",
            aria_current="true" if shown == name else None,
        )
        for name, words in ways
        if bends or name != "bent"
    ]
    return h(
        "div",
        figure,
        h("p", *more, class_="views"),
        told,
        h("p", choosing.SIGNS, class_="signs-said"),
    )


def _nearest(plan: Plan, option: Option, others: Iterable[Option]) -> Html:
    """How much room there is about the new work, the tightest first."""
    found = sorted(clearances(plan, option, [option, *others]), key=lambda c: c.gap)
    return h("ul", *(h("li", clear_words(c.gap, c.what)) for c in found), class_="nearest")


def _together(pit: Pit) -> Child:
    plan = plan_as_chosen(pit)
    if plan is None:
        return ""
    best = any(z.best is not None for z in plan.zones)
    stops = [h("p", finding_words(f)) for f in plan.findings if f.weight is Weight.STOP]
    told = [h("li", finding_words(f)) for f in plan.findings if f.weight is not Weight.STOP]
    return h(
        "section",
        _beside(plan),
        notice(*stops, kind="stop") if stops else "",
        h("h2", "For the whole pit"),
        h("ul", *told),
        h("p", h("a", "Build", href=f"{pit.home}/build", class_="main")) if best else "",
        h("p", h("a", "Pit sheet as a PDF", href=f"{pit.home}/pit-sheet.pdf", class_="file")),
        h(
            "p",
            h(
                "a",
                "Carry file: this pit without a line",
                href=f"{pit.home}/carry.html",
                class_="file",
            ),
        ),
    )


def _beside(plan: Plan) -> Child:
    """Every planned way that is no train between two stubs: what stays, its steps, its parts."""
    told: list[Child] = []
    conditions = plan.survey.conditions
    began = began_at(conditions.now) if conditions else None
    for one in plan.beside:
        if isinstance(one.answer, Refusal):
            continue
        lines = [h("li", line.strip()) for line in beside_lines(one, began)]
        load = beside_load(plan.survey, one.answer)
        take = [h("li", f"{row[0]}: {row[-1]}") for row in words.load_rows(load.lines, load.pipes)]
        told.append(
            h(
                "details",
                h("summary", beside_name(one, plan.survey)),
                h("ul", *lines),
                h("h3", "To load for it"),
                h("ul", *take),
            )
        )
    return h("div", h("h2", BESIDE), h("p", BESIDE_NOTE), *told) if told else ""


def take_choose(pit: Pit, asked: Asked) -> Taken:
    """The way chosen for a zone."""
    zone = asked.said("zone")
    plans = [z.plan for z in pit.planned.zones if z.plan is not None] if pit.planned else []
    mine = next((p for p in plans if str(p.zone.id) == zone), None)
    options = mine.answer if mine is not None and isinstance(mine.answer, tuple) else ()
    if not any(o.key == asked.said("way") for o in options):
        return Taken(
            trouble={"": "That way is no longer there: a reading changed since. Choose again."}
        )
    assert mine is not None  # it has an option
    body = {"zone": zone, "way": asked.said("way")}
    return Taken(
        (Want("choice", body, f"choice/{_slot(zone)}", shown=mine.zone.name),),
        f"{pit.home}/choose#zone-{zone}",
    )


def _slot(zone: str) -> str:

    return field_of(("zone", zone, "way")).partition("/")[2]
