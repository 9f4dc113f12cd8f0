"""What a look inside an old valve showed, as it is written down."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput
from tests.survey.pits import blocks, small

OLD = next(b for b in blocks() if b.startswith("[existing.old"))


def test_what_was_not_written_was_not_looked_at() -> None:
    (old,) = small(OLD + '\n[existing.old-valve.inside]\ncoil = "worn"\n').existing
    assert old.inside is not None
    assert old.inside.shell == "not looked at"
    assert old.inside.state("coil") == "worn"
    assert old.inside.state("seat") == "not looked at"
    assert old.inside.in_hand == ()


@pytest.mark.parametrize(
    ("line", "match"),
    [
        ('in_hand = "coil"', r"existing\.old-valve\.inside\.in_hand must be a list"),
        ('in_hand = ["spring"]', "must be a list of diaphragm, seat, bolts, coil"),
        ('seat = "stripped"', r"existing\.old-valve\.inside\.seat"),
        ('spring = "worn"', "spring"),
    ],
)
def test_what_cannot_be_read_is_said(line: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        small(f"{OLD}\n[existing.old-valve.inside]\n{line}\n")
