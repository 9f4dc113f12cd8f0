"""The digging question alone: how far each stub may be moved, and whether digging brings a zone
into line.

For every stub: how far its tip may go sideways by hand, to stay or for a moment, with the tip free
to turn or held. For every zone whose stubs nearly look at each other: how much more must be bare
before one of them can be moved into line with the other, or "never by digging" and what spares it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.closing.closing import misfit
from pitwright.closing.ends import FlexEnd
from pitwright.findings import Refusal, Short, StubId, nearest_first
from pitwright.flex.dig import Dig, dig
from pitwright.flex.flexed import ALL_HELD, TURNING_FREE
from pitwright.flex.limits import StrainLimit, hand_force, strain_limit
from pitwright.flex.reach import Reach, reach
from pitwright.geometry.vector import Vec, add, angle_between, dot, minus, norm, scale, sub
from pitwright.renewal.bending import flex_end
from pitwright.renewal.ground import Ground, ground
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.units.kinds import CELSIUS_ZERO

__all__ = ["IN_LINE", "InLine", "Movable", "Moved", "in_line", "movable"]

IN_LINE = math.radians(20.0)
"""Stubs that look past each other by more than this are joined with bends, not moved. Judgement.
[rad]"""
_ROOM = CELSIUS_ZERO + 23.0
_UNSURE = ("NO_BARE", "WHAT_PIPE")


@dataclass(frozen=True, slots=True)
class Moved:
    """How far a tip goes to stay, and for a moment; each with the tip free to turn, and held."""

    how_long: str
    turning: bool
    reach: Reach


@dataclass(frozen=True, slots=True)
class Movable:
    """One stub. ``bare`` is the whole of its bare path [m]; ``limit`` its strains or why it has
    none; ``reaches`` is empty, and ``stuck`` says why, where it must not or cannot be moved;
    ``ground`` what the soil gives back, None where it is taken to clamp.
    """

    stub: Stub
    bare: float
    limit: StrainLimit | Refusal | None
    reaches: tuple[Moved, ...]
    stuck: Short | None
    ground: Ground | None = None


@dataclass(frozen=True, slots=True)
class InLine:
    """What it takes to move one stub into line with the other of its zone.

    ``sideways`` [m] and ``turn`` [rad] are the movement; ``answer`` how much more must be bare, or
    that no digging will do.
    """

    zone: str
    stub: StubId
    sideways: float
    turn: float
    answer: Dig | Refusal

    @property
    def never(self) -> bool:
        """No digging helps; where the pipe is unknown or hardly bare, nobody can say yet."""
        return isinstance(self.answer, Refusal) and self.answer.because[0].code not in _UNSURE


def movable(survey: Survey, stub: Stub) -> Movable:
    """How far one stub's tip may be moved sideways by hand. [m, N]

    Source: flex.limits for the strains and the push; textbook mechanics for the rest.
    """
    bare = sum(s.length for s in stub.bare)
    held_by = ground(survey, stub)
    if stub.pipe is None:
        return Movable(stub, bare, None, (), _stuck("WHAT_PIPE", stub, "tell_pipe"), held_by)
    limit = strain_limit(stub.pipe.material, stub.condition, _warm(survey))
    if isinstance(limit, Refusal):
        return Movable(stub, bare, limit, (), limit.because[0], held_by)
    end = flex_end(survey, stub)
    if not isinstance(end, FlexEnd):
        return Movable(stub, bare, limit, (), _stuck("NO_BARE", stub, "bare_more"), held_by)
    found = [
        Moved(how_long, held is TURNING_FREE, reach(end.path, held, strain, hand_force()))
        for how_long, strain in (("staying", limit.staying), ("momentary", limit.momentary))
        for held in (TURNING_FREE, ALL_HELD)
    ]
    return Movable(stub, bare, limit, tuple(found), None, held_by)


def _stuck(code: str, stub: Stub, lift: str) -> Short:
    return Short(code, stub.id, 0.0, 1.0, 1.0, "1", lift, stub.id)


def _warm(survey: Survey) -> float:
    conditions = survey.conditions
    return conditions.pipe.value if conditions and conditions.pipe else _ROOM


def in_line(survey: Survey, zone: Zone) -> tuple[InLine, ...]:
    """For each stub of a zone: the digging that lets it be moved into line with the other. [m]

    Empty where the stubs do not nearly look at each other: their train has bends in any case.
    The stub keeps its bend for good, so its staying strain counts, and the push of hands.
    Source: textbook mechanics, flex.limits.
    """
    stubs = (survey.stub(zone.inlet), survey.stub(zone.outlet))
    one, two = stubs
    if angle_between(one.outward, minus(two.outward)) > IN_LINE:
        return ()
    if dot(sub(two.tip.mean, one.tip.mean), one.outward) <= 0.0:
        return ()
    return tuple(_brought(survey, zone, stubs[n], stubs[1 - n]) for n in (0, 1))


def _brought(survey: Survey, zone: Zone, stub: Stub, other: Stub) -> InLine:
    """Move ``stub`` sideways onto the other's axis and turn it along it."""
    way = sub(stub.tip.mean, other.tip.mean)
    target: Vec = add(other.tip.mean, scale(other.outward, dot(way, other.outward)))
    # what makes this stub's own outward direction point into the other's mouth
    movement = misfit(stub.tip.mean, stub.outward, target, other.outward)
    shift, turn = movement[:3], norm((movement[3], movement[4], movement[5]))
    end = flex_end(survey, stub)
    answer: Dig | Refusal
    if isinstance(end, FlexEnd):
        answer = dig(end.path, movement, end.strain, hands=hand_force())
    else:
        stuck = movable(survey, stub).stuck or _stuck("NO_BARE", stub, "bare_more")
        answer = Refusal(nearest_first([stuck]), 1)
    return InLine(zone.id, stub.id, norm(shift), turn, answer)
