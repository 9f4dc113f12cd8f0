"""Section properties of common pipe, as printed: od, wall, area, I, Z in inches."""

from __future__ import annotations

import pytest

from pitwright.flex.section import area, inertia

TABLE = [
    (0.84, 0.109, "0.2503", "0.01709", "0.04069"),
    (0.84, 0.147, "0.32", "0.02008", "0.0478"),
    (1.05, 0.113, "0.3326", "0.03704", "0.07055"),
    (1.05, 0.06, "0.1866", "0.02295", "0.04371"),
    (1.315, 0.133, "0.4939", "0.08734", "0.13284"),
    (1.315, 0.179, "0.6388", "0.10561", "0.16062"),
    (1.315, 0.063, "0.2478", "0.04868", "0.07403"),
    (1.66, 0.14, "0.6685", "0.19471", "0.23459"),
    (1.9, 0.145, "0.7995", "0.30989", "0.3262"),
    (2.375, 0.154, "1.0745", "0.66575", "0.56063"),
    (2.375, 0.218, "1.4773", "0.86792", "0.73088"),
    (2.875, 0.203, "1.7041", "1.52955", "1.06404"),
    (3.5, 0.216, "2.2285", "3.01716", "1.72409"),
    (4.5, 0.237, "3.174", "7.2326", "3.21449"),
]


@pytest.mark.published("pipe-sections", "area, moment of inertia and section modulus")
@pytest.mark.parametrize(("od", "wall", "a", "i", "z"), TABLE)
def test_sections_print_as_the_table_does(od: float, wall: float, a: str, i: str, z: str) -> None:
    assert area(od, wall) == pytest.approx(float(a), abs=5.1e-5)
    assert inertia(od, wall) == pytest.approx(float(i), abs=5.1e-6)
    assert inertia(od, wall) / (od / 2.0) == pytest.approx(float(z), abs=5.1e-6)
