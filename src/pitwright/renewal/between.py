"""All ways to renew a zone by a train between two stubs, each planned or refused.

One search finds what is cut in, slipped in and, where nothing shorter serves, boxed around; the
other ways ask it again of other stubs or with another kit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from pitwright.catalogue.parts import JointKind
from pitwright.findings import Refusal, Short, Weight, finding, nearest_first
from pitwright.renewal import keep_adapter, move_cut, reclaim, shut_off_first
from pitwright.renewal.baring import ends_in_soil, lifted_by_baring
from pitwright.renewal.box_around import ELBOWS, boxes
from pitwright.renewal.cut_in import (
    ALLOWANCE,
    Considered,
    Prepared,
    considered,
    first_in,
    lifts_of,
    nearest_of_each,
    prepared,
    tried,
)
from pitwright.renewal.judging import judge
from pitwright.renewal.option import Option
from pitwright.renewal.proving import finished
from pitwright.renewal.shut_off import shut_off
from pitwright.renewal.way import (
    BOX_AROUND,
    CUT_IN,
    KEEP_ADAPTER,
    MOVE_CUT,
    RECLAIM,
    SHUT_FIRST,
    SLIP_IN,
    WayAnswer,
    answered,
)
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.kit import (
    GRIPS_ON_PIECE,
    GRIPS_ON_STUB,
    SLID_ON_PIECE,
    SLID_ON_STUB,
    TELESCOPING,
    Kit,
)
from pitwright.trains.kitting import union_for
from pitwright.trains.search import searched

__all__ = ["Between", "between_stubs", "way_of"]

_THREE = 3
"""Four bends other than a box are tried only where nothing else serves. [-]"""
_FEW = 2
"""From other stubs, trains of up to so many bends are tried. [-]"""
_SLIDING = (TELESCOPING, SLID_ON_STUB, SLID_ON_PIECE, GRIPS_ON_STUB, GRIPS_ON_PIECE)
_BOX = "90-90-90-90"


@dataclass(frozen=True, slots=True)
class Between:
    """Every way's answer, in the order of the ways; beside options the nearest misses."""

    ways: tuple[WayAnswer, ...]
    passed_over: tuple[Short, ...]
    refusal: Refusal | None

    @property
    def options(self) -> tuple[Option, ...]:
        """The options of all ways. [-]"""
        return tuple(option for way in self.ways for option in way.options)


def between_stubs(survey: Survey, zone: Zone, most_bends: int, *, lifted: bool = True) -> Between:
    """Every way by a train between two stubs; ``lifted`` asks what digging would lift. [m, rad]

    Source: each way's own module; docs/decisions/0007.
    """
    stubs = (survey.stub(zone.inlet), survey.stub(zone.outlet))
    ready = prepared(survey, zone, stubs, most_bends)
    if isinstance(ready, Refusal):
        return Between((), (), ready)
    boxed = _boxed(ready)
    others = (
        _moved(survey, zone, stubs, most_bends),
        _shut_first(survey, zone, stubs, most_bends),
        _reclaimed(survey, zone, stubs, most_bends),
    )
    got = considered(survey, zone, min(most_bends, _THREE), put_in=True, lifted=False)
    enough = any(w.options for w in (boxed, *others))
    if isinstance(got.answer, Refusal) and not enough and most_bends > _THREE:
        got = considered(survey, zone, most_bends, put_in=True, lifted=False)
    if isinstance(got.answer, Refusal) and not enough and lifted:
        got = _with_union(ready, got)
    whole = _together(ready, got, boxed, others)
    if whole.refusal is None or not lifted:
        return whole
    box = _boxed_if_asked(survey, zone, stubs, most_bends)
    if box is not None:
        return _told_first(whole, (box,))
    return _dug(survey, zone, _told_first(whole, lifts_of(ready.job, ready.kit, ready.room)))


def _told_first(whole: Between, shorts: tuple[Short, ...]) -> Between:
    assert whole.refusal is not None  # the caller looked
    because = (*shorts, *(s for s in whole.refusal.because if s not in shorts))
    return replace(whole, refusal=replace(whole.refusal, because=because))


