"""A survey as far as it goes: what can be read already, and one mistake of each section.

For a page that is being filled in. A plan is made only from a whole survey.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from pitwright.catalogue.shelf import Shelf
from pitwright.errors import BadInput
from pitwright.survey.box import Box, read_box
from pitwright.survey.lines import path_of
from pitwright.survey.obstacles import Obstacle, read_obstacle
from pitwright.survey.pit import Survey, _bench, _named, read_survey
from pitwright.survey.readings import default_tools
from pitwright.survey.section import Bench, Section
from pitwright.survey.source import tables_of
from pitwright.survey.stubs import Stub, read_stub
from pitwright.survey.valves import ValveBody, read_valve

__all__ = ["Partly", "read_partly"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Partly:
    """The pieces that are whole [SI]; ``mistakes`` are what keeps the others from being read.

    ``survey`` is there once everything is.
    """

    box: Box | None
    stubs: tuple[Stub, ...]
    valves: tuple[ValveBody, ...]
    obstacles: tuple[Obstacle, ...]
    downstream: str
    mistakes: tuple[BadInput, ...]
    survey: Survey | None


def read_partly(text: str, file: str, shelf: Shelf) -> Partly:
    """What of a survey's text can be read. [SI]

    Raises BadInput only where the text is no TOML at all.
    """
    tables = tables_of(text) if text.strip() else {}
    bare = Bench("in", default_tools(), {})
    mistakes: list[BadInput] = []

    def tried(read: Callable[[], T]) -> T | None:
        try:
            return read()
        except BadInput as mistake:
            mistakes.append(mistake)
            return None

    root = Section(tables, "", "", bare)
    head = tried(lambda: Section(tables.get("pit", {}), "pit", "pit", bare))
    bench = (tried(lambda: _bench(root, head)) if head else None) or bare
    root = Section(tables, "", "", bench)

    def named(key: str, read: Callable[[str, Section], T]) -> tuple[T, ...]:
        sections = (tried(lambda: _named(root, key)) if key in tables else None) or {}
        got = [tried(lambda n=n, s=s: read(n, s)) for n, s in sections.items()]  # type: ignore[misc]
        return tuple(one for one in got if one is not None)

    box = None
    if "box" in tables:
        box = tried(lambda: read_box(Section(tables["box"], "box", path_of("box"), bench)))
    stubs = named("stub", lambda n, s: read_stub(n, s, shelf))
    valves = named("valve", read_valve)
    obstacles = named("obstacle", read_obstacle)
    survey = None if mistakes else tried(lambda: read_survey(text, file, shelf))
    said = head.text("downstream") if head else ""
    return Partly(box, stubs, valves, obstacles, said, tuple(mistakes), survey)
