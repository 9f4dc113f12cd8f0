"""Move the cut: past the bend behind a stub, to the next straight pipe, and what hangs on the old
end comes out with it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from pitwright.catalogue.parts import JointKind
from pitwright.catalogue.shelf import Shelf
from pitwright.findings import Short
from pitwright.geometry.clearance import segment_distance
from pitwright.geometry.vector import Vec, add, angle_between, minus, scale
from pitwright.survey.readings import Located
from pitwright.survey.stubs import Straight, Stub
from pitwright.trains.bench import NEW_SCHEDULE
from pitwright.units.kinds import INCH

__all__ = ["past_the_bend", "taken_along"]

_BLADE = INCH / 8
"""Beside the old fitting's face a saw needs so much. Judgement. [m]"""
_BY_EYE = math.radians(2.0)
"""How far the next straight may point off what was written. Judgement. [rad]"""


def past_the_bend(stub: Stub, shelf: Shelf) -> Stub | Short:
    """The stub that is left when the bend behind this one comes out too, or why there is none. [m]

    Its tip is worked out, not measured, so it is less sure: the length of the first straight and
    the stub's direction go into its covariance. Source: the survey; the shelf for the bend.
    """
    if stub.glued is not None or len(stub.bare) < 2 or stub.pipe is None:
        have, need = float(len(stub.bare)), 2.0
        return Short("NO_NEXT", stub.id, have, need, need - have, "1", "bare_past_bend", stub.id)
    first, second, *rest = stub.bare
    turn = math.degrees(angle_between(first.direction, second.direction))
    elbow = shelf.fitting("elbow", stub.pipe.size, 45.0 if turn < 67.5 else 90.0, NEW_SCHEDULE)
    if elbow is None:
        return Short("NO_NEXT", stub.id, 1.0, 2.0, 1.0, "1", "bare_past_bend", stub.id)
    port = elbow.ports[0]
    off = port.takeout.value + port.depth.value + _BLADE
    left = second.length - off
    if left < INCH:
        need = off + INCH
        lift = "bare_past_bend"
        return Short("NEXT_SHORT", stub.id, second.length, need, need - second.length, "m", lift)
    corner = add(stub.tip.mean, scale(first.direction, first.length))
    tip = add(corner, scale(second.direction, off))
    straight = Straight(second.direction, left, second.reading)
    return replace(
        stub,
        tip=_less_sure(stub, first, tip),
        outward=minus(second.direction),
        outward_sigma=math.hypot(stub.outward_sigma, _BY_EYE),
        through=None,
        end=JointKind.PIPE,
        cut_back_reading=replace(stub.cut_back_reading, value=max(0.0, left - INCH)),
        bare=(straight, *rest),
    )


def taken_along(stub: Stub, moved: Stub, others: Iterable[Stub]) -> Short | None:
    """The neighbour that hangs on what is cut out when the cut moves, None where there is none.

    A neighbour hangs on it where its own bare path, past its first straight, runs into it or along
    it. ``others`` are the stubs of all other zones. [m] Source: the survey.
    """
    if stub.pipe is None:
        return None
    corner = add(stub.tip.mean, scale(stub.bare[0].direction, stub.bare[0].length))
    taken = (stub.tip.mean, corner, moved.tip.mean)
    touch = stub.pipe.od.value
    for other in others:
        path = _path(other)[1:]
        ways = [*pairwise(path)] or [(p, p) for p in path]
        have = min((segment_distance(*a, *b) for a in pairwise(taken) for b in ways), default=touch)
        if have < touch:
            lift = "rebuild_with_neighbour"
            return Short("TAKES_NEIGHBOUR", stub.id, 0.0, 1.0, 1.0, "1", lift, other.id)
    return None


def _path(stub: Stub) -> Sequence[Vec]:
    """From the tip along every bare straight. [m]"""
    points = [stub.tip.mean]
    for straight in stub.bare:
        points.append(add(points[-1], scale(straight.direction, straight.length)))
    return points


def _less_sure(stub: Stub, first: Straight, tip: Vec) -> Located:
    more = first.reading.sigma.one**2 + (stub.outward_sigma * first.length) ** 2
    a, b, c = stub.tip.covariance
    grown = ((a[0] + more, a[1], a[2]), (b[0], b[1] + more, b[2]), (c[0], c[1], c[2] + more))
    return replace(stub.tip, mean=tip, covariance=grown)
