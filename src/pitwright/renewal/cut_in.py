"""Cut in: the old valve comes out, a new train closes between the two stubs that stay."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from pitwright.findings import Finding, Refusal, Short, Weight, finding, nearest_first
from pitwright.renewal.bending import bending
from pitwright.renewal.option import Option, StubWork
from pitwright.renewal.putting_in import cannot_be_put_in, sliding_cautions
from pitwright.renewal.rounding import best_marks
from pitwright.renewal.surroundings import girth_of, room_for
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.bench import PRESSURE, Bench, new_pipe
from pitwright.trains.cut_list import Bend
from pitwright.trains.kit import Girth, Kit, StubEnd
from pitwright.trains.kitting import kit_for, stub_end, unmeasured
from pitwright.trains.lengths import SLACK
from pitwright.trains.room import Laid, Room, solids
from pitwright.trains.rows import Body
from pitwright.trains.search import Allowance, search
from pitwright.trains.train import Train
from pitwright.units.kinds import FOOT, INCH

__all__ = ["ALLOWANCE", "cut_in"]

ALLOWANCE = Allowance(position=INCH / 4, angle=math.radians(6.0))
"""What old pipe and sockets may be asked to take up before bending is worked out. Judgement."""
BENDS = (45.0, 90.0)
BENDS_WITH_22 = (22.5, 45.0, 90.0)
_MOST_KEPT = 8
_MOST_TRIED = 160
"""So many trains of a zone are bent in thought, in the search's own order. [-]"""
_MOST_SLIDING_TRIED = 40
"""So many with a body that slides. [-]"""
_MOST_OF_ONE_KIND = 2
_MOST_DUG_FOR = 3
"""Digging is worked out for so many trains of a kind that does not close without. [-]"""
_FOUR = 4
_BENDS_OF_LIFTS = 3
"""What digging would lift is asked of trains of up to so many bends. [-]"""
_MOST_BARED = 5 * FOOT
"""Nobody bares more for one valve. Judgement. [m]"""
_FAR = 10 * FOOT
"""How much pipe is imagined bare to learn what digging would lift. [m]"""


def cut_in(survey: Survey, zone: Zone, most_bends: int) -> tuple[Option, ...] | Refusal:
    """Every kind of train for one zone, or what stopped them and what would lift it. [m, rad]

    Source: docs/decisions/0003.
    """
    valve = survey.valve(zone.valve) if zone.valve else None
    stubs = (survey.stub(zone.inlet), survey.stub(zone.outlet))
    unknown = _not_known(stubs)
    if unknown:
        return Refusal(unknown)
    size = _new_size(survey, zone, stubs)
    pipe = new_pipe(survey.shelf, size)
    if pipe is None:
        return Refusal((Short("NO_PIPE", zone.id, 0.0, 1.0, 1.0, "1", "size_on_shelf", size),))
    bends = BENDS_WITH_22 if survey.preferences.bends_22 else BENDS
    wanted = survey.preferences
    bench = Bench(
        survey.shelf,
        pipe,
        wanted.gap,
        bends,
        most_bends,
        wanted.reserve,
        _pressure(survey),
        wanted.unions and valve is not None,
        wanted.blocks,
    )
    kit = kit_for(bench, stubs, valve)
    if isinstance(kit, Short):
        return Refusal((kit,))
    room = room_for(survey, stubs, pipe, valve)
    answer = _tried(survey, zone, stubs, kit, room)
    if isinstance(answer, Refusal) and kit.union is not None:
        without = _tried(survey, zone, stubs, replace(kit, union=None), room)
        if not isinstance(without, Refusal):
            told = finding("no_union", Weight.CHECK)
            return tuple(replace(o, findings=(*o.findings, told)) for o in without)
    return answer


def _new_size(survey: Survey, zone: Zone, stubs: tuple[Stub, Stub]) -> str:
    """New work has the valve's size; without a valve the inlet's."""
    if zone.valve:
        return survey.valve(zone.valve).size
    first = stubs[0]
    return first.end_size or (first.pipe.size if first.pipe else "")


def _pressure(survey: Survey) -> float:
    """The static pressure as read, else what is planned with. [Pa]"""
    read = survey.water.static if survey.water else None
    return read.value if read else PRESSURE


