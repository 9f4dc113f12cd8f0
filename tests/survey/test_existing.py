"""What lies there already."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput
from pitwright.units.kinds import INCH
from tests.survey.pits import blocks, small

OLD = next(b for b in blocks() if b.startswith("[existing"))


def test_an_old_valve_is_read_whole() -> None:
    (old,) = small(OLD).existing
    assert (old.name, old.kind, old.zone, old.fate, old.turns) == (
        "old-valve", "valve", "lawn", "goes", True,
    )  # fmt: skip
    assert old.body is not None
    assert old.body.value / INCH == pytest.approx(5.25)
    assert old.at is not None
    assert old.at.mean[1] / INCH == pytest.approx(7)


@pytest.mark.parametrize(
    ("old", "new", "match"),
    [
        ('kind = "valve"', "", r"existing\.old-valve\.kind is missing"),
        ('fate = "goes"', "", r"existing\.old-valve\.fate is missing: write one of: stays"),
        ("turns = true", 'turns = "yes"', "must be true or false"),
        ('zone = "lawn"', 'zone = "lawns"', "is not a known zone .*did you mean lawn"),
        ('kind = "valve"', 'kind = "valves"', "did you mean valve"),
    ],
)
def test_what_lies_there_must_make_sense(old: str, new: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        small(OLD.replace(old, new, 1))
