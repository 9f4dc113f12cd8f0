"""Obstacles: thick segments with room to keep."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput, Missing, UnknownName
from pitwright.geometry.clearance import Capsule
from pitwright.geometry.solids import Block, Drum, corners, gap
from pitwright.survey.obstacles import LONG
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


@pytest.mark.parametrize("kind", LONG)
def test_one_end_alone_says_nothing_of_where_a_long_thing_lies(kind: str) -> None:
    text = ROOT.replace('"root"', f'"{kind}"')
    with pytest.raises(Missing, match=r"obstacle\.root\.end is missing: a .* runs on"):
        small(text)
    (there,) = small(text + 'end = ["6", "12", "-3"]\n').obstacles
    assert there.end[0] == pytest.approx(6 * INCH)


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
    whole = ROOT + 'end = ["6", "12", "-3"]\n'
    with pytest.raises(kind, match=match):
        small(whole.replace(old, new, 1) if old != '"root"' else whole.replace(old, new))


FOOTING = (
    '[obstacle.footing]\nkind = "footing"\nshape = "box"\nstart = ["9", "0", "-8"]\n'
    'end = ["9", "10", "-8"]\nwide = "4"\nhigh = "12"\nclear = "1"\n'
)
BARREL = (
    '[obstacle.barrel]\nkind = "drum"\nshape = "cylinder"\nstart = ["0", "0", "0"]\n'
    'end = ["0", "0", "10"]\nthick = "8"\n'
)


def test_a_footing_is_a_box_wide_level_and_high_upright() -> None:
    (footing,) = small(FOOTING).obstacles
    solid = footing.solid(footing.clear)
    assert isinstance(solid, Block)
    xs, ys, zs = (sorted({round(c[i] / INCH, 6) for c in corners(solid)}) for i in range(3))
    assert (xs, ys, zs) == ([7, 11], [0, 10], [-14, -2])
    assert solid.margin == pytest.approx(INCH)


def test_a_box_on_end_is_wide_to_the_right_and_high_downstream() -> None:
    (footing,) = small(FOOTING.replace('"9", "10", "-8"', '"9", "0", "2"')).obstacles
    solid = footing.solid(0.0)
    assert isinstance(solid, Block)
    xs, ys, zs = (sorted({round(c[i] / INCH, 6) for c in corners(solid)}) for i in range(3))
    assert (xs, ys, zs) == ([7, 11], [-6, 6], [-8, 2])


def test_a_barrel_is_a_cylinder_with_flat_ends() -> None:
    (barrel,) = small(BARREL).obstacles
    solid = barrel.solid(0.0)
    assert isinstance(solid, Drum)
    above = Capsule((0.0, 0.0, 11 * INCH), (0.0, 0.0, 12 * INCH), 0.5 * INCH)
    assert gap(above, solid) == pytest.approx(0.5 * INCH)


@pytest.mark.parametrize(
    ("text", "old", "new", "match"),
    [
        (FOOTING, 'end = ["9", "10", "-8"]\n', "", r"footing\.end is missing: a box runs from"),
        (FOOTING, '"9", "10", "-8"', '"9", "0", "-8"', r"footing\.end must lie apart"),
        (FOOTING, 'wide = "4"\n', "", "how wide the box is"),
        (FOOTING, 'high = "12"\n', "", "how high the box is"),
        (FOOTING, 'wide = "4"', 'thick = "4"', r"footing\.thick is not for a box"),
        (FOOTING, 'wide = "4"', 'wide = "0"', r"footing\.wide must be"),
        (FOOTING, '"box"', '"cube"', r"footing\.shape"),
        (BARREL, 'thick = "8"', 'wide = "8"', r"barrel\.wide is for a box, and this is cylinder"),
        (BARREL, 'thick = "8"\n', "", "how thick it is"),
    ],
)
def test_a_box_or_cylinder_that_cannot_be_is_told(
    text: str, old: str, new: str, match: str
) -> None:
    with pytest.raises(BadInput, match=match):
        small(text.replace(old, new, 1))
