"""Rebuild from the feed: a new header with shut-off, union, tees and flush point, and its branches.

Places of the tees are chosen exactly on a grid; a branch that the search refuses forbids its
place, two branches that would stand in each other bar theirs together, and the choice is made
again. What is chosen is then polished off the grid and cut at marks of the tape.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations

from pitwright.catalogue.parts import Fitting, JointKind
from pitwright.choice import NoChoice
from pitwright.findings import (
    Finding,
    ReadingId,
    Refusal,
    Short,
    Weight,
    ZoneId,
    finding,
    nearest_first,
)
from pitwright.geometry.clearance import Capsule
from pitwright.geometry.solids import gap
from pitwright.geometry.vector import Vec, add, dot, minus, norm, scale, sub, unit
from pitwright.joining.assembly import Step
from pitwright.renewal.cut_in import ALLOWANCE, nearest_of_each, prepared
from pitwright.renewal.from_feed_header import (
    HeaderPiece,
    Spool,
    span_of,
    spool_for,
)
from pitwright.renewal.from_feed_places import Pick, Span, choose_places, polish
from pitwright.renewal.from_feed_steps import header_steps
from pitwright.renewal.judging import judge
from pitwright.renewal.mouth import passes_mouth
from pitwright.renewal.option import Option, overlap
from pitwright.renewal.proving import finished
from pitwright.renewal.standing import socket_depth
from pitwright.survey.header import Header
from pitwright.survey.obstacles import Obstacle
from pitwright.survey.pit import Survey
from pitwright.survey.readings import Reading
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.bench import NEW_SCHEDULE, new_pipe
from pitwright.trains.room import TOUCH
from pitwright.trains.search import searched

__all__ = ["FROM_FEED", "FromFeed", "rebuild_from_feed"]

FROM_FEED = "rebuild from the feed"
MOST_SEARCHES = 120
"""So many branches are searched before the choice is given up, and said to be cut short. [-]"""
_SHARES = (1.0, 0.5, 0.0)
"""So much of the way from the grid to the polished places is tried, in this order. [-]"""
_TOLD = 3
"""So many misses of a branch are kept. [-]"""
_BENDS = 2
"""A branch from its tee is tried with so many bends. [-]"""
_TURN_SIGMA = math.radians(1.0)
"""How far a tee's branch may be turned off its mark when it is cemented. Judgement. [rad]"""
_ACROSS = 0.5
"""A branch leaves its header at more than 30 degrees, or the tee points the wrong way. [-]"""


@dataclass(frozen=True, slots=True)
class FromFeed:
    """A header rebuilt from its feed.

    ``places`` are the tees' centres from the feed's tip on [m], ``branches`` the train of each zone
    from its tee; ``pieces`` the header's own cut list, ``cut`` off the feed, ``spool`` its length
    from union to flush point and ``passes`` whether that goes through the mouth. [m] ``parts`` and
    ``pipes`` are of header and branches together. ``proved`` that no choice of places on the grid
    has less offset among those not refused; ``searched`` counts branches tried. [-] ``water_on`` is
    after work begins, of the header's own joints. [s]
    """

    way: str
    feed: str
    places: tuple[tuple[ZoneId, float], ...]
    branches: tuple[Option, ...]
    pieces: tuple[HeaderPiece, ...]
    cut: float
    spool: float
    passes: bool
    parts: tuple[tuple[str, int], ...]
    pipes: tuple[tuple[str, float], ...]
    joint: str
    unions: int
    keeps: tuple[str, ...]
    steps: tuple[Step, ...]
    water_on: float
    polished: bool
    proved: bool
    searched: int
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class _Branch:
    """One zone: its outlet, where its branch would stand without offset, how it leaves the tee."""

    zone: Zone
    target: float
    out: Vec
    size: str
    reach: float
    bushing: Fitting | None


@dataclass(slots=True)
class _Tried:
    """What was searched so far; ``last`` is the last place a tee may have. [m]"""

    last: float
    forbidden: set[Pick] = field(default_factory=set)
    pairs: set[tuple[Pick, Pick]] = field(default_factory=set)
    known: dict[tuple[int, float], Option | None] = field(default_factory=dict)
    shorts: list[Short] = field(default_factory=list)
    searched: int = 0
    nodes: int = 0

    @property
    def spent(self) -> bool:
        return self.searched >= MOST_SEARCHES


