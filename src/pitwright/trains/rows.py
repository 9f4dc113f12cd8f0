"""What stands on each leg, and so how short and how long the leg may be.

A leg is a row of bodies between two corners (or a corner and a stub). Between neighbours there is
a piece of pipe: from seat to seat at least the two depths plus the gap that the least nipple
leaves bare. A stub needs no piece: its own pipe goes into the body beside it. So an end leg that
carries nothing but its stub is fixed, give or take what the stub may be cut back, while the same
leg with a coupling starts much farther out: two intervals with a dead zone between, tried both.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pitwright.trains.kit import Corner, EndWay, Seat, StubEnd, Unit

__all__ = ["Body", "Gap", "Row", "rows"]

_NOTHING = Seat(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Body:
    """A straight body on a leg: ``length`` from seat to seat [m], and the parts it is made of.

    ``scatter`` is how far a like body's length may differ, plus or minus [m]; ``rests_on`` lists
    the parts whose dimensions it is worked out from.
    """

    name: str
    length: float
    parts: tuple[str, ...]
    scatter: float = 0.0
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Gap:
    """Room for one piece on a leg: what it joins, how deep it is held, how short it may be. [m]"""

    before: str
    after: str
    depth_before: float
    depth_after: float
    least: float


@dataclass(frozen=True, slots=True)
class Row:
    """One leg from corner to corner.

    ``items`` are its straight bodies and the gaps between, in order; ``ends`` is what the corners
    (or nothing, at a stub) take out, ``start`` the part of the first corner; ``cut`` is how much
    the stubs on it may be cut back. [m]
    """

    items: tuple[Body | Gap, ...]
    ends: float
    cut: float
    start: float = 0.0
    ends_scatter: float = 0.0
    ends_parts: tuple[str, ...] = ()

    @property
    def scatter(self) -> float:
        """How far the room for the leg's pieces may differ with like parts, plus or minus. [m]

        Independent parts, so the root of the sum of squares.
        """
        bodies = (i.scatter for i in self.items if isinstance(i, Body))
        return math.hypot(self.ends_scatter, *bodies)

    @property
    def rests_on(self) -> tuple[str, ...]:
        """Every part whose take-out the leg's pieces rest on."""
        bodies = (p for i in self.items if isinstance(i, Body) for p in i.rests_on)
        return tuple(dict.fromkeys((*self.ends_parts, *bodies)))

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """The gaps alone, in order."""
        return tuple(i for i in self.items if isinstance(i, Gap))

    @property
    def low(self) -> float:
        """The shortest the leg may be without cutting a stub back. [m]"""
        sizes = (i.least if isinstance(i, Gap) else i.length for i in self.items)
        return self.ends + sum(sizes)

    @property
    def high(self) -> float:
        """The longest: endless where there is a piece to make longer. [m]"""
        return math.inf if self.gaps else self.low


@dataclass(frozen=True, slots=True)
class _Stand:
    """A body before it is placed: its two seats, and whether it is a corner or a bare stub."""

    name: str
    before: Seat
    after: Seat
    parts: tuple[str, ...] = ()
    rests_on: tuple[str, ...] = ()
    bare_stub: bool = False
    corner: bool = False


def _start(stub: StubEnd, way: EndWay, name: str) -> list[_Stand]:
    """The stub and what is joined to it, seen in the direction out of the stub."""
    if stub.seat is None:
        stands = [_Stand(name, _NOTHING, _NOTHING, bare_stub=True)]
    else:
        stands = [_Stand(name, _NOTHING, stub.seat)]
    if way.coupler:
        coupler = way.coupler
        named = f"{name} coupling"
        seats = coupler.stub_side, coupler.new_side
        stands.append(_Stand(named, *seats, coupler.parts, coupler.parts))
    return stands


def _mirrored(stands: Sequence[_Stand]) -> list[_Stand]:
    return [
        _Stand(s.name, s.after, s.before, s.parts, s.rests_on, s.bare_stub)
        for s in reversed(stands)
    ]


def rows(
    corners: Sequence[Corner],
    stubs: tuple[StubEnd, StubEnd],
    ways: tuple[EndWay, EndWay],
    unit: Unit | None,
    valve_leg: int | None,
    gap: float,
) -> tuple[Row, ...] | None:
    """The rows of every leg, or None where two stubs would have to join with nothing between.

    ``gap`` is what the least nipple leaves bare [m]; one row a leg, from inlet to outlet.
    Source: cut length = centre to centre less take-outs, common practice, no source.
    """
    legs: list[list[_Stand]] = [_start(stubs[0], ways[0], "inlet stub")]
    valve = []
    if unit is not None and valve_leg is not None:
        half, spread = unit.length / 2, unit.scatter / math.sqrt(2.0)
        seats = Seat(half, unit.depth_before, spread), Seat(half, unit.depth_after, spread)
        valve = [_Stand("valve", *seats, unit.parts, unit.rests_on)]
    for number, corner in enumerate(corners):
        named = f"bend {number + 1}"
        stand = _Stand(named, corner.before, corner.after, corner.parts, corner.parts, corner=True)
        legs[-1] += [*(valve if valve_leg == number else []), stand]
        legs.append([stand])
    legs[-1] += valve if valve_leg == len(corners) else []
    legs[-1] += _mirrored(_start(stubs[1], ways[1], "outlet stub"))
    cuts = [0.0] * len(legs)
    cuts[0] += ways[0].cut
    cuts[-1] += ways[1].cut
    made = [_row(stands, cut, gap) for stands, cut in zip(legs, cuts, strict=True)]
    return tuple(row for row in made if row) if all(made) else None


def _row(stands: Sequence[_Stand], cut: float, gap: float) -> Row | None:
    corners = [
        (stand, seat)
        for stand, seat in ((stands[0], stands[0].after), (stands[-1], stands[-1].before))
        if stand.corner
    ]
    items: list[Body | Gap] = []
    for left, right in pairwise(stands):
        if left.bare_stub and right.bare_stub:
            return None
        if not left.corner and not left.bare_stub:
            items.append(_body(left))
        if not (left.bare_stub or right.bare_stub):
            depths = left.after.depth, right.before.depth
            items.append(Gap(left.name, right.name, *depths, sum(depths) + gap))
    if not stands[-1].corner and not stands[-1].bare_stub:
        items.append(_body(stands[-1]))
    return Row(
        tuple(items),
        sum(seat.takeout for _, seat in corners),
        cut,
        stands[0].after.takeout if stands[0].corner else 0.0,
        math.hypot(*(seat.scatter for _, seat in corners)),
        tuple(dict.fromkeys(p for stand, _ in corners for p in stand.parts)),
    )


def _body(stand: _Stand) -> Body:
    """A stub's own socket has no parts of its own; every other body counts on both sides."""
    length = stand.before.takeout + stand.after.takeout
    scatter = math.hypot(stand.before.scatter, stand.after.scatter)
    named = stand.name if stand.parts else f"{stand.name} socket"
    return Body(named, length, stand.parts, scatter, stand.rests_on)
