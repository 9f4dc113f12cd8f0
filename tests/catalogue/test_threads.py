"""Threads: make-up by turns, and what may be screwed into what."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.catalogue.shelf import load_shelf
from pitwright.catalogue.threads import Thread
from pitwright.errors import OutOfRange
from pitwright.units.kinds import INCH

SHELF = load_shelf()
THREADS = st.sampled_from(SHELF.threads)


def test_npt_and_bsp_are_never_joined() -> None:
    for one in SHELF.threads:
        for other in SHELF.threads:
            alike = (one.system, one.size) == (other.system, other.size)
            assert one.takes(other) == alike


@given(THREADS, st.floats(0, 2))
def test_one_turn_advances_one_pitch(thread: Thread, turns: float) -> None:
    assert thread.made_up(turns + 1) - thread.made_up(turns) == pytest.approx(thread.pitch)


def test_a_valve_that_must_face_up_can_stop_once_a_turn() -> None:
    """Design study: 0.087 in at 1 in NPT."""
    assert SHELF.thread("npt", "1").pitch / INCH == pytest.approx(0.087, abs=5e-4)


@pytest.mark.parametrize("turns", [-0.5, 3.5])
def test_turns_nobody_should_give_plastic_are_refused(turns: float) -> None:
    with pytest.raises(OutOfRange, match="turns past hand-tight"):
        SHELF.thread("npt", "1").made_up(turns)


def test_a_made_up_joint_never_runs_out_of_thread_by_nominal_turns() -> None:
    for thread in SHELF.threads:
        assert thread.made_up(2) <= thread.L1 + thread.L3 + 1e-9
