"""Cut in: the old valve comes out, a new train closes between the two stubs that stay."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pitwright.findings import Refusal, Short, Weight, finding, nearest_first
from pitwright.renewal.job import Job, new_size
from pitwright.renewal.judging import judge
from pitwright.renewal.option import Option
from pitwright.renewal.proving import finished
from pitwright.renewal.surroundings import room_for
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.bench import PRESSURE, Bench, new_pipe
from pitwright.trains.kit import GRIPPED, GRIPS_ON_PIECE, GRIPS_ON_STUB, Kit
from pitwright.trains.kitting import kit_for
from pitwright.trains.lengths import SLACK
from pitwright.trains.room import Room
from pitwright.trains.search import FEW, Allowance, Found, searched
from pitwright.trains.train import Train
from pitwright.units.kinds import FOOT, INCH

__all__ = [
    "ALLOWANCE",
    "Considered",
    "Prepared",
    "considered",
    "cut_in",
    "first_in",
    "lifts_of",
    "nearest_of_each",
    "prepared",
    "told_first",
    "tried",
]

ALLOWANCE = Allowance(position=INCH / 4, angle=math.radians(6.0))
"""What old pipe and sockets may be asked to take up before bending is worked out. Judgement."""
BENDS = (45.0, 90.0)
BENDS_WITH_22 = (22.5, 45.0, 90.0)
_FOUR = 4
_BENDS_OF_LIFTS = ((0, FEW), (FEW + 1, 3))
"""What digging would lift is asked of trains of few bends first, then of three. [-]"""
_MOST_BARED = 5 * FOOT
"""Nobody bares more for one valve. Judgement. [m]"""
_WET_CEMENT = "wet"
_WITHOUT_CEMENT = (GRIPPED, GRIPS_ON_STUB, GRIPS_ON_PIECE, "threaded", "transition")
"""Ways to begin at a stub that hold without cement on it."""
_FAR = 10 * FOOT
"""How much pipe is imagined bare to learn what digging would lift. [m]"""


@dataclass(frozen=True, slots=True)
class Considered:
    """The options of a zone or its refusal; beside options, the nearest miss of each kind.

    ``shorts`` is every limit that stopped a train.
    """

    answer: tuple[Option, ...] | Refusal
    passed_over: tuple[Short, ...]
    shorts: tuple[Short, ...] = ()


def cut_in(survey: Survey, zone: Zone, most_bends: int) -> tuple[Option, ...] | Refusal:
    """Every kind of train for one zone, or what stopped them and what would lift it. [m, rad]

    Source: docs/decisions/0003.
    """
    return considered(survey, zone, most_bends).answer


def considered(
    survey: Survey, zone: Zone, most_bends: int, *, put_in: bool = False, lifted: bool = True
) -> Considered:
    """The same with what was passed over; with ``put_in`` only trains that can be put in, each with
    its steps and chances; ``lifted`` asks what more bare pipe would lift a refusal. [m, rad, N]

    Source: docs/decisions/0003.
    """
    got = prepared(survey, zone, (survey.stub(zone.inlet), survey.stub(zone.outlet)), most_bends)
    if isinstance(got, Refusal):
        return Considered(got, ())
    answer = told_first(got.wet, tried(got.job, got.kit, got.room, put_in=put_in, lifted=lifted))
    if isinstance(answer.answer, Refusal) and got.kit.union is not None:
        without = tried(
            got.job, replace(got.kit, union=None), got.room, put_in=put_in, lifted=False
        )
        if not isinstance(without.answer, Refusal):
            told = finding("no_union", Weight.CHECK)
            plain = tuple(replace(o, findings=(*o.findings, told)) for o in without.answer)
            return replace(without, answer=plain)
    return answer


@dataclass(frozen=True, slots=True)
class Prepared:
    """What one search of a zone needs: its job, what it builds with, and the room for it; ``wet``
    are the stubs that no cement is planned on.
    """

    job: Job
    bench: Bench
    kit: Kit
    room: Room
    wet: tuple[Short, ...] = ()


def prepared(
    survey: Survey, zone: Zone, stubs: tuple[Stub, Stub], most_bends: int
) -> Prepared | Refusal:
    """All that a search between two stubs needs, or what nobody knows yet. [m, rad]

    Source: the survey and the shelf.
    """
    valve = survey.valve(zone.valve) if zone.valve else None
    unknown = _not_known(stubs)
    if unknown:
        return Refusal(unknown)
    size = new_size(survey, zone, stubs)
    pipe = new_pipe(survey.shelf, size)
    if pipe is None:
        return Refusal((Short("NO_PIPE", zone.id, 0.0, 1.0, 1.0, "1", "size_on_shelf", size),))
    wanted = survey.preferences
    bench = Bench(
        survey.shelf,
        pipe,
        wanted.gap,
        BENDS_WITH_22 if wanted.bends_22 else BENDS,
        most_bends,
        wanted.reserve,
        _pressure(survey),
        wanted.unions and valve is not None,
        wanted.blocks,
    )
    kit = kit_for(bench, stubs, valve)
    if isinstance(kit, Short):
        return Refusal((kit,))
    kit, wet = _dry_ways(survey, stubs, kit)
    if not (kit.ends_a and kit.ends_b):
        return Refusal(wet)
    room = room_for(survey, stubs, pipe, valve)
    return Prepared(Job(survey, zone, stubs), bench, kit, room, wet)


def _dry_ways(survey: Survey, stubs: tuple[Stub, Stub], kit: Kit) -> tuple[Kit, tuple[Short, ...]]:
    """The kit without cement on a stub that runs, and what that leaves out.

    Cement whose label allows it on wet pipe, and a relief end that lets the water out, are for the
    steps to judge. Source: common practice,
    no source.
    """
    if survey.conditions is not None and survey.conditions.cement == _WET_CEMENT:
        return kit, ()
    ends, wet = [kit.ends_a, kit.ends_b], []
    for side, stub in enumerate(stubs):
        if stub.seeps and stub.relief is None:
            ends[side] = tuple(w for w in ends[side] if w.name in _WITHOUT_CEMENT)
            what = f"cement on {stub.id}"
            wet.append(Short("WET_SOCKET", stub.id, 0.0, 1.0, 1.0, "1", "without_cement", what))
    return replace(kit, ends_a=ends[0], ends_b=ends[1]), tuple(wet)


def told_first(wet: tuple[Short, ...], got: Considered) -> Considered:
    """The same, with cement that was left out told first. Source: none needed."""
    if not wet:
        return got
    if isinstance(got.answer, Refusal):
        because = (*wet, *got.answer.because)
        got = replace(got, answer=replace(got.answer, because=because))
    else:
        got = replace(got, passed_over=(*wet, *got.passed_over))
    return replace(got, shorts=(*wet, *got.shorts))


def tried(
    job: Job, kit: Kit, room: Room, *, put_in: bool, lifted: bool = True, bare: bool = True
) -> Considered:
    """The options of one kit, or what stopped them and, when asked, what would lift it. [m, rad]

    ``bare`` asks what digging would let a train in that closes. Four bends are tried where the
    trains of fewer that were found close nothing.
    """
    found = searched(job.ends, kit, ALLOWANCE, room)
    judged = judge(job, found.trains, put_in=put_in, bare=bare)
    if not judged.options and found.trains and found.trains[-1].bends < _FOUR <= kit.most_bends:
        more = searched(job.ends, kit, ALLOWANCE, room, _FOUR)
        boxes = judge(job, more.trains, put_in=put_in, bare=bare)
        judged = replace(
            boxes,
            shorts=(*judged.shorts, *boxes.shorts),
            cut_short=judged.cut_short or boxes.cut_short,
        )
        looked = found.looked_at + more.looked_at
        found = Found(found.trains, (*found.shorts, *more.shorts), looked)
    if judged.options:
        options = judged.options
        if put_in:
            options = tuple(finished(job, option) for option in options)
        if found.cut_short or judged.cut_short:
            told = finding("search_cut_short", Weight.CHECK)
            options = tuple(replace(o, findings=(*o.findings, told)) for o in options)
        shorts = (*found.shorts, *judged.shorts)
        return Considered(options, nearest_of_each(shorts), shorts)
    # what closes and only cannot be put in is nearer than what does not close
    stopped = (*nearest_first(judged.shorts), *nearest_first(found.shorts))
    lifts = lifts_of(job, kit, room) if lifted else ()
    cut_short = found.cut_short or judged.cut_short
    return Considered(Refusal((*lifts, *stopped), found.looked_at, cut_short), (), stopped)


def first_in(ready: Prepared) -> Option | None:
    """The first train that closes as the pit lies and can be put in; None where none does. [m]

    Source: the same search and judgement, ended at the first.
    """
    found = searched(ready.job.ends, ready.kit, ALLOWANCE, ready.room)
    return next(iter(judge(ready.job, found.trains, put_in=True, first=True).options), None)


def nearest_of_each(shorts: Sequence[Short]) -> tuple[Short, ...]:
    """The nearest miss of each kind of limit. [m, rad, N] Source: none needed."""
    seen: dict[str, Short] = {}
    for short in nearest_first(shorts):
        seen.setdefault(short.code, short)
    return tuple(seen.values())


def _pressure(survey: Survey) -> float:
    """The static pressure as read, else what is planned with. [Pa]"""
    read = survey.water.static if survey.water else None
    return read.value if read else PRESSURE


def _not_known(stubs: Sequence[Stub]) -> tuple[Short, ...]:
    """Stubs that cannot be planned with: a pipe nobody knows yet, one nobody may cut."""
    shorts = []
    for stub in stubs:
        if stub.pipe is None:
            lift = "tell_pipe"
            shorts.append(Short("WHAT_PIPE", stub.id, 0.0, 1.0, 1.0, "1", lift, stub.id))
        elif stub.pipe.material == "asbestos cement":
            lift = "qualified_handling"
            shorts.append(Short("ASBESTOS", stub.id, 0.0, 1.0, 1.0, "1", lift, stub.pipe.name))
        elif stub.condition == "cracked":
            lift = "cut_past_crack"
            shorts.append(Short("CRACKED", stub.id, 0.0, 1.0, 1.0, "1", lift, stub.id))
    return nearest_first(shorts)


def lifts_of(job: Job, kit: Kit, room: Room) -> tuple[Short, ...]:
    """How much more bare pipe would make any train fit: at one stub alone, else at both. [m]

    Trains of few bends first: they are what one would dig for. Source: the same search with more
    pipe.
    """
    shorts = []
    for chosen in ((0,), (1,), (0, 1)):
        ways = [kit.ends_a, kit.ends_b]
        for n in chosen:
            ways[n] = tuple(replace(w, cut=w.cut + _FAR) for w in ways[n])
        longer = replace(kit, ends_a=ways[0], ends_b=ways[1])
        got = next(filter(None, (_of_bends(job, longer, room, n) for n in _BENDS_OF_LIFTS)), ())
        if not got:
            continue
        best = min(got, key=lambda t: sum(_more(t, n) for n in chosen))
        asked = sum(_more(best, n) for n in chosen)
        if not 0.0 < asked <= _MOST_BARED:
            continue
        for n in chosen:
            have = max(0.0, best.skeleton.ways[n].cut - _FAR)
            more = _more(best, n)
            if more <= SLACK:
                continue
            where, label = job.stubs[n].id, best.skeleton.label
            code = "BARE" if len(chosen) == 1 else "BARE_BOTH"
            shorts.append(Short(code, where, have, have + more, more, "m", "bare_more", label))
        break
    return nearest_first(shorts)


def _of_bends(job: Job, kit: Kit, room: Room, bends: tuple[int, int]) -> tuple[Train, ...]:
    """The trains of so many bends, from the fewest to the most. [-]"""
    least, most = bends
    fewer = replace(kit, most_bends=min(kit.most_bends, most))
    return searched(job.ends, fewer, ALLOWANCE, room, least).trains


def _more(train: Train, side: int) -> float:
    """How much more this train takes off a stub than the stub could give. [m]"""
    return max(0.0, train.cut_back[side] - (train.skeleton.ways[side].cut - _FAR))
