"""Another train for a zone half built: from what is glued, or with it cut off behind its socket."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from pitwright.findings import Finding
from pitwright.geometry.vector import add, scale
from pitwright.renewal.job import new_size
from pitwright.renewal.option import Option
from pitwright.renewal.standing import Standing, grown, socket_depth
from pitwright.survey.obstacles import Obstacle
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.bench import new_pipe
from pitwright.trains.cut_list import CutList
from pitwright.units.kinds import INCH

__all__ = ["Case", "Onward", "glued_to", "names_of", "onward", "with_stubs", "without_bodies"]

_BEHIND = INCH / 8
"""Cutting off what is glued takes the socket and so much more of the old pipe. Judgement. [m]"""
_VALVE = "valve"


@dataclass(frozen=True, slots=True)
class Case:
    """One zone with its stubs as they are now.

    ``root`` is the zone as surveyed; ``valve_on`` the side (0 inlet, 1 outlet) on which an earlier
    train left the new valve standing, -1 where none did; ``cleared`` the sides on which nothing of
    an earlier train stands any more; ``fixed`` are lengths that were cut. [m]
    """

    survey: Survey
    zone: Zone
    root: Zone
    begun: Option
    cuts: CutList
    stands: Standing
    fixed: dict[str, float]
    told: tuple[Finding, ...]
    lost: tuple[str, ...]
    firm: frozenset[int] = frozenset()
    valve_on: int = -1
    cleared: tuple[bool, bool] = (False, False)

    @property
    def stubs(self) -> tuple[Stub, Stub]:
        """Inlet and outlet."""
        return self.survey.stub(self.zone.inlet), self.survey.stub(self.zone.outlet)

    @property
    def done(self) -> tuple[int, ...]:
        """The joints that count, from 1."""
        return tuple(sorted(n + 1 for n in self.stands.made))


@dataclass(frozen=True, slots=True)
class Onward:
    """What another train is asked between: the zone and the pit as they are then.

    ``held`` are the joints of the train begun that stay glued on the inlet and the outlet stub;
    ``lost`` names what is of no more use; ``off`` says whether anything is cut off.
    """

    survey: Survey
    zone: Zone
    lost: tuple[str, ...]
    held: tuple[int, int]
    valve_on: int
    cleared: tuple[bool, bool]
    off: bool


def glued_to(side: int, count: int, stands: Standing) -> range:
    """The joints (from 0) of what is glued on one side. Source: the cut list's own order."""
    return range(count) if side == 0 else range(stands.count - count, stands.count)


def names_of(cuts: CutList, joints: Iterable[int]) -> tuple[str, ...]:
    """What those joints (from 0) hold together, by name and once each, without the stubs."""
    listed = cuts.joints
    names: dict[str, None] = {}
    for n in joints:
        names |= dict.fromkeys((listed[n].before, listed[n].after))
    return tuple(n for n in names if not n.endswith(" stub"))


def with_stubs(
    survey: Survey, zone: Zone, stubs: tuple[Stub, Stub], more: Zone | None = None
) -> Survey:
    """The survey with a zone's stubs (and the zone itself) as they are now."""
    mine = {s.id: s for s in stubs}
    return replace(
        survey,
        stubs=tuple(mine.get(s.id, s) for s in survey.stubs),
        zones=tuple(more if more and z.id == zone.id else z for z in survey.zones),
    )


def without_bodies(survey: Survey, stub: Stub) -> Survey:
    """The survey without the glued work that stood on a stub, when that is gone."""
    end = f" on {stub.id}"
    kept = (
        o
        for o in survey.obstacles
        if not (o.name.startswith("glued work ") and o.name.endswith(end))
    )
    return replace(survey, obstacles=tuple(kept))


