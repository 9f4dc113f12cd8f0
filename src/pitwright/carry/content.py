"""What a carry file holds, as it is handed to the page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from pitwright.planning import Plan
from pitwright.records.ties import Tie
from pitwright.survey.harness import Harness
from pitwright.wiring.along import Along
from pitwright.wiring.answer import Answer

__all__ = ["Base", "Carried", "Wiring"]


@dataclass(frozen=True, slots=True)
class Base:
    """Where the pit lies in the record, and what held there when the file was made.

    Empty ids for a pit that is in no record. ``heads``: the latest entries of each slot that a
    note may fill; ``plan``: the entry of the plan that is carried.
    """

    site: str = ""
    subject: str = ""
    name: str = ""
    plan: str = ""
    heads: Mapping[str, Sequence[str]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Wiring:
    """A harness with the answer to its readings."""

    harness: Harness
    answer: Answer
    far: tuple[Along, ...] = ()


@dataclass(frozen=True, slots=True)
class Carried:
    """One pit to take along. ``made`` says when, ``program`` with what; ``known`` are the lines
    that the record has of the pit, ``land`` its property and ``ties`` where its things lie,
    ``notes`` words noted there, oldest first; ``stages`` how many times the work was resumed, by
    zone, where it was.
    """

    plan: Plan
    base: Base
    made: str
    program: str
    wiring: Wiring | None = None
    known: tuple[str, ...] = ()
    land: str = ""
    ties: tuple[Tie, ...] = ()
    notes: tuple[str, ...] = ()
    stages: Mapping[str, int] = field(default_factory=dict)