def _boxed_if_asked(
    survey: Survey, zone: Zone, stubs: tuple[Stub, Stub], most_bends: int
) -> Short | None:
    """The box of four bends that could be put in, had the preferences allowed four: then nobody
    needs to dig, and nothing is asked about digging. [-]
    """
    if most_bends >= len(ELBOWS):
        return None
    ready = prepared(survey, zone, stubs, len(ELBOWS))
    boxed = () if isinstance(ready, Refusal) else _boxed(ready).options
    boxed = tuple(o for o in boxed if not o.digging)
    if not boxed:
        return None
    label = boxed[0].train.skeleton.label
    have, need = float(most_bends), float(len(ELBOWS))
    return Short("MOST_BENDS", "box", have, need, need - have, "1", "four_bends_serve", label)


def _dug(survey: Survey, zone: Zone, whole: Between) -> Between:
    """The refusal with the digging that was proved to lift it told first. [m]

    Asked of trains of few bends, joined to the stubs as they lie. What lengths alone, or one train
    alone, say of one stub is left out where that stub was asked: it need not go in.
    """
    assert whole.refusal is not None  # the caller looked

    def asks(dug: Survey) -> str | None:
        stubs = (dug.stub(zone.inlet), dug.stub(zone.outlet))
        ready = prepared(dug, zone, stubs, _FEW)
        if isinstance(ready, Refusal):
            return None
        option = first_in(ready) or next(
            (o for o in _kept(ready, []).options if not o.digging), None
        )
        return option.train.skeleton.label if option else None

    proved = lifted_by_baring(survey, zone, asks)
    asked = {s.id for s in (survey.stub(zone.inlet), survey.stub(zone.outlet)) if ends_in_soil(s)}
    guessed = ("BARE", "BARE_TO_PUT_IN")
    kept = (s for s in whole.refusal.because if not (s.code in guessed and s.where in asked))
    return replace(whole, refusal=replace(whole.refusal, because=(*proved, *kept)))


def _with_union(ready: Prepared, refused: Considered) -> Considered:
    """The same with a union beside the valve where nobody asked for one. [m]"""
    union = union_for(ready.bench) if ready.job.zone.valve and ready.kit.union is None else None
    if union is not None:
        kit = replace(ready.kit, union=union, most_bends=min(ready.kit.most_bends, _THREE))
        got = tried(ready.job, kit, ready.room, put_in=True, lifted=False, bare=False)
        if not isinstance(got.answer, Refusal):
            told = finding("needs_union", Weight.NOTE)
            options = tuple(replace(o, findings=(*o.findings, told)) for o in got.answer)
            return replace(got, answer=options)
    return refused


def _together(
    ready: Prepared, got: Considered, boxed: WayAnswer, others: Sequence[WayAnswer]
) -> Between:
    """The plain search's options sorted by way, beside what the other ways answer."""
    stubs = ready.job.stubs
    options = () if isinstance(got.answer, Refusal) else got.answer
    because = got.answer.because if isinstance(got.answer, Refusal) else got.shorts
    short = isinstance(got.answer, Refusal) and got.answer.cut_short
    named = [_named(option, stubs) for option in options]
    sorted_shorts = _sorted(because)
    four = [o for o in named if o.way == BOX_AROUND]
    answers = (
        _kept(ready, [o for o in named if o.way == KEEP_ADAPTER]),
        *(
            answered(
                w,
                _keeps(stubs),
                [o for o in named if o.way == w],
                sorted_shorts[w],
                cut_short=short,
            )
            for w in (CUT_IN, SLIP_IN)
        ),
        replace(boxed, answer=tuple(four)) if four else boxed,
        *others,
    )
    stopped = [s for w in answers if isinstance(w.answer, Refusal) for s in w.answer.because]
    if any(w.options for w in answers):
        return Between(answers, nearest_of_each((*because, *_worth_telling(stopped))), None)
    looked = got.answer.looked_at if isinstance(got.answer, Refusal) else 0
    told = tuple(dict.fromkeys((*because, *_worth_telling(stopped))))
    return Between(answers, (), Refusal(told, looked, short))


_NOT_MEANT = ("NO_THREAD", "NO_NEXT", "NO_SOCKET", "PRESSURE_SIDE", "MOST_BENDS", "FEED_DRY")
"""Why a way was not even tried: no news for a zone that is refused. [-]"""


def _worth_telling(shorts: Iterable[Short]) -> tuple[Short, ...]:
    return nearest_first(s for s in shorts if s.code not in _NOT_MEANT)


