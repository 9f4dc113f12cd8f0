"""Shut-off now, rest later: a new shut-off on the feed's bare straight, so that the rest is dry.

Where the body has a union at both ends it is put into the line ahead of the old valve, which goes
on working. Any other body wants a free end to be pushed on: the old valve is cut off first, and
the zone waits.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitwright.catalogue.parts import Pipe
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
from pitwright.geometry.clearance import Capsule, to_wall
from pitwright.geometry.solids import gap
from pitwright.geometry.vector import add, minus, scale
from pitwright.joining.assembly import Step
from pitwright.joining.reach import open_walls, tool_for
from pitwright.renewal.cut_in import considered
from pitwright.renewal.feed_water import let_out, wet_or_loose
from pitwright.renewal.old_valve import old_valve
from pitwright.renewal.shut_off_steps import Setting, setting_steps
from pitwright.renewal.standing import socket_depth
from pitwright.renewal.surroundings import room_for
from pitwright.survey.pit import Survey
from pitwright.survey.readings import Reading
from pitwright.survey.stubs import Glued, Straight, Stub
from pitwright.survey.valves import ValveBody
from pitwright.survey.zones import Zone
from pitwright.trains.bench import PRESSURE, Bench, new_pipe
from pitwright.trains.kit import GRIPPED, EndWay, Unit
from pitwright.trains.kitting import kit_for
from pitwright.trains.room import TOUCH, Room
from pitwright.units.kinds import INCH

__all__ = ["JOINTS", "SHUT_OFF", "ShutOff", "not_joinable", "shut_off"]

SHUT_OFF = "shut-off now, rest later"
JOINTS = ("direct", "coupled", GRIPPED)
"""How the body may begin at the feed, what holds best first."""
_STEP = INCH / 4
"""Where something is in the way it is tried so much farther on. [m]"""
_BENDS_OF_REST = 2
"""The rest is proved with trains of up to so many bends. [-]"""


@dataclass(frozen=True, slots=True)
class ShutOff:
    """A shut-off set on a zone's inlet stub, and what it leaves.

    ``in_line``: the old valve stays in use behind it; else its pipe was cut off and the zone waits.
    ``joint`` is the way the feed is joined ("direct", "coupled", "gripped"). The feed is cut
    ``cut`` back from the stub's tip; in line, ``taken_out`` of the pipe leaves the ground there.
    ``parts`` are counted [-], ``pipe`` is new pipe of ``pipe_name`` [m]. ``behind`` is the bare
    pipe left on the feed, ``ahead`` what the rest may join, both outside the sockets [m];
    ``unions`` how often it can be lifted out again. ``rest`` is the stub the rest begins at, and
    ``rest_goes_in`` whether a train from it was found (None: the zone asks for nothing more);
    ``solid`` is where its body stands.
    ``water_on`` is after work begins. [s]
    """

    zone: ZoneId
    way: str
    body: str
    in_line: bool
    joint: str
    cut: float
    taken_out: float
    parts: tuple[tuple[str, int], ...]
    pipe_name: str
    pipe: float
    behind: float
    ahead: float
    unions: int
    keeps: tuple[str, ...]
    steps: tuple[Step, ...]
    water_on: float
    rest: Stub
    rest_goes_in: bool | None
    findings: tuple[Finding, ...]
    solid: Capsule


@dataclass(frozen=True, slots=True)
class _Ask:
    """What one setting is worked out from."""

    survey: Survey
    zone: Zone
    stub: Stub
    body: ValveBody
    unit: Unit
    pipe: Pipe
    room: Room
    in_line: bool
    next_depth: float

    @property
    def gap(self) -> float:
        """What the least nipple leaves bare. [m]"""
        return self.survey.preferences.gap


def shut_off(survey: Survey, zone: Zone) -> ShutOff | Refusal:
    """A shut-off ahead of the zone's old valve, or what stops it and what would lift it. [m, s]

    Source: common practice, no source; clocks by ``jointing``.
    """
    stub = survey.stub(zone.inlet)
    stopped = tuple(_not_asked(zone, stub))
    if stopped or zone.shut_off is None:
        return Refusal(stopped)
    body = survey.valve(zone.shut_off)
    old = old_valve(survey, zone)
    if not body.union_ends and old is not None and old.fate == "stays":
        return Refusal((Short("SHUT_OFF_FIXED", body.name, 0.0, 1.0, 1.0, "1", "union_shut_off"),))
    pipe = new_pipe(survey.shelf, body.size)
    if pipe is None:
        return Refusal((Short("NO_PIPE", zone.id, 0.0, 1.0, 1.0, "1", "size_on_shelf", body.size),))
    wanted = survey.preferences
    bench = Bench(
        survey.shelf, pipe, wanted.gap, (), 0, wanted.reserve, _pressure(survey), False,
        wanted.blocks,
    )  # fmt: skip
    kit = kit_for(bench, (stub, stub), body)
    if isinstance(kit, Short):
        return Refusal((kit,))
    assert kit.unit is not None
    room = room_for(survey, (stub, survey.stub(zone.outlet)), pipe, body)
    deep = socket_depth(survey.shelf, body.size)
    ask = _Ask(survey, zone, stub, body, kit.unit, pipe, room, body.union_ends, deep)
    ways = sorted((w for w in kit.ends_a if w.name in JOINTS), key=lambda w: JOINTS.index(w.name))
    return _first(ask, ways)


def _not_asked(zone: Zone, stub: Stub) -> Iterator[Short]:
    if zone.shut_off is None:
        yield Short("NO_SHUT_OFF", zone.id, 0.0, 1.0, 1.0, "1", "say_shut_off")
    yield from not_joinable(stub)


def not_joinable(stub: Stub) -> Iterator[Short]:
    """What nobody knows about a stub, or why nobody may cut it. Source: common practice."""
    if stub.pipe is None:
        yield Short("WHAT_PIPE", stub.id, 0.0, 1.0, 1.0, "1", "tell_pipe", stub.id)
    elif stub.pipe.material == "asbestos cement":
        yield Short("ASBESTOS", stub.id, 0.0, 1.0, 1.0, "1", "qualified_handling", stub.pipe.name)
    elif stub.condition == "cracked":
        yield Short("CRACKED", stub.id, 0.0, 1.0, 1.0, "1", "cut_past_crack", stub.id)


def _pressure(survey: Survey) -> float:
    read = survey.water.static if survey.water else None
    return read.value if read else PRESSURE


def _first(ask: _Ask, ways: list[EndWay]) -> ShutOff | Refusal:
    """The first joint that serves, or what stopped each."""
    shorts: list[Short] = []
    for way in ways:
        got = _by(ask, way)
        if isinstance(got, ShutOff):
            return got
        shorts += got
    if not shorts:
        named = ask.stub.pipe.name if ask.stub.pipe else "unknown pipe"
        shorts = [Short("NO_JOINT", ask.stub.id, 0.0, 1.0, 1.0, "1", "part_for_stub", named)]
    return Refusal(nearest_first(shorts), len(ways))


def _by(ask: _Ask, way: EndWay) -> ShutOff | tuple[Short, ...]:
    """A shut-off by one kind of joint, or every limit that stops it. [m]"""
    stopped = [*wet_or_loose(ask.survey, ask.stub, way)]
    lead = _lead(ask, way)
    taken = (2 if ask.in_line else 1) * lead + ask.unit.length
    nipple = ask.unit.depth_after + ask.gap + ask.next_depth
    need = taken + nipple if ask.in_line else 0.0
    if way.cut < need - 1e-9:
        missed = need - way.cut
        stopped.append(
            Short("SHUT_OFF_BARE", ask.stub.id, way.cut, need, missed, "m", "bare_for_shut_off",
                  way.name)
        )  # fmt: skip
    if stopped:
        return tuple(stopped)
    shorts: list[Short] = []
    for cut in _places(ask, way.cut, taken + nipple):
        tool = _room(ask, cut, lead)
        if isinstance(tool, str):
            return _set(ask, way, tool, cut, taken)
        shorts.append(tool)
    return nearest_first(shorts)[:1]


def _places(ask: _Ask, most: float, need: float) -> Iterator[float]:
    """Where the feed may be cut, farthest back first; one more joint's pipe is spared if it can be.

    [m] What does not fit before the stub's tip is cut as far back as may be.
    """
    spare = ask.next_depth + ask.gap
    cut = most - spare if most >= need + spare else most
    yield cut
    while cut - _STEP >= need:
        cut -= _STEP
        yield cut


def _lead(ask: _Ask, way: EndWay) -> float:
    """From the feed's cut end to the bottom of the body's socket. [m]"""
    if way.coupler is None:
        return 0.0
    piece = way.coupler.new_side.depth + ask.gap + ask.unit.depth_before
    return way.coupler.stub_side.takeout + way.coupler.new_side.takeout + piece


def _room(ask: _Ask, cut: float, lead: float) -> str | Short:
    """The tool that reaches the cut, or what the body or the tool would touch. [m]"""
    at = add(ask.stub.tip.mean, scale(ask.stub.outward, -cut))
    solid = _solid(ask, cut, lead)
    gaps = [(gap(solid, t), t.name) for t in ask.room.obstacles]
    gaps += [(to_wall(solid, w), w.name) for w in open_walls(ask.room)]
    free, name = min(gaps, default=(0.0, ""))
    if free < -TOUCH:
        return Short(
            "SHUT_OFF_ROOM", name, free, 0.0, -free, "m", "smaller_shut_off", ask.body.name
        )
    return tool_for(ask.room, ("ratchet cutter", "saw"), at, ask.stub.outward, str(ask.stub.id))


def _solid(ask: _Ask, cut: float, lead: float) -> Capsule:
    """Where the body stands. [m]"""
    along = ask.stub.outward
    begin = add(ask.stub.tip.mean, scale(along, lead - cut - ask.unit.depth_before))
    whole = ask.unit.length + ask.unit.depth_before + ask.unit.depth_after
    return Capsule(begin, add(begin, scale(along, whole)), ask.room.girth.valve, ask.body.name)


def _set(
    ask: _Ask, way: EndWay, tool: str, cut: float, taken: float
) -> ShutOff | tuple[Short, ...]:
    """The shut-off with its steps, and the stub it leaves for the rest. [m]"""
    least = ask.unit.depth_after + ask.gap + ask.next_depth
    nipple = max(cut - taken, least)
    pieces = [] if ask.in_line else [nipple]
    if way.coupler is not None:
        lead = way.coupler.new_side.depth + ask.gap + ask.unit.depth_before
        pieces = [lead] * (2 if ask.in_line else 1) + pieces
    rest = _rest(ask, cut, taken, nipple, least)
    goes_in = _rest_goes_in(ask, rest)
    if goes_in is False and not ask.in_line:
        return (Short("REST_REFUSED", ask.zone.id, 0.0, 1.0, 1.0, "1", "whole_at_once", way.name),)
    setting = Setting(
        str(ask.stub.id), tool, cut, taken, way, ask.unit, tuple(pieces), ask.in_line,
        ask.body.name, let_out(ask.stub),
    )  # fmt: skip
    steps = setting_steps(ask.survey, ask.stub, setting, ask.body.size)
    if isinstance(steps, Refusal):
        return steps.because
    held = way.coupler.stub_side.depth if way.coupler else ask.unit.depth_before
    straight = ask.stub.bare[0].length if ask.stub.bare else 0.0
    return ShutOff(
        ask.zone.id,
        SHUT_OFF,
        ask.body.name,
        ask.in_line,
        way.name,
        cut,
        taken if ask.in_line else cut,
        _parts(ask, way),
        ask.pipe.name,
        sum(pieces),
        max(0.0, straight - cut - held),
        nipple - ask.unit.depth_after,
        2 if ask.body.union_ends else 0,
        _keeps(ask),
        steps,
        steps[-1].ends,
        rest,
        goes_in,
        tuple(_cautions(ask, way, goes_in)),
        _solid(ask, cut, _lead(ask, way)),
    )


def _keeps(ask: _Ask) -> tuple[str, ...]:
    feed = f"stub {ask.stub.id}"
    return (feed, "old valve", f"stub {ask.zone.outlet}") if ask.in_line else (feed,)


def _parts(ask: _Ask, way: EndWay) -> tuple[tuple[str, int], ...]:
    """What it is made of, by name."""
    names = {f.id: f.name for f in ask.survey.shelf.fittings}
    twice = 2 if ask.in_line else 1
    ids = [*ask.unit.parts, *(way.coupler.parts * twice if way.coupler else ())]
    counts: dict[str, int] = {}
    for part in ids:
        name = names.get(part, part)
        counts[name] = counts.get(name, 0) + 1
    return tuple(counts.items())


def _rest(ask: _Ask, cut: float, taken: float, nipple: float, least: float) -> Stub:
    """The stub that the rest begins at: dry, and on what was set today. [m]"""
    stub = ask.stub
    beyond = taken + nipple - cut
    told = Reading(
        ReadingId(f"{stub.path}.shut_off"), "worked out", nipple - least,
        stub.cut_back_reading.sigma, "length", "tape",
    )  # fmt: skip
    bare = nipple - ask.unit.depth_after
    return replace(
        stub,
        tip=replace(stub.tip, mean=add(stub.tip.mean, scale(stub.outward, beyond))),
        pipe=stub.pipe if ask.in_line else ask.pipe,
        cut_back_reading=told,
        bare=(Straight(minus(stub.outward), bare, told),),
        condition=stub.condition if ask.in_line else "sound",
        seeps_reading=None,
        glued=Glued(stub, cut, 1),
    )


def _rest_goes_in(ask: _Ask, rest: Stub) -> bool | None:
    """Whether a train from what was set to the outlet stub is found; None: nothing is asked."""
    if not ask.zone.planned:
        return None
    stubs = tuple(rest if s.id == rest.id else s for s in ask.survey.stubs)
    most = min(_BENDS_OF_REST, ask.survey.preferences.most_bends)
    got = considered(replace(ask.survey, stubs=stubs), ask.zone, most)
    return not isinstance(got.answer, Refusal)


def _cautions(ask: _Ask, way: EndWay, goes_in: bool | None) -> Iterator[Finding]:
    names = {"stub": str(ask.stub.id), "body": ask.body.name}
    if ask.stub.seeps and not let_out(ask.stub):
        numbers = {"flow": ask.stub.seeps}
        yield finding("relief_lower", Weight.STOP, numbers=numbers, names=names)
    if way.push > 0.0:
        numbers = {"push": way.push}
        yield finding("shut_off_blocked", Weight.STOP, numbers=numbers, names=names)
    yield finding("supply_off_upstream", Weight.STOP, names=names)
    if not ask.in_line:
        yield finding("zone_waits", Weight.CHECK, names={"zone": ask.zone.name})
    if goes_in is False:
        yield finding("rest_not_proved", Weight.CHECK, names=names)
