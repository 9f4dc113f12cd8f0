"""Look: what is wrong, what is seen, photos. Everything becomes an entry of the pit."""

from __future__ import annotations

import re

from pitwright.pages import fields
from pitwright.pages.asked import PHOTOS_KEPT, Asked, Page, Taken, Want
from pitwright.pages.frame import empty, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.layouts import zones_said
from pitwright.pages.standing import Pit
from pitwright.wording.record import entry_text
from pitwright.wording.symptoms import symptom_words, symptoms

__all__ = ["look_page", "photo_field", "read_want", "read_wrong", "take_look", "value_and_unit"]

_SURE = (("certain", "certain"), ("likely", "likely"), ("perhaps", "perhaps"))
_QUANTITIES = (
    "static pressure",
    "running pressure",
    "flow",
    "coil ohms",
    "volts at the coil",
    "seep",
)
_KINDS = ("clue", "finding", "reading")


def look_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """What was found so far, and the forms to add to it."""
    which = asked.said("form") if asked.trouble else ""
    return shell(
        "Look",
        h("h2", "What is wrong"),
        _symptoms(pit, asked),
        h("h2", "Found so far"),
        _found(pit),
        h(
            "details",
            h("summary", "Add something found, with a photo"),
            _finding(pit, asked.own("finding")),
            open=which == "finding" or None,
        ),
        h(
            "details",
            h("summary", "Add a first reading"),
            _reading(pit, asked.own("first")),
            open=which == "first" or None,
        ),
        up=(pit.home, pit.place.name),
        pit=pit.place.subject,
        step="look",
        notices=notices,
    )


def _symptoms(pit: Pit, asked: Asked) -> Html:
    told = {str(f.value("seen")) for f in pit.state.of_kind("clue")}
    buttons = []
    for number, one in enumerate(symptoms()):
        seen = one.seen
        mark = h("p", h("b", "✓ noted"), symptom_words(one), class_="hint")
        buttons.append(
            h(
                "li",
                fields.form(
                    asked,
                    f"{pit.home}/look",
                    fields.hidden("symptom", str(number)),
                    name=f"symptom-{number}",
                    seen=pit.count,
                    button=seen.capitalize(),
                    plain=True,
                )
                if seen not in told
                else h("div", h("b", seen.capitalize()), mark),
            )
        )
    return h("ul", *buttons, class_="symptoms")


def _found(pit: Pit) -> Child:
    rows = []
    for kind in _KINDS:
        for fact in pit.state.of_kind(kind):
            if kind == "reading" and str(fact.value("quantity")).startswith("survey"):
                continue
            pictures = [
                h(
                    "a",
                    h("img", src=f"/photo/{f}", alt=f"photo: {fact.value('what')}", loading="lazy"),
                    href=f"/photo/{f}",
                )
                for f in fact.entry.header.files
            ]
            rows.append(h("li", entry_text(kind, fact.body or {}), *pictures))
    return h("ul", *rows, class_="found") if rows else empty("Nothing yet.")


def photo_field(asked: Asked) -> Html:
    """A photo from the camera or the files; its place and time are taken off it."""
    wrong = asked.trouble.get("photo", "")
    return h(
        "div",
        h("label", "Photo", for_=f"f-{asked.scope}-photo"),
        h(
            "p",
            "JPEG or PNG, at most 40 MB. Where and when it was taken is removed from it.",
            class_="hint",
            id=f"f-{asked.scope}-photo-hint",
        ),
        h(
            "input",
            type="file",
            name="photo",
            id=f"f-{asked.scope}-photo",
            accept="image/jpeg,image/png",
            data_most=40 * 1024 * 1024,
            aria_describedby=f"f-{asked.scope}-photo-hint",
        ),
        _kept_photos(asked),
        h("p", wrong, class_="wrong") if wrong else "",
        class_="field bad" if wrong else "field",
    )


def _kept_photos(asked: Asked) -> Child:
    """Photos that came with a form that was not saved go along with it the next time."""
    if not asked.trouble or not asked.photos:
        return ""
    return [
        h("p", "Your photo is kept and goes along when you save.", class_="echo"),
        fields.hidden(PHOTOS_KEPT, ",".join(hash for hash, _ in asked.photos)),
    ]


