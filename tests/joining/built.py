"""Trains put together by hand, in inches, with the numbers of the design study's field cases."""

from __future__ import annotations

import math
from dataclasses import replace

from pitwright.flex.limits import hand_force
from pitwright.flex.path import BarePath
from pitwright.geometry.vector import Vec, add, minus, scale
from pitwright.joining.work import StubSide, Work
from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.trains.cut_list import Bend, CutList, Piece, clocks
from pitwright.trains.kit import Corner, EndWay, Girth, Seat
from pitwright.trains.room import Room
from pitwright.trains.train import Misfit, Skeleton, Train
from pitwright.units.kinds import CELSIUS_ZERO, INCH
from tests.flex.inch import path

UP: Vec = (0.0, 0.0, 1.0)
X: Vec = (1.0, 0.0, 0.0)
SIXTY_F = CELSIUS_ZERO + (60.0 - 32.0) / 1.8
DAY = CementedJoint("3/4", Warmth.of(SIXTY_F), pressure=0.0)
DIRECT = EndWay("direct", 0.0)


def bent(
    angles: list[float],
    directions: list[Vec],
    pieces: list[float],
    takeout: float,
    depth: float,
    *,
    cut: tuple[float, float] = (0.0, 0.0),
) -> tuple[Train, CutList]:
    """A train of bends straight on both stubs with a piece between each two. [in, deg]"""
    seat = Seat(takeout * INCH, depth * INCH)
    corners = tuple(Corner(math.radians(a), seat, seat, ("elbow",)) for a in angles)
    items: list[Bend | Piece] = []
    for n, (corner, clock) in enumerate(zip(corners, clocks(directions), strict=True)):
        if n:
            names = (f"bend {n}", f"bend {n + 1}")
            size = pieces[n - 1] * INCH
            items.append(Piece("ABCDEF"[n - 1], size, *names, depth * INCH, depth * INCH, 0.0, ()))
        items.append(
            Bend(f"bend {n + 1}", corner.bend, clock, seat.takeout, seat.takeout, corner.parts)
        )
    ends = [takeout * INCH]
    lengths = (*ends, *((p + 2 * takeout) * INCH for p in pieces), *ends)
    off = (cut[0] * INCH, cut[1] * INCH)
    skeleton = Skeleton(corners, (DIRECT, DIRECT), None, None)
    held = (), *((p * INCH,) for p in pieces), ()
    train = Train(skeleton, tuple(directions), lengths, (), held, off, Misfit(0.0, 0.0), False)
    return train, CutList(*off, tuple(items))


def work_for(
    train: Train,
    cuts: CutList,
    paths: tuple[BarePath | None, BarePath | None] = (None, None),
    *,
    strain: float = 0.005,
    outside: float = 1.05,
) -> Work:
    """Two stubs at the ends of the train, in free space. [in]"""
    at: Vec = (0.0, 0.0, 0.0)
    for direction, length in zip(train.directions, train.lengths, strict=True):
        at = add(at, scale(direction, length))
    first, last = train.directions[0], train.directions[-1]
    tip = add(scale(first, cuts.inlet_cut), (0.0, 0.0, 0.0))
    end = add(at, scale(last, -cuts.outlet_cut))
    od = outside * INCH
    sides = (
        StubSide("left", tip, first, od, paths[0], strain if paths[0] else 0.0),
        StubSide("right", end, minus(last), od, paths[1], strain if paths[1] else 0.0),
    )
    room = Room((), (), Girth(od / 2, 0.7 * od))
    return Work(train, cuts, sides, room, DAY, od, hand_force())


def elbow_box(
    gap: float = 4.25, takeout: float = 0.5625, depth: float = 0.9375, legs: float = 2.0
) -> Work:
    """Four 90s upward over a gap between two ends that nothing moves. [in]"""
    cross = gap - 4 * takeout
    ways = [X, UP, X, minus(UP), X]
    got = bent([90.0] * 4, ways, [legs, cross, legs], takeout, depth, cut=(0.25, 0.25))
    return work_for(*got)


def corner(riser: float = 24.0, level: float = 6.0, far: float = 20.0) -> Work:
    """A 90 between a stub that comes out of a riser and a straight one across it. [in]"""
    y: Vec = (0.0, 1.0, 0.0)
    train, cuts = bent([90.0, 90.0], [X, y, X], [3.0], 0.6875, 1.125, cut=(0.25, 0.0))
    work = work_for(train, cuts, outside=1.315)
    end = work.sides[1].tip
    left = path((-level, 0, -riser), (-level, 0, 0), (0, 0, 0))
    x, z = end[0] / INCH, end[2] / INCH
    across = end[1] / INCH
    right = path((x + far, across, z), (x, across, z))
    room = replace(work.room, girth=Girth(1.315 * INCH / 2, 0.9 * INCH))
    left_side = replace(work.sides[0], path=left, strain=0.005)
    right_side = replace(work.sides[1], path=right, strain=0.005)
    day = replace(DAY, size="1")
    return replace(work, sides=(left_side, right_side), room=room, cement=day)
