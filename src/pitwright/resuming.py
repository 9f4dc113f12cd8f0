"""Resume: a plan half built, what went otherwise, and everything that remains solved again.

What is glued is the new stub. First the train begun is finished, if it still closes; else the
same train with what is still free made to suit; else another train from what is glued; else what
is glued is cut off again. When none of these closes the only honest answer is to stop.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum

from pitwright.algebra.basis import orthonormal_basis
from pitwright.closing.rebuild import rebuilt, walk
from pitwright.errors import BadInput, OutOfRange, UnknownName
from pitwright.findings import Finding, Refusal, Short, Weight, finding, nearest_first
from pitwright.geometry.vector import Vec, add, dot, scale, sub
from pitwright.planning import Plan, planned_zone
from pitwright.renewal.from_glued import (
    Case,
    glued_to,
    names_of,
    onward,
    with_stubs,
    without_bodies,
)
from pitwright.renewal.going_on import INLET, OUTLET, go_on, with_lengths
from pitwright.renewal.job import Job, new_size
from pitwright.renewal.option import Option
from pitwright.renewal.standing import moved, moved_with, socket_depth, standing
from pitwright.survey.pit import Survey
from pitwright.survey.progress import Again, Progress, ZoneProgress
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.cut_list import CutList, Piece
from pitwright.units.kinds import INCH

__all__ = [
    "Base",
    "Resumed",
    "Stage",
    "Verdict",
    "ZoneResumed",
    "begun_at",
    "option_named",
    "resumed",
    "zone_resumed",
]

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
class Base:
    """What a train leaves standing under the next: as it was built, between its stubs, and how
    many of its joints hang on the inlet and on the outlet stub.
    """

    option: Option
    stubs: tuple[Stub, Stub]
    held: tuple[int, int]


@dataclass(frozen=True, slots=True)
class ZoneResumed:
    """One zone: how it goes on, with its options as they now stand, or why to stop.

    ``survey`` is the pit as this answer sees it; ``done`` are joints made that count, from 1;
    ``recut`` the cuts that change [m], ``rolled`` the bends whose clocking changes [rad];
    ``lost`` names what was made and is of no more use; ``stopped`` says what each earlier way
    was stopped by. ``fixed`` are lengths that count as cut, or are marked [m]; ``firm`` the joints
    (from 0) whose open end was measured; ``base`` is what another train stands on, ``valve_on``
    the side on which the new valve stands there already (-1: none), ``cleared`` the sides on which
    nothing of earlier trains is left.
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
    fixed: tuple[tuple[str, float], ...] = ()
    firm: tuple[int, ...] = ()
    base: Base | None = None
    valve_on: int = -1
    cleared: tuple[bool, bool] = (False, False)

    @property
    def same(self) -> bool:
        """Whether it goes on with the train begun."""
        return self.verdict in (Verdict.FINISHED, Verdict.AS_PLANNED, Verdict.RECUT)


@dataclass(frozen=True, slots=True)
class Stage:
    """A zone's work since the plan (``number`` 0), or since it was resumed the ``number``-th time.

    ``zone`` and ``survey`` are as they are then, ``root`` is the zone as surveyed; the first of
    ``options`` is being built. Of the same train ``joints`` (from 1) and ``cut`` [m] stand from
    the stages before it, ``firm`` and ``valve_on`` as in :class:`ZoneResumed`; ``bases`` is what
    earlier trains left standing, the oldest first. ``anew`` names what is cut once more, ``came``
    is the answer that led here.
    """

    number: int
    survey: Survey
    zone: Zone
    root: Zone
    options: tuple[Option, ...]
    joints: tuple[int, ...] = ()
    cut: tuple[tuple[str, float], ...] = ()
    firm: tuple[int, ...] = ()
    valve_on: int = -1
    bases: tuple[Base, ...] = ()
    anew: frozenset[str] = frozenset()
    came: ZoneResumed | None = None

    @property
    def option(self) -> Option:
        """What is being built."""
        return self.options[0]


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
        begun = option_named(zone.answer, done.option, f"zone.{zone.zone.id}.option")
        stage = begun_at(plan.survey, zone.zone, zone.answer, begun)
        again = progress.stub(zone.zone.inlet), progress.stub(zone.zone.outlet)
        zones.append(zone_resumed(stage, done, again))
    return Resumed(plan, tuple(zones))


def begun_at(survey: Survey, zone: Zone, options: tuple[Option, ...], begun: Option) -> Stage:
    """Where the work on a zone begins: the plan, with the option that is built first. [m]

    Source: none needed.
    """
    first = (begun, *(o for o in options if o is not begun))
    return Stage(0, survey, zone, zone, first)


