"""How much more of a stub must be bare before a refused zone can be renewed: asked, and proved.

The pipe is taken to go straight on; the hole is dug along with it. The answer is a plan that
closes and can be put in, not a guess from lengths alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from pitwright.catalogue.parts import JointKind
from pitwright.findings import Short
from pitwright.geometry.vector import Vec, add, scale
from pitwright.survey.box import Bounds, Box
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.units.kinds import INCH

__all__ = ["bared", "ends_in_soil", "lifted_by_baring"]

_ASKED = tuple(n * INCH for n in (0, 2, 4, 6, 8, 12, 16, 24, 36, 60))
"""How much more may be bared: nobody digs finer, nor farther for one valve. Judgement. [m]"""
_HAND = 4 * INCH
"""So far beyond the bare pipe's end the hole is dug, for hands. Judgement. [m]"""

Asks = Callable[[Survey], str | None]
"""What closes and can be put in, in a word; None where nothing does."""


def ends_in_soil(stub: Stub) -> bool:
    """Whether its one bare straight goes on into soil, so that digging bares more to cut.

    Source: the survey.
    """
    one = len(stub.bare) == 1 and not stub.behind and stub.glued is None
    return one and stub.end is JointKind.PIPE


def bared(survey: Survey, stub: Stub, extra: float) -> Survey:
    """The survey with ``extra`` [m] more of a stub bare, straight on, and the hole dug for it.

    Source: none needed.
    """
    (straight,) = stub.bare
    told = stub.cut_back_reading
    longer = replace(
        stub,
        bare=(replace(straight, length=straight.length + extra),),
        cut_back_reading=replace(told, value=told.value + extra),
    )
    along = straight.length + extra + _HAND
    end = add(stub.tip.mean, scale(stub.outward, -along))
    stubs = tuple(longer if s.id == stub.id else s for s in survey.stubs)
    return replace(survey, stubs=stubs, box=_dug(survey.box, end))


def _dug(box: Box, to: Vec) -> Box:
    """The hole dug as far as a point, in the box's own axes. [m]"""
    x, y = box.own(to)
    soil = box.soil
    if soil.radius is not None:
        whole = max(soil.radius, math.hypot(x - soil.centre[0], y - soil.centre[1]))
        return replace(box, soil=replace(soil, radius=whole))
    least = (min(soil.least[0], x), min(soil.least[1], y))
    most = (max(soil.most[0], x), max(soil.most[1], y))
    wide: Bounds = replace(soil, least=least, most=most)
    return replace(box, soil=wide)


def lifted_by_baring(survey: Survey, zone: Zone, asks: Asks) -> tuple[Short, ...]:
    """The least more bare pipe, at one stub alone, that lets the zone be renewed. [m]

    The other stub is asked for less only. Halved down to what nobody digs finer than; where more
    digging could make it worse, a shorter one may be missed. Source: the same ways, asked again.
    """
    found: list[Short] = []
    most = len(_ASKED) - 1
    for stub in (survey.stub(zone.inlet), survey.stub(zone.outlet)):
        if not ends_in_soil(stub) or most < 1:
            continue
        low, high = 0, most
        label = asks(bared(survey, stub, _ASKED[high]))
        if label is None:
            continue
        while high - low > 1:
            middle = (low + high) // 2
            got = asks(bared(survey, stub, _ASKED[middle]))
            if got is None:
                low = middle
            else:
                high, label = middle, got
        most = high - 1
        have, more = stub.bare[0].length, _ASKED[high]
        found.append(
            Short("BARE_TO_PUT_IN", stub.id, have, have + more, more, "m", "bare_and_ask", label)
        )
    return tuple(reversed(found))
