"""A new header as a straight spool: shut-off, union, tees, flush point, and what each length is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pitwright.catalogue.parts import Fitting, Pipe
from pitwright.findings import Refusal, Short, nearest_first
from pitwright.geometry.clearance import Capsule
from pitwright.geometry.solids import gap
from pitwright.geometry.vector import Vec, add, dot, scale
from pitwright.renewal.feed_water import wet_or_loose
from pitwright.renewal.from_feed_places import GRID, Span
from pitwright.renewal.shut_off import JOINTS, not_joinable
from pitwright.renewal.surroundings import girth_of, walls_of
from pitwright.survey.header import Header
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.trains.bench import NEW_SCHEDULE, PRESSURE, Bench, left_of, new_pipe
from pitwright.trains.kit import EndWay, Girth, Unit
from pitwright.trains.kitting import kit_for
from pitwright.trains.room import TOUCH
from pitwright.units.inches import SIXTEENTH

__all__ = ["HeaderPiece", "Spool", "span_of", "spool_for"]

_HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class HeaderPiece:
    """One piece of pipe of the header: its length on the tape, and how deep it goes in. [m]"""

    name: str
    length: float
    before: str
    after: str
    depth_before: float
    depth_after: float


@dataclass(frozen=True, slots=True)
class Spool:
    """What a header is made of, in order from the feed's cut end, and its fixed lengths.

    ``way`` is how it begins at the feed, ``unit`` its shut-off (None: it has none); ``cut`` comes
    off the feed. [m] Places of tees are counted from the feed's tip as surveyed, along ``along``.
    """

    feed: Stub
    along: Vec
    way: EndWay
    unit: Unit | None
    shut_off: str
    union: Fitting
    tee: Fitting
    flush: Fitting
    pipe: Pipe
    gap: float
    cut: float
    girth: Girth

    @property
    def run(self) -> tuple[float, float]:
        """A tee's take-out and socket depth along its run. [m]"""
        port = self.tee.ports[0]
        return port.takeout.value, port.depth.value

    @property
    def spacing(self) -> float:
        """The least from tee to tee, centre to centre: two take-outs and a least nipple. [m]"""
        takeout, depth = self.run
        return 2 * takeout + self.least(depth, depth)

    def least(self, before: float, after: float) -> float:
        """The least piece between two sockets so deep, at a mark of the tape. [m]"""
        return SIXTEENTH * math.ceil((before + self.gap + after) / SIXTEENTH - _HAIR)

    @property
    def leads(self) -> tuple[HeaderPiece, ...]:
        """The pieces before the first tee's own: into the shut-off, from it to the union. [m]"""
        found: list[HeaderPiece] = []
        deep = self.union.ports[0].depth.value
        first = "shut-off" if self.unit else "union"
        into = self.unit.depth_before if self.unit else deep
        if self.way.coupler is not None:
            new = self.way.coupler.new_side.depth
            found.append(_piece(len(found), self.least(new, into), "coupling", first, new, into))
        if self.unit is not None:
            after = self.unit.depth_after
            length = self.least(after, deep)
            found.append(_piece(len(found), length, "shut-off", "union", after, deep))
        return tuple(found)

    @property
    def fixed(self) -> float:
        """From the feed's cut end to the bottom of the union's far socket. [m]"""
        coupler = self.way.coupler
        body = coupler.stub_side.takeout + coupler.new_side.takeout if coupler else 0.0
        unit = self.unit.length if self.unit else 0.0
        return body + unit + sum(p.length for p in self.leads) + self.union.seat_to_seat

    @property
    def start(self) -> float:
        """From the feed's cut end to the first tee's centre, at the least. [m]"""
        takeout, depth = self.run
        return self.fixed + self.least(self.union.ports[1].depth.value, depth) + takeout

    @property
    def tail(self) -> float:
        """From the last tee's centre to the end of the flush point. [m]"""
        takeout, depth = self.run
        return takeout + self.least(depth, self.flush.ports[0].depth.value) + _whole(self.flush)

    def at(self, place: float) -> Vec:
        """A point on the header's axis. [m]"""
        return add(self.feed.tip.mean, scale(self.along, place))

    def marked(self, places: Sequence[float]) -> tuple[float, ...]:
        """The places nearest to these whose pieces end at marks of the tape; in their order. [m]"""
        order = sorted(range(len(places)), key=lambda n: (places[n], n))
        takeout, depth = self.run
        found = [0.0] * len(places)
        at, before = self.fixed - self.cut, self.union.ports[1].depth.value
        for n in order:
            least = round(self.least(before, depth) / SIXTEENTH)
            piece = SIXTEENTH * max(least, round((places[n] - takeout - at) / SIXTEENTH))
            found[n] = at + piece + takeout
            at, before = found[n] + takeout, depth
        return tuple(found)

    def pieces(self, places: Sequence[float], names: Sequence[str]) -> tuple[HeaderPiece, ...]:
        """Every piece of the header from the feed on, its tees at these places. [m]"""
        takeout, depth = self.run
        found = list(self.leads)
        at, before, deep = self.fixed - self.cut, "union", self.union.ports[1].depth.value
        for place, name in sorted(zip(places, names, strict=True)):
            tee = f"tee {name}"
            length = place - takeout - at
            found.append(_piece(len(found), length, before, tee, deep, depth))
            at, before, deep = place + takeout, tee, depth
        into = self.flush.ports[0].depth.value
        found.append(
            _piece(len(found), self.least(depth, into), before, "flush point", depth, into)
        )
        return tuple(found)


