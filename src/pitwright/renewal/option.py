"""One way to do one zone, with everything a person needs to judge it and to build it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pitwright.findings import Finding, StubId, ZoneId
from pitwright.geometry.clearance import Capsule, between
from pitwright.joining.assembly import Assembly
from pitwright.renewal.bending import Bending
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.tolerance.doubt import Doubt
from pitwright.trains.cut_list import CutList
from pitwright.trains.train import Misfit, Train

__all__ = ["Option", "SetFirst", "StubWork", "overlap"]


@dataclass(frozen=True, slots=True)
class StubWork:
    """What happens to one stub: how much comes off, and the plain pipe left behind the joint.

    ``cut`` and ``left`` in metres; ``left`` is None where nobody measured the straight.
    """

    stub: str
    cut: float
    left: float | None


@dataclass(frozen=True, slots=True)
class SetFirst:
    """A shut-off that is set before the train, between the old feed and its stub: its name, where
    it stands, and what happens to the feed.
    """

    body: str
    solid: Capsule
    feed: StubWork


@dataclass(frozen=True, slots=True)
class Option:
    """A train for a zone.

    ``built`` is the misfit of the train as rebuilt from its rounded cut list, before anything
    is bent [m, rad]; ``parts`` counts every fitting by its name on the shelf; ``pipe`` is the
    length of new pipe in its pieces [m]; ``bending`` says what closing it asks of the old pipe,
    ``solids`` is the new work as capsules, for its neighbours. ``keeps`` names what stays in the
    ground, ``between`` the two stubs as this way leaves them where they are not the survey's own,
    ``assembly`` how it is put in, ``doubt`` how sure it is to close; None: not asked yet.
    ``first`` is the shut-off that it begins behind, None where it begins at the old stub.
    """

    zone: ZoneId
    way: str
    train: Train
    cuts: CutList
    built: Misfit
    parts: tuple[tuple[str, int], ...]
    pipe_name: str
    pipe: float
    stubs: tuple[StubWork, StubWork]
    bending: Bending
    solids: tuple[Capsule, ...]
    findings: tuple[Finding, ...]
    keeps: tuple[str, ...] = ()
    between: tuple[Stub, Stub] | None = None
    assembly: Assembly | None = None
    doubt: Doubt | None = None
    first: SetFirst | None = None

    @property
    def digging(self) -> float:
        """How much pipe must be bared before it closes. [m]"""
        dug = self.bending.dug
        return sum(m for _, m in dug.stubs) if dug and not self.bending.closes else 0.0

    def stubs_of(self, survey: Survey) -> tuple[Stub, Stub]:
        """The two stubs it joins, inlet first, as its way leaves them. Source: the survey."""
        if self.between is not None:
            return self.between
        inlet, outlet = (survey.stub(StubId(work.stub)) for work in self.stubs)
        return inlet, outlet

    @property
    def works(self) -> tuple[StubWork, ...]:
        """What happens to each pipe end from inlet to outlet: the two stubs of the train, and
        before them the feed of a shut-off that is set first."""
        if self.first is None:
            return self.stubs
        behind = replace(self.stubs[0], stub=f"the pipe behind the {self.first.body}")
        return (self.first.feed, behind, self.stubs[1])

    @property
    def key(self) -> str:
        """What tells this option from its neighbours: way and skeleton."""
        return f"{self.way}: {self.train.skeleton.label}"


def overlap(one: Option, other: Option) -> float:
    """How deep two zones' new work would stand in each other; 0 or less when it is clear. [m]

    Source: the capsules of :func:`~pitwright.trains.room.solids`.
    """
    return max(-between(a, b) for a in one.solids for b in other.solids)
