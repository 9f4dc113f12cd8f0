"""Obstacles: thick segments with room to keep."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput, Missing, UnknownName
from pitwright.units.kinds import INCH
from tests.survey.pits import small

ROOT = '[obstacle.root]\nkind = "root"\nstart = ["-6", "12", "-3"]\nthick = "1 1/2"\n'


def test_a_root_is_a_thick_segment() -> None:
    (root,) = small(ROOT + 'end = "6 right, 11 downstream, 2 down"\nclear = "1/2"\n').obstacles
    assert [c / INCH for c in (*root.start, *root.end)] == pytest.approx([-6, 12, -3, 6, 11, -2])
    assert (root.radius / INCH, root.clear / INCH) == pytest.approx((0.75, 0.5))


def test_a_rock_may_be_a_lump_that_wants_no_room() -> None:
    (rock,) = small(ROOT.replace('"root"', '"rock"')).obstacles
    assert rock.start == rock.end
    assert rock.clear == 0.0


@pytest.mark.parametrize(
    ("old", "new", "kind", "match"),
    [
        ('kind = "root"\n', "", Missing, r"obstacle\.root\.kind is missing: write one of: root"),
        ('"root"', '"roots"', UnknownName, "did you mean root"),
        ('thick = "1 1/2"', "", Missing, "how thick it is"),
        ('thick = "1 1/2"', 'thick = "-1"', BadInput, r"obstacle\.root\.thick must be"),
        ('start = ["-6", "12", "-3"]', "", Missing, "one end of it"),
        ('thick = "1 1/2"', 'thickness = "1"', UnknownName, "did you mean thick"),
    ],
)
def test_an_obstacle_that_cannot_be_is_told(
    old: str, new: str, kind: type[BadInput], match: str
) -> None:
    with pytest.raises(kind, match=match):
        small(ROOT.replace(old, new, 1) if old != '"root"' else ROOT.replace(old, new))
