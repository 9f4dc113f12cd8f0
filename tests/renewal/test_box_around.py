"""The elbow box: ports that point alike, and the least gap of the shelf's own fittings."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.geometry.vector import Vec, dot, norm, unit
from pitwright.renewal.box_around import boxes, ports
from pitwright.trains.kit import Corner, EndWay, Kit, Seat, StubEnd
from pitwright.trains.laying import Allowance
from pitwright.trains.room import Room
from pitwright.units.kinds import INCH

LEAN = st.floats(-0.08, 0.08)


def facing(a: float, b: float, gap: float) -> tuple[StubEnd, StubEnd]:
    far: Vec = unit((a, -1.0, b))
    return StubEnd((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.0), StubEnd((0.0, gap, 0.0), far, 0.0)


@given(LEAN, LEAN)
def test_every_port_is_square_to_both_stubs(a: float, b: float) -> None:
    stubs = facing(a, b, 0.2)
    for port in ports(stubs):
        assert norm(port) == pytest.approx(1.0)
        assert dot(port, stubs[0].outward) == pytest.approx(0.0, abs=1e-9)
        assert abs(dot(port, stubs[1].outward)) <= math.sin(math.radians(0.25)) + 1e-9


def test_the_highest_port_comes_first() -> None:
    for a, b in ((0.0, 0.0), (0.03, 0.0), (0.02, 0.03)):
        heights = [p[2] for p in ports(facing(a, b, 0.2))]
        assert heights == sorted(heights, reverse=True)


def kit(takeout: float, depth: float) -> Kit:
    seat = Seat(takeout, depth)
    corner = Corner(math.pi / 2, seat, seat, ("elbow",))
    ends = (EndWay("direct", 0.0),)
    return Kit((corner,), ends, ends, 0.0, None, 4)


@pytest.mark.published("design study", "F1: least gap = 4 take-outs + 2 sockets, faces touching")
@pytest.mark.parametrize(
    ("takeout", "depth", "printed"), [(9 / 16, 15 / 16, 4.125), (11 / 16, 9 / 8, 5.0)]
)
def test_f1_the_least_gap_for_four_elbows(takeout: float, depth: float, printed: float) -> None:
    """Tips stand in their sockets: the gap is between the tips."""
    built = kit(takeout * INCH, depth * INCH)
    allow = Allowance(INCH / 4, 0.1)
    for gap, fits in ((printed - 0.01, False), (printed + 0.01, True)):
        # each stub's tip is at its elbow's socket bottom
        found = boxes(facing(0.0, 0.0, gap * INCH), built, allow, Room())
        assert bool(found.trains) is fits
        assert fits or found.shorts[0].code == "LEG"
