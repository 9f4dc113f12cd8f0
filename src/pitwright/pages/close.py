"""Close: what the owner keeps, the card in the box, and how it turned out."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from pitwright.pages import fields
from pitwright.pages.asked import Asked, Page, Taken, Want
from pitwright.pages.doing import doings, done_at
from pitwright.pages.frame import empty, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.scenes import found_scene, plan_as_chosen
from pitwright.pages.standing import Pit, chosen_option
from pitwright.paper.owner import Leaving
from pitwright.paper.pit_sheet import plan_scene
from pitwright.records.fold import Fact
from pitwright.units.inches import Rounding, both_text
from pitwright.wording import owner as words
from pitwright.wording.plan import train_words
from pitwright.wording.record import entry_text

__all__ = ["close_page", "leaving", "take_close"]

_YES = (("yes", "yes"), ("no", "no"), ("unknown", "not known"))


def leaving(pit: Pit, now: datetime) -> Leaving:
    """What the job leaves behind, from the record and the plan as chosen."""
    plan = plan_as_chosen(pit)
    scene = found_scene(pit) if plan is None else replace(plan_scene(plan), dimensions=(), cuts=())
    return Leaving(
        land=pit.land.name,
        pit=pit.place.name,
        day=f"{now:%Y-%m-%d}",
        found=tuple(
            entry_text(k, f.body or {}) for k in ("clue", "finding") for f in pit.state.of_kind(k)
        ),
        done=_done(pit),
        proved=tuple(entry_text("test", f.body or {}) for f in pit.state.of_kind("test")),
        read=_read(pit),
        left=_left(pit),
        zones=_zones(pit),
        ties=pit.ties,
        scene=scene,
        water=_water(pit),
    )


def _done(pit: Pit) -> tuple[str, ...]:
    told = []
    plan = plan_as_chosen(pit)
    for zone in plan.zones if plan else ():
        if zone.best is None or chosen_option(pit, zone) is None:
            continue
        going = pit.going(str(zone.zone.id))
        every = doings(going.stage) if going else ()
        done = sum(done_at(pit.state, going, d) is not None for d in every) if going else 0
        state = "done" if done == len(every) else f"{done} of {len(every)} steps done"
        told.append(f"Zone {zone.zone.name}: {zone.best.way}, {train_words(zone.best)} ({state}).")
    told += [entry_text("piece", f.body or {}) for f in pit.state.of_kind("piece")]
    return tuple(told)


def _read(pit: Pit) -> tuple[tuple[str, str, str], ...]:
    found: dict[str, dict[str, str]] = {}
    for fact in pit.state.of_kind("reading"):
        when, colon, what = str(fact.value("reading")).partition(": ")
        if colon and when in ("before", "after"):
            found.setdefault(what, {})[when] = str(fact.value("typed"))
    return tuple(
        (what, said.get("before", "—"), said.get("after", "—")) for what, said in found.items()
    )


def _left(pit: Pit) -> tuple[str, ...]:
    plan = plan_as_chosen(pit)
    return tuple(
        f"{w.stub}: {both_text(w.left, Rounding.NOT_LONGER)} of straight pipe"
        for z in (plan.zones if plan else ())
        if z.best is not None and chosen_option(pit, z) is not None
        for w in z.best.works
        if w.left is not None
    )


def _zones(pit: Pit) -> tuple[str, ...]:
    survey = pit.partly.survey
    if survey is not None:
        return tuple(f"{z.name}: from {z.inlet} to {z.outlet}" for z in survey.zones)
    field = pit.state.field("pit")
    fact: Fact | None = field.fact if field else None
    named = fact.value("zones", []) if fact else []
    return tuple(str(z) for z in named) if isinstance(named, list) else ()


def _water(pit: Pit) -> str:
    notes = [str(f.value("text")) for f in pit.state.of_kind("note")]
    mine = [n for n in notes if n.lower().startswith("water stops")]
    return mine[-1] if mine else ""


def close_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """The owner's page as it will be printed, and the forms that finish the job."""
    left = leaving(pit, asked.now)
    which = asked.said("form") if asked.trouble else ""
    return shell(
        "Close",
        h("h2", words.FOUND),
        _listed(left.found),
        h("h2", words.DONE),
        _listed(left.done),
        h("h2", words.PROVED),
        _listed(left.proved),
        h("h2", "Papers"),
        h(
            "ul",
            h("li", h("a", "Owner's page (letter)", href=f"{pit.home}/owner.pdf")),
            h("li", h("a", "Owner's page (A4)", href=f"{pit.home}/owner-a4.pdf")),
            h("li", h("a", "Box card with ties", href=f"{pit.home}/box-card.pdf")),
            class_="list",
        ),
        h("p", h("a", "Ties are entered at the pit", href=f"{pit.home}#ties"))
        if not pit.ties
        else "",
        h(
            "details",
            h("summary", "Where the water stops"),
            _stop_form(pit, asked.own("stop-water"), left.water),
            open=which == "stop-water" or None,
        ),
        h("h2", "How it turned out"),
        _outcomes(pit),
        h(
            "details",
            h("summary", "Say how it turned out"),
            _outcome_form(pit, asked.own("outcome")),
            open=which == "outcome" or None,
        ),
        h("h2", words.NEXT),
        h("ul", *(h("li", line) for line in words.WATCH)),
        up=(pit.home, pit.place.name),
        pit=pit.place.subject,
        step="close",
        notices=notices,
    )


def _listed(lines: tuple[str, ...]) -> Html:
    return h("ul", *(h("li", line) for line in lines)) if lines else empty(words.NOTHING)


def _outcomes(pit: Pit) -> Child:
    rows = [h("li", entry_text("outcome", f.body or {})) for f in pit.state.of_kind("outcome")]
    return h("ul", *rows) if rows else empty("Not said yet.")


def _stop_form(pit: Pit, asked: Asked, now: str) -> Html:
    said = now.partition(":")[2].strip()
    return fields.form(
        asked,
        f"{pit.home}/close",
        trouble_box(asked),
        fields.text(
            asked,
            "water",
            "Where the water is stopped",
            said,
            hint="ball valve at the meter, north wall",
        ),
        name="stop-water",
        seen=pit.count,
        button="Save it for the card",
    )


def _outcome_form(pit: Pit, asked: Asked) -> Html:
    return fields.form(
        asked,
        f"{pit.home}/close",
        trouble_box(asked),
        fields.text(asked, "zone", "Zone"),
        fields.pick(asked, "closed", "The last joint closed", _YES),
        fields.pick(asked, "held", "It held under pressure", _YES),
        fields.pick(asked, "cured", "The trouble is gone", _YES),
        fields.area(asked, "note", "Note"),
        name="outcome",
        seen=pit.count,
        button="Save how it turned out",
    )


def take_close(pit: Pit, asked: Asked) -> Taken:
    """Where the water stops, or how it turned out."""
    go = f"{pit.home}/close"
    if asked.said("form") == "stop-water":
        said = asked.said("water").strip()
        if not said:
            return Taken(trouble={"water": "Say where the water is stopped."})
        return Taken((Want("note", {"text": f"Water stops: {said}"}, "note/water-stops"),), go)
    if asked.said("form") == "outcome":
        body = {k: asked.said(k).strip() for k in ("zone", "closed", "held", "cured", "note")}
        if not any(body[k] for k in ("closed", "held", "cured", "note")):
            return Taken(trouble={"": "Say at least one of the three, or write a note."})
        return Taken((Want("outcome", body),), go)
    return Taken(trouble={"": "This form is of an older page: open it again."})