def onward(case: Case) -> Iterator[Onward]:
    """From what is glued; then with what is glued on one stub cut off, the other, both. [m]"""
    stands, cuts = case.stands, case.cuts
    left = [_cut_off(case, side) for side in (0, 1)]
    for off in ((False, False), (True, False), (False, True), (True, True)):
        if any(o and found is None for o, found in zip(off, left, strict=True)):
            continue
        lost: list[str] = list(names_of(cuts, stands.apart))
        for side, count in enumerate((stands.inlet, stands.outlet)):
            found = left[side]
            if off[side] and found is not None:
                lost += names_of(cuts, glued_to(side, count, stands))
                lost += [f"what was glued on {found.stub.id} before"] if found.all else []
        yield _from_glued(case, off, left, tuple(dict.fromkeys(lost)))


@dataclass(frozen=True, slots=True)
class _Off:
    """A stub with what is glued on it cut off; ``all``: an earlier train's parts as well."""

    stub: Stub
    all: bool


def _cut_off(case: Case, side: int) -> _Off | None:
    """The stub behind what is glued on it now, or behind all that ever was; None where neither
    leaves pipe enough, or nothing is glued.
    """
    stub = case.stubs[side]
    socket = socket_depth(case.survey.shelf, new_size(case.survey, case.root, case.stubs))
    if (case.stands.inlet, case.stands.outlet)[side]:
        by = (case.cuts.inlet_cut, case.cuts.outlet_cut)[side] + socket + _BEHIND
        if stub.cut_back >= by:
            return _Off(_shortened(stub, by), False)
    standing = stub.glued
    if standing is None:
        return None
    while standing.old.glued is not None:
        standing = standing.old.glued
    by = standing.cut + socket + _BEHIND
    return _Off(_shortened(standing.old, by), True) if standing.old.cut_back >= by else None


def _shortened(stub: Stub, by: float) -> Stub:
    """A stub with ``by`` [m] off its end."""
    first, *rest = stub.bare or (None,)
    bare = () if first is None else (replace(first, length=first.length - by), *rest)
    left = replace(stub.cut_back_reading, value=stub.cut_back - by)
    tip = add(stub.tip.mean, scale(stub.outward, -by))
    return replace(
        stub,
        tip=replace(stub.tip, mean=tip),
        cut_back_reading=left,
        bare=tuple(s for s in bare if s is not None and s.length > 0.0),
        seeps_reading=stub.seeps_reading,
    )


def _from_glued(
    case: Case, off: tuple[bool, bool], left: list[_Off | None], lost: tuple[str, ...]
) -> Onward:
    """The zone and its stubs with what is glued as their ends, or cut off on some side."""
    survey, stands = case.survey, case.stands
    size = new_size(survey, case.root, case.stubs)
    pipe = new_pipe(survey.shelf, size)
    socket = socket_depth(survey.shelf, size)
    stubs = list(case.stubs)
    bodies: list[Obstacle] = []
    held, cleared = [stands.inlet, stands.outlet], list(case.cleared)
    for side in (0, 1):
        found = left[side]
        if off[side] and found is not None:
            stubs[side], held[side] = found.stub, 0
            cleared[side] = cleared[side] or found.all
            survey = without_bodies(survey, found.stub) if found.all else survey
        elif held[side] and pipe is not None:
            stubs[side], more = grown(case.stubs, case.cuts, held[side], side, pipe, socket)
            bodies += more
    valve_on = _valve_on(case, held, cleared)
    zone = replace(case.root, valve=None, join=True) if valve_on >= 0 else case.root
    now = with_stubs(survey, zone, (stubs[0], stubs[1]), zone)
    now = replace(now, obstacles=(*now.obstacles, *bodies))
    return Onward(now, zone, lost, (held[0], held[1]), valve_on, (cleared[0], cleared[1]), any(off))


def _valve_on(case: Case, held: list[int], cleared: list[bool]) -> int:
    """The side on which the new valve stays glued: of this train, or of an earlier one."""
    items = case.cuts.items
    for side, kept in enumerate((items[: held[0]], items[len(items) - held[1] :])):
        if any(getattr(item, "name", "") == _VALVE for item in kept):
            return side
    return case.valve_on if case.valve_on >= 0 and not cleared[case.valve_on] else -1