def rebuild_from_feed(survey: Survey) -> FromFeed | Refusal:
    """The header and all its branches, or what stops them and what would lift it. [m, s]

    Source: common practice for what stands in a header, no source; the choice is exact.
    """
    header = survey.header
    if header is None:
        return Refusal((Short("NO_HEADER", "header", 0.0, 1.0, 1.0, "1", "say_header"),))
    feed = survey.stub(header.feed)
    branches: list[_Branch] = []
    shorts: list[Short] = []
    for name in header.zones:
        got = _branch(survey, header, feed, survey.zone(name))
        if isinstance(got, Short):
            shorts.append(got)
        else:
            branches.append(got)
    if shorts:
        return Refusal(nearest_first(shorts))
    spool = spool_for(survey, header, min(b.target for b in branches))
    if isinstance(spool, Refusal):
        return spool
    stripped = _stripped(survey, header, spool)
    stands = _stands(stripped, spool)
    if stands is not None:
        return Refusal((stands,))
    return _placed(stripped, spool, span_of(stripped, spool), tuple(branches))


def _branch(survey: Survey, header: Header, feed: Stub, zone: Zone) -> _Branch | Short:
    """How a zone's branch leaves the header. [m]"""
    outlet, along = survey.stub(zone.outlet), feed.outward
    flow = minus(outlet.outward)
    level = sub(flow, scale(along, dot(flow, along)))
    if norm(level) < _ACROSS:
        return Short("BRANCH_ALONG", zone.id, norm(level), _ACROSS, _ACROSS - norm(level), "1",
                     "turn_header", str(outlet.id))  # fmt: skip
    target = dot(sub(outlet.tip.mean, feed.tip.mean), along)
    size = (
        survey.valve(zone.valve).size if zone.valve else (outlet.pipe.size if outlet.pipe else "")
    )
    tee = survey.shelf.fitting("tee", header.size, 90.0, NEW_SCHEDULE)
    if tee is None or new_pipe(survey.shelf, size) is None:
        return Short("NO_PIPE", zone.id, 0.0, 1.0, 1.0, "1", "size_on_shelf", size)
    seat = tee.port("branch").takeout.value
    bushing = None
    if size != header.size:
        name = f"{header.size} x {size}"
        bushing = next(iter(survey.shelf.find(kind="bushing", size=name, schedule="40")), None)
        if bushing is None:
            return Short("NO_BUSHING", zone.id, 0.0, 1.0, 1.0, "1", "size_on_shelf", name)
        seat += bushing.seat_to_seat
    reach = seat + socket_depth(survey.shelf, size)
    return _Branch(zone, target, unit(level), size, reach, bushing)


def _stripped(survey: Survey, header: Header, spool: Spool) -> Survey:
    """The survey without what goes with the old header. [m]"""
    kept = tuple(o for o in survey.obstacles if o.name not in header.goes)
    gone = {survey.zone(z).inlet for z in header.zones}
    stubs = tuple(s for s in survey.stubs if s.id not in gone and s.id != header.feed)
    return replace(survey, obstacles=kept, stubs=stubs)


def _stands(survey: Survey, spool: Spool) -> Short | None:
    """What the header itself would stand in, nearest miss first; None when it is clear. [m]"""
    whole = Capsule(
        spool.at(-spool.cut), spool.at(spool.start + spool.tail), spool.girth.fitting, ""
    )
    found = []
    for thing in survey.obstacles:
        free = gap(whole, thing.solid(thing.clear))
        if free < -TOUCH:
            lift = "other_side"
            found.append(Short("HEADER_ROOM", thing.name, free, 0.0, -free, "m", lift, "header"))
    return nearest_first(found)[0] if found else None


def _placed(
    survey: Survey, spool: Spool, span: Span, branches: tuple[_Branch, ...]
) -> FromFeed | Refusal:
    """The choice made again until every branch closes, none in another's way. [m]"""
    tried, targets = _Tried(span.last), [b.target for b in branches]
    while True:
        got = choose_places(targets, span, tried.forbidden, tried.pairs)
        tried.nodes = max(tried.nodes, got.nodes)
        if isinstance(got, NoChoice):
            return _no_places(span, branches, tried)
        grid = [span.places[n] for n in got.picks]
        if _fits(survey, spool, branches, grid, got.picks, tried) is None:
            if tried.spent:
                return _no_places(span, branches, tried)
            continue
        fine = polish(targets, grid, span)
        for share in _SHARES:
            there = [g + share * (f - g) for g, f in zip(grid, fine, strict=True)]
            places = spool.marked(there)
            options = _fits(survey, spool, branches, places, None, tried)
            if options is not None and max(places) <= span.last + TOUCH:
                return _built(survey, spool, branches, places, options, tried,
                              polished=share > 0.0, proved=got.proved)  # fmt: skip
        tried.forbidden |= set(enumerate(got.picks))
        if tried.spent:
            return _no_places(span, branches, tried)


