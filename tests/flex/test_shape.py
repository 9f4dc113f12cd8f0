"""The bowed line ends where the compliance says that the tip goes, and begins at rest."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.flex.flexed import TURNING_FREE, moved, pushed
from pitwright.flex.path import BarePath
from pitwright.flex.shape import bow
from pitwright.geometry.vector import norm, sub
from pitwright.units.kinds import INCH
from tests.flex.inch import path
from tests.flex.strategies import paths

pushes = st.tuples(*[st.floats(-50.0, 50.0)] * 6)


@given(paths(soil=False), pushes, st.integers(1, 9))
def test_the_line_ends_where_the_compliance_puts_the_tip(
    path: BarePath, wrench: tuple[float, float, float, float, float, float], steps: int
) -> None:
    line = bow(path, wrench, path.tip, steps)
    tip = pushed(path, wrench).movement
    size = max(1e-6, *(norm(shift) for _, shift in line))
    assert line[-1][0] == pytest.approx(path.tip, abs=1e-9)
    assert line[-1][1] == pytest.approx(tip[:3], abs=1e-9 * size)
    assert line[0] == (path.points[0], (0.0, 0.0, 0.0))
    assert len(line) == 1 + steps * (len(path.points) - 1)


def test_a_straight_pipe_takes_the_textbook_cubic() -> None:
    """A cantilever pushed at its end: y/d = (3 x²L - x³) / (2 L³)."""
    pipe = path((0, 0, 0), (0, 20, 0))
    wrench = moved(pipe, (0.01, 0.0, 0.0, 0.0, 0.0, 0.0), TURNING_FREE).wrench
    for point, shift in bow(pipe, wrench, pipe.tip, 10):
        x = point[1] / (20 * INCH)
        assert shift[0] == pytest.approx(0.01 * (3 * x**2 - x**3) / 2, abs=1e-9)


def test_a_wrench_may_be_told_at_any_point() -> None:
    """The same push, told half a metre away from the tip, bows the pipe the same."""
    pipe = path((0, 0, -18), (0, 0, 0), (0, 6, 0))
    at = (0.3, 0.4, 0.0)
    lever = sub(pipe.tip, at)
    force = (5.0, -3.0, 2.0)
    moment = (
        lever[1] * force[2] - lever[2] * force[1],
        lever[2] * force[0] - lever[0] * force[2],
        lever[0] * force[1] - lever[1] * force[0],
    )
    here = bow(pipe, (*force, 0.0, 0.0, 0.0), pipe.tip)
    there = bow(pipe, (*force, *moment), at)
    for (_, one), (_, two) in zip(here, there, strict=True):
        assert math.dist(one, two) < 1e-12
