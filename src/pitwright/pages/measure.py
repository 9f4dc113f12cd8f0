"""Measure: the drawing is the page. A stub is tapped, its readings typed or touched, said back."""

from __future__ import annotations

from pitwright.errors import BadInput
from pitwright.pages import fields
from pitwright.pages.asked import Asked, Page
from pitwright.pages.frame import notice, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import FORMS, NAMED, trouble_of
from pitwright.pages.layouts import LAYOUTS, MOST_ZONES, zones_said
from pitwright.pages.linked import linked_doubt
from pitwright.pages.missing import ALL, all_missing, asks_of, missing_form
from pitwright.pages.part_form import PARTS, names_of, part_form, titled
from pitwright.pages.pipe_field import SIZES, pipe_field
from pitwright.pages.pit import picture
from pitwright.pages.signs import as_kept, too_far
from pitwright.pages.standing import Pit
from pitwright.pages.wanting import wanting, way_to
from pitwright.survey.directions import AXES
from pitwright.survey.pit import UNITS
from pitwright.units.inches import both_text
from pitwright.units.measure import measure
from pitwright.wording.survey import finding_text, gathered, weighed

__all__ = ["echo", "measure_page"]

_WAYS = {
    **dict(zip("012", AXES, strict=True)),
    **dict.fromkeys(("left", "right"), ("right", "left")),
    **dict.fromkeys(("upstream", "downstream"), ("downstream", "upstream")),
    **dict.fromkeys(("grade", "floor"), ("above", "below")),
}
"""By the last word of a field, what plus and minus mean in it."""
_PIPE = "1 in schedule 40 PVC"
_ADD = ("stub", "zone", "valve", "obstacle", "part")


def echo(typed: str, name: str = "", unit: str = "in") -> Html:
    """How a typed length is understood: inches and millimetres, which way, with its limits.

    ``name`` is its field, ``unit`` that of a length without one.
    """
    last = name.rpartition(".")[2]
    kept = as_kept(last, typed)
    if not kept:
        return Html("")
    try:
        got = measure(kept, default=unit if unit in UNITS else "in", where="this")
    except BadInput as mistake:
        return h("span", trouble_of(mistake), class_="doubtful")
    asks = too_far(kept, unit)
    if asks:
        return h("span", asks, class_="doubtful")
    plus, minus = _WAYS.get(last, ("", ""))
    way = f" {minus if got.si < 0.0 else plus}" if plus and got.si else ""
    turn = -1.0 if way and got.si < 0.0 else 1.0
    said = f"{both_text(turn * got.si)}{way}"
    if got.limit is not None:
        low, high = sorted((turn * got.low, turn * got.high))
        said += f", between {both_text(low)} and {both_text(high)}"
    return h("span", f"= {said}")


def measure_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """The drawing, the form of what was tapped, and what is still missing."""
    part, name = asked.query.get("part", ""), asked.query.get("name", "")
    if asked.trouble:
        part, name = asked.said("part"), asked.said("name")
    link = f"{pit.home}/measure?part={part}&name={name}" if part else f"{pit.home}/measure"
    seen: list[Child] = [picture(pit, asked, link, name if part == "stub" else "")]
    inside: list[Child] = []
    if asked.said("form") in ("layout", "file") and asked.trouble:
        part = ""
    if part in FORMS:
        inside.append(part_form(pit, asked, part, name))
    elif asked.said("form") == ALL or part == ALL:
        inside.append(missing_form(pit, asked))
    elif not pit.readings:
        inside.append(_start(pit, asked))
    just = "saved" in asked.query or "undone" in asked.query
    inside = [*inside, *seen] if just else [*seen, *inside]
    asking = asked.said("form") == ALL or part == ALL
    just = "saved" in asked.query or "undone" in asked.query
    inside = [*inside, *seen] if just else [*seen, *inside]
    inside += [_missing(pit, asking), _parts(pit), _doubts(pit)]
    if pit.readings:
        inside.append(
            h("details", h("summary", "From a file, or a typical layout"), _start(pit, asked))
        )
    return shell(
        "Measure",
        *inside,
        up=(pit.home, pit.place.name),
        pit=pit.place.subject,
        step="measure",
        notices=notices,
    )


