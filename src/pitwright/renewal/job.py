"""What one zone asks: its two stubs, and the size of the new work."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.kit import StubEnd
from pitwright.trains.kitting import stub_end

__all__ = ["Job", "new_size"]


@dataclass(frozen=True, slots=True)
class Job:
    """One zone of a survey with its two stubs, inlet first.

    ``way`` is the way to renew it that is asked, ``keeps`` what stays in the ground by it.
    """

    survey: Survey
    zone: Zone
    stubs: tuple[Stub, Stub]
    way: str = "cut in"
    keeps: tuple[str, ...] = ()

    @property
    def ends(self) -> tuple[StubEnd, StubEnd]:
        """The stubs as the search sees them. [m]"""
        shelf = self.survey.shelf
        return stub_end(self.stubs[0], shelf), stub_end(self.stubs[1], shelf)


def new_size(survey: Survey, zone: Zone, stubs: tuple[Stub, Stub]) -> str:
    """New work has the valve's size; without a valve the inlet's. Source: the survey."""
    if zone.valve:
        return survey.valve(zone.valve).size
    first = stubs[0]
    return first.end_size or (first.pipe.size if first.pipe else "")
