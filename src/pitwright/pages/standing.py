"""What the pages are made from: the shop, one property, one pit, as they stand in the record."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pitwright.catalogue.shelf import Shelf
from pitwright.errors import BadInput
from pitwright.pages.readings import Path, Typed, readings_of, survey_text
from pitwright.planning import Plan, ZonePlan
from pitwright.records.fold import Fact, State
from pitwright.records.history import Event
from pitwright.records.pits import Place
from pitwright.records.progress import Begun
from pitwright.records.ties import Tie, ties_of
from pitwright.renewal.option import Option
from pitwright.resuming import Stage, ZoneResumed
from pitwright.survey.harness import Harness
from pitwright.survey.partly import Partly, read_partly
from pitwright.wiring.answer import Answer

__all__ = ["Going", "Land", "Pit", "Planned", "Shop", "Wired", "Zoned", "chosen_option"]


@dataclass(frozen=True, slots=True)
class Shop:
    """A page of the properties: those shown, how many there are [-], what was searched."""

    shown: tuple[Place, ...]
    count: int
    searched: str = ""
    start: int = 0
    hits: tuple[tuple[str, str, str], ...] = ()
    """Entries that hold the words: address, what they are of, what they say."""


@dataclass(frozen=True, slots=True)
class Land:
    """One property: what it says of itself, its pits with the number of their ties."""

    place: Place
    facts: Mapping[str, object]
    pits: tuple[Place, ...]
    count: int
    """The count of the record there: what a form was made from. [-]"""


@dataclass(frozen=True, slots=True)
class Zoned:
    """One zone's plan as far as it is worked out: ``status`` is ready, working, stopped, broken."""

    zone: str
    name: str
    status: str
    plan: ZonePlan | None = None


@dataclass(frozen=True, slots=True)
class Planned:
    """The pit's zones as planned; ``whole`` once all of them are ready."""

    zones: tuple[Zoned, ...]
    whole: Plan | None = None

    @property
    def working(self) -> bool:
        """Whether something is still being worked out."""
        return any(z.status == "working" for z in self.zones)


@dataclass(frozen=True, slots=True)
class Going:
    """One zone's work: its stages as far as they are worked out, the plan first.

    ``begun`` are the entries that began each but the first; ``status`` is ready (then the last
    stage is the one at work), working, stopped or broken, ``trouble`` what broke it. ``ahead`` is
    how it goes on from what was noted since, once ``ahead_status`` is ready, worked out from
    ``basis``; "" when nobody asked. ``waits`` tells the question that is not answered yet.
    """

    zone: str
    name: str
    stages: tuple[Stage, ...]
    begun: tuple[Begun, ...] = ()
    status: str = "ready"
    trouble: str = ""
    ahead: ZoneResumed | None = None
    ahead_status: str = ""
    basis: str = ""
    waits: str = ""

    @property
    def stage(self) -> Stage:
        """The newest stage that is worked out."""
        return self.stages[-1]

    @property
    def number(self) -> int:
        """How many times the work was resumed. [-]"""
        return len(self.begun)


@dataclass(frozen=True, slots=True)
class Wired:
    """The pit's wiring: the harness, the readings so far as typed, and what they amount to."""

    harness: Harness
    readings: tuple[str, ...]
    text: str
    answer: Answer | None
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Pit:
    """One pit as it stands. ``count`` is the record's count there when it was read. [-]"""

    place: Place
    land: Place
    state: State
    events: tuple[Event, ...]
    people: Mapping[str, str]
    count: int
    shelf: Shelf
    planned: Planned | None = None
    wired: Wired | None = None
    goings: tuple[Going, ...] = ()
    """How each zone's work stands; empty where no page asked, or the plan is not ready."""
    _kept: dict[str, object] = field(default_factory=dict, compare=False, repr=False)

    @property
    def home(self) -> str:
        """Its address."""
        return f"/pit/{self.place.subject}"

    @property
    def readings(self) -> dict[Path, Typed]:
        """The readings of its survey that hold."""
        found = self._kept.get("readings")
        if not isinstance(found, dict):
            found = self._kept["readings"] = readings_of(self.state)
        return found

    @property
    def ties(self) -> tuple[Tie, ...]:
        """Its ties as they stand."""
        return ties_of(self.state)

    @property
    def text(self) -> str:
        """Its survey as a file has it; empty before the first reading, or when it is no TOML."""
        if not self.readings:
            return ""
        try:
            return survey_text(self.readings, self.place.name)
        except BadInput:
            return ""

    @property
    def partly(self) -> Partly:
        """Its survey as far as it goes."""
        found = self._kept.get("partly")
        if not isinstance(found, Partly):
            found = self._kept["partly"] = read_partly(self.text, self.place.name, self.shelf)
        return found

    def chosen(self, zone: str) -> Fact | None:
        """The choice that holds for a zone."""
        mine = [f for f in self.state.of_kind("choice") if f.value("zone") == zone]
        return mine[-1] if mine else None

    def going(self, zone: str) -> Going | None:
        """How the work on a zone stands."""
        return next((g for g in self.goings if g.zone == zone), None)

    def fact(self, kind: str, **values: str) -> Fact | None:
        """The newest fact of a kind with these values."""
        for found in reversed(self.state.of_kind(kind)):
            if all(str(found.value(k)) == v for k, v in values.items()):
                return found
        return None


def chosen_option(pit: Pit, zone: ZonePlan) -> Option | None:
    """The option that was chosen for a zone; None when none was, or it is no longer there."""
    choice = pit.chosen(str(zone.zone.id))
    if choice is None or not isinstance(zone.answer, tuple):
        return None
    return next((o for o in zone.answer if o.key == choice.value("way")), None)
