"""Resume: a plan half built, what went otherwise, and everything that remains solved again.

What is glued is the new stub. First the train begun is finished, if it still closes; else the
same train with what is still free made to suit; else another train from what is glued; else what
is glued is cut off again. When none of these closes the only honest answer is to stop.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import Enum

from pitwright.closing.rebuild import walk
from pitwright.errors import BadInput, OutOfRange, UnknownName
from pitwright.findings import Finding, Refusal, Short, Weight, finding, nearest_first
from pitwright.geometry.vector import add, scale
from pitwright.planning import Plan, planned_zone
from pitwright.renewal.going_on import INLET, OUTLET, go_on, with_lengths
from pitwright.renewal.job import Job, new_size
from pitwright.renewal.option import Option
from pitwright.renewal.standing import Standing, grown, moved_with, socket_depth, standing
from pitwright.survey.obstacles import Obstacle
from pitwright.survey.pit import Survey
from pitwright.survey.progress import Progress, ZoneProgress
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.bench import new_pipe
from pitwright.trains.cut_list import CutList, Piece
from pitwright.units.kinds import INCH

__all__ = ["Resumed", "Verdict", "ZoneResumed", "resumed"]

_BEHIND = INCH / 8
"""Cutting off what is glued takes the socket and so much more of the old pipe. Judgement. [m]"""
_DIFFERS = 3 * INCH / 16
"""A length marked in place that differs more than this from the readings is asked for again:
three sigma of two tape readings and a seat, rounded. Judgement. [m]"""


class Verdict(Enum):
    """How a zone goes on."""

    FINISHED = "finished"
    AS_PLANNED = "as planned"
    RECUT = "recut"
    ANEW = "another train"
    CUT_OFF = "cut off and begin again"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class ZoneResumed:
    """One zone: how it goes on, with its options as they now stand, or why to stop.

    ``survey`` is the pit as this answer sees it; ``done`` are joints made that count, from 1;
    ``recut`` the cuts that change [m], ``rolled`` the bends whose clocking changes [rad];
    ``lost`` names what was made and is of no more use; ``stopped`` says what each earlier way
    was stopped by.
    """

    zone: Zone
    verdict: Verdict
    survey: Survey
    answer: tuple[Option, ...] | Refusal
    begun: Option
    done: tuple[int, ...] = ()
    recut: tuple[tuple[str, float], ...] = ()
    rolled: tuple[tuple[str, float], ...] = ()
    lost: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    stopped: tuple[Short, ...] = ()


@dataclass(frozen=True, slots=True)
class Resumed:
    """The pit as planned, and how each zone with an option goes on."""

    plan: Plan
    zones: tuple[ZoneResumed, ...]

    @property
    def stopped(self) -> tuple[ZoneResumed, ...]:
        """The zones that must stop."""
        return tuple(z for z in self.zones if z.verdict is Verdict.STOP)


def resumed(plan: Plan, progress: Progress) -> Resumed:
    """How every zone of a plan goes on after what was done. [m, rad]

    Raises UnknownName, OutOfRange or BadInput where the progress names an option, joint or piece
    the plan does not have. Source: docs/resume.md.
    """
    zones = []
    for zone in plan.zones:
        done = progress.zone(zone.zone.id)
        touched = done != ZoneProgress(zone.zone.id)
        if isinstance(zone.answer, Refusal):
            if touched:
                raise BadInput(
                    f"zone.{zone.zone.id}",
                    zone.zone.name,
                    "must have an option in the plan",
                    "the plan refuses this zone: nothing of it can have been built from it",
                )
            continue
        begun = zone.answer[_begun(zone.answer, done.option, f"zone.{zone.zone.id}.option")]
        _named_well(done, begun)
        zones.append(_resumed(plan.survey, zone.zone, begun, zone.answer, done, progress))
    return Resumed(plan, tuple(zones))


def _begun(options: tuple[Option, ...], named: int | str | None, where: str) -> int:
    """Which option is being built, from 0: by its number, its name, or its skeleton where only one
    has it. Raises OutOfRange or BadInput.
    """
    if named is None:
        return 0
    if isinstance(named, int):
        if named > len(options):
            raise OutOfRange(where, named, 1, len(options), "count as the plan does")
        return named - 1
    wanted = named.casefold()
    found = [n for n, o in enumerate(options) if o.key.casefold() == wanted]
    found = found or [
        n for n, o in enumerate(options) if o.train.skeleton.label.casefold() == wanted
    ]
    if len(found) == 1:
        return found[0]
    keys = "; ".join(f'"{options[n].key}"' for n in found or range(len(options)))
    rule = "fits several options of this plan" if found else "is no option of this plan"
    raise BadInput(where, named, rule, f"write one of {keys}, or its number, 1 to {len(options)}")


def _named_well(done: ZoneProgress, begun: Option) -> None:
    """Every joint and letter is one of the option's. Raises OutOfRange or UnknownName."""
    where, count = f"zone.{done.zone}", len(begun.cuts.joints)
    for number in done.joints:
        if number > count:
            raise OutOfRange(f"{where}.joints", number, 1, count, "count from the inlet stub")
    letters = [p.letter for p in begun.cuts.pieces]
    for key, named in (("cut", done.cut), ("marked", done.marked)):
        for letter, _ in named:
            allowed = [*letters, INLET, OUTLET] if key == "cut" else letters
            if letter not in allowed:
                raise UnknownName(f"{where}.{key}.{letter}", letter, allowed, "piece")