def _finding(pit: Pit, asked: Asked) -> Html:
    return fields.form(
        asked,
        f"{pit.home}/look",
        trouble_box(asked),
        fields.text(asked, "what", "What was found", hint="thin wall on the feed"),
        fields.text(asked, "place", "Where", hint="behind the tee"),
        fields.length(asked, "depth", "How deep"),
        fields.pick(asked, "sure", "How sure", _SURE, "certain"),
        photo_field(asked),
        name="finding",
        seen=pit.count,
        button="Save what was found",
        upload=True,
    )


def _reading(pit: Pit, asked: Asked) -> Html:
    return fields.form(
        asked,
        f"{pit.home}/look",
        trouble_box(asked),
        fields.text(asked, "quantity", "What was read", known=_QUANTITIES),
        fields.text(asked, "typed", "It shows", hint="62 psi, 24.1 ohm"),
        _zone(pit, asked),
        fields.text(asked, "tool", "With"),
        name="first",
        seen=pit.count,
        button="Save the reading",
    )


def _zone(pit: Pit, asked: Asked) -> Html:
    """The zones of the pit to choose from; a name to write while it has none."""
    names = [*dict.fromkeys(p[1] for p in pit.readings if p[0] == "zone"), *zones_said(pit)]
    if not names:
        return fields.text(asked, "zone", "Zone")
    options = [("", "—"), *((n, n) for n in dict.fromkeys(names))]
    return fields.choice(asked, "zone", "Zone", options)


def value_and_unit(typed: str) -> tuple[str, str]:
    """The number and the unit of "24.1 ohm"; both empty where it does not begin with a number."""
    found = re.fullmatch(r"\s*([-+]?\d{1,9}(?:\.\d{1,9})?)\s*(\D{0,20})", typed)
    return (found[1], found[2].strip()) if found else ("", "")


def take_look(pit: Pit, asked: Asked) -> Taken:
    """A symptom, something found, or a first reading."""
    go = f"{pit.home}/look"
    number = asked.said("symptom")
    if number.isdecimal() and len(number) < 3 and int(number) < len(symptoms()):
        one = symptoms()[int(number)]
        body = {"seen": one.seen, "may_mean": one.may_mean, "check": one.check}
        return Taken((Want("clue", body),), go)
    if asked.said("form") == "finding":
        body = {k: asked.said(k).strip() for k in ("what", "place", "depth", "sure")}
        wrong = {} if body["what"] else {"what": "Say what was found, in a few words."}
        files = tuple(hash for hash, _ in asked.photos)
        return Taken((Want("finding", body, files=files),), go, wrong)
    if asked.said("form") == "first":
        body = {k: asked.said(k).strip() for k in ("quantity", "typed", "zone", "tool")}
        wrong = read_wrong(body)
        if wrong:
            return Taken(trouble=wrong)
        return Taken((read_want(body, "before"),), go)
    return Taken(trouble={"": "This form is of an older page: open it again."})


def read_wrong(body: dict[str, str]) -> dict[str, str]:
    """What is wrong with a reading, by its field: a series is made of numbers with units."""
    wrong = {k: "Say what was read." for k in ("quantity", "typed") if not body[k]}
    value, unit = value_and_unit(body["typed"])
    if body["typed"] and not (value and unit):
        lacks = "has no unit" if value else "is not a number with its unit"
        wrong["typed"] = f"“{body['typed'][:60]}” {lacks}: write it as 48 psi, 24.1 ohm or 12 gpm."
    return wrong


def read_want(body: dict[str, str], when: str) -> Want:
    """A reading before or after the work, as one point of its series."""
    value, unit = value_and_unit(body["typed"])
    zone = f", zone {body['zone']}" if body["zone"] else ""
    said = {**body, "reading": f"{when}: {body['quantity']}{zone}"}
    if value:
        said |= {"value": value, "unit": unit}
    return Want("reading", said)
