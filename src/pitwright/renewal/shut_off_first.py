"""Shut-off first: on a feed that still runs, the shut-off's own joints are made first, by whatever
serves on a wet feed; once it is closed all downstream of it is dry, and the rest is glued.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from pitwright.catalogue.parts import JointKind
from pitwright.findings import Finding, ReadingId, Short
from pitwright.joining.assembly import Assembly, Step
from pitwright.renewal.option import Option, SetFirst, StubWork
from pitwright.renewal.shut_off import ShutOff
from pitwright.survey.obstacles import Obstacle
from pitwright.survey.readings import Reading
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone

__all__ = ["behind", "in_the_way", "not_first"]

_TIMES = ("last_coat", "set_at", "cured_at", "until")
_ENDS = ("close_relief", "water_on")
_NOT_NOW = ("zone_waits", "rest_not_proved")


def not_first(zone: Zone, stub: Stub) -> Iterator[Short]:
    """Why nobody sets a shut-off first here. Source: none needed."""
    if not stub.seeps:
        yield Short("FEED_DRY", stub.id, 0.0, 1.0, 1.0, "1", "cut_in_at_once", "shut-off")
    elif stub.end is not JointKind.PIPE:
        yield Short("NO_JOINT", stub.id, 0.0, 1.0, 1.0, "1", "part_for_stub", stub.end.value)
    elif zone.shut_off is None:
        yield Short("NO_SHUT_OFF", zone.id, 0.0, 1.0, 1.0, "1", "say_shut_off")


def in_the_way(shut: ShutOff) -> Obstacle:
    """The shut-off's body, for the rest to keep clear of. [m]"""
    tip, body = shut.rest.tip, shut.solid
    told = shut.rest.cut_back_reading
    thick = Reading(
        ReadingId("shut_off.new"), "worked out", 2 * body.radius, told.sigma, "length", "tape"
    )
    ends = (replace(tip, mean=body.a), replace(tip, mean=body.b))
    return Obstacle(f"the {shut.body}", "pipe", ends[0], ends[1], thick, None, "")


def behind(shut: ShutOff, option: Option) -> Option:
    """One train of the rest, with the shut-off's parts, pipe and steps before its own. [m, s]

    Source: the shut-off's own and the train's own.
    """
    assert option.assembly is not None and option.between is not None  # the caller put it in
    parts = Counter(dict(shut.parts))
    parts.update(dict(option.parts))
    feed = str(shut.rest.id)
    told = tuple(f for f in shut.findings if f.code not in _NOT_NOW)
    return replace(
        option,
        parts=tuple(parts.items()),
        pipe=option.pipe + shut.pipe,
        solids=(*option.solids, shut.solid),
        findings=_once((*told, *option.findings)),
        assembly=_one_after_the_other(shut, option.assembly),
        first=SetFirst(shut.body, shut.solid, StubWork(feed, shut.cut, shut.behind)),
    )


def _once(found: tuple[Finding, ...]) -> tuple[Finding, ...]:
    return tuple(dict.fromkeys(found))


def _one_after_the_other(shut: ShutOff, rest: Assembly) -> Assembly:
    """The shut-off set and closed, then the rest; the relief end is closed when all is cured."""
    first = [s for s in shut.steps if s.code not in _ENDS]
    closing = [s for s in shut.steps if s.code == "close_relief"]
    begins = first[-1].ends
    then = [_later(s, begins, str(shut.rest.id), shut.body) for s in rest.steps]
    cured = max((dict(s.numbers).get("cured_at", 0.0) for s in first), default=0.0)
    *made, water = then
    at = max(water.starts, cured)
    for step in (*closing, water):
        took = step.ends - step.starts
        made.append(replace(step, starts=at, free=at + took, ends=at + took))
        at += took
    cutter = [s.name("tool") for s in first if "tool" in dict(s.names)]
    tools = tuple(dict.fromkeys([*cutter, *rest.tools]))
    return replace(
        rest,
        steps=(*first, *made),
        water_on=made[-1].starts,
        tools=tools,
        first=len(first),
    )


def _later(step: Step, by: float, feed: str, body: str) -> Step:
    """The same so much later [s]; the flow is proved already, and what is cut is the new nipple."""
    numbers = tuple((k, v + by if k in _TIMES else v) for k, v in step.numbers)
    names = step.names
    if step.code in ("check_before_cut", "cut_stub") and dict(names)["stub"] == feed:
        names = (*names, ("behind", body))
    code = "prove_arrow" if step.code == "prove_flow" else step.code
    return replace(
        step,
        code=code,
        numbers=numbers,
        names=names,
        starts=step.starts + by,
        free=step.free + by,
        ends=step.ends + by,
    )