def _resumed(
    survey: Survey,
    zone: Zone,
    begun: Option,
    options: tuple[Option, ...],
    done: ZoneProgress,
    progress: Progress,
) -> ZoneResumed:
    again = [progress.stub(zone.inlet), progress.stub(zone.outlet)]
    if not (done.joints or done.cut or done.marked or any(again)):
        first = (begun, *(o for o in options if o is not begun))
        return ZoneResumed(zone, Verdict.AS_PLANNED, survey, first, begun)
    fixed = {letter: reading.value for letter, reading in done.cut}
    cuts = with_lengths(begun.cuts, fixed)
    stands = standing(cuts, done.joints)
    if stands.finished and not any(a and a.broken for a in again):
        built = (replace(begun, cuts=cuts),)
        return ZoneResumed(zone, Verdict.FINISHED, survey, built, begun, done.joints)
    told: list[Finding] = []
    lost: list[str] = []
    firm: set[int] = set()
    stubs = list(begun.stubs_of(survey))
    socket = socket_depth(survey.shelf, new_size(survey, zone, (stubs[0], stubs[1])))
    for side, new in enumerate(again):
        if new is None:
            continue
        count = (stands.inlet, stands.outlet)[side]
        if new.broken:
            names = {"stub": str(stubs[side].id), "what": new.broken}
            told.append(finding("stub_broke", Weight.STOP, names=names))
            lost += _names(cuts, _glued_to(side, count, stands))
            stands = stands.without(side)
            cuts, fixed = _uncut(cuts, begun.cuts, fixed, side)
            stubs[side] = new.stub
        elif count:
            pair = (stubs[0], stubs[1])
            stubs[side] = moved_with(pair, cuts, count, side, new, socket)
            firm |= set(_glued_to(side, count, stands))
        else:
            stubs[side] = new.stub
    now = _with(survey, zone, (stubs[0], stubs[1]))
    case = _Case(now, zone, begun, cuts, stands, fixed, tuple(told), tuple(lost), frozenset(firm))
    case, marked = _marked(case, done)
    return _tried(replace(case, told=(*case.told, *marked)))


def _glued_to(side: int, count: int, stands: Standing) -> range:
    """The joints (from 0) of what is glued on one side. Source: the cut list's own order."""
    return range(count) if side == 0 else range(stands.count - count, stands.count)


