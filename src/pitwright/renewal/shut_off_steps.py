"""The steps of setting a shut-off: bench, the cut, the joint on the feed, shut, water on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.findings import Refusal
from pitwright.joining.assembly import Step
from pitwright.joining.clock import Clock, Names, Numbers
from pitwright.joining.numbers import handwork, limit
from pitwright.joining.relief import close_reliefs, open_reliefs, watch
from pitwright.jointing.asked import joint_under
from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.jointing.times import JointTimes, joint_times
from pitwright.renewal.feed_water import damp
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.trains.bench import PRESSURE
from pitwright.trains.cut_list import Where
from pitwright.trains.kit import EndWay, Unit
from pitwright.units.kinds import CELSIUS_ZERO

__all__ = ["Setting", "cement_of", "setting_steps"]

_ROOM = CELSIUS_ZERO + 23.0
"""Where nobody read any temperature. Judgement. [K]"""


@dataclass(frozen=True, slots=True)
class Setting:
    """What is set: the feed is cut ``cut`` back from its tip, ``taken`` comes out in line; the
    body is the ``unit``, joined by ``way``, with new ``pieces`` from the feed on;
    ``relief`` names the feed and how far its relief end lies below, where it is let out. [m]
    """

    stub: str
    tool: str
    cut: float
    taken: float
    way: EndWay
    unit: Unit
    pieces: tuple[float, ...]
    in_line: bool
    body: str
    relief: tuple[tuple[str, float], ...] = ()


def cement_of(survey: Survey, size: str) -> CementedJoint:
    """The question about one joint of a size on the day of the survey. [Pa, K]

    Source: the survey; without any temperature a mild room, by judgement.
    """
    read = survey.water.static if survey.water else None
    pressure = read.value if read else PRESSURE
    day = survey.conditions
    if day is not None and any((day.air, day.pipe, day.ground)):
        return joint_under(day, size, pressure=pressure)
    cement = day.cement if day else ""
    return CementedJoint(size, Warmth.of(_ROOM), pressure=pressure, cement=cement)


def setting_steps(
    survey: Survey, stub: Stub, setting: Setting, size: str
) -> tuple[Step, ...] | Refusal:
    """Every step with its clock, or why its joints may not be cemented. [s]

    Source: common practice for the order, no source; clocks by ``jointing``.
    """
    times = joint_times(damp(stub, cement_of(survey, size)))
    if isinstance(times, Refusal):
        return times
    clock = Clock()
    _ready(clock, setting)
    _bench(clock, setting, [times])
    open_reliefs(clock, setting.relief)
    _cut(clock, setting)
    clock.wait()
    _feed(clock, setting, [times])
    clock.wait()
    clock.do("shut_closed", Where.PIT, handwork("shut"), names=(("body", setting.body),))
    clock.now = max(clock.now, clock.water)
    close_reliefs(clock, setting.relief)
    clock.do("water_on", Where.PIT, 0.0)
    return tuple(clock.steps)


def _ready(clock: Clock, setting: Setting) -> None:
    clock.do("prove_flow", Where.PIT, handwork("prove_flow"))
    if len(setting.unit.parts) > 1:
        numbers: Numbers = (("length", setting.unit.length),)
        clock.do("make_up_unit", Where.BENCH, handwork("make_up_unit"), numbers=numbers)
    for letter, (length, marks) in zip(_letters(setting), _pieces(setting), strict=True):
        numbers = (("length", length), ("mark_before", marks[0]), ("mark_after", marks[1]))
        names = (("piece", letter),)
        clock.do("cut_piece", Where.BENCH, handwork("cut_piece"), numbers=numbers, names=names)


def _letters(setting: Setting) -> list[str]:
    """S1, S2: never a letter of the train that goes in behind it."""
    return [f"S{n}" for n, _ in enumerate(setting.pieces, start=1)]


def _pieces(setting: Setting) -> list[tuple[float, tuple[float, float]]]:
    """Each new piece with its depth marks: the leads into the body, then what is left open. [m]"""
    unit, way = setting.unit, setting.way
    lead = (way.coupler.new_side.depth if way.coupler else 0.0, unit.depth_before)
    leads = [lead, (unit.depth_after, lead[0])] if setting.in_line else [lead]
    marks = (leads if way.coupler else []) + ([] if setting.in_line else [(unit.depth_after, 0.0)])
    return list(zip(setting.pieces, marks, strict=True))


def _bench(clock: Clock, setting: Setting, times: Sequence[JointTimes]) -> None:
    """What is made before anything is cut: the body with its pieces."""
    unit, body = setting.unit, setting.body
    named = [f"piece {letter}" for letter in _letters(setting)]
    for number, _ in enumerate(setting.pieces):
        first = number == 0 and setting.way.coupler is not None
        deep = unit.depth_before if first else unit.depth_after
        pair = (named[number], body) if first else (body, named[number])
        clock.cement("bench_joint", Where.BENCH, (), [*times], (("push", deep),), _joint(*pair))


def _joint(before: str, after: str) -> Names:
    return (("before", before), ("after", after), ("to", after))


def _cut(clock: Clock, setting: Setting) -> None:
    names: Names = (("stub", setting.stub), ("tool", setting.tool))
    numbers: Numbers = (("cut", setting.cut),)
    if setting.in_line:
        numbers = (("cut", setting.taken), ("near", setting.cut - setting.taken),
                   ("far", setting.cut))  # fmt: skip
    clock.do("check_before_cut", Where.PIT, 0.0, numbers=numbers, names=names)
    code = "cut_out" if setting.in_line else "cut_stub"
    twice = 2 if setting.in_line else 1
    seconds = twice * handwork("cut_stub")
    clock.do(code, Where.PIT, seconds, numbers=numbers, names=names, stop=True)
    clock.do("dry_fit_one", Where.PIT, handwork("dry_one"), names=(("body", setting.body),))


def _feed(clock: Clock, setting: Setting, times: Sequence[JointTimes]) -> None:
    """The joint on the feed; in line the one on the pipe ahead too, then the body between."""
    way, unit = setting.way, setting.unit
    deep = way.coupler.stub_side.depth if way.coupler else unit.depth_before
    what = "coupling" if way.coupler else ("union half" if setting.in_line else setting.body)
    ends = [(f"feed of {setting.stub}", what)]
    if setting.in_line:
        ends.append((what, "pipe ahead"))
    for pair in ends:
        numbers: Numbers = (("push", deep),)
        if way.push > 0.0:
            hands, names = handwork("grip"), _joint(*pair)
            clock.do("grip_joint", Where.PIT, hands, numbers=numbers, names=names)
        else:
            for name, _ in setting.relief:
                watch(clock, name)
            clock.cement("push_joint", Where.PIT, (), [*times], numbers, _joint(*pair))
    if way.push > 0.0:
        asks: Numbers = (("push", way.push),)
        clock.do("block_joint", Where.PIT, handwork("block"), numbers=asks)
    if setting.in_line:
        clock.wait()
        opening: Numbers = (("opening", limit("union_lip")),)
        clock.do("close_union", Where.PIT, 2 * handwork("close_union"), numbers=opening)
