"""The cut list: a train as a fitter builds it, every cut at a mark of the tape.

Each bend is *clocked*: the first against plumb (seen along the flow: 0 up, 90 degrees to the
right; where the pipe itself stands plumb, 0 is the pit's x), every later one against the bend
before it (0 goes on turning the same way, as in a U; 180 turns back, as in an offset).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from string import ascii_uppercase

from pitwright.geometry.vector import Vec, across, add, cross, dot, scale, unit, without
from pitwright.trains.rows import Body, Gap, Row
from pitwright.trains.train import Train
from pitwright.units.inches import SIXTEENTH

__all__ = [
    "CLOCK_STEP",
    "Bend",
    "CutList",
    "Item",
    "Joint",
    "Piece",
    "Where",
    "clocks",
    "cut_list",
    "exact_cuts",
    "exact_list",
]

CLOCK_STEP = math.radians(0.1)
"""Clocking is written to a tenth of a degree. [rad]"""


class Where(Enum):
    """Where a joint is made."""

    BENCH = "bench"
    PIT = "pit"


@dataclass(frozen=True, slots=True)
class Bend:
    """A corner: take-outs before and after [m], its angle and its clocking. [rad]"""

    name: str
    angle: float
    clock: float
    before: float
    after: float
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of new pipe: its letter, its length on the tape [m], and what it joins.

    The depths say how far it goes into what it joins, for the depth marks; ``within`` how far
    its right length may differ with like parts (plus or minus), which ``rests_on`` lists. [m]
    """

    letter: str
    length: float
    before: str
    after: str
    depth_before: float
    depth_after: float
    within: float
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Joint:
    """What meets what, and where the joint is made."""

    before: str
    after: str
    where: Where


Item = Body | Bend | Piece


@dataclass(frozen=True, slots=True)
class CutList:
    """What to cut off each stub [m], then every body, bend and piece from inlet to outlet."""

    inlet_cut: float
    outlet_cut: float
    items: tuple[Item, ...]

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """The pieces to cut, from inlet to outlet."""
        return tuple(i for i in self.items if isinstance(i, Piece))

    @property
    def joints(self) -> tuple[Joint, ...]:
        """Every joint in order. Those at the stubs are made in the pit, the others on a bench."""
        names = ["inlet stub", *(_name(i) for i in self.items), "outlet stub"]
        last = len(names) - 2
        return tuple(
            Joint(a, b, Where.PIT if n in (0, last) else Where.BENCH)
            for n, (a, b) in enumerate(pairwise(names))
        )


def _name(item: Item) -> str:
    return f"piece {item.letter}" if isinstance(item, Piece) else item.name


def exact_cuts(train: Train) -> tuple[float, ...]:
    """The unrounded cuts: off the inlet stub, off the outlet stub, then every piece. [m]

    Source: common practice, no source.
    """
    return (*train.cut_back, *(size for leg in train.pieces for size in leg))


def cut_list(train: Train, marks: Sequence[int]) -> CutList:
    """The cut list of a train with each cut of :func:`exact_cuts` at a mark of the tape. [m]

    ``marks`` are sixteenths of an inch, one a cut. Clocking is rounded to 0.1 degree [rad].
    Source: common practice, no source.
    """
    return _listed(train, [m * SIXTEENTH for m in marks], CLOCK_STEP)


def exact_list(train: Train) -> CutList:
    """The same list before any rounding: what the rounded one is compared with. [m, rad]

    Source: common practice, no source.
    """
    return _listed(train, exact_cuts(train), 0.0)


def _listed(train: Train, sizes: Sequence[float], clock_step: float) -> CutList:
    cuts = iter(sizes)
    inlet, outlet = next(cuts), next(cuts)
    letters = iter(ascii_uppercase)
    clocked = clocks(train.directions)
    items: list[Item] = []
    for number, (row, drawn) in enumerate(zip(train.rows, train.drawn, strict=True)):
        for item, by in zip(row.items, drawn, strict=True):
            if isinstance(item, Gap):
                items.append(_piece(next(letters), next(cuts), item, row))
            else:
                items.append(item.drawn(by) if item.give > 0.0 else item)
        if number < train.bends:
            corner, clock = train.skeleton.corners[number], next(clocked)
            if clock_step:
                steps = round(clock / clock_step)
                half_turn = round(math.pi / clock_step)
                clock = (half_turn if steps == -half_turn else steps) * clock_step
            takeouts = corner.before.takeout, corner.after.takeout
            named = f"bend {number + 1}"
            items.append(Bend(named, corner.bend, clock, *takeouts, corner.parts))
    return CutList(inlet, outlet, tuple(items))


def _piece(letter: str, length: float, gap: Gap, row: Row) -> Piece:
    depths = gap.depth_before, gap.depth_after
    return Piece(letter, length, gap.before, gap.after, *depths, row.scatter, row.rests_on)


def clocks(directions: Sequence[Vec]) -> Iterator[float]:
    """The clocking of every bend along a chain of unit directions, in (-pi, pi]. [rad]

    Source: the definition at the head of this module.
    """
    reference = across(directions[0])[0]
    for along, onward in pairwise(directions):
        side = unit(without(onward, along))
        clock = math.atan2(dot(side, cross(along, reference)), dot(side, reference))
        yield clock
        # carried through the bend: the way it turned, seen from the leg after it
        tilt = math.atan2(dot(onward, side), dot(onward, along))
        reference = add(scale(side, math.cos(tilt)), scale(along, -math.sin(tilt)))