@dataclass(frozen=True, slots=True)
class _Case:
    """One zone with its stubs as they are now."""

    survey: Survey
    zone: Zone
    begun: Option
    cuts: CutList
    stands: Standing
    fixed: dict[str, float]
    told: tuple[Finding, ...]
    lost: tuple[str, ...]
    firm: frozenset[int] = frozenset()

    @property
    def stubs(self) -> tuple[Stub, Stub]:
        """Inlet and outlet."""
        return self.survey.stub(self.zone.inlet), self.survey.stub(self.zone.outlet)

    @property
    def done(self) -> tuple[int, ...]:
        """The joints that count, from 1."""
        return tuple(sorted(n + 1 for n in self.stands.made))


def _with(survey: Survey, zone: Zone, stubs: tuple[Stub, Stub], more: Zone | None = None) -> Survey:
    """The survey with a zone's stubs (and the zone itself) as they are now."""
    mine = {s.id: s for s in stubs}
    return replace(
        survey,
        stubs=tuple(mine.get(s.id, s) for s in survey.stubs),
        zones=tuple(more if more and z.id == zone.id else z for z in survey.zones),
    )


def _uncut(
    cuts: CutList, planned: CutList, fixed: dict[str, float], side: int
) -> tuple[CutList, dict[str, float]]:
    """A stub that broke has nothing off its new end yet."""
    name = (INLET, OUTLET)[side]
    kept = {k: v for k, v in fixed.items() if k != name}
    return with_lengths(cuts, {name: (planned.inlet_cut, planned.outlet_cut)[side]}), kept


def _marked(case: _Case, done: ZoneProgress) -> tuple[_Case, tuple[Finding, ...]]:
    """Lengths marked in place say where the outlet stub really is along those pieces."""
    if not done.marked:
        return case, ()
    told = []
    stub, cuts = case.stubs[1], case.cuts
    poses = list(walk(cuts, case.stubs[0].tip.mean, case.stubs[0].outward))
    marks = dict(done.marked)
    tip = stub.tip.mean
    for number, item in enumerate(cuts.items):
        if isinstance(item, Piece) and item.letter in marks:
            by = marks[item.letter].value - item.length
            tip = add(tip, scale(poses[number].z, by))
            if abs(by) > _DIFFERS:
                told.append(
                    finding(
                        "mark_differs",
                        Weight.CHECK,
                        numbers={"by": by, "marked": marks[item.letter].value},
                        names={"piece": item.letter},
                    )
                )
    lengths = {letter: reading.value for letter, reading in done.marked}
    moved = replace(stub, tip=replace(stub.tip, mean=tip))
    survey = _with(case.survey, case.zone, (case.stubs[0], moved))
    fixed = {**case.fixed, **lengths}
    return replace(case, survey=survey, cuts=with_lengths(cuts, lengths), fixed=fixed), tuple(told)


def _tried(case: _Case) -> ZoneResumed:
    """The ways to go on, the least change first."""
    stopped: list[Short] = []
    fallback: list[ZoneResumed] = []
    job = Job(case.survey, case.zone, case.stubs)
    got = go_on(job, case.begun, case.cuts, case.stands, case.fixed, case.firm)
    if isinstance(got, Short):
        stopped.append(got)
    else:
        verdict = Verdict.RECUT if got.recut or got.rolled else Verdict.AS_PLANNED
        same = ZoneResumed(
            case.zone, verdict, case.survey, (got.option,), case.begun, case.done,
            got.recut, got.rolled, case.lost, case.told,
        )  # fmt: skip
        if not got.option.digging:
            return same
        fallback.append(same)
    for verdict, survey, zone, lost in _ways_on(case):
        answer = planned_zone(survey, zone)
        if isinstance(answer.answer, Refusal):
            stopped += answer.answer.because
            continue
        made = case.done if verdict is Verdict.ANEW else ()
        kept = tuple(n for n in made if _hangs(case.stands, n - 1))
        found = ZoneResumed(
            zone, verdict, survey, answer.answer, case.begun, kept,
            lost=(*case.lost, *lost), findings=case.told, stopped=tuple(stopped),
        )  # fmt: skip
        if not answer.answer[0].digging:
            return found
        fallback.append(found)
    if fallback:
        return min(fallback, key=_digging)
    return ZoneResumed(
        case.zone, Verdict.STOP, case.survey, Refusal(nearest_first(stopped)), case.begun,
        case.done, lost=case.lost, findings=case.told, stopped=tuple(stopped),
    )  # fmt: skip