def _tried(
    survey: Survey, zone: Zone, stubs: tuple[Stub, Stub], kit: Kit, room: Room
) -> tuple[Option, ...] | Refusal:
    """The options of one kit, or what stopped them and what would lift it. [m, rad]"""
    ends = (stub_end(stubs[0], survey.shelf), stub_end(stubs[1], survey.shelf))
    found = search(ends, kit, ALLOWANCE, room)
    if isinstance(found, Refusal):
        lifts = _lifts(ends, kit, stubs, room)
        return replace(found, because=(*lifts, *found.because))
    options = _options(survey, zone, stubs, ends, found)
    if not isinstance(options, Refusal):
        return options
    boxes = _boxes(survey, zone, stubs, kit, room, found)
    if not isinstance(boxes, Refusal):
        return boxes
    because = (*_lifts(ends, kit, stubs, room), *options.because, *boxes.because)
    looked = options.looked_at + boxes.looked_at
    return Refusal(because, looked, options.cut_short or boxes.cut_short)


def _boxes(
    survey: Survey,
    zone: Zone,
    stubs: tuple[Stub, Stub],
    kit: Kit,
    room: Room,
    found: Sequence[Train],
) -> tuple[Option, ...] | Refusal:
    """Options of four bends, where the trains of fewer that were found close nothing. [m, rad]"""
    if kit.most_bends < _FOUR or any(t.bends == _FOUR for t in found):
        return Refusal(())
    ends = (stub_end(stubs[0], survey.shelf), stub_end(stubs[1], survey.shelf))
    fours = search(ends, kit, ALLOWANCE, room, _FOUR)
    if isinstance(fours, Refusal):
        return fours
    return _options(survey, zone, stubs, ends, fours)


def _options(
    survey: Survey,
    zone: Zone,
    stubs: tuple[Stub, Stub],
    ends: tuple[StubEnd, StubEnd],
    found: Sequence[Train],
) -> tuple[Option, ...] | Refusal:
    """At most two options of a kind (a sequence of bends), one where a body slides, that close as
    the pit lies, or one that closes after digging where the kind has none.
    """
    options: list[Option] = []
    shorts: list[Short] = []
    kinds: dict[_Kind, list[Train]] = {}
    closing: Counter[_Kind] = Counter()
    glued = [train for train in found if not train.skeleton.slides]
    sliding = [train for train in found if train.skeleton.slides]
    for train in (*glued[:_MOST_TRIED], *sliding[:_MOST_SLIDING_TRIED]):
        kind = _kind(train)
        kinds.setdefault(kind, []).append(train)
        if closing[kind] >= _most_of(train) or len(options) >= _MOST_KEPT:
            continue
        option = _option(survey, zone, stubs, ends, train, dig=False)
        if isinstance(option, Short):
            shorts.append(option)
        else:
            options.append(option)
            closing[kind] += 1
    for kind, trains in kinds.items():
        for train in trains[:_MOST_DUG_FOR]:
            if closing[kind] or len(options) >= _MOST_KEPT:
                break
            option = _option(survey, zone, stubs, ends, train, dig=True)
            if not isinstance(option, Short):
                options.append(option)
                closing[kind] += 1
    if not options:
        tried = len(found) <= _MOST_TRIED or not (
            glued[_MOST_TRIED:] or sliding[_MOST_SLIDING_TRIED:]
        )
        return Refusal(nearest_first(shorts), len(found), not tried)
    return tuple(options)


_Kind = tuple[tuple[str, ...], tuple[float, ...]]
"""How the ends slide, and the bends. [rad]"""


def _kind(train: Train) -> _Kind:
    ends = tuple(sorted(way.name for way in train.skeleton.ways if way.slides))
    return ends, tuple(c.bend for c in train.skeleton.corners)


def _most_of(train: Train) -> int:
    return 1 if train.skeleton.slides else _MOST_OF_ONE_KIND


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


