"""A sentence on a page, and the field it asks for as a link behind it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pitwright.findings import Finding, Weight
from pitwright.pages.app_words import in_app
from pitwright.pages.html import Child, h
from pitwright.pages.keys import key_of
from pitwright.pages.part_form import titled
from pitwright.pages.readings import said_path
from pitwright.pages.standing import Pit
from pitwright.pages.wanting import way_to

__all__ = ["linked", "linked_doubt"]


@dataclass(frozen=True, slots=True)
class _Asks:
    """Words of a sentence, and the part and field they ask for."""

    words: str
    part: str
    field: str


_ASKS = (
    _Asks("nobody has measured", "part", ""),
    _Asks("blocks = true", "preferences", "blocks"),
    _Asks("most_bends = 4", "preferences", "most_bends"),
    _Asks("say behind =", "stub", "behind"),
    _Asks("say held = true", "stub", "held"),
    _Asks("say end =", "stub", "end"),
    _Asks("next straight under bare", "stub", "bare"),
    _Asks("of a size on the shelf", "valve", "size"),
    _Asks("swing_bare", "valve", "swing_bare"),
    _Asks("union_ends", "valve", "union_ends"),
    _Asks("under [header]", "header", "feed"),
    _Asks("under [valve.NAME]", "valve", ""),
)
_DOUBTS = {
    "condition-not-given": ("stub", "condition"),
    "directions-disagree": ("stub", "through.0"),
    "direction-by-eye": ("stub", "through.0"),
    "bare-path-not-given": ("stub", "bare"),
    "pipe-unknown": ("stub", "measured"),
    "pipe-fits-nothing": ("stub", "measured"),
    "pipe-measures-otherwise": ("stub", "pipe"),
    "made-up-not-measured": ("valve", "made_up"),
    "seep-proved-dry": ("stub", "proved_dry"),
}
"""The field by which a doubt is settled."""


def linked(pit: Pit, line: str) -> Child:
    """The sentence in the app's words; where it asks for a field, the way to it behind it."""
    asks = next((a for a in _ASKS if a.words in line), None)
    said = in_app(line)
    if asks is None:
        return said
    name = _named(pit, asks.part, line)
    head = "Enter a fitting you measured" if asks.part == "part" else titled(asks.part, name)
    return [said, " ", h("a", head, href=way_to(pit, asks.part, name, asks.field), class_="to")]


def _named(pit: Pit, part: str, line: str) -> str:
    """The stub or valve that a sentence is about: one it names, else the only or the first one."""
    if part not in ("stub", "valve"):
        return ""
    names = list(dict.fromkeys(p[1] for p in pit.readings if p[0] == part and len(p) == 3))
    said = [n for n in names if re.search(rf"(?<![\w-]){re.escape(n)}(?![\w-])", line)]
    return (said or names or [""])[0]


def linked_doubt(pit: Pit, found: Finding, said: str) -> Child:
    """A doubt about the readings, with the way to each field that would settle it."""
    said = f"Stop: {said}" if found.weight is Weight.STOP else said
    if found.code == "nothing-checks":
        return _unchecked(pit, found)
    part, field = _DOUBTS.get(found.code, ("", ""))
    if not part:
        return in_app(said)
    names = [n for n in found.name(part).split(", ") if n]
    ways = [h("a", titled(part, n), href=way_to(pit, part, n, field), class_="to") for n in names]
    return [in_app(said), *([" ", way] for way in ways)]


def _unchecked(pit: Pit, found: Finding) -> Child:
    """The readings that nothing checks, each with the way to it."""
    told: list[Child] = ["Nothing checks these, and a slip goes straight into the cuts: read twice"]
    for path in found.name("readings").split(", "):
        section, name, key = path.replace('"', "").split(".", 2)
        known = key_of(section, key)
        field = f"{key}.0" if known and known.form == "point" else key
        said = said_path((section, name, key))
        told += [" ", h("a", said, href=way_to(pit, section, name, field), class_="to")]
    return told
