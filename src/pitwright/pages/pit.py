"""What lies in a pit: drawing, ties, and everything that was ever entered, newest first."""

from __future__ import annotations

from collections.abc import Iterable

from pitwright.pages import fields
from pitwright.pages.asked import Asked, Page, Taken, Want
from pitwright.pages.drawing import drawn
from pitwright.pages.frame import STEPS, caution, empty, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.readings import is_survey, said_reading
from pitwright.pages.scenes import found_scene, spots_of, straights_of
from pitwright.pages.standing import Pit
from pitwright.paper.pit_history import tie_drawing
from pitwright.paper.svg import svg_drawing
from pitwright.records.history import Event, Standing
from pitwright.wording.record import CAUTIONS, KIND, WITHHELD, entry_text, moment, standing_text

__all__ = ["TIE_FIELDS", "picture", "pit_page", "take_tie"]

_SAID = {
    "look": "what is wrong, photos, findings",
    "measure": "the drawing and its readings",
    "choose": "ways to renew it, side by side",
    "build": "steps, cuts and clocks",
    "prove": "tests and readings after",
    "close": "the owner's page and the box card",
}
TIE_FIELDS = ("thing", "mark_a", "a", "mark_b", "b", "between", "side")
"""What is asked of a tie."""
_SHOWN = 60
"""Entries of the time line on one page. [-]"""


def pit_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """The pit, and the day's work on it."""
    return shell(
        pit.place.name,
        h("p", WITHHELD, class_="notice check") if pit.state.withheld else "",
        picture(pit, asked, pit.home),
        h("h2", "The day's work"),
        _day(pit),
        h("h2", "Where it lies", id="ties"),
        _ties(pit),
        h(
            "details",
            h("summary", "Add a tie"),
            _tie_form(pit, asked),
            open=bool(asked.trouble) or None,
        ),
        h("h2", "What was done", id="line"),
        _line(pit.events),
        h("p", h("a", "The time line as a PDF", href=f"{pit.home}/history.pdf", class_="file")),
        *(caution(c) for c in CAUTIONS),
        up=(f"/property/{pit.land.site}", pit.land.name),
        notices=notices,
    )


def picture(pit: Pit, asked: Asked, link: str, chosen: str = "") -> Child:
    """The pit as it was measured, its stubs to tap."""
    scene = found_scene(pit, whole=True)
    if scene is None:
        return empty("Nothing is drawn yet: the drawing grows with the readings.")
    return h(
        "div",
        drawn(
            scene,
            asked.query.get("view", "plan" if len(pit.partly.stubs) > 2 else "isometric"),
            title=f"{pit.place.name} as measured",
            spots=spots_of(pit, chosen),
            link=link,
            whole=True,
            said=straights_of(pit),
        ),
        id="drawing",
    )


def _day(pit: Pit) -> Html:
    links = [
        h("li", h("a", h("b", word), h("small", _SAID[name]), href=f"{pit.home}/{name}"))
        for name, word in STEPS
    ]
    return h("ol", *links, class_="list day")


def _ties(pit: Pit) -> Child:
    if not pit.ties:
        return empty("No tie yet. Two tapes from things that stay find the box again.")
    found = []
    for number, tie in enumerate(pit.ties):
        one = tie_drawing(tie)
        box = (0.0, 0.0, one.width, one.height)
        svg = svg_drawing(one.shapes, box, one.said, prefix=f"t{number}")
        found.append(h("figure", Html(svg), h("figcaption", one.caption), class_="paper"))
    return found


def _tie_form(pit: Pit, asked: Asked) -> Html:
    sides = (("left", "on the left"), ("right", "on the right"))
    return fields.form(
        asked,
        f"{pit.home}/tie",
        trouble_box(asked),
        fields.text(asked, "thing", "What is tied", "the box"),
        fields.text(asked, "mark_a", "First mark", hint="something that stays: gate post"),
        fields.length(asked, "a", "From it"),
        fields.text(asked, "mark_b", "Second mark"),
        fields.length(asked, "b", "From it"),
        fields.length(asked, "between", "Between the two marks", hint="so that it can be drawn"),
        fields.pick(
            asked, "side", "Seen from the first mark toward the second it lies", sides, "left"
        ),
        name="tie",
        seen=pit.count,
        button="Save the tie",
    )


def take_tie(pit: Pit, asked: Asked) -> Taken:
    """A tie of something in the pit."""
    body = {name: asked.said(name).strip() for name in TIE_FIELDS}
    asks = {
        "thing": "Say what is tied.",
        "mark_a": "Name the first mark.",
        "a": "Tape from the first mark.",
        "mark_b": "Name the second mark.",
        "b": "Tape from the second mark.",
    }
    wrong = {name: words for name, words in asks.items() if not body[name]}
    return Taken((Want("tie", body, shown=f"tie of {body['thing']}"),), f"{pit.home}#ties", wrong)


def _line(events: Iterable[Event]) -> Child:
    """Newest first; readings of the survey that were made together stand as one."""
    rows: list[Html] = []
    group: list[Event] = []
    for event in reversed(tuple(events)):
        if event.kind == "reading" and is_survey(event.body):
            group.append(event)
            continue
        rows += _gathered(group)
        group = []
        rows.append(_event(event))
    rows += _gathered(group)
    if not rows:
        return empty("Nothing was entered yet.")
    return h("ol", *rows[:_SHOWN], class_="line")


def _gathered(group: list[Event]) -> list[Html]:
    if not group:
        return []
    when = moment(group[0].happened.start, group[0].happened.end)
    told = [h("li", _text(e)) for e in group[:200]]
    return [
        h(
            "li",
            h(
                "details",
                h("summary", h("time", when), f" {len(group)} readings of the pit"),
                h("ul", *told),
            ),
        )
    ]


def _event(event: Event) -> Html:
    when = moment(event.happened.start, event.happened.end)
    kind = KIND.get("redo" if event.again else event.kind, event.kind)
    photos = [
        h(
            "a",
            h("img", src=f"/photo/{f}", alt=f"photo of {kind}", loading="lazy"),
            href=f"/photo/{f}",
        )
        for f in event.files[:4]
        if event.kind in ("finding", "clue", "test", "note")
    ]
    return h("li", h("time", when), " ", h("b", kind), " ", _text(event), *photos)


def _text(event: Event) -> Child:
    said = said_reading(event.body) if event.kind == "reading" else ""
    said = said or entry_text(event.kind, event.body)
    became = standing_text(event.kind, event.standing.value)
    gone = event.standing in (Standing.TAKEN_BACK, Standing.SUPERSEDED)
    return [h("s", said) if gone else said, f" ({became})" if became else ""]
