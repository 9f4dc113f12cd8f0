"""Everything that keeps a pit from being planned, asked on one page, and saved at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from pitwright.pages import fields
from pitwright.pages.asked import Asked
from pitwright.pages.frame import trouble_box
from pitwright.pages.html import Html, h
from pitwright.pages.keys import FORMS, NAMED, Key
from pitwright.pages.part_form import key_field, names_of, titled, wanted_of
from pitwright.pages.readings import Path
from pitwright.pages.standing import Pit

__all__ = ["ALL", "all_missing", "asks_of", "field_name", "missing_form"]

ALL = "missing"
"""The form of everything that is missing: its name, and the part it is opened as."""
_ALSO = ("bare",)
"""Asked along, though it may be left out: how far old pipe may move hangs on it."""


def all_missing(pit: Pit) -> str:
    """The address of the form."""
    return f"{pit.home}/measure?part={ALL}#form"


def field_name(path: Path) -> str:
    """The field of a reading in the form of all: its whole path."""
    return ".".join(path)


def asks_of(pit: Pit) -> Iterator[tuple[Path, Key]]:
    """What is not read yet and must be, part by part, with what is best read along. [m]"""
    if not pit.readings:
        return
    have = {path[0] for path in pit.readings}
    for part in (p for p in FORMS if p in have or p == "box"):
        for before in _parts(pit, part):
            must = [key.name for key, said in wanted_of(pit, part, before[-1]) if not said]
            for key in FORMS[part]:
                path = (*before, key.name)
                also = must and key.name in _ALSO and path not in pit.readings
                if key.name in must or also:
                    yield path, replace(key, name=field_name(path))


def _parts(pit: Pit, part: str) -> list[Path]:
    return [(part, n) for n, _ in names_of(pit, part)] if part in NAMED else [(part,)]


def missing_form(pit: Pit, asked: Asked) -> Html:
    """One form over all of it, each part under its own heading."""
    asked = asked.own(ALL)
    parts: Mapping[Path, list[Key]] = {}
    for path, key in asks_of(pit):
        parts = {**parts, path[:-1]: [*parts.get(path[:-1], []), key]}
    inside = [
        h(
            "section",
            h("h3", titled(before[0], "".join(before[1:]))),
            *(key_field(pit, asked, key, "") for key in keys),
        )
        for before, keys in parts.items()
    ]
    return h(
        "section",
        h("h2", "All that is missing"),
        h("p", "What you have not measured yet may stay empty."),
        fields.form(
            asked,
            f"{pit.home}/measure",
            trouble_box(asked),
            *inside,
            name=ALL,
            seen=pit.count,
            button="Save the readings",
        ),
        id="form",
    )
