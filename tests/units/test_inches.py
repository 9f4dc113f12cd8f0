"""Lengths as a tape shows them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.units.inches import Rounding, both_text, inches_text, mm_text, on_tape
from pitwright.units.kinds import INCH


@pytest.mark.parametrize(
    ("inches", "nearest", "not_longer", "not_shorter"),
    [
        (4.161, "4 3/16", "4 1/8", "4 3/16"),
        (4.1875, "4 3/16", "4 3/16", "4 3/16"),
        (0.01, "0", "0", "1/16"),
        (0.999, "1", "15/16", "1"),
        (-0.51, "-1/2", "-9/16", "-1/2"),
        (12.0, "12", "12", "12"),
    ],
)
def test_three_ways_to_a_mark(
    inches: float, nearest: str, not_longer: str, not_shorter: str
) -> None:
    got = [str(on_tape(inches * INCH, r)) for r in Rounding]

    assert got == [nearest, not_longer, not_shorter]


def test_mm_stand_beside_and_name_the_printed_mark() -> None:
    """4.161 in is cut at 4 3/16, which is 106 mm, whatever the unrounded figure says."""
    assert both_text(4.161 * INCH) == "4 3/16 in (106 mm)"
    assert inches_text(2.0 * INCH) == "2 in"
    assert mm_text(-0.0001) == "0 mm"


@given(st.floats(-50, 50), st.sampled_from([8, 16, 32, 64]))
def test_rounding_keeps_its_promise(inches: float, per_inch: int) -> None:
    length, mark = inches * INCH, INCH / per_inch
    near, low, high = (on_tape(length, r, per_inch=per_inch).metres for r in Rounding)
    noise = 2e-6 * mark
    assert abs(near - length) <= mark / 2 + noise
    assert low <= length + noise
    assert high >= length - noise
    assert high - low <= mark + noise


@given(st.integers(-3000, 3000))
def test_a_length_on_a_mark_stays_on_it_whatever_the_rounding(sixteenths: int) -> None:
    """Float noise must not move a cut by a sixteenth."""
    for noise in (-1e-12, 0.0, 1e-12):
        marks = {on_tape(sixteenths * INCH / 16 + noise, r) for r in Rounding}
        assert len(marks) == 1