def way_of(option: Option, stubs: tuple[Stub, Stub]) -> str:
    """Which way a train of the plain search belongs to. Source: its ends and bends."""
    threads = (JointKind.MALE_THREAD, JointKind.FEMALE_THREAD)
    skeleton = option.train.skeleton
    if any(s.end in threads for s in stubs):
        return KEEP_ADAPTER
    if skeleton.slides:
        return SLIP_IN
    bends = tuple(c.bend for c in skeleton.corners)
    return BOX_AROUND if len(bends) == len(ELBOWS) else CUT_IN


def _named(option: Option, stubs: tuple[Stub, Stub]) -> Option:
    return replace(option, way=way_of(option, stubs), keeps=_keeps(stubs))


def _keeps(stubs: Sequence[Stub]) -> tuple[str, ...]:
    return tuple(f"stub {stub.id}" for stub in stubs)


def _sorted(shorts: Sequence[Short]) -> dict[str, list[Short]]:
    """Limits by the way whose train they stopped."""
    found: dict[str, list[Short]] = {CUT_IN: [], SLIP_IN: [], BOX_AROUND: []}
    for short in shorts:
        if any(name in short.tried for name in _SLIDING):
            found[SLIP_IN].append(short)
        elif short.tried.startswith(_BOX):
            found[BOX_AROUND].append(short)
        else:
            found[CUT_IN].append(short)
    return found


def _kept(ready: Prepared, options: list[Option]) -> WayAnswer:
    """The valve spun onto the thread that stays, or an adapter on it."""
    survey, zone, stubs = ready.job.survey, ready.job.zone, ready.job.stubs
    keeps = tuple(
        f"adapter at {s.id}" if s.end is JointKind.MALE_THREAD else f"stub {s.id}" for s in stubs
    )
    if zone.valve is None:
        none = Short("NO_THREAD", zone.id, 0.0, 1.0, 1.0, "1", "say_thread", "no valve asked for")
        return answered(KEEP_ADAPTER, keeps, (), (none,))
    kit = keep_adapter.spun_kit(ready.bench, ready.kit, stubs, survey.valve(zone.valve))
    if isinstance(kit, Short):
        return answered(KEEP_ADAPTER, keeps, (replace(o, keeps=keeps) for o in options), (kit,))
    few = replace(kit, most_bends=min(kit.most_bends, _FEW))
    found = searched(ready.job.ends, few, ALLOWANCE, ready.room)
    judged = judge(ready.job, [t for t in found.trains if keep_adapter.is_spun(t)], put_in=True)
    spun = [finished(ready.job, o) for o in judged.options]
    kept = (replace(o, way=KEEP_ADAPTER, keeps=keeps) for o in (*spun, *options))
    return answered(
        KEEP_ADAPTER,
        keeps,
        kept,
        (*judged.shorts, *found.shorts),
        cut_short=found.cut_short or judged.cut_short,
    )


def _boxed(ready: Prepared) -> WayAnswer:
    """The elbow boxes: their ports are made parallel, which the search's grid may miss."""
    keeps = _keeps(ready.job.stubs)
    if ready.kit.most_bends < len(ELBOWS):
        have, need = float(ready.kit.most_bends), float(len(ELBOWS))
        few = Short("MOST_BENDS", "box", have, need, need - have, "1", "ask_four_bends", _BOX)
        return answered(BOX_AROUND, keeps, (), (few,))
    got = _box_options(ready, ready.kit)
    if isinstance(got.answer, Refusal) and ready.kit.union is not None:
        plain = _box_options(ready, replace(ready.kit, union=None))
        told = finding("no_union", Weight.CHECK)
        options = tuple(replace(o, findings=(*o.findings, told)) for o in plain.options)
        return replace(plain, answer=options) if options else got
    return got


def _box_options(ready: Prepared, kit: Kit) -> WayAnswer:
    """One box a skeleton that can be put in. [m]"""
    keeps = _keeps(ready.job.stubs)
    found = boxes(ready.job.ends, kit, ALLOWANCE, ready.room)
    judged = judge(ready.job, found.trains, put_in=True)
    first: dict[str, Option] = {}
    for option in judged.options:
        first.setdefault(option.train.skeleton.label, option)
    options = [replace(finished(ready.job, o), way=BOX_AROUND, keeps=keeps) for o in first.values()]
    shorts = (*found.shorts, *judged.shorts) or ready.wet
    return answered(BOX_AROUND, keeps, options, shorts, cut_short=judged.cut_short)