def option_named(options: tuple[Option, ...], named: int | str | None, where: str) -> Option:
    """The option that is being built: by its number, its name, or its skeleton where only one has
    it; the first where nothing is named. Raises OutOfRange or BadInput. Source: docs/resume.md.
    """
    if named is None:
        return options[0]
    if isinstance(named, int):
        if named > len(options):
            raise OutOfRange(where, named, 1, len(options), "count as the plan does")
        return options[named - 1]
    wanted = named.casefold()
    found = [n for n, o in enumerate(options) if o.key.casefold() == wanted]
    found = found or [
        n for n, o in enumerate(options) if o.train.skeleton.label.casefold() == wanted
    ]
    if len(found) == 1:
        return options[found[0]]
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


def zone_resumed(
    stage: Stage, done: ZoneProgress, again: tuple[Again | None, Again | None] = (None, None)
) -> ZoneResumed:
    """How one zone goes on after what was done since ``stage``. [m, rad]

    ``again`` are its inlet and outlet stub where they were measured since. Raises OutOfRange or
    UnknownName where ``done`` names a joint or piece that the train does not have. Source:
    docs/resume.md.
    """
    begun, zone = stage.option, stage.zone
    _named_well(done, begun)
    joints = tuple(sorted({*stage.joints, *done.joints}))
    if not (done.joints or done.cut or done.marked or any(again)):
        return ZoneResumed(
            zone, Verdict.AS_PLANNED, stage.survey, stage.options, begun, joints,
            fixed=stage.cut, firm=stage.firm, valve_on=stage.valve_on,
        )  # fmt: skip
    fixed = {**dict(stage.cut), **{letter: reading.value for letter, reading in done.cut}}
    cuts = with_lengths(begun.cuts, fixed)
    stands = standing(cuts, joints)
    if stands.finished and not any(a and a.broken for a in again):
        built = (replace(begun, cuts=cuts),)
        return ZoneResumed(
            zone, Verdict.FINISHED, stage.survey, built, begun, joints,
            fixed=tuple(fixed.items()), firm=stage.firm, valve_on=stage.valve_on,
        )  # fmt: skip
    inlet, outlet = begun.stubs_of(stage.survey)
    now = with_stubs(stage.survey, zone, (inlet, outlet))
    case = Case(
        now, zone, stage.root, begun, cuts, stands, fixed, (), (), frozenset(stage.firm),
        stage.valve_on,
    )  # fmt: skip
    for side, new in enumerate(again):
        if new is not None:
            case = _broken(case, side, new) if new.broken else _read_again(case, side, new)
    if any(a and a.broken for a in again):  # what was marked in place was not of this end
        done = replace(done, marked=())
    case, told = _marked(case, done, (inlet, outlet))
    return _tried(replace(case, told=(*case.told, *told)))


def _broken(case: Case, side: int, new: Again) -> Case:
    """What was glued on a stub that broke is lost with it; the old pipe begins behind the break."""
    stands, stubs = case.stands, list(case.stubs)
    old = stubs[side]
    told = finding("stub_broke", Weight.STOP, names={"stub": str(old.id), "what": new.broken})
    gone = glued_to(side, (stands.inlet, stands.outlet)[side], stands)
    lost = [*names_of(case.cuts, gone)]
    name = (INLET, OUTLET)[side]
    whole = {name: (case.begun.cuts.inlet_cut, case.begun.cuts.outlet_cut)[side]}
    whole |= {p.letter: p.length for p in case.begun.cuts.pieces if f"piece {p.letter}" in lost}
    if old.glued is not None:
        lost.append(f"what was glued on {old.id} before")
    stubs[side] = new.stub
    survey = with_stubs(case.survey, case.zone, (stubs[0], stubs[1]))
    cleared = (side == 0 or case.cleared[0], side == 1 or case.cleared[1])
    return replace(
        case,
        survey=without_bodies(survey, old) if old.glued is not None else survey,
        cuts=with_lengths(case.cuts, whole),  # nothing is off the new end, lost pieces come anew
        fixed={k: v for k, v in case.fixed.items() if k not in whole},
        stands=stands.without(side),
        told=(*case.told, told),
        lost=(*case.lost, *lost),
        firm=case.firm - set(gone),
        cleared=cleared,
    )


def _read_again(case: Case, side: int, new: Again) -> Case:
    """A stub, or the open end of what is glued on it, lies where it was measured."""
    stands, stubs = case.stands, list(case.stubs)
    count = (stands.inlet, stands.outlet)[side]
    if not count:
        stubs[side] = moved(stubs[side], new)
        return replace(case, survey=with_stubs(case.survey, case.zone, (stubs[0], stubs[1])))
    size = new_size(case.survey, case.root, case.stubs)
    socket = socket_depth(case.survey.shelf, size)
    stubs[side] = moved_with(case.stubs, case.cuts, count, side, new, socket)
    survey = with_stubs(case.survey, case.zone, (stubs[0], stubs[1]))
    return replace(case, survey=survey, firm=case.firm | set(glued_to(side, count, stands)))