def _fits(
    survey: Survey,
    spool: Spool,
    branches: Sequence[_Branch],
    places: Sequence[float],
    picks: Sequence[int] | None,
    tried: _Tried,
) -> tuple[Option, ...] | None:
    """The trains of all branches at these places; else what is learnt is kept. [m]"""
    options: list[Option | None] = []
    for number, (branch, place) in enumerate(zip(branches, places, strict=True)):
        option = _searched(survey, spool, number, branch, place, tried)
        options.append(option)
        if option is None and picks is not None:
            tried.forbidden.add((number, picks[number]))
    found = tuple(o for o in options if o is not None)
    if len(found) < len(options):
        return None
    clear = True
    for one, other in combinations(range(len(found)), 2):
        deep = overlap(found[one], found[other])
        if deep > 0.0:
            clear = False
            where = f"{branches[one].zone.name} and {branches[other].zone.name}"
            short = Short("BRANCHES_CLASH", where, -deep, 0.0, deep, "m", "farther_apart")
            tried.shorts.append(short)
            if picks is not None:
                tried.pairs.add(((one, picks[one]), (other, picks[other])))
    return found if clear else None


def _searched(
    survey: Survey, spool: Spool, number: int, branch: _Branch, place: float, tried: _Tried
) -> Option | None:
    """The best train of one branch from a tee at one place, None where there is none. [m]"""
    key = (number, round(place, 7))
    if key not in tried.known:
        tried.searched += 1
        got = _branch_trains(_with_tee(survey, spool, branch, place, tried.last), branch.zone)
        if isinstance(got, Option):
            tried.known[key] = got
        else:
            tried.known[key] = None
            tried.shorts += got
    return tried.known[key]


def _branch_trains(pit: Survey, zone: Zone) -> Option | tuple[Short, ...]:
    """The first train that closes and can be put in, else the nearest misses. [m]"""
    stubs = (pit.stub(zone.inlet), pit.stub(zone.outlet))
    ready = prepared(pit, zone, stubs, min(_BENDS, pit.preferences.most_bends))
    if isinstance(ready, Refusal):
        return ready.because
    found = searched(ready.job.ends, ready.kit, ALLOWANCE, ready.room)
    judged = judge(ready.job, found.trains, put_in=True)
    if not judged.options:
        return nearest_first((*judged.shorts, *found.shorts))[:_TOLD]
    best = judged.options[0]
    return replace(finished(ready.job, best), way=FROM_FEED, keeps=(f"stub {zone.outlet}",))


def _with_tee(survey: Survey, spool: Spool, branch: _Branch, place: float, last: float) -> Survey:
    """The survey with a tee's branch socket as the zone's inlet stub, the header in the way. [m]"""
    outlet, feed = survey.stub(branch.zone.outlet), spool.feed
    tip = add(spool.at(place), scale(branch.out, branch.reach))
    none = _worked_out(0.0, spool)
    tee = replace(
        feed,
        id=branch.zone.inlet,
        tip=replace(feed.tip, mean=tip),
        outward=branch.out,
        outward_sigma=_TURN_SIGMA,
        outward_readings=(),
        through=None,
        pipe=new_pipe(survey.shelf, branch.size),
        measured=None,
        identified=None,
        end=JointKind.SOCKET,
        end_size=branch.size,
        cut_back_reading=none,
        bare=(),
        condition="sound",
        seeps_reading=None,
        findings=(),
        held=True,
    )
    stubs = (tee, outlet, *(s for s in survey.stubs if s.id != outlet.id))
    return replace(survey, stubs=stubs, obstacles=(*survey.obstacles, *_bodies(spool, place, last)))


def _bodies(spool: Spool, place: float, last: float) -> Iterator[Obstacle]:
    """The new header but the branch's own tee, as long as it may become, and its shut-off. [m]"""
    takeout, depth = spool.run
    own, girth = takeout + depth, spool.girth
    parts = [
        ("new header", -spool.cut, place - own, girth.fitting),
        ("new header", place + own, last + spool.tail, girth.fitting),
    ]
    if spool.unit is not None:
        end = spool.fixed - spool.cut - spool.union.seat_to_seat - spool.leads[-1].length
        parts.append(("new shut-off", end - spool.unit.length, end, girth.valve))
    for name, begin, end, radius in parts:
        starts, stops = (replace(spool.feed.tip, mean=spool.at(s)) for s in (begin, end))
        yield Obstacle(name, "pipe", starts, stops, _worked_out(2 * radius, spool), None, "")


