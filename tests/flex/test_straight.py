from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.flex.flexed import ALL_HELD, TURNING_FREE, moved
from pitwright.flex.straight import free_length, free_reach, guided_length, guided_reach
from tests.flex.inch import path

lengths = st.floats(5.0, 60.0)


@given(lengths)
def test_reach_and_length_undo_each_other_and_agree_with_the_compliance(inches: float) -> None:
    straight = path((0.0, 0.0, 0.0), (inches, 0.0, 0.0))
    for reach, needed, held in (
        (free_reach, free_length, TURNING_FREE),
        (guided_reach, guided_length, ALL_HELD),
    ):
        movement = reach(straight.length, straight.beam.od, 0.002)
        assert needed(movement, straight.beam.od, 0.002) == pytest.approx(straight.length)
        flexed = moved(straight, (0.0, 0.0, movement, 0.0, 0.0, 0.0), held)
        assert flexed.strain == pytest.approx(0.002, rel=1e-9)
