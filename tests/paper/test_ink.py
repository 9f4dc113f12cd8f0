"""Eight dash styles and hatches that need no colour."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from pitwright.paper.ink import DASHES, HATCHES, Hatch, Pen, hatched, inked

coordinate = st.floats(0, 100)
points = st.tuples(coordinate, coordinate)


def test_no_two_styles_put_the_same_ink_on_paper() -> None:
    line = ((0.0, 0.0), (60.0, 0.0))
    drawn = [inked(line, Pen(0.35, style)) for style in DASHES]
    assert len(drawn) == 8
    assert all(a != b for a, b in combinations(drawn, 2))


def inside(ring: list[tuple[float, float]], p: tuple[float, float]) -> bool:
    """Even-odd, by a ray to the right; independent of the hatch's own crossings."""
    count = 0
    for (x0, y0), (x1, y1) in zip(ring, ring[1:] + ring[:1], strict=True):
        if (y0 > p[1]) != (y1 > p[1]) and p[0] < x0 + (p[1] - y0) / (y1 - y0) * (x1 - x0):
            count += 1
    return count % 2 == 1


@given(st.lists(points, min_size=3, max_size=8, unique=True), st.sampled_from(sorted(HATCHES)))
def test_a_hatch_stays_inside_its_outline(ring: list[tuple[float, float]], name: str) -> None:
    for stroke in hatched(ring, HATCHES[name]):
        (_, a), (_, b) = stroke.path
        if abs(a[0] - b[0]) + abs(a[1] - b[1]) > 1e-3:
            assert inside(ring, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 + 1e-7)) or inside(
                ring, ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2 - 1e-7)
            )


def test_a_square_is_filled_evenly() -> None:
    strokes = hatched(((0, 0.5), (10, 0.5), (10, 10.5), (0, 10.5)), Hatch((0.0,), 1.0))
    assert [s.path[0][1][1] for s in strokes] == [float(y) for y in range(1, 11)]


def test_two_areas_that_touch_carry_one_pattern() -> None:
    left = hatched(((0, 0.5), (5, 0.5), (5, 9.5), (0, 9.5)), Hatch((0.0,), 1.0))
    right = hatched(((5, 0.5), (9, 0.5), (9, 9.5), (5, 9.5)), Hatch((0.0,), 1.0))
    assert [s.path[0][1][1] for s in left] == [s.path[0][1][1] for s in right]
