"""Close: what the owner keeps, the card in the box, and how it turned out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from pitwright.pages import fields
from pitwright.pages.asked import Asked, Page, Taken, Want
from pitwright.pages.built import Built, built_lines, built_of, left_lines, lies_here, open_lines
from pitwright.pages.choose import waiting
from pitwright.pages.frame import empty, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.scenes import found_scene
from pitwright.pages.stage_scene import built_scene
from pitwright.pages.standing import Pit
from pitwright.pages.waits import going_waits
from pitwright.paper.owner import Leaving
from pitwright.paper.scene import Scene
from pitwright.records.fold import Fact
from pitwright.records.pits import plans_of
from pitwright.records.progress import progress_tables
from pitwright.wording import owner as words
from pitwright.wording.record import entry_text

__all__ = ["close_page", "leaving", "take_close"]

_YES = (("yes", "yes"), ("no", "no"), ("unknown", "not known"))


def leaving(pit: Pit, now: datetime) -> Leaving:
    """What the job leaves behind, from the record: what was built, not what was planned."""
    built = built_of(pit)
    finished = tuple(b for b in built if b.finished)
    return Leaving(
        land=pit.land.name,
        pit=pit.place.name,
        day=f"{now:%Y-%m-%d}",
        found=tuple(
            entry_text(k, f.body or {}) for k in ("clue", "finding") for f in pit.state.of_kind(k)
        ),
        done=_done(pit, built),
        proved=tuple(entry_text("test", f.body or {}) for f in pit.state.of_kind("test")),
        read=_read(pit),
        left=(
            *(line for one in built if not one.finished for line in open_lines(pit, one)),
            *(line for one in finished for line in left_lines(one)),
        ),
        zones=_zones(pit),
        ties=pit.ties,
        scene=_scene(pit, finished),
        water=_water(pit),
        built=tuple(lies_here(one) for one in finished),
    )


def _scene(pit: Pit, finished: Sequence[Built]) -> Scene | None:
    """The pit as it was left: as it was found, with what was finished built in. [m]"""
    survey = pit.partly.survey
    if survey is None or not finished:
        return found_scene(pit)
    scene = built_scene(survey, [(one.going.stage, one.option) for one in finished])
    return replace(scene, dimensions=(), cuts=())


def _done(pit: Pit, built: Sequence[Built]) -> tuple[str, ...]:
    told = [line for one in built for line in built_lines(pit, one)]
    saved, survey = plans_of(pit.state), pit.partly.survey
    if saved and survey is not None:
        zones = [str(z.id) for z in survey.zones if z.planned]
        unplaced = progress_tables(pit.state, saved[-1], zones).unplaced
        pieces = [f for f in pit.state.of_kind("piece") if str(f.value("letter")) in unplaced]
    else:
        pieces = [*pit.state.of_kind("piece")]
    return (*told, *(entry_text("piece", f.body or {}) for f in pieces))


def _read(pit: Pit) -> tuple[tuple[str, str, str], ...]:
    found: dict[str, dict[str, str]] = {}
    for fact in pit.state.of_kind("reading"):
        when, colon, what = str(fact.value("reading")).partition(": ")
        if colon and when in ("before", "after"):
            found.setdefault(what, {})[when] = str(fact.value("typed"))
    return tuple(
        (what, said.get("before", "—"), said.get("after", "—")) for what, said in found.items()
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
        waiting(pit, asked, "close"),
        going_waits(pit, asked, [g for g in pit.goings if g.status != "ready"], "close"),
        h("h2", words.FOUND),
        _listed(left.found),
        h("h2", words.DONE),
        _listed(left.done),
        h("h2", words.PROVED),
        _listed(left.proved),
        h("h2", "Papers"),
        h(
            "ul",
            h("li", _paper("Owner's page (letter)", f"{pit.home}/owner.pdf")),
            h("li", _paper("Owner's page (A4)", f"{pit.home}/owner-a4.pdf")),
            h("li", _paper("Box card with ties", f"{pit.home}/box-card.pdf")),
            class_="list",
        ),
        h("p", "A paper opens beside this page: close it to come back.", class_="hint"),
        h("h2", words.LEFT) if left.left else "",
        _listed(left.left) if left.left else "",
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


def _paper(said: str, href: str) -> Html:
    """A paper in a tab of its own, so that closing it leads back here."""
    return h("a", said, href=href, target="_blank", rel="noopener")


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
