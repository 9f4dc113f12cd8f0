"""Measure: the drawing is the page. A stub is tapped, its readings are typed or touched, and said back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pitwright.errors import BadInput
from pitwright.pages import fields
from pitwright.pages.asked import Asked, Page, Taken
from pitwright.pages.frame import notice, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import FORMS, NAMED, Key, trouble_of
from pitwright.pages.layouts import LAYOUTS, MOST_ZONES, readings_for
from pitwright.pages.pit import picture
from pitwright.pages.readings import Path, Typed, from_survey, survey_text, want
from pitwright.pages.standing import Pit
from pitwright.survey.partly import read_partly
from pitwright.units.inches import both_text
from pitwright.units.measure import measure
from pitwright.wording.survey import doubt_lines, facing_text, place_text

__all__ = ["echo", "measure_page", "take_measure"]

PARTS = {
    "pit": "The pit and its datum", "box": "The box", "stub": "Stub", "valve": "New valve",
    "zone": "Zone", "obstacle": "Something in the way", "conditions": "Weather and cement",
}  # fmt: skip
_WAYS = (("right", "left"), ("downstream", "upstream"), ("up", "down"))
_WALLS = (("left", "right"), ("right", "left"), ("upstream", "downstream"), ("downstream", "upstream"))
_ADD = ("stub", "zone", "valve", "obstacle")


def echo(typed: str) -> Html:
    """How a typed length is understood: inches and millimetres, with its limits."""
    if not typed.strip():
        return Html("")
    try:
        got = measure(typed, default="in", where="this")
    except BadInput as mistake:
        return h("span", trouble_of(mistake), class_="doubtful")
    said = both_text(got.si)
    if got.limit is not None:
        said += f", between {both_text(got.low)} and {both_text(got.high)}"
    return h("span", f"= {said}")


def measure_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """The drawing, the form of what was tapped, and what is still missing."""
    part, name = asked.query.get("part", ""), asked.query.get("name", "")
    if asked.trouble:
        part, name = asked.said("part"), asked.said("name")
    link = f"{pit.home}/measure?part={part}&name={name}" if part else f"{pit.home}/measure"
    inside: list[Child] = [picture(pit, asked, link, name if part == "stub" else "")]
    if asked.said("form") in ("layout", "file") and asked.trouble:
        part = ""
    if part in FORMS:
        inside.append(_section(pit, asked, part, name))
    elif not pit.readings:
        inside.append(_start(pit, asked))
    inside += [_missing(pit), _parts(pit), _doubts(pit)]
    if pit.readings:
        inside.append(h("details", h("summary", "From a file, or a typical layout"), _start(pit, asked)))
    return shell(
        "Measure", *inside, up=(pit.home, pit.place.name), pit=pit.place.subject, step="measure",
        notices=notices,
    )  # fmt: skip


def _start(pit: Pit, asked: Asked) -> Html:
    pipes = [p.name for p in pit.shelf.pipes]
    counts = [(str(n), str(n)) for n in range(1, MOST_ZONES + 1)]
    return h(
        "section",
        h("h2", "Begin with a typical layout"),
        h("p", "It names the stubs and zones; only lengths are left to measure. All of it can be changed."),
        fields.form(
            asked, f"{pit.home}/measure", trouble_box(asked) if asked.said("form") == "layout" else "",
            fields.pick(asked, "layout", "How the pipes lie",
                        [(x.name, x.words) for x in LAYOUTS], "across"),
            fields.choice(asked, "zones", "Valves in the box", counts, "1"),
            fields.text(asked, "pipe_in", "Pipe on the water's side", "1 in schedule 40 PVC", known=pipes),
            fields.text(asked, "pipe_out", "Pipe to the heads", "1 in schedule 40 PVC", known=pipes),
            fields.text(asked, "size", "Size of the new valve", "1"),
            name="layout", seen=pit.count, button="Lay it out",
        ),
        h(
            "details",
            h("summary", "Read a survey file instead"),
            fields.form(
                asked, f"{pit.home}/measure", trouble_box(asked) if asked.said("form") == "file" else "",
                fields.area(asked, "survey", "The text of a *.pit.toml", rows=6),
                name="file", seen=pit.count, button="Take its readings in",
            ),
            open=asked.said("form") == "file" or None,
        ),
    )  # fmt: skip


def _section(pit: Pit, asked: Asked, part: str, name: str) -> Html:
    """The form of one stub, zone, box …: what it needs first, the rest folded away."""
    named = part in NAMED
    known = bool(name) and any(p[:2] == (part, name) for p in pit.readings)
    head = f"{PARTS[part]} {name}" if known else (f"Add: {PARTS[part].lower()}" if named else PARTS[part])
    now = {key.name: _typed(pit, part, name, key.name) for key in FORMS[part]}
    first = [k for k in FORMS[part] if k.needed or now[k.name] or k.name in ("faces", "bare", "through", "made_up")]
    rest = [k for k in FORMS[part] if k not in first]
    bad_rest = any(k.name == t.partition(".")[0] for t in asked.trouble for k in rest)
    naming = fields.text(asked, "name", "Its name", name, hint="short: feed, lawn, bed 2")
    return h(
        "section",
        h("h2", head),
        _understood(pit, part, name) if known else "",
        fields.form(
            asked, f"{pit.home}/measure", trouble_box(asked), fields.hidden("part", part),
            naming if named and not known else fields.hidden("name", name),
            *(_key_field(pit, asked, k, now[k.name]) for k in first),
            h("details", h("summary", "More"), *(_key_field(pit, asked, k, now[k.name]) for k in rest),
              open=bad_rest or None) if rest else "",
            name=f"{part}-{name}", seen=pit.count, button="Save the readings",
        ),
        _away(pit, asked, part, name) if known and named else "",
        id="form",
    )  # fmt: skip


def _away(pit: Pit, asked: Asked, part: str, name: str) -> Html:
    return fields.form(
        asked, f"{pit.home}/measure", fields.hidden("part", part), fields.hidden("name", name),
        fields.hidden("away", "yes"), name=f"away-{part}-{name}", button=f"Take {name} away", plain=True,
    )  # fmt: skip


def _typed(pit: Pit, part: str, name: str, key: str) -> str:
    path: Path = (part, name, key) if part in NAMED else (part, key)
    found = pit.readings.get(path)
    return found.text if found else ""


def _key_field(pit: Pit, asked: Asked, key: Key, value: str) -> Html:
    label = key.label if key.needed else f"{key.label} (if known)"
    match key.form:
        case "length":
            return fields.length(asked, key.name, label, value, hint=key.hint,
                                 ways=("up", "down") if key.name in ("grade", "floor") else None)  # fmt: skip
        case "point":
            return _point(asked, key, label, value)
        case "walls":
            return _walls(asked, key, label, value)
        case "choice":
            options = [("", "—"), *((c, c) for c in key.choices)]
            return fields.choice(asked, key.name, label, options, value, hint=key.hint)
        case "flag":
            return fields.choice(asked, key.name, label, [("", "no"), ("yes", "yes")], value)
        case "stub":
            names = _names(pit, "stub")
            return fields.choice(asked, key.name, label, [("", "—"), *names], value, hint=key.hint)
        case "valve":
            return fields.choice(asked, key.name, label, [("", "none"), *_names(pit, "valve")], value)
        case "pipe":
            known = ["unknown", *(p.name for p in pit.shelf.pipes)]
            return fields.text(asked, key.name, label, value, hint=key.hint, known=known)
        case _:
            return fields.text(asked, key.name, label, value, hint=key.hint)


def _names(pit: Pit, part: str) -> list[tuple[str, str]]:
    return [(n, n) for n in dict.fromkeys(p[1] for p in pit.readings if p[0] == part and len(p) == 3)]


def _split(value: str) -> list[str]:
    parts = [p.strip() for p in value.replace(";", ",").split(",")]
    words = value.strip().startswith("[") or any(w in value for w in (" right", " left", " up", " down", "stream", "from "))
    return [] if words or len(parts) != 3 else parts


def _point(asked: Asked, key: Key, label: str, value: str) -> Html:
    """Three lengths, or the way there in words."""
    parts = _split(value)
    lengths = [
        fields.length(asked, f"{key.name}.{n}", plus.capitalize(), parts[n] if parts else "",
                      hint=f"{minus} with a minus", ways=(plus, minus))
        for n, (plus, minus) in enumerate(_WAYS)
    ]  # fmt: skip
    words = "" if parts else value
    wrong = asked.trouble.get(key.name, "")
    return h(
        "fieldset", h("legend", label), h("p", key.hint, class_="hint") if key.hint else "",
        h("div", *lengths, class_="three"),
        h("details", h("summary", "or in words"),
          fields.text(asked, f"{key.name}.words", "From the datum or a named point", words,
                      hint="from datum, 1/2 right, 14 downstream, 1/4 down"),
          open=bool(words or asked.said(f"{key.name}.words")) or None),
        h("p", wrong, class_="wrong") if wrong else "",
        class_="field point bad" if wrong else "field point",
    )  # fmt: skip


def _walls(asked: Asked, key: Key, label: str, value: str) -> Html:
    now = {}
    for piece in value.split(","):
        word, _, size = piece.strip().partition(" ")
        now[word] = size
    lengths = [
        fields.length(asked, f"{key.name}.{way}", f"To the {way} wall", now.get(way, ""),
                      ways=(way, other) if way in ("right", "downstream") else (other, way))
        for way, other in _WALLS
    ]  # fmt: skip
    wrong = asked.trouble.get(key.name, "")
    return h(
        "fieldset", h("legend", label), h("p", key.hint, class_="hint") if key.hint else "",
        h("div", *lengths, class_="two"), h("p", wrong, class_="wrong") if wrong else "",
        class_="field bad" if wrong else "field",
    )  # fmt: skip


def _understood(pit: Pit, part: str, name: str) -> Child:
    """A stub said back in inches, millimetres and degrees."""
    stub = next((s for s in pit.partly.stubs if part == "stub" and s.id == name), None)
    if stub is None:
        return ""
    said = (
        f"Tip at {place_text(stub.tip.mean)}. It faces {facing_text(stub.outward)}. "
        f"It may be cut back {both_text(stub.cut_back)}."
    )
    return h("p", said, class_="echo")


def _missing(pit: Pit) -> Child:
    """What keeps the survey from being whole, with the way to each."""
    if not pit.readings:
        return ""
    wanting = list(pit.partly.mistakes)
    if not wanting:
        return notice(
            h("p", "Nothing is missing: the pit can be planned."),
            h("p", h("a", "Choose a way", href=f"{pit.home}/choose", class_="main")),
        )
    told = [h("li", h("a", _asks(m), href=_way_to(pit, m.where))) for m in wanting]
    have = {p[0] for p in pit.readings}
    for section in ("box", "stub", "zone"):
        if section not in have:
            told.append(h("li", h("a", f"{PARTS[section]}: not entered yet", href=f"{pit.home}/measure?part={section}#form")))  # fmt: skip
    return h("section", h("h2", f"Still missing ({len(told)})"), h("ul", *told, class_="list"))


def _asks(mistake: BadInput) -> str:
    where = mistake.where.replace(".", " › ").replace("_", " ").replace('"', "")
    return f"{where} {trouble_of(mistake)}"


def _way_to(pit: Pit, where: str) -> str:
    parts = [p.strip('"') for p in where.split(".")]
    part = parts[0] if parts and parts[0] in FORMS else "pit"
    name = parts[1] if part in NAMED and len(parts) > 1 else ""
    return f"{pit.home}/measure?part={part}&name={name}#form"


def _parts(pit: Pit) -> Html:
    """Everything that can be entered, with what there is of it."""
    rows: list[Html] = []
    for part, words in PARTS.items():
        if part in NAMED:
            rows += [
                h("li", h("a", f"{words} {n}", href=f"{pit.home}/measure?part={part}&name={n}#form"))
                for n, _ in _names(pit, part)
            ]
        elif pit.readings:
            rows.append(h("li", h("a", words, href=f"{pit.home}/measure?part={part}#form")))
    add = [
        h("a", f"+ {PARTS[p].lower()}", href=f"{pit.home}/measure?part={p}#form", class_="add")
        for p in _ADD
    ]
    return h("section", h("h2", "What there is"), h("ul", *rows, class_="list"), h("p", *add, class_="adds"))


def _doubts(pit: Pit) -> Child:
    survey = pit.partly.survey
    lines = doubt_lines(survey.findings) if survey else []
    if not lines:
        return ""
    return h("section", h("h2", "In doubt"), h("ul", *(h("li", line) for line in lines)))


def take_measure(pit: Pit, asked: Asked) -> Taken:
    """The readings of a form, those alone that are new; or what is wrong with them."""
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
    go = f"{pit.home}/measure?part={part}&name={name}#drawing"
    if asked.said("away") == "yes":
        mine = [p for p in pit.readings if p[:2] == (part, name)]
        return Taken(tuple(want(p, "") for p in mine), f"{pit.home}/measure")
    before: Path = (part, name) if part in NAMED else (part,)
    typed = {k.name: _form_value(asked, k) for k in FORMS[part]}
    changed = {
        (*before, key): said for key, said in typed.items() if said != _typed(pit, part, name, key)
    }
    if not changed:
        return Taken(go=go)
    wrong = _wrong(pit, changed)
    return Taken(tuple(want(p, said) for p, said in changed.items()), go, wrong)


def _form_value(asked: Asked, key: Key) -> str:
    if key.form == "point":
        words = asked.said(f"{key.name}.words").strip()
        parts = [asked.said(f"{key.name}.{n}").strip() for n in range(3)]
        return words if words or not any(parts) else ", ".join(p or "?" for p in parts)
    if key.form == "walls":
        told = [(way, asked.said(f"{key.name}.{way}").strip()) for way, _ in _WALLS]
        return ", ".join(f"{way} {size}" for way, size in told if size)
    return asked.said(key.name).strip()


def _wrong(pit: Pit, changed: Mapping[Path, str]) -> dict[str, str]:
    """What is wrong with new readings, by their field; what is only missing is no mistake yet."""
    gaps = {
        f"{path[-1]}.{n}": "Measure this one too: 0 where it is level."
        for path, said in changed.items()
        for n, p in enumerate(said.split(", "))
        if p == "?"
    }
    if gaps:
        return gaps
    merged = {**pit.readings, **{p: Typed(said) for p, said in changed.items()}}
    merged = {p: t for p, t in merged.items() if t.text.strip()}
    try:
        partly = read_partly(survey_text(merged, pit.place.name), "", pit.shelf)
    except BadInput as mistake:
        return {"": trouble_of(mistake)}
    old = {m.where for m in pit.partly.mistakes} if pit.readings else set()
    found: dict[str, str] = {}
    for mistake in partly.mistakes:
        key = _field_of(mistake.where, changed)
        if key and mistake.got not in (None, "") and (mistake.where not in old or key):
            found[key] = trouble_of(mistake)
    return found


def _field_of(where: str, changed: Iterable[Path]) -> str:
    """The field a mistake is about, if the form has it."""
    plain = where.replace('"', "")
    for path in changed:
        start = ".".join(path)
        if plain == start:
            return path[-1]
        if plain.startswith(f"{start}."):
            return f"{path[-1]}.{plain[len(start) + 1 :].split('.')[0]}"
    return ""


def _take_layout(pit: Pit, asked: Asked) -> Taken:
    layout = next((x for x in LAYOUTS if x.name == asked.said("layout")), LAYOUTS[0])
    text = asked.said("zones", "1")
    count = min(max(int(text) if text.isdecimal() and len(text) < 3 else 1, 1), MOST_ZONES)
    wrong: dict[str, str] = {}
    for name in ("pipe_in", "pipe_out"):
        try:
            pit.shelf.pipe(asked.said(name).strip())
        except BadInput as mistake:
            if asked.said(name).strip() != "unknown":
                wrong[name] = trouble_of(mistake)
    pipes = asked.said("pipe_in").strip(), asked.said("pipe_out").strip()
    size = asked.said("size").strip() or "1"
    every = readings_for(layout, count, *pipes, size)
    new = [(p, said) for p, said in every if p not in pit.readings]
    return Taken(tuple(want(p, said) for p, said in new), f"{pit.home}/measure", wrong)


def _take_file(pit: Pit, asked: Asked) -> Taken:
    text = asked.said("survey")
    try:
        found = list(from_survey(text))
        read_partly(text, "the file", pit.shelf)
    except BadInput as mistake:
        return Taken(trouble={"survey": str(mistake)})
    now = {p: t.text for p, t in pit.readings.items()}
    new = [want(p, said) for p, said in found if p != ("pit", "name") and now.get(p) != said and said]
    if not found:
        return Taken(trouble={"survey": "It holds no readings."})
    return Taken(tuple(new[:1000]), f"{pit.home}/measure")
