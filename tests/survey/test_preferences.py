"""What the person prefers."""

from __future__ import annotations

import math

import pytest

from pitwright.errors import BadInput
from pitwright.survey.preferences import DEFAULTS
from pitwright.units.kinds import INCH
from tests.survey.pits import small


def test_what_is_not_said_is_as_documented() -> None:
    got = small().preferences
    assert got == DEFAULTS
    assert (got.bends_22, got.most_bends) == (False, 4)
    assert (got.gap / INCH, got.cut_within / INCH) == pytest.approx((1 / 8, 1 / 32))
    assert math.degrees(got.play) == pytest.approx(0.25)


def test_what_is_said_is_kept() -> None:
    lines = 'bends_22 = true\nmost_bends = 0\ngap = 0\ncut_within = "1 mm"\nplay = 0\n'
    got = small(f"[preferences]\n{lines}").preferences
    assert (got.bends_22, got.most_bends, got.gap, got.play) == (True, 0, 0.0, 0.0)
    assert got.cut_within == pytest.approx(1e-3)


@pytest.mark.parametrize(
    ("line", "match"),
    [
        ("most_bends = 5", "must be 0 to 4"),
        ('bends_22 = "yes"', "true or false"),
        ('play = "1 deg"', r"preferences\.play must be 0 deg to 0\.5 deg"),
        ('gap = "-1/8"', r"preferences\.gap must be"),
        ("bends = 4", "did you mean"),
    ],
)
def test_a_wish_beyond_what_is_allowed_is_told(line: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        small(f"[preferences]\n{line}\n")
