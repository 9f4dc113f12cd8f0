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

__all__ = ["Gap", "Row", "rows"]

_NOTHING = Seat(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Gap:
    """Room for one piece on a leg: what it joins, and how short it may be. [m]

    ``before`` and ``after`` name the neighbours: a stub ("inlet stub"), a corner ("bend 1"), a
    coupler or the valve.
    """

    before: str
    after: str
    least: float
    depth_before: float
    depth_after: float


@dataclass(frozen=True, slots=True)
class Row:
    """One leg: the length its bodies take, its pieces in order, and what may be cut back. [m]"""

    bodies: float
    gaps: tuple[Gap, ...]
    cut: float

    @property
    def low(self) -> float:
        """The shortest the leg may be without cutting a stub back. [m]"""
        return self.bodies + sum(g.least for g in self.gaps)

    @property
    def high(self) -> float:
        """The longest: endless where there is a piece to make longer. [m]"""
        return math.inf if self.gaps else self.bodies


@dataclass(frozen=True, slots=True)
class _Item:
    name: str
    before: Seat
    after: Seat
    is_stub: bool = False


def _start(stub: StubEnd, way: EndWay, name: str) -> list[_Item]:
    """The stub and what is joined to it, seen in the direction out of the stub."""
    items = [_Item(name, stub.seat or _NOTHING, stub.seat or _NOTHING, is_stub=stub.seat is None)]
    if way.coupler:
        items.append(_Item(f"{name} coupling", way.coupler.stub_side, way.coupler.new_side))
    return items


def _mirrored(items: list[_Item]) -> list[_Item]:
    return [_Item(i.name, i.after, i.before, i.is_stub) for i in reversed(items)]


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
    legs: list[list[_Item]] = [_start(stubs[0], ways[0], "inlet stub")]
    for number, corner in enumerate(corners, start=1):
        legs[-1].append(_Item(f"bend {number}", corner.before, corner.before))
        legs.append([_Item(f"bend {number}", corner.after, corner.after)])
    if unit is not None and valve_leg is not None:
        half = unit.length / 2
        legs[valve_leg].append(
            _Item("valve", Seat(half, unit.depth_before), Seat(half, unit.depth_after))
        )
        if valve_leg < len(corners):
            legs[valve_leg][-1], legs[valve_leg][-2] = legs[valve_leg][-2], legs[valve_leg][-1]
    legs[-1] += _mirrored(_start(stubs[1], ways[1], "outlet stub"))
    made: list[Row] = []
    for number, items in enumerate(legs):
        cut = (ways[0].cut if number == 0 else 0.0) + (
            ways[1].cut if number == len(legs) - 1 else 0.0
        )
        row = _row(items, cut, gap)
        if row is None:
            return None
        made.append(row)
    return tuple(made)


def _row(items: Sequence[_Item], cut: float, gap: float) -> Row | None:
    bodies, gaps = 0.0, []
    for left, right in pairwise(items):
        if left.is_stub and right.is_stub:
            return None
        bodies += left.after.takeout + right.before.takeout
        if not (left.is_stub or right.is_stub):
            depths = left.after.depth, right.before.depth
            gaps.append(Gap(left.name, right.name, sum(depths) + gap, *depths))
    return Row(bodies, tuple(gaps), cut)