def _moved(survey: Survey, zone: Zone, stubs: tuple[Stub, Stub], most: int) -> WayAnswer:
    """The cut moved past the bend behind one stub, behind the other, behind both."""
    ends = [_past_the_bend(survey, stub, stubs) for stub in stubs]
    shorts = [e for e in ends if isinstance(e, Short)]
    found: list[Option] = []
    for pair in _pairs(stubs, ends):
        options, more = _other(survey, zone, pair, min(most, _FEW))
        shorts += more
        found += [replace(o, way=MOVE_CUT, keeps=_keeps(pair), between=pair) for o in options]
        if found:
            break
    return answered(MOVE_CUT, _keeps(stubs), found, shorts)


def _past_the_bend(survey: Survey, stub: Stub, own: tuple[Stub, Stub]) -> Stub | Short:
    """The stub past its bend, unless a neighbour hangs on what would come out."""
    end = move_cut.past_the_bend(stub, survey.shelf)
    if isinstance(end, Short):
        return end
    ids = {s.id for s in own}
    others = [s for s in survey.stubs if s.id not in ids]
    return move_cut.taken_along(stub, end, others) or end


def _shut_first(survey: Survey, zone: Zone, stubs: tuple[Stub, Stub], most: int) -> WayAnswer:
    """On a feed that runs the shut-off alone, then the train behind it, dry."""
    keeps = _keeps(stubs)
    stopped = tuple(shut_off_first.not_first(zone, stubs[0]))
    shut = shut_off(survey, zone) if not stopped else Refusal(stopped)
    if isinstance(shut, Refusal):
        return answered(SHUT_FIRST, keeps, (), shut.because)
    told = replace(survey, obstacles=(*survey.obstacles, shut_off_first.in_the_way(shut)))
    pair = (shut.rest, stubs[1])
    options, shorts = _other(told, zone, pair, min(most, _FEW))
    found = [
        shut_off_first.behind(shut, replace(o, way=SHUT_FIRST, keeps=keeps, between=pair))
        for o in options
    ]
    return answered(SHUT_FIRST, keeps, found, shorts)


def _reclaimed(survey: Survey, zone: Zone, stubs: tuple[Stub, Stub], most: int) -> WayAnswer:
    """A socket behind one stub bored out."""
    ends = [reclaim.reclaimed(stub) for stub in stubs]
    shorts = [e for e in ends if isinstance(e, Short)]
    found: list[Option] = []
    for pair in _pairs(stubs, ends):
        options, more = _other(survey, zone, pair, min(most, _FEW))
        shorts += more
        risks = tuple(
            reclaim.risk(old) for old, new in zip(stubs, pair, strict=True) if new is not old
        )
        keeps = tuple(
            f"stub {old.id}" if new is old else f"{old.behind} behind {old.id}"
            for old, new in zip(stubs, pair, strict=True)
        )
        found += [
            replace(o, way=RECLAIM, keeps=keeps, between=pair, findings=(*risks, *o.findings))
            for o in options
        ]
    return answered(RECLAIM, _keeps(stubs), found, shorts)


def _pairs(stubs: tuple[Stub, Stub], ends: Sequence[Stub | Short]) -> Iterator[tuple[Stub, Stub]]:
    """One stub changed, then the other, then both."""
    first, second = ends
    if isinstance(first, Stub):
        yield first, stubs[1]
    if isinstance(second, Stub):
        yield stubs[0], second
    if isinstance(first, Stub) and isinstance(second, Stub):
        yield first, second


def _other(
    survey: Survey, zone: Zone, pair: tuple[Stub, Stub], most: int
) -> tuple[tuple[Option, ...], tuple[Short, ...]]:
    """The same search from other stubs."""
    own = {stub.id: stub for stub in pair}
    told = replace(survey, stubs=tuple(own.get(s.id, s) for s in survey.stubs))
    got = considered(told, zone, most, put_in=True, lifted=False)
    if isinstance(got.answer, Refusal):
        return (), got.answer.because
    return got.answer, ()
