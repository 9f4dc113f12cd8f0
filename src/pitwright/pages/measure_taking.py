"""What a form of the measure page comes to: new readings, or what is wrong with them."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from urllib.parse import quote

from pitwright.catalogue.naming import plain_size
from pitwright.errors import BadInput
from pitwright.pages.asked import Asked, Taken
from pitwright.pages.keys import FORMS, NAMED, Key, key_of, trouble_of
from pitwright.pages.layouts import LAYOUTS, MOST_ZONES, readings_for, tags_of, zones_said
from pitwright.pages.missing import ALL, all_missing, asks_of, field_name
from pitwright.pages.part_form import WALLS, typed_text, unit_of
from pitwright.pages.pipe_field import pipe_said
from pitwright.pages.readings import Path, Typed, from_survey, survey_text, want
from pitwright.pages.signs import as_kept, too_far
from pitwright.pages.standing import Pit
from pitwright.pages.wanting import wanting
from pitwright.survey.partly import read_partly
from pitwright.units.kinds import FLOW
from pitwright.units.measure import measure

__all__ = ["field_of_mistake", "form_value", "take_measure", "wrong_alone"]


def take_measure(pit: Pit, asked: Asked) -> Taken:
    """The readings of a form, those alone that are new; or what is wrong with them."""
    if asked.said("form") == ALL:
        return _take_missing(pit, asked)
    match asked.said("form"):
        case "layout":
            return _take_layout(pit, asked)
        case "file":
            return _take_file(pit, asked)
    part, name = asked.said("part"), asked.said("name").strip()
    if part not in FORMS:
        return Taken(trouble={"": "This form is of an older page: open it again."})
    if part in NAMED and (not name or len(name) > 60):
        return Taken(trouble={"name": "Give it a short name."})
    go = f"{pit.home}/measure?part={part}&name={quote(name)}"
    if asked.said("away") == "yes":
        mine = [p for p in pit.readings if p[:2] == (part, name)]
        return Taken(tuple(want(p, "") for p in mine), f"{pit.home}/measure")
    before: Path = (part, name) if part in NAMED else (part,)
    typed = {k.name: form_value(asked, k) for k in FORMS[part] if _came(asked, k)}
    was = _was(pit, asked, part, name)
    changed = {(*before, k): said for k, said in typed.items() if said != was.get(k, "")}
    if not changed:
        return Taken(go=go)
    wrong = _wrong(pit, changed)
    wants = tuple(want(p, said) for p, said in changed.items())
    return Taken(wants, go if wrong else _onward(pit, changed, part, name), wrong)


def _onward(pit: Pit, changed: Mapping[Path, str], part: str, name: str) -> str:
    """Where to go on: the same form while it lacks something, else the next one that does."""
    merged = {**pit.readings, **{p: Typed(said) for p, said in changed.items()}}
    merged = {p: t for p, t in merged.items() if t.text.strip()}
    after = wanting(replace(pit, _kept={"readings": merged}))
    same = next((w for w in after if (w.part, w.name) == (part, name)), None)
    lacked = {(w.part, w.name) for w in wanting(pit)}
    new = not any(
        p[: len(p) - 1] == ((part, name) if part in NAMED else (part,)) for p in pit.readings
    )
    done = same is None and (new or (part, name) in lacked)
    then = next(iter(after), None) if done else same
    if then is None:
        return f"{pit.home}/measure?part={part}&name={quote(name)}"
    return f"{pit.home}/measure?part={then.part}&name={quote(then.name)}&field={then.field}"


def _was(pit: Pit, asked: Asked, part: str, name: str) -> dict[str, str]:
    """What the form began from: a field that nobody touched in it says nothing new."""
    try:
        was = json.loads(asked.said("was"))
    except (ValueError, RecursionError):
        was = None
    if isinstance(was, dict):
        return {str(key): str(text) for key, text in was.items()}
    return {key.name: typed_text(pit, part, name, key.name) for key in FORMS[part]}


def _take_missing(pit: Pit, asked: Asked) -> Taken:
    """What was typed of all that is missing; what is still empty stays missing."""
    typed = {path: form_value(asked, key) for path, key in asks_of(pit)}
    changed = {path: said for path, said in typed.items() if said}
    if not changed:
        return Taken(trouble={"": "Type at least one of them."})
    wrong = _wrong(pit, changed, field_name)
    return Taken(tuple(want(p, said) for p, said in changed.items()), f"{pit.home}/measure", wrong)


def _came(asked: Asked, key: Key) -> bool:
    """Whether the form had this value at all; what it had not is left as it stands."""
    return any(name == key.name or name.startswith(f"{key.name}.") for name in asked.form)


def form_value(asked: Asked, key: Key) -> str:
    """What a form has for a key, in the one text that a reading is kept as."""
    if key.form == "point":
        words = asked.said(f"{key.name}.words").strip()
        parts = [asked.said(f"{key.name}.{n}").strip() for n in range(3)]
        return words if words or not any(parts) else ", ".join(p or "?" for p in parts)
    if key.form == "walls":
        told = [(way, as_kept(way, asked.said(f"{key.name}.{way}"))) for way in WALLS]
        return ", ".join(f"{way} {size}" for way, size in told if size)
    if key.form == "pipe":
        return pipe_said(asked, key.name)
    if key.form == "size":
        return plain_size(asked.said(key.name))
    if key.form == "depth":
        return as_kept(key.name, asked.said(key.name))
    return asked.said(key.name).strip()


def _key_name(path: Path) -> str:
    """The field of a reading in the form of its part: its key."""
    return path[-1]


def _wrong(
    pit: Pit, changed: Mapping[Path, str], field: Callable[[Path], str] = _key_name
) -> dict[str, str]:
    """What is wrong with new readings, by their field; what is only missing is no mistake yet."""
    gaps = {
        f"{field(path)}.{n}": "Measure this one too: 0 where it is level."
        for path, said in changed.items()
        for n, p in enumerate(said.split(", "))
        if p == "?"
    }
    gaps |= wrong_alone(pit, changed, field)
    if gaps:
        return gaps
    merged = {**pit.readings, **{p: Typed(said) for p, said in changed.items()}}
    merged = {p: t for p, t in merged.items() if t.text.strip()}
    try:
        partly = read_partly(survey_text(merged, pit.place.name), "", pit.shelf)
    except BadInput as mistake:
        return {"": trouble_of(mistake)}
    found: dict[str, str] = {}
    for one in partly.mistakes:
        key = field_of_mistake(one.where, changed, field)
        if key and one.got not in (None, ""):
            found[key] = trouble_of(one)
    return found


def wrong_alone(
    pit: Pit, changed: Mapping[Path, str], field: Callable[[Path], str] = _key_name
) -> dict[str, str]:
    """What is wrong with a value whatever the others are, by its field."""
    unit = unit_of(pit)
    found: dict[str, str] = {}
    for path, said in changed.items():
        key = key_of(path[0], path[-1])
        if key is None or not said or said[:1] in ("[", "{"):
            continue
        try:
            for name, text in _lengths(replace(key, name=field(path)), said):
                measure(text, default=unit, where=name)
                if asks := too_far(text, unit):
                    found[name] = asks
            if key.form == "flow":
                measure(said, FLOW, default="mL/min", where=field(path), low=0.0, high=0.01)
            if key.form == "pipe" and said != "unknown":
                pit.shelf.pipe(said, field(path))
        except BadInput as mistake:
            found[mistake.where] = trouble_of(mistake)
    return found


def _lengths(key: Key, said: str) -> list[tuple[str, str]]:
    """The lengths in a value, each with its field."""
    if key.form in ("length", "depth"):
        return [(key.name, said)]
    if key.form == "walls":
        pairs = (piece.strip().partition(" ") for piece in said.split(","))
        return [(f"{key.name}.{way}", size) for way, _, size in pairs]
    if key.form == "point":
        parts = [p.strip() for p in said.split(",")]
        plain = len(parts) == 3 and not any(c in said for c in ("right", "left", "stream"))
        return [(f"{key.name}.{n}", p) for n, p in enumerate(parts)] if plain else []
    return []


def field_of_mistake(
    where: str, changed: Iterable[Path], field: Callable[[Path], str] = _key_name
) -> str:
    """The field a mistake is about, if the form has it."""
    plain = where.replace('"', "")
    for path in changed:
        start = ".".join(path)
        if plain == start:
            return field(path)
        if plain.startswith(f"{start}."):
            return f"{field(path)}.{plain[len(start) + 1 :].split('.')[0]}"
    return ""


def _take_layout(pit: Pit, asked: Asked) -> Taken:
    layout = next((x for x in LAYOUTS if x.name == asked.said("layout")), LAYOUTS[0])
    text = asked.said("zones", "1")
    count = min(max(int(text) if text.isdecimal() and len(text) < 3 else 1, 1), MOST_ZONES)
    tags = tags_of(zones_said(pit), count)
    wrong: dict[str, str] = {}
    pipes = {name: pipe_said(asked, name) for name in ("pipe_in", "pipe_out")}
    for name, said in pipes.items():
        try:
            if said != "unknown":
                pit.shelf.pipe(said)
        except BadInput as mistake:
            wrong[name] = trouble_of(mistake)
    size = plain_size(asked.said("size")) or "1"
    every = readings_for(layout, tags, pipes["pipe_in"], pipes["pipe_out"], size)
    new = [(p, said) for p, said in every if p not in pit.readings]
    go = all_missing(pit).partition("#")[0]  # under the notice of what was saved
    return Taken(tuple(want(p, said) for p, said in new), go, wrong)


def _take_file(pit: Pit, asked: Asked) -> Taken:
    text = asked.said("survey")
    try:
        found = list(from_survey(text))
        read_partly(text, "the file", pit.shelf)
    except BadInput as mistake:
        return Taken(trouble={"survey": str(mistake)})
    now = {p: t.text for p, t in pit.readings.items()}
    new = [
        want(p, said) for p, said in found if p != ("pit", "name") and now.get(p) != said and said
    ]
    if not found:
        return Taken(trouble={"survey": "It holds no readings."})
    return Taken(tuple(new[:1000]), f"{pit.home}/measure")
