"""Strategies for pits: two stubs out of true, and what may be built between them."""

from __future__ import annotations

import math

from hypothesis import strategies as st

from pitwright.geometry.vector import Vec, across, add, scale, turned
from pitwright.trains.kit import Corner, Coupler, EndWay, Kit, Seat, StubEnd, Unit
from pitwright.units.kinds import INCH
from tests.strategies import directions

DEPTH = 1.06 * INCH
GAP = 0.125 * INCH


def kit(cut_a: float, cut_b: float, *, valve: bool = True, most_bends: int = 2) -> Kit:
    """Schedule 40 numbers of one inch, near enough: the tests judge geometry, not parts."""
    corners = tuple(
        Corner(math.radians(b), Seat(g * INCH, DEPTH), Seat(g * INCH, DEPTH), (f"{b}",))
        for b, g in ((45, 0.469), (90, 0.6875))
    )
    half = Seat(0.05 * INCH, DEPTH)
    unit = Unit(5.57 * INCH, DEPTH, DEPTH, math.radians(10), ("valve",)) if valve else None

    def ways(cut: float) -> tuple[EndWay, ...]:
        return (EndWay("direct", cut), EndWay("coupled", cut, Coupler(half, half, ("coupling",))))

    return Kit(corners, ways(cut_a), ways(cut_b), GAP, unit, most_bends=most_bends)


@st.composite
def crooked_pits(draw: st.DrawFn) -> tuple[StubEnd, StubEnd]:
    """Two stubs 6 to 30 in apart, 0 to 5 degrees out of a straight, square or parallel layout."""
    u = draw(st.sampled_from([(0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)]))
    lean = math.radians(draw(st.floats(0.0, 5.0)))
    square = draw(st.sampled_from([0, 45, 90, 180]))
    first, second = across(u)
    axis = add(scale(first, math.cos(a := draw(st.floats(0, 6.28)))), scale(second, math.sin(a)))
    v = turned(turned(u, axis, math.radians(square)), first, lean)
    gap = [draw(st.floats(-12.0, 12.0)) for _ in range(2)]
    along = draw(st.floats(4.0, 30.0))
    way: Vec = add(
        scale(u, along * INCH), add(scale(first, gap[0] * INCH), scale(second, gap[1] * INCH))
    )
    cuts = [draw(st.sampled_from([0.0, 1.0, 3.0])) * INCH for _ in range(2)]
    return StubEnd((0.0, 0.0, 0.0), u, cuts[0]), StubEnd(way, scale(v, -1.0), cuts[1])


@st.composite
def turns(draw: st.DrawFn) -> tuple[Vec, float, Vec]:
    """A move of the whole pit: axis, angle, shift."""
    return draw(directions()), draw(st.floats(-3.0, 3.0)), draw(st.tuples(*[st.floats(-5, 5)] * 3))


def moved(stub: StubEnd, turn: tuple[Vec, float, Vec]) -> StubEnd:
    """The same stub in a pit that was turned and shifted as a whole."""
    axis, angle, shift = turn
    tip = add(turned(stub.tip, axis, angle), shift)
    return StubEnd(tip, turned(stub.outward, axis, angle), stub.cut, stub.seat)


def mirrored(stub: StubEnd) -> StubEnd:
    """The same stub in the looking glass: left and right exchanged."""
    (x, y, z), (a, b, c) = stub.tip, stub.outward
    return StubEnd((-x, y, z), (-a, b, c), stub.cut, stub.seat)