def _digging(found: ZoneResumed) -> float:
    """What the first option asks to be dug first; nothing to dig for a zone without any. [m]"""
    return 0.0 if isinstance(found.answer, Refusal) else found.answer[0].digging


def _hangs(stands: Standing, joint: int) -> bool:
    return joint < stands.inlet or joint >= stands.count - stands.outlet


def _ways_on(case: _Case) -> Iterator[tuple[Verdict, Survey, Zone, tuple[str, ...]]]:
    """From what is glued; then with what is glued on one stub cut off, the other, both."""
    stands, cuts = case.stands, case.cuts
    glued = (stands.inlet > 0, stands.outlet > 0)
    zone, survey = _from_glued(case, (False, False))
    yield Verdict.ANEW, survey, zone, _names(cuts, stands.apart)
    for off in ((True, False), (False, True), (True, True)):
        if any(o and not g for o, g in zip(off, glued, strict=True)):
            continue
        room = [_room_behind(case, side) for side in (0, 1)]
        if any(o and r < 0.0 for o, r in zip(off, room, strict=True)):
            continue
        zone, survey = _from_glued(case, off)
        lost = [*stands.apart]
        for side, held in enumerate((stands.inlet, stands.outlet)):
            lost += _glued_to(side, held, stands) if off[side] else ()
        yield Verdict.CUT_OFF, survey, zone, _names(cuts, lost)


def _names(cuts: CutList, joints: Iterable[int]) -> tuple[str, ...]:
    """What those joints (from 0) hold together, by name and once each, without the stubs."""
    listed = cuts.joints
    names: dict[str, None] = {}
    for n in joints:
        names |= dict.fromkeys((listed[n].before, listed[n].after))
    return tuple(n for n in names if not n.endswith(" stub"))


def _room_behind(case: _Case, side: int) -> float:
    """What may still come off the old stub when what is glued on it is cut off. [m]"""
    stub = case.stubs[side]
    return stub.cut_back - _taken(case, side)


def _taken(case: _Case, side: int) -> float:
    """What comes off an old stub with what is glued on it. [m]"""
    cut = (case.cuts.inlet_cut, case.cuts.outlet_cut)[side]
    socket = socket_depth(case.survey.shelf, new_size(case.survey, case.zone, case.stubs))
    return cut + socket + _BEHIND


def _from_glued(case: _Case, off: tuple[bool, bool]) -> tuple[Zone, Survey]:
    """The zone and its stubs with what is glued as their ends, or cut off on some side."""
    survey, zone, stands = case.survey, case.zone, case.stands
    size = new_size(survey, zone, case.stubs)
    pipe = new_pipe(survey.shelf, size)
    socket = socket_depth(survey.shelf, size)
    stubs = list(case.stubs)
    bodies: list[Obstacle] = []
    held = [stands.inlet, stands.outlet]
    for side in (0, 1):
        if off[side]:
            by = _taken(case, side)
            stubs[side] = _shortened(stubs[side], by)
        elif held[side] and pipe is not None:
            stubs[side], more = grown(case.stubs, case.cuts, held[side], side, pipe, socket)
            bodies += more
    if _valve_stands(case, off):
        zone = replace(zone, valve=None, join=True)
    now = _with(survey, zone, (stubs[0], stubs[1]), zone)
    return zone, replace(now, obstacles=(*now.obstacles, *bodies))


def _shortened(stub: Stub, by: float) -> Stub:
    """An old stub with ``by`` [m] off its end."""
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


def _valve_stands(case: _Case, off: tuple[bool, bool]) -> bool:
    """Whether the valve is among what stays glued on a stub."""
    items, stands = case.cuts.items, case.stands
    inlet = 0 if off[0] else stands.inlet
    outlet = 0 if off[1] else stands.outlet
    kept = (*items[:inlet], *(items[len(items) - outlet :] if outlet else ()))
    return any(getattr(item, "name", "") == "valve" for item in kept)
