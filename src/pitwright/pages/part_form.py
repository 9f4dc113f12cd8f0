"""The form of one part of a pit: a stub, the box, a zone; what it needs first, the rest folded."""

from __future__ import annotations

import json
from collections.abc import Mapping

from pitwright.catalogue.naming import plain_size
from pitwright.pages import fields
from pitwright.pages.asked import Asked
from pitwright.pages.frame import trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import FORMS, NAMED, Key
from pitwright.pages.pipe_field import SIZES, pipe_field
from pitwright.pages.readings import Path
from pitwright.pages.signs import as_typed, last_word
from pitwright.pages.standing import Pit
from pitwright.survey.obstacles import BOX, LONG, ROUNDED
from pitwright.survey.pit import UNITS
from pitwright.wording.survey import understood_words

__all__ = [
    "PARTS",
    "WALLS",
    "key_field",
    "names_of",
    "part_form",
    "titled",
    "typed_text",
    "unit_of",
    "wanted_of",
    "was_text",
]

PARTS = {
    "pit": "The pit and its datum",
    "box": "The box",
    "stub": "Stub",
    "valve": "New valve",
    "zone": "Zone",
    "obstacle": "Something in the way",
    "header": "Header to rebuild",
    "part": "Fitting you measured",
    "preferences": "What you prefer",
    "conditions": "Weather and cement",
}
_SHOWN = (
    *("faces", "bare", "through", "made_up", "downstream", "datum", "name", "valve"),
    *("takeout", "depth", "angle", "blocks", "most_bends", "bends_22", "unions"),
)
"""What is asked at once though it may be left out."""
_WAYS = (("right", "left"), ("downstream", "upstream"), ("up", "down"))
WALLS = ("left", "right", "upstream", "downstream")
_WALL = {"mouth": "To the {} wall", "bottom": "{} wall at the pipes", "soil": "Soil, {}"}
"""Each of the three rings of walls has words of its own."""


def part_form(pit: Pit, asked: Asked, part: str, name: str) -> Html:
    """The form of one stub, zone, box …: what it needs first, the rest folded away."""
    named = part in NAMED
    known = bool(name) and any(p[:2] == (part, name) for p in pit.readings)
    head = titled(part, name) if known or not named else f"Add: {PARTS[part].lower()}"
    now = {key.name: typed_text(pit, part, name, key.name) for key in FORMS[part]}
    must = [key for key, _ in wanted_of(pit, part, name)]
    first = [k for k in FORMS[part] if k.needed or k in must or now[k.name] or k.name in _SHOWN]
    if not any(k.needed for k in FORMS[part]):
        first = list(FORMS[part])
    rest = [k for k in FORMS[part] if k not in first]
    opened = {*asked.trouble, asked.query.get("field", "")}
    bad_rest = any(k.name == t.partition(".")[0] for t in opened for k in rest)
    naming = fields.text(asked, "name", "Its name", name, hint="short: feed, lawn, bed 2")
    return h(
        "section",
        h("h2", head),
        _understood(pit, part, name) if known else "",
        fields.form(
            asked,
            f"{pit.home}/measure",
            trouble_box(asked),
            fields.hidden("part", part),
            fields.hidden("was", asked.said("was", was_text(now))),
            naming if named and not known else fields.hidden("name", name),
            *(key_field(pit, asked, k, now[k.name]) for k in first),
            h(
                "details",
                h("summary", "More"),
                *(key_field(pit, asked, k, now[k.name]) for k in rest),
                open=bad_rest or None,
            )
            if rest
            else "",
            name=f"{part}-{name if known else ''}",
            seen=pit.count,
            button="Save the readings",
        ),
        _away(pit, asked, part, name) if known and named else "",
        id="form",
    )


def was_text(now: Mapping[str, str]) -> str:
    """What stood in a form's fields when it was made, to tell what was changed in it."""
    return json.dumps({key: text for key, text in now.items() if text}, ensure_ascii=False)


def titled(part: str, name: str) -> str:
    """A part as it is headed: "Stub: in-1", "The box"."""
    return f"{PARTS[part]}: {name}" if name else PARTS[part]


def wanted_of(pit: Pit, part: str, name: str) -> list[tuple[Key, str]]:
    """What a part must have, by what is said of it so far, each with what was typed."""
    said = {key.name: typed_text(pit, part, name, key.name) for key in FORMS[part]}
    return [(key, said[key.name]) for key in FORMS[part] if _must(part, key, said)]


def _must(part: str, key: Key, said: dict[str, str]) -> bool:
    """Whether a key must be there, given the others. Source: the survey's own rules."""
    if part == "obstacle":
        shape = said["shape"] or ROUNDED
        match key.name:
            case "end":
                return shape != ROUNDED or said["kind"] in LONG
            case "thick":
                return shape != BOX
            case "wide" | "high":
                return shape == BOX
    if part == "stub" and key.name == "faces":
        return not said["through"]
    if part == "stub" and key.name == "measured":
        return said["pipe"].casefold() == "unknown"
    return key.needed


