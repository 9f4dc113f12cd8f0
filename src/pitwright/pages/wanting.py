"""What a survey still wants, all of it at once, each with the way to its own field."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from urllib.parse import quote

from pitwright.errors import BadInput, Missing
from pitwright.pages.keys import FORMS, NAMED, Key, trouble_of
from pitwright.pages.part_form import PARTS, names_of, titled, wanted_of
from pitwright.pages.standing import Pit

__all__ = ["Wanted", "wanting", "way_to"]

_FIRST = ("box", "stub", "zone")
"""Sections without which no pit is planned."""
_OUTSIDE = "must lie inside the box"


@dataclass(frozen=True, slots=True)
class Wanted:
    """One line of what is missing or wrong, and the part, its name and the field it is about."""

    words: str
    part: str
    name: str = ""
    field: str = ""


def way_to(pit: Pit, part: str, name: str = "", field: str = "") -> str:
    """The address of a part's form; with ``field``, that field open and in sight."""
    where = f"{pit.home}/measure?part={part}&name={quote(name)}"
    if not field:
        return f"{where}#form"
    place = "".join(c if c.isalnum() else "-" for c in field)
    return f"{where}&field={field}#f-{place}"


def wanting(pit: Pit) -> tuple[Wanted, ...]:
    """Everything that keeps the survey from being whole: what is missing first, then what is wrong.

    A part that lacks several things is one line that names them all.
    """
    told: list[Wanted] = []
    lacking: set[tuple[str, str]] = set()
    have = {p[0] for p in pit.readings}
    for part in FORMS:
        if part not in have:
            if part in _FIRST:
                told.append(Wanted(f"{PARTS[part]}: nothing is entered yet", part))
                lacking.add((part, ""))
            continue
        names = [n for n, _ in names_of(pit, part)] if part in NAMED else [""]
        for name in names:
            gaps = list(_gaps(pit, part, name))
            if gaps:
                words = "; ".join(label for label, _ in gaps)
                told.append(Wanted(f"{titled(part, name)}: {words}", part, name, gaps[0][1]))
                lacking.add((part, name))
    for mistake in pit.partly.mistakes:
        told += _wrong(mistake, lacking)
    return tuple(told)


def _gaps(pit: Pit, part: str, name: str) -> Iterator[tuple[str, str]]:
    """Words and field of each value that must be there and is not."""
    for key, value in wanted_of(pit, part, name):
        if key.form == "walls" and value:
            for way in ("left", "right", "upstream", "downstream"):
                if way not in value.replace(",", " ").split():
                    yield f"the {way} wall", f"{key.name}.{way}"
        elif not value:
            yield _small(key.label), _first_field(key)


def _small(label: str) -> str:
    return label[:1].lower() + label[1:]


def _first_field(key: Key) -> str:
    if key.form == "walls":
        return f"{key.name}.left"
    return f"{key.name}.0" if key.form == "point" else key.name


def _wrong(mistake: BadInput, lacking: set[tuple[str, str]]) -> Iterator[Wanted]:
    """A mistake with the field it is about; what is told as missing already is not told again."""
    steps = [p.strip('"') for p in mistake.where.split(".")]
    part = steps[0] if steps[0] in FORMS else "pit"
    name = steps[1] if part in NAMED and len(steps) > 1 else ""
    if isinstance(mistake, Missing) and (part, name) in lacking:
        return
    path = steps[2:] if part in NAMED else steps[1:]
    key = next((k for k in FORMS[part] if path and k.name == path[0]), None)
    deep = key is not None and key.form in ("walls", "point")
    field = ".".join(path[:2] if deep else path[:1]) if key else ""
    if key is not None and deep and len(path) < 2:
        field = _first_field(key)
    label = f", {_small(key.label)}" if key else ""
    yield Wanted(f"{titled(part, name)}{label}: {trouble_of(mistake)}", part, name, field)
    if mistake.rule.startswith(_OUTSIDE):
        words = "The box, soil dug away as far as: say it, if the hole is wider than the box"
        yield Wanted(words, "box", "", "soil.left")
