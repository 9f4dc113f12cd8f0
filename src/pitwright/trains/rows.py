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
from dataclasses import dataclass, replace
from enum import Enum
from itertools import pairwise

from pitwright.trains.kit import Corner, Coupler, EndWay, Port, Seat, StubEnd, Unit

__all__ = ["Body", "Gap", "Row", "rows"]

_NOTHING = Seat(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Body:
    """A straight body on a leg: ``length`` from seat to seat [m], and the parts it is made of.

    ``scatter`` is how far a like body's length may differ, plus or minus [m]; ``rests_on`` lists
    the parts whose dimensions it is worked out from. A telescoping or stop-less coupling may
    ``give`` so much either way from the middle of what it allows; ``retract`` is how far it may be
    planned shorter beside a piece (a stop-less one may not: the pipes' depth marks hang on it);
    ``pulled`` is how far it stands from the middle: ``length`` has it in already. [m]
    """

    name: str
    length: float
    parts: tuple[str, ...]
    scatter: float = 0.0
    rests_on: tuple[str, ...] = ()
    give: float = 0.0
    retract: float = 0.0
    pulled: float = 0.0

    def drawn(self, by: float) -> Body:
        """The body standing ``by`` farther out than the middle of what it allows. [m]"""
        return replace(self, length=self.length + by, pulled=by)


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
    def give(self) -> float:
        """How far its bodies give either way where no piece can be cut to suit, else 0. [m]"""
        if any(isinstance(i, Gap) for i in self.items):
            return 0.0
        return sum(i.give for i in self.items if isinstance(i, Body))

    @property
    def low(self) -> float:
        """The shortest the leg may be without cutting a stub back. [m]"""
        sizes = (i.least if isinstance(i, Gap) else i.length for i in self.items)
        return self.ends + sum(sizes) - self.retract

    @property
    def retract(self) -> float:
        """How much shorter its bodies may be than in the middle of what they allow. [m]"""
        bodies = [i for i in self.items if isinstance(i, Body)]
        if len(bodies) == len(self.items):
            return sum(i.give for i in bodies)
        return sum(i.retract for i in bodies)

    @property
    def high(self) -> float:
        """The longest: endless where there is a piece to make longer. [m]"""
        return math.inf if self.gaps else self.low + 2 * self.give

    def drawn(self, built: float) -> tuple[float, ...]:
        """How far each item is drawn out when the leg is ``built`` so long. [m]

        Source: each sliding body takes its share of what the leg lacks.
        """
        retract, alone = self.retract, self.give > 0.0
        if retract <= 0.0:
            return (0.0,) * len(self.items)
        share = (built - self.low) / retract - 1.0
        if not alone:
            share = min(share, 0.0)
        return tuple(
            share * (i.give if alone else i.retract) if isinstance(i, Body) else 0.0
            for i in self.items
        )

    def spare(self, built: float) -> float:
        """What is left for the pieces when the leg is ``built`` so long: a telescoping coupling
        is first brought to the middle of what it allows. [m]

        Source: judgement: there it takes up errors both ways.
        """
        slack = built - self.low
        return slack - min(max(slack, 0.0), self.retract)


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
    give: float = 0.0
    park: float = 0.0


def _start(stub: StubEnd, way: EndWay, name: str) -> list[_Stand]:
    """The stub and what is joined to it, seen in the direction out of the stub."""
    if stub.seat is None:
        stands = [_Stand(name, _NOTHING, _NOTHING, bare_stub=True)]
    else:
        stands = [_Stand(name, _NOTHING, stub.seat)]
    if way.coupler:
        stands.append(_coupling(f"{name} coupling", way.coupler))
    return stands


def _coupling(name: str, body: Coupler) -> _Stand:
    seats, parts = (body.stub_side, body.new_side), body.parts
    return _Stand(name, *seats, parts, parts, give=body.give, park=body.park)


def _mirrored(stands: Sequence[_Stand]) -> list[_Stand]:
    return [replace(s, before=s.after, after=s.before) for s in reversed(stands)]


def rows(
    corners: Sequence[Corner],
    stubs: tuple[StubEnd, StubEnd],
    ways: tuple[EndWay, EndWay],
    unit: Unit | None,
    valve_leg: int | None,
    gap: float,
    union: Coupler | None = None,
) -> tuple[Row, ...] | None:
    """The rows of every leg, or None where two neighbours cannot be joined: two bare stubs, two
    spigots, a spigot where only plain pipe goes.

    ``union`` stands behind the valve; ``gap`` is what the least nipple leaves bare [m]; one row a
    leg, from inlet to outlet.
    Source: cut length = centre to centre less take-outs, common practice, no source.
    """
    legs: list[list[_Stand]] = [_start(stubs[0], ways[0], "inlet stub")]
    valve = []
    if unit is not None and valve_leg is not None:
        half, spread = unit.length / 2, unit.scatter / math.sqrt(2.0)
        seats = Seat(half, unit.depth_before, spread), Seat(half, unit.depth_after, spread)
        valve = [_Stand("valve", *seats, unit.parts, unit.rests_on)]
        valve += [_coupling("union", union)] if union else []
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
        meeting = _meeting(left, right)
        if meeting is _Meeting.NEVER:
            return None
        if not left.corner and not left.bare_stub:
            items.append(_body(left))
        if meeting is _Meeting.PIECE:
            items.append(_gap(left, right, gap))
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


class _Meeting(Enum):
    """How two neighbours meet: by a piece between, straight in, or never."""

    PIECE = "piece"
    STRAIGHT_IN = "straight in"
    NEVER = "never"


def _meeting(left: _Stand, right: _Stand) -> _Meeting:
    a, b = left.after.port, right.before.port
    spigots = (a is Port.SPIGOT) + (b is Port.SPIGOT)
    if left.bare_stub or right.bare_stub:
        never = spigots or (left.bare_stub and right.bare_stub)
        return _Meeting.NEVER if never else _Meeting.STRAIGHT_IN
    if not spigots:
        return _Meeting.PIECE
    return _Meeting.STRAIGHT_IN if spigots == 1 and Port.PLAIN not in (a, b) else _Meeting.NEVER


def _gap(left: _Stand, right: _Stand, bare: float) -> Gap:
    """The piece between two sockets; longer where a body must be parked on it."""
    before, after = left.after.depth, right.before.depth
    least = max(before + after + bare, left.park + after, right.park + before)
    return Gap(left.name, right.name, before, after, least)


def _body(stand: _Stand) -> Body:
    """A stub's own socket has no parts of its own; every other body counts on both sides."""
    length = stand.before.takeout + stand.after.takeout
    scatter = math.hypot(stand.before.scatter, stand.after.scatter)
    named = stand.name if stand.parts else f"{stand.name} socket"
    plain = Port.PLAIN in (stand.before.port, stand.after.port)
    retract = 0.0 if plain else stand.give
    return Body(named, length, stand.parts, scatter, stand.rests_on, stand.give, retract)
