"""Bare paths to try: one to four straights any way round, pipes of several sizes."""

from __future__ import annotations

from hypothesis import strategies as st

from pitwright.flex.path import BarePath, bare_path
from pitwright.flex.section import beam
from pitwright.geometry.vector import Vec, add, scale
from pitwright.units.kinds import INCH
from tests.strategies import directions, points

SIZES = [(0.84, 0.109), (1.05, 0.113), (1.315, 0.133), (1.66, 0.14), (2.375, 0.154)]


@st.composite
def paths(draw: st.DrawFn, most: int = 4, soil: bool | None = None) -> BarePath:
    od, wall = draw(st.sampled_from(SIZES))
    of = beam(od * INCH, wall * INCH, draw(st.floats(1e9, 4e9)), draw(st.floats(0.3, 0.45)))
    corners: list[Vec] = [draw(points)]
    for _ in range(draw(st.integers(1, most))):
        corners.append(add(corners[-1], scale(draw(directions()), draw(st.floats(0.05, 1.5)))))
    stiff = draw(st.floats(5e5, 2e7))
    bedded = draw(st.booleans()) if soil is None else soil
    return bare_path(corners, of, stiff if bedded else None)