def _piece(
    number: int, length: float, before: str, after: str, deep: float, into: float
) -> HeaderPiece:
    return HeaderPiece(f"H{number + 1}", length, before, after, deep, into)


def _whole(adapter: Fitting) -> float:
    """From the socket's bottom of the flush point's adapter to its far face. [m]"""
    return adapter.seat_to_seat


def spool_for(survey: Survey, header: Header, first_target: float) -> Spool | Refusal:
    """The header's parts and how far the feed is cut back so that its first tee reaches. [m]

    ``first_target`` is where the first branch would stand without offset. Source: the shelf.
    """
    feed = survey.stub(header.feed)
    stopped = tuple(not_joinable(feed))
    if stopped:
        return Refusal(stopped)
    pipe = new_pipe(survey.shelf, header.size)
    if pipe is None:
        short = Short("NO_PIPE", "header", 0.0, 1.0, 1.0, "1", "size_on_shelf", header.size)
        return Refusal((short,))
    parts = [
        survey.shelf.fitting(kind, header.size, angle, NEW_SCHEDULE)
        for kind, angle in (("union", 0.0), ("tee", 90.0), ("adapter female", 0.0))
    ]
    union, tee, flush = parts
    if union is None or tee is None or flush is None:
        short = Short("NO_PART", "header", 0.0, 1.0, 1.0, "1", "part_for_stub", header.size)
        return Refusal((short,))
    valve = survey.valve(header.shut_off) if header.shut_off else None
    if valve is not None and valve.size != header.size:
        short = Short("OTHER_SIZE", valve.name, 0.0, 1.0, 1.0, "1", "same_size", header.size)
        return Refusal((short,))
    wanted, read = survey.preferences, survey.water.static if survey.water else None
    pressure = read.value if read else PRESSURE
    bench = Bench(
        survey.shelf, pipe, wanted.gap, (), 0, wanted.reserve, pressure, False, wanted.blocks
    )
    kit = kit_for(bench, (feed, feed), valve)
    if isinstance(kit, Short):
        return Refusal((kit,))
    shorts: list[Short] = []
    for way in sorted(
        (w for w in kit.ends_a if w.name in JOINTS), key=lambda w: JOINTS.index(w.name)
    ):
        against = tuple(wet_or_loose(survey, feed, way))
        shorts += against
        depth = kit.unit.depth_before if kit.unit else union.ports[0].depth.value
        most = way.cut if way.coupler else min(way.cut, left_of(feed, depth))
        if most < 0.0:
            lift = "bare_for_shut_off"
            shorts.append(Short("FEED_BARE", feed.id, most, 0.0, -most, "m", lift, way.name))
        if against or most < 0.0:
            continue
        girth = girth_of(survey.shelf, pipe, valve)
        name = header.shut_off or ""
        made = Spool(
            feed, feed.outward, way, kit.unit, name, union, tee, flush, pipe, wanted.gap, 0.0, girth
        )
        return _cut_back(made, first_target, most)
    return Refusal(nearest_first(shorts))


def _cut_back(spool: Spool, target: float, most: float) -> Spool:
    """The feed cut back, to a mark of the tape, until the first tee may stand at its target. [m]"""
    wanted = min(max(0.0, spool.start - target), most)
    marks = math.floor(wanted / SIXTEENTH + _HAIR)
    if (marks + 1) * SIXTEENTH <= most and marks * SIXTEENTH < wanted - _HAIR:
        marks += 1
    return replace(spool, cut=marks * SIXTEENTH)


def span_of(survey: Survey, spool: Spool) -> Span:
    """Where tees may stand: after shut-off and union, before the wall the header runs at. [m]

    Source: the survey's walls.
    """
    tip, reach = spool.feed.tip.mean, math.inf
    for wall in walls_of(survey.box):
        slope = dot(wall.normal, spool.along)
        if slope > _HAIR:
            thick = spool.girth.fitting * math.sqrt(max(0.0, 1.0 - slope * slope))
            reach = min(reach, (wall.most - thick - dot(wall.normal, tip)) / slope)
    reach = _before_obstacles(survey, spool, reach)
    return Span(spool.start - spool.cut, reach - spool.tail, spool.spacing)


def _before_obstacles(survey: Survey, spool: Spool, reach: float) -> float:
    """How far the header may run before it stands in something. [m]"""
    end = spool.start - spool.cut + spool.tail
    things = [o.solid(o.clear) for o in survey.obstacles]
    while end + GRID <= reach:
        whole = Capsule(spool.at(end), spool.at(end + GRID), spool.girth.fitting, "header")
        if any(gap(whole, thing) < -TOUCH for thing in things):
            return end
        end += GRID
    return reach
