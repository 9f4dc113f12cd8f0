from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import OutOfRange
from pitwright.flex.section import area, beam, bend_radius, inertia, strain_of_radius


@given(st.floats(0.01, 0.2), st.floats(0.02, 0.5))
def test_a_ring_is_a_disc_less_its_bore(od: float, share: float) -> None:
    bore = od * (1.0 - 2.0 * share)
    assert area(od, share * od) == pytest.approx(math.pi / 4 * (od**2 - bore**2), rel=1e-9)
    assert inertia(od, share * od) <= inertia(od, od / 2.0)


@given(st.floats(0.01, 0.2), st.floats(1e-4, 0.05))
def test_radius_and_strain_undo_each_other(od: float, strain: float) -> None:
    assert strain_of_radius(od, bend_radius(od, strain)) == pytest.approx(strain, rel=1e-12)


def test_no_strain_allowed_means_no_bend_at_all() -> None:
    assert bend_radius(0.0334, 0.0) == math.inf


@pytest.mark.parametrize(
    ("od", "wall", "modulus", "named"),
    [
        (0.0, 0.003, 2.7e9, "outside diameter"),
        (0.0334, 0.0168, 2.7e9, "pipe wall"),
        (0.0334, -0.001, 2.7e9, "pipe wall"),
        (0.0334, 0.0034, 0.0, "modulus"),
        (math.nan, 0.0034, 2.7e9, "outside diameter"),
    ],
)
def test_a_pipe_that_cannot_be_is_named(od: float, wall: float, modulus: float, named: str) -> None:
    with pytest.raises(OutOfRange, match=named):
        beam(od, wall, modulus, 0.38)