def _lifts(
    ends: tuple[StubEnd, StubEnd], kit: Kit, stubs: Sequence[Stub], room: Room
) -> tuple[Short, ...]:
    """How much more bare pipe would make any train fit: at one stub alone, else at both."""
    shorts = []
    for chosen in ((0,), (1,), (0, 1)):
        ways = [kit.ends_a, kit.ends_b]
        for n in chosen:
            ways[n] = tuple(replace(w, cut=w.cut + _FAR) for w in ways[n])
        fewer = min(kit.most_bends, _BENDS_OF_LIFTS)
        longer = replace(kit, ends_a=ways[0], ends_b=ways[1], most_bends=fewer)
        got = search(ends, longer, ALLOWANCE, room)
        if isinstance(got, Refusal):
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
            where, label = stubs[n].id, best.skeleton.label
            code = "BARE" if len(chosen) == 1 else "BARE_BOTH"
            shorts.append(Short(code, where, have, have + more, more, "m", "bare_more", label))
        break
    return nearest_first(shorts)


def _more(train: Train, side: int) -> float:
    """How much more this train takes off a stub than the stub could give. [m]"""
    return max(0.0, train.cut_back[side] - (train.skeleton.ways[side].cut - _FAR))


def _option(
    survey: Survey,
    zone: Zone,
    stubs: tuple[Stub, Stub],
    ends: tuple[StubEnd, StubEnd],
    train: Train,
    *,
    dig: bool,
) -> Option | Short:
    facing = [(e.tip, e.outward) for e in ends]
    most_cut = [way.cut for way in train.skeleton.ways]
    got = best_marks(train, facing, survey.preferences.gap, most_cut)
    label = train.skeleton.label
    if got is None:
        return Short("ROUNDING", zone.id, 0.0, 1.0, 1.0, "1", "other_bends", label)
    cuts, built = got
    stuck = cannot_be_put_in(survey, stubs, train, cuts)
    if stuck is not None:
        return stuck
    bent = bending(survey, stubs, cuts, dig=dig)
    if isinstance(bent, Short):
        return replace(bent, tried=label)
    names = [p for i in cuts.items if isinstance(i, Body | Bend) for p in i.parts]
    rests_on = [p for piece in cuts.pieces for p in piece.rests_on]
    valve = survey.valve(zone.valve) if zone.valve else None
    pipe = new_pipe(survey.shelf, _new_size(survey, zone, stubs))
    laid = Laid(train.lengths, train.share)
    girth = girth_of(survey.shelf, pipe, valve) if pipe else Girth(0.0, 0.0)
    return Option(
        zone.id,
        "cut in",
        train,
        cuts,
        built,
        tuple(Counter(_name(survey, n) for n in names).items()),
        pipe.name if pipe else "pipe",
        sum(p.length for p in cuts.pieces),
        (_work(stubs[0], cuts.inlet_cut, train, 0), _work(stubs[1], cuts.outlet_cut, train, 1)),
        bent,
        tuple(solids(train.directions, train.rows, ends[0].tip, laid, girth)),
        (
            *unmeasured(survey.shelf, rests_on),
            *_cautions(stubs),
            *sliding_cautions(survey.shelf, stubs, train, cuts),
        ),
    )


def _name(survey: Survey, part: str) -> str:
    return next((f.name for f in survey.shelf.fittings if f.id == part), part)


def _work(stub: Stub, cut: float, train: Train, side: int) -> StubWork:
    if not stub.bare:
        return StubWork(stub.id, cut, None)
    way, skeleton = train.skeleton.ways[side], train.skeleton
    if way.coupler is not None:
        held = way.coupler.stub_side.depth
    elif skeleton.unit is not None and skeleton.valve_leg == (0, train.bends)[side]:
        held = (skeleton.unit.depth_before, skeleton.unit.depth_after)[side]
    elif not skeleton.corners:
        other = skeleton.ways[1 - side].coupler
        held = other.new_side.depth if other else 0.0
    else:
        corner = skeleton.corners[(0, -1)[side]]
        held = (corner.before, corner.after)[side].depth
    return StubWork(stub.id, cut, max(0.0, stub.bare[0].length - cut - held))


def _cautions(stubs: Sequence[Stub]) -> tuple[Finding, ...]:
    """What these very stubs ask to be careful about."""
    found: list[Finding] = []
    for stub in stubs:
        if stub.seeps:
            numbers = {"flow": stub.seeps}
            found.append(
                finding("stub_seeps", Weight.STOP, numbers=numbers, names={"stub": stub.id})
            )
        if stub.condition in ("old", "sun-struck", "chalky"):
            names = {"stub": stub.id, "condition": stub.condition}
            found.append(finding("old_pipe", Weight.CHECK, names=names))
    return tuple(found)