def _away(pit: Pit, asked: Asked, part: str, name: str) -> Html:
    return fields.form(
        asked,
        f"{pit.home}/measure",
        fields.hidden("part", part),
        fields.hidden("name", name),
        fields.hidden("away", "yes"),
        name=f"away-{part}-{name}",
        seen=pit.count,
        button=f"Take {name} away",
        plain=True,
    )


def unit_of(pit: Pit) -> str:
    """The unit of a length without one."""
    found = pit.readings.get(("pit", "unit"))
    return found.text if found and found.text in UNITS else "in"


def typed_text(pit: Pit, part: str, name: str, key: str) -> str:
    """One value of a part as it was typed; empty where it was not."""
    path: Path = (part, name, key) if part in NAMED else (part, key)
    found = pit.readings.get(path)
    return found.text if found else ""


def key_field(pit: Pit, asked: Asked, key: Key, value: str) -> Html:
    """The control of one value, as its form asks for it."""
    sure = key.needed or key.form == "flag" or key in FORMS["preferences"]
    label = key.label if sure else f"{key.label} (if known)"
    unit = unit_of(pit)
    match key.form:
        case "length":
            return fields.length(
                asked,
                key.name,
                label,
                value,
                hint=key.hint,
                ways=("up", "down") if last_word(key.name) == "grade" else None,
                unit=unit,
            )
        case "depth":
            typed = as_typed(key.name, value)
            return fields.length(asked, key.name, label, typed, hint=key.hint, unit=unit)
        case "point":
            return _point(asked, key, label, value, unit)
        case "walls":
            return _walls(asked, key, label, value, unit)
        case "choice" | "number":
            options = [("", "—"), *((c, c) for c in key.choices)]
            return fields.choice(asked, key.name, label, options, value, hint=key.hint)
        case "flag":
            options = [("", "no"), ("yes", "yes")]
            return fields.choice(asked, key.name, label, options, value, hint=key.hint)
        case "stub":
            names = names_of(pit, "stub")
            return fields.choice(asked, key.name, label, [("", "—"), *names], value, hint=key.hint)
        case "valve":
            return fields.choice(
                asked, key.name, label, [("", "none"), *names_of(pit, "valve")], value
            )
        case "pipe":
            return pipe_field(pit.shelf, asked, key.name, label, value, hint=key.hint)
        case "size":
            sizes = [("", "—"), *((size, f"{size} in") for size in SIZES)]
            now = plain_size(value)
            return fields.choice(asked, key.name, label, sizes, now, hint=key.hint)
        case _:
            return fields.text(asked, key.name, label, value, hint=key.hint)


def names_of(pit: Pit, part: str) -> list[tuple[str, str]]:
    """The names of the stubs, zones … there are, as choices."""
    return [
        (n, n) for n in dict.fromkeys(p[1] for p in pit.readings if p[0] == part and len(p) == 3)
    ]


def _split(value: str) -> list[str]:
    parts = [p.strip() for p in value.replace(";", ",").split(",")]
    words = value.strip().startswith("[") or any(
        w in value for w in (" right", " left", " up", " down", "stream", "from ")
    )
    return [] if words or len(parts) != 3 else parts


def _point(asked: Asked, key: Key, label: str, value: str, unit: str) -> Html:
    """Three lengths, or the way there in words."""
    parts = _split(value)
    lengths = [
        fields.length(
            asked,
            f"{key.name}.{n}",
            plus.capitalize(),
            parts[n] if parts else "",
            hint=f"{minus} with a minus",
            ways=(plus, minus),
            unit=unit,
        )
        for n, (plus, minus) in enumerate(_WAYS)
    ]
    words = "" if parts else value
    return fields.group(
        asked,
        key.name,
        label,
        h("div", *lengths, class_="three"),
        h(
            "details",
            h("summary", "or in words"),
            fields.text(
                asked,
                f"{key.name}.words",
                "From the datum or a named point",
                words,
                hint="from datum, 1/2 right, 14 downstream, 1/4 down",
            ),
            open=bool(words or asked.said(f"{key.name}.words")) or None,
        ),
        hint=key.hint,
        kind="point",
    )


def _walls(asked: Asked, key: Key, label: str, value: str, unit: str) -> Html:
    now = {}
    for piece in value.split(","):
        word, _, size = piece.strip().partition(" ")
        now[word] = size
    lengths = [
        fields.length(
            asked,
            f"{key.name}.{way}",
            _WALL.get(last_word(key.name), "To the {} wall").format(way).capitalize(),
            as_typed(way, now.get(way, "")),
            unit=unit,
        )
        for way in WALLS
    ]
    return fields.group(asked, key.name, label, h("div", *lengths, class_="two"), hint=key.hint)


def _understood(pit: Pit, part: str, name: str) -> Child:
    """A stub said back in inches, millimetres and degrees."""
    stub = next((s for s in pit.partly.stubs if part == "stub" and s.id == name), None)
    if stub is None:
        return ""
    return h("p", understood_words(stub), class_="echo")