def _worked_out(value: float, spool: Spool) -> Reading:
    sigma = spool.feed.cut_back_reading.sigma
    return Reading(ReadingId("header.new"), "worked out", value, sigma, "length", "tape")


def _no_places(span: Span, branches: Sequence[_Branch], tried: _Tried) -> Refusal:
    """No choice is left: the header is too short for so many tees, or no branch closes."""
    shorts = list(dict.fromkeys(tried.shorts))
    have, need = span.last - span.first, (len(branches) - 1) * span.spacing
    if have < need:
        short = Short("HEADER_SHORT", "header", have, need, need - have, "m", "dig_header")
        shorts.append(short)
    elif not shorts:
        shorts.append(Short("NO_PLACES", "header", 0.0, 1.0, 1.0, "1", "dig_header"))
    return Refusal(nearest_of_each(shorts), tried.searched, tried.spent)


def _built(
    survey: Survey,
    spool: Spool,
    branches: Sequence[_Branch],
    places: Sequence[float],
    options: tuple[Option, ...],
    tried: _Tried,
    *,
    polished: bool,
    proved: bool,
) -> FromFeed | Refusal:
    """Everything a person needs of the header that was chosen. [m, s]"""
    names = [b.zone.name for b in branches]
    pieces = spool.pieces(places, names)
    bushed = tuple(b.zone.name for b in branches if b.bushing)
    steps = header_steps(survey, spool, pieces, names, bushed)
    if isinstance(steps, Refusal):
        return steps
    length = max(places) + spool.tail - (spool.fixed - spool.cut) + spool.union.seat_to_seat / 2
    width = spool.girth.fitting + max(b.reach for b in branches)
    passes = passes_mouth(survey.box, length, width)
    pipes: Counter[str] = Counter()
    pipes[spool.pipe.name] += sum(p.length for p in pieces)  # type: ignore[assignment]
    for option in options:
        pipes[option.pipe_name] += option.pipe  # type: ignore[assignment]
    return FromFeed(
        FROM_FEED,
        str(spool.feed.id),
        tuple((b.zone.id, p) for b, p in zip(branches, places, strict=True)),
        options,
        pieces,
        spool.cut,
        length,
        passes,
        _parts(survey, spool, branches, options),
        tuple(pipes.items()),
        spool.way.name,
        1,
        (f"stub {spool.feed.id}", *(f"stub {b.zone.outlet}" for b in branches)),
        steps,
        steps[-1].ends,
        polished,
        proved,
        tried.searched,
        tuple(_told(spool, passes, tried)),
    )


def _parts(
    survey: Survey, spool: Spool, branches: Sequence[_Branch], options: Sequence[Option]
) -> tuple[tuple[str, int], ...]:
    names = {f.id: f.name for f in survey.shelf.fittings}
    count: Counter[str] = Counter()
    ids = [*(spool.way.coupler.parts if spool.way.coupler else ())]
    ids += [*(spool.unit.parts if spool.unit else ()), spool.union.id]
    for part in ids:
        count[names.get(part, part)] += 1
    count[spool.tee.name] += len(branches)
    for branch in branches:
        if branch.bushing:
            count[branch.bushing.name] += 1
    count[spool.flush.name] += 1
    count[f"{spool.pipe.size} in threaded plug"] += 1
    for option in options:
        for name, number in option.parts:
            count[name] += number
    return tuple(count.items())


def _told(spool: Spool, passes: bool, tried: _Tried) -> Iterator[Finding]:
    names = {"stub": str(spool.feed.id)}
    yield finding("supply_off_upstream", Weight.STOP, names=names)
    yield finding("flush_before_bodies", Weight.CHECK)
    if spool.unit is None:
        yield finding("header_without_shut_off", Weight.CHECK)
    if spool.way.push > 0.0:
        numbers = {"push": spool.way.push}
        told = {"stub": str(spool.feed.id), "body": spool.shut_off or "header"}
        yield finding("shut_off_blocked", Weight.STOP, numbers=numbers, names=told)
    if not passes:
        yield finding("box_comes_out", Weight.CHECK)
    if tried.spent:
        yield finding("places_cut_short", Weight.CHECK, numbers={"most": float(MOST_SEARCHES)})
