"""Parts at hand."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput
from pitwright.units.kinds import INCH
from tests.survey.pits import blocks, small

PART = next(b for b in blocks() if b.startswith("[part"))


def test_a_part_is_read_whole() -> None:
    (part,) = small(PART).parts
    assert (part.kind, part.size, part.angle, part.count, part.where) == (
        "elbow", "1", 45.0, 4, "truck",
    )  # fmt: skip
    assert part.takeout is not None
    assert part.takeout.value / INCH == pytest.approx(15 / 32)
    assert part.takeout.given


@pytest.mark.parametrize(
    ("old", "new", "match"),
    [
        ('kind = "elbow"', "", r"part\.elbow-45\.kind is missing"),
        ('size = "1"', "", r"part\.elbow-45\.size is missing"),
        ("angle = 45", "angle = 120", "must be 0.0 to 90.0"),
        ("count = 4", "count = -1", "must be 0 to 10000"),
        ('where = "truck"', 'where = "van"', "known word here"),
    ],
)
def test_a_part_that_cannot_be_is_told(old: str, new: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        small(PART.replace(old, new, 1))
