"""Bend radius rules for plastic pipe as printed in makers' and handbooks' tables."""

from __future__ import annotations

import pytest

from pitwright.flex.section import bend_radius, strain_of_radius
from pitwright.units.kinds import INCH


@pytest.mark.published("pvc-pipe-handbook", "R = E D/(2 S): 400 000 psi, 800 psi, 2.375 in")
def test_the_radius_at_the_design_stress() -> None:
    assert bend_radius(2.375 * INCH, 800.0 / 400_000.0) / INCH == pytest.approx(593.75)


@pytest.mark.published("upvc-cold-bend", "R = 300 OD: 394.5 in at 1.315 in, strain 0.1667 %")
def test_the_cold_bend_rule() -> None:
    strain = strain_of_radius(1.315 * INCH, 394.5 * INCH)
    assert 100.0 * strain == pytest.approx(0.1667, abs=5e-5)
    assert bend_radius(1.315 * INCH, 1.0 / 600.0) / INCH == pytest.approx(394.5)


@pytest.mark.published("bend-rules", "R over OD against surface strain and stress at 400 000 psi")
@pytest.mark.parametrize(
    ("r_over_d", "percent", "psi"),
    [(250.0, "0.2", "800"), (300.0, "0.1667", "667"), (130.0, "0.3846", "1538")],
)
def test_strain_and_stress_of_a_radius(r_over_d: float, percent: str, psi: str) -> None:
    strain = strain_of_radius(1.0, r_over_d)
    assert 100.0 * strain == pytest.approx(float(percent), abs=5e-5)
    assert 400_000.0 * strain == pytest.approx(float(psi), abs=0.5)


@pytest.mark.published("pipe-sections", "R at 250 OD and 300 OD in feet")
@pytest.mark.parametrize(
    ("od", "r250", "r300"),
    [
        (0.84, "17.5", "21.0"),
        (1.05, "21.9", "26.2"),
        (1.315, "27.4", "32.9"),
        (1.66, "34.6", "41.5"),
        (1.9, "39.6", "47.5"),
        (2.375, "49.5", "59.4"),
        (2.875, "59.9", "71.9"),
        (3.5, "72.9", "87.5"),
        (4.5, "93.8", "112.5"),
    ],
)
def test_radii_by_size(od: float, r250: str, r300: str) -> None:
    assert bend_radius(od, 1 / 500) / 12.0 == pytest.approx(float(r250), abs=0.0501)
    assert bend_radius(od, 1 / 600) / 12.0 == pytest.approx(float(r300), abs=0.0501)