def _start(pit: Pit, asked: Asked) -> Html:
    asked, filed = asked.own("layout"), asked.own("file")
    sizes = [(size, f"{size} in") for size in SIZES]
    said = zones_said(pit)
    named = f"zones {', '.join(said)}" if said else ""
    counts = [(str(n), str(n)) for n in range(1, MOST_ZONES + 1)]
    return h(
        "section",
        h("h2", "Begin with a typical layout"),
        h(
            "p",
            "It names the stubs and zones; only lengths are left to measure. "
            "All of it can be changed.",
        ),
        fields.form(
            asked,
            f"{pit.home}/measure",
            trouble_box(asked),
            fields.pick(
                asked, "layout", "How the pipes lie", [(x.name, x.words) for x in LAYOUTS], "across"
            ),
            fields.choice(
                asked, "zones", "Valves in the box", counts, str(len(said) or 1), hint=named
            ),
            pipe_field(pit.shelf, asked, "pipe_in", "Pipe on the water's side", _PIPE),
            pipe_field(pit.shelf, asked, "pipe_out", "Pipe to the heads", _PIPE),
            fields.choice(asked, "size", "Size of the new valve", sizes, "1"),
            name="layout",
            seen=pit.count,
            button="Lay it out",
        ),
        h(
            "details",
            h("summary", "Read a survey file instead"),
            fields.pasted(
                filed,
                f"{pit.home}/measure",
                "survey",
                "The text of a *.pit.toml",
                seen=pit.count,
                button="Take its readings in",
            ),
            open=bool(filed.trouble) or None,
        ),
    )


def _missing(pit: Pit, asking: bool) -> Child:
    """What keeps the survey from being whole, with the way to each; ``asking``: all is asked."""
    if not pit.readings:
        return ""
    found = wanting(pit)
    if not found and pit.partly.survey is not None:
        return notice(
            h("p", "Nothing is missing: the pit can be planned."),
            h("p", h("a", "Choose a way", href=f"{pit.home}/choose", class_="main")),
        )
    told = [h("li", h("a", w.words, href=way_to(pit, w.part, w.name, w.field))) for w in found]
    whole = h("a", "Enter all of it on one page", href=all_missing(pit), class_="main")
    return h(
        "section",
        h("h2", f"Still missing ({len(told)})"),
        h("p", whole) if not asking and next(asks_of(pit), None) else "",
        h("ul", *told, class_="list"),
    )


def _parts(pit: Pit) -> Html:
    """Everything that can be entered, with what there is of it."""
    rows: list[Html] = []
    for part in PARTS:
        names = [n for n, _ in names_of(pit, part)] if part in NAMED else [""] * bool(pit.readings)
        rows += [h("li", h("a", titled(part, n), href=way_to(pit, part, n))) for n in names]
    add = [
        h("a", f"+ {PARTS[p].lower()}", href=f"{pit.home}/measure?part={p}#form", class_="add")
        for p in _ADD
    ]
    if not rows:
        return h("p", *add, class_="adds")
    return h(
        "section",
        h("h2", "More to measure"),
        h("p", *add, class_="adds"),
        h("details", h("summary", f"All there is ({len(rows)})"), h("ul", *rows, class_="list")),
    )


def _doubts(pit: Pit) -> Child:
    survey = pit.partly.survey
    found = gathered(survey.findings) if survey else []
    if not found:
        return ""
    lines = [h("li", linked_doubt(pit, f, finding_text(f))) for f in weighed(found)]
    return h("section", h("h2", "In doubt", id="doubts"), h("ul", *lines))
