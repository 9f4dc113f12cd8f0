"""The small sums beside the search: thrust, and what a stub leaves to cut."""

from __future__ import annotations

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.trains.bench import PRESSURE, new_pipe, push
from pitwright.units.kinds import POUND_FORCE, PSI


@pytest.mark.published("design study, field notes", "80 psi on 1 in pipe pushes 109 lb")
def test_80_psi_pushes_the_end_of_a_1_in_pipe_with_109_lb() -> None:
    pipe = new_pipe(load_shelf(), "1")
    assert pipe is not None
    assert push(pipe, 80 * PSI) / POUND_FORCE == pytest.approx(109, abs=0.5)
    assert pytest.approx(80 * PSI) == PRESSURE


def test_thrust_goes_with_the_square_of_the_outside_and_with_the_pressure() -> None:
    small, large = new_pipe(load_shelf(), "3/4"), new_pipe(load_shelf(), "1-1/2")
    assert small is not None
    assert large is not None
    ratio = (large.od.value / small.od.value) ** 2
    assert push(large, 1e5) / push(small, 1e5) == pytest.approx(ratio)
    assert push(small, 2e5) == pytest.approx(2 * push(small, 1e5))


def test_the_shelf_has_no_new_pipe_of_a_size_nobody_makes() -> None:
    assert new_pipe(load_shelf(), "7/8") is None
