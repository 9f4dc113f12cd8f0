from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import Malformed, OutOfRange
from pitwright.flex.path import BarePath, bare_path, path_from_tip
from pitwright.geometry.vector import near, norm, sub, unit
from tests.flex.inch import pipe
from tests.flex.strategies import paths


@given(paths())
def test_a_path_read_from_its_tip_is_the_same_path(path: BarePath) -> None:
    straights = [
        (unit(sub(a, b)), norm(sub(a, b)))
        for b, a in zip(path.points[:0:-1], path.points[-2::-1], strict=True)
    ]
    again = path_from_tip(path.tip, straights, path.beam, path.soil)
    assert all(near(a, b, 1e-12) for a, b in zip(path.points, again.points, strict=True))


@given(paths(), st.floats(0.0, 2.0))
def test_digging_moves_the_soil_and_nothing_else(path: BarePath, extra: float) -> None:
    dug = path.dug(extra)
    assert dug.points[1:] == path.points[1:]
    assert dug.length == pytest.approx(path.length + extra)
    assert near(dug.outward, path.outward, 1e-9)


def test_cutting_back_shortens_the_last_straight() -> None:
    path = bare_path([(0.0, 0.0, 0.0), (0.5, 0.0, 0.0)], pipe())
    assert path.cut_back(0.1).tip == pytest.approx((0.4, 0.0, 0.0))
    with pytest.raises(OutOfRange, match=r"cut back must be 0.0 to less than 0.5"):
        path.cut_back(0.5)


def test_paths_that_are_none_are_named() -> None:
    with pytest.raises(Malformed, match="2 corners or more"):
        bare_path([(0.0, 0.0, 0.0)], pipe())
    with pytest.raises(Malformed, match="corner 2 is where the last one was"):
        bare_path([(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 0.0, 0.0)], pipe())
    with pytest.raises(OutOfRange, match="soil stiffness"):
        bare_path([(0.0, 0.0, 0.0), (1.0, 0.0, 0.0)], pipe(), 0.0)
