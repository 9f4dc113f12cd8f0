"""What else is carried: readings, the wiring with its chances, what the record knows, cautions."""

from __future__ import annotations

from pitwright.carry.content import Carried, Wiring
from pitwright.carry.markup import bullets, section, table
from pitwright.paper.harness_sheet import harness_svg
from pitwright.paper.markup import Html, h
from pitwright.survey.checks import readings_within
from pitwright.survey.pit import Survey
from pitwright.wording.along import along_lines
from pitwright.wording.carry import NOTES, PAGE
from pitwright.wording.cautions import cautions
from pitwright.wording.survey import reading_row
from pitwright.wording.wiring import (
    CAUTIONS,
    cautions_of,
    percent_words,
    place_words,
    reading_words,
    refusal_words,
    test_words,
)

__all__ = ["caution_part", "known_part", "notes_part", "readings_part", "wiring_part"]

_LEAST = 0.01
"""Places less likely than this are left out, as on the drawing. [-]"""


def readings_part(survey: Survey) -> Html:
    """Every reading as typed and as understood, with its one sigma. [in, mm]"""
    lines = [_reading(reading_row(r)) for r in readings_within(survey)]
    return section("readings", PAGE["readings"], bullets(lines)) if lines else Html("")


def _reading(row: tuple[str, ...]) -> Html:
    """One reading on one line: as typed, what it comes to, how sure, with what."""
    name, typed, trade, metric, sigma, tool = row
    size = trade if trade == metric else f"{trade} ({metric})"
    return h("span", h("b", name), f": “{typed}”, {size}, ± {sigma}, {tool}")


def wiring_part(wiring: Wiring | None) -> Html:
    """The harness drawn with the chances on it, the places in words, the next tests."""
    if wiring is None:
        return Html("")
    harness, got = wiring.harness, wiring.answer
    svg = harness_svg(harness, got, wiring.far).decode("utf-8")
    tests = [t.test for t in got.tests]
    told = [h("div", Html(svg), class_="still", tabindex="0", role="group",
               aria_label=f"{PAGE['wiring']}: {harness.name}")]  # fmt: skip
    if got.refusal is not None:
        told.append(h("p", refusal_words(got.refusal)))
    else:
        rows = [
            (place_words(harness, p.place), percent_words(p.chance), percent_words(p.without_clues))
            for p in got.places
            if p.chance >= _LEAST
        ]
        told.append(h("h3", PAGE["places"]))
        told.append(table(("place", "chance", "without clues"), rows, PAGE["places"]))
        told.append(bullets([" ".join(line.split()) for line in along_lines(harness, wiring.far)]))
        if tests:
            told += [h("h3", PAGE["next"]), bullets([test_words(harness, t) for t in tests], "ol")]
    shown = [reading_words(harness, r) for r in got.readings]
    if shown:
        told.append(table(("test", "shown"), shown, PAGE["readings"]))
    told.append(bullets([CAUTIONS[c] for c in cautions_of(tests)]))
    return section("wiring", PAGE["wiring"], *told)


def known_part(known: tuple[str, ...]) -> Html:
    """What the record has of the pit."""
    return section("known", PAGE["known"], bullets(known)) if known else Html("")


def caution_part() -> Html:
    """The cautions that stand on every sheet."""
    lines = [c.words for c in cautions()]
    return section("cautions", PAGE["cautions"], bullets(lines), open=True)


def notes_part(carried: Carried) -> Html:
    """The form for readings and words, the list of notes, and the ways out."""
    names = [h("option", value=r.id) for r in readings_within(carried.plan.survey)]
    zones = [h("option", value=z.name) for z in carried.plan.survey.zones]
    form = h(
        "div",
        h("p", class_="told", id="kept", role="status"),
        h("p", class_="told", id="rung", role="status"),
        h("div",
           _field("what", NOTES["what"], "names"),
           _field("typed", NOTES["typed"]),
           _field("zone", NOTES["zone"], "zone-names"),
           h("button", NOTES["note_reading"], type="button"),
           h("p", class_="told", role="status"),
           data_form="reading", class_="field"),
        h("div",
           _field("words", NOTES["more"]),
           h("button", NOTES["note_words"], type="button"),
           h("p", class_="told", role="status"),
           data_form="note", class_="field"),
        h("datalist", *names, id="names"),
        h("datalist", *zones, id="zone-names"),
        h("ul", id="noted"),
        h("p", NOTES["none"], id="nothing"),
        h("p",
           h("button", NOTES["save"], type="button", id="save"), " ",
           h("button", NOTES["copy"], type="button", id="copy")),
        h("p", class_="told", id="out", role="status"),
        h("div",
           h("label", NOTES["text"], for_="as-text"),
           h("textarea", id="as-text", rows="6", readonly=True),
           id="text-out", hidden=True, class_="field"),
        hidden=True, id="form",
    )  # fmt: skip
    quiet = h("p", PAGE["no_script"], id="no-script")
    return section("notes", PAGE["notes"], quiet, form, open=True)


def _field(id: str, label: str, names: str = "") -> Html:
    more: dict[str, str] = {"list": names} if names else {}
    box = h("input", id=id, autocomplete="off", data_draft=id, **more)
    return h("div", h("label", label, for_=id), box)