def _marked(
    case: Case, done: ZoneProgress, planned: tuple[Stub, Stub]
) -> tuple[Case, tuple[Finding, ...]]:
    """Lengths marked in place say where the outlet stub really is along those pieces.

    Built with them, and with the others as they are, the train ends there but for what it was
    planned to miss between the stubs ``planned``.
    """
    if not done.marked:
        return case, ()
    lengths = {letter: reading.value for letter, reading in done.marked}
    marked = with_lengths(case.cuts, lengths)
    poses = list(walk(marked, case.stubs[0].tip.mean, case.stubs[0].outward))
    along = {
        item.letter: poses[n].z
        for n, item in enumerate(marked.items)
        if isinstance(item, Piece) and item.letter in lengths
    }
    missed = sub(_way(case.begun.cuts, planned), _way(marked, case.stubs))
    by: Vec = (0.0, 0.0, 0.0)
    for x, y, z in orthonormal_basis(tuple(along.values())):
        by = add(by, scale((x, y, z), dot((x, y, z), missed)))
    told = tuple(
        finding("mark_differs", Weight.CHECK, names={"piece": letter},
                numbers={"by": dot(by, way), "marked": lengths[letter]})
        for letter, way in along.items()
        if abs(dot(by, way)) > _DIFFERS
    )  # fmt: skip
    stub = case.stubs[1]
    at = replace(stub, tip=replace(stub.tip, mean=add(stub.tip.mean, by)))
    survey = with_stubs(case.survey, case.zone, (case.stubs[0], at))
    cut = dict(done.cut)
    held = {k: v for k, v in lengths.items() if k not in cut}  # cut since: that is its length
    fixed = {**case.fixed, **held}
    return replace(case, survey=survey, cuts=with_lengths(case.cuts, held), fixed=fixed), told


def _way(cuts: CutList, stubs: tuple[Stub, Stub]) -> Vec:
    """From the end of a built train to the outlet stub. [m]"""
    (inlet, outlet) = ((s.tip.mean, s.outward) for s in stubs)
    return rebuilt(cuts, inlet, outlet)[0]


def _tried(case: Case) -> ZoneResumed:
    """The ways to go on, the least change first."""
    stopped: list[Short] = []
    fallback: list[ZoneResumed] = []
    valve_lost = case.valve_on >= 0 and case.cleared[case.valve_on]
    got = None if valve_lost else _same(case)
    if isinstance(got, Short):
        stopped.append(got)
    elif got is not None:
        if not _digging(got):
            return got
        fallback.append(got)
    for way in onward(case):
        answer = planned_zone(way.survey, way.zone).answer
        if isinstance(answer, Refusal):
            stopped += answer.because
            continue
        made = () if way.off else case.done
        kept = tuple(n for n in made if n - 1 not in case.stands.apart)
        found = ZoneResumed(
            way.zone, Verdict.CUT_OFF if way.off else Verdict.ANEW, way.survey, answer, case.begun,
            kept, lost=(*case.lost, *way.lost), findings=case.told, stopped=tuple(stopped),
            base=Base(replace(case.begun, cuts=case.cuts), case.stubs, way.held),
            valve_on=way.valve_on, cleared=way.cleared,
        )  # fmt: skip
        if not answer[0].digging:
            return found
        fallback.append(found)
    if fallback:
        return min(fallback, key=_digging)
    return ZoneResumed(
        case.zone, Verdict.STOP, case.survey, Refusal(nearest_first(stopped)), case.begun,
        case.done, lost=case.lost, findings=case.told, stopped=tuple(stopped),
        cleared=case.cleared,
    )  # fmt: skip


def _same(case: Case) -> ZoneResumed | Short:
    """The train begun, what is still free of it made to suit; or why it does not close."""
    job = Job(case.survey, case.zone, case.stubs)
    got = go_on(job, case.begun, case.cuts, case.stands, case.fixed, case.firm)
    if isinstance(got, Short):
        return got
    verdict = Verdict.RECUT if got.recut or got.rolled else Verdict.AS_PLANNED
    return ZoneResumed(
        case.zone, verdict, case.survey, (got.option,), case.begun, case.done, got.recut,
        got.rolled, case.lost, case.told, fixed=tuple(case.fixed.items()),
        firm=tuple(sorted(case.firm)), valve_on=case.valve_on, cleared=case.cleared,
    )  # fmt: skip


def _digging(found: ZoneResumed) -> float:
    """What the first option asks to be dug first; nothing to dig for a zone without any. [m]"""
    return 0.0 if isinstance(found.answer, Refusal) else found.answer[0].digging
