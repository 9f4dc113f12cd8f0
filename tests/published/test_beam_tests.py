"""Beams and bent pipes by handbook formulas, as printed: inches, pounds, psi.

Cantilevers and bends: textbook beam tables, Castigliano. Anchored bends: the elastic-centre
method of piping stress handbooks. Soil: the semi-infinite beam on an elastic foundation.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from pitwright.flex.compliance import Vec6, tip_compliance
from pitwright.flex.flexed import ALL_HELD, Held, moved, pushed
from pitwright.flex.path import BarePath
from pitwright.flex.section import inertia
from pitwright.flex.straight import bow_slack, free_reach, guided_reach, shortening
from pitwright.units.kinds import INCH, POUND_FORCE
from tests.flex.inch import POUND_INCH, path, pipe

E_PSI = 400_000.0
OD = 1.315
STRAIGHT = path((0.0, 0.0, 0.0), (36.0, 0.0, 0.0))
STOUT = replace(pipe(), ea=1e12)
L_BEND = path((0.0, 0.0, 0.0), (24.0, 0.0, 0.0), (24.0, 12.0, 0.0), of=STOUT)
TWO_INCH = replace(pipe(2.375, 0.154), ea=1e15)


def near(printed: str) -> object:
    """Within half the last printed digit."""
    digits = len(printed.partition(".")[2])
    return pytest.approx(float(printed), abs=0.5001 * 10.0**-digits)


def psi(strain: float) -> float:
    return strain * E_PSI


def pounds(fx: float, fy: float, mz: float) -> Vec6:
    return (fx * POUND_FORCE, fy * POUND_FORCE, 0.0, 0.0, 0.0, mz * POUND_INCH)


@pytest.mark.published("beam-tables", "1 in schedule 40: EI 34937.2 lb in2, I 0.087343 in4")
def test_the_section_is_the_handbooks() -> None:
    assert inertia(OD * INCH, 0.133 * INCH) / INCH**4 == near("0.087343")


@pytest.mark.published("beam-tables", "cantilever tip load, P = 10 lb, L = 36 in")
def test_a_cantilever() -> None:
    flexed = pushed(STRAIGHT, pounds(0.0, 10.0, 0.0))
    assert flexed.movement[1] / INCH == near("4.4514")
    assert psi(flexed.strain) == near("2710.0")


@pytest.mark.published("beam-tables", "guided cantilever, P = 10 lb, L = 36 in")
def test_a_guided_cantilever() -> None:
    flexed = moved(STRAIGHT, (0.0, 1.1129 * INCH, 0.0, 0.0, 0.0, 0.0))
    assert flexed.wrench[1] / POUND_FORCE == pytest.approx(10.0, rel=1e-4)
    assert psi(flexed.strain) == pytest.approx(1355.0, rel=1e-4)


@pytest.mark.published("beam-tables", "deflection at a strain limit, L = 24 in, 0.2 %")
def test_deflection_at_a_strain_limit() -> None:
    assert free_reach(24 * INCH, OD * INCH, 0.002) / INCH == near("0.584")
    assert guided_reach(24 * INCH, OD * INCH, 0.002) / INCH == near("0.292")


@pytest.mark.published("castigliano", "L bend, 24 in then 12 in, ten units at the tip")
@pytest.mark.parametrize(
    ("wrench", "ux", "uy", "turn"),
    [
        ((10.0, 0.0, 0.0), "1.15407", "-0.98920", "-0.103042"),
        ((0.0, 10.0, 0.0), "-0.98920", "1.31894", "0.082434"),
        ((0.0, 0.0, 10.0), "-0.103042", "0.082434", "0.0103042"),
    ],
)
def test_a_bend_in_its_plane(
    wrench: tuple[float, float, float], ux: str, uy: str, turn: str
) -> None:
    movement = pushed(L_BEND, pounds(*wrench)).movement
    assert movement[0] / INCH == near(ux)
    assert movement[1] / INCH == near(uy)
    assert movement[5] == near(turn)


@pytest.mark.published("castigliano", "L bend, tip Fy, with the pipe's own stretch")
def test_a_bend_that_also_stretches() -> None:
    bend = path((0.0, 0.0, 0.0), (24.0, 0.0, 0.0), (24.0, 12.0, 0.0))
    assert pushed(bend, pounds(0.0, 10.0, 0.0)).movement[1] / INCH == near("1.31955")


@pytest.mark.published("castigliano", "L bend out of plane, nu = 0.38")
def test_a_bend_out_of_its_plane() -> None:
    flexed = pushed(L_BEND, (0.0, 0.0, 10.0 * POUND_FORCE, 0.0, 0.0, 0.0))
    assert flexed.movement[2] / INCH == near("2.84891")


def anchored(legs: BarePath, rise: float = 40.0) -> Vec6:
    """The wrench at the far anchor when the pipe warms: its tip may not grow. alpha 3e-5 /F"""
    grow = 3e-5 * rise
    first, last = legs.points[0], legs.points[-1]
    dx, dy, dz = (-grow * (b - a) for a, b in zip(first, last, strict=True))
    return moved(legs, (dx, dy, dz, 0.0, 0.0, 0.0), ALL_HELD).wrench


@pytest.mark.published("elastic-centre", "anchored L bends, 2 in schedule 40, 40 F")
@pytest.mark.parametrize(
    ("a", "b", "fx", "fy", "stress"),
    [(60.0, 60.0, "1.0652", "1.0652", "57.0"), (120.0, 60.0, "1.1983", "0.3662", "80.7")],
)
def test_an_anchored_bend_that_warms(a: float, b: float, fx: str, fy: str, stress: str) -> None:
    legs = path((0.0, 0.0, 0.0), (a, 0.0, 0.0), (a, b, 0.0), of=TWO_INCH)
    wrench = anchored(legs)
    assert abs(wrench[0]) / POUND_FORCE == near(fx)
    assert abs(wrench[1]) / POUND_FORCE == near(fy)
    assert psi(pushed(legs, wrench).strain) == near(stress)


@pytest.mark.published("elastic-centre", "anchored L 2:1, moments at anchors and corner")
def test_the_moments_of_an_anchored_bend() -> None:
    legs = path((0.0, 0.0, 0.0), (120.0, 0.0, 0.0), (120.0, 60.0, 0.0), of=TWO_INCH)
    fx, fy, _, _, _, m = anchored(legs)
    assert abs(m) / POUND_INCH == near("45.3")
    corner = m - 60.0 * INCH * fx  # the force about the corner, in plane
    assert abs(corner) / POUND_INCH == near("26.6")
    soil = corner + 120.0 * INCH * fy
    assert abs(soil) / POUND_INCH == near("17.3")


@pytest.mark.published("elastic-centre", "anchored Z bend 60, 36, 60 in")
def test_an_anchored_offset_that_warms() -> None:
    legs = path(
        (0.0, 0.0, 0.0), (60.0, 0.0, 0.0), (60.0, 36.0, 0.0), (120.0, 36.0, 0.0), of=TWO_INCH
    )
    wrench = anchored(legs)
    assert abs(wrench[0]) / POUND_FORCE == near("3.198")
    assert abs(wrench[1]) / POUND_FORCE == near("1.519")
    assert abs(wrench[5]) / POUND_INCH == near("33.58")
    assert psi(pushed(legs, wrench).strain) == near("102.7")


@pytest.mark.published("stiffness", "push the tip of an L by 0.25 in, four end conditions")
@pytest.mark.parametrize(
    ("held", "force", "stress"),
    [
        ((True, False, False, False, False, False), "2.17", "196"),
        ((True, True, False, False, False, False), "", "548"),
        ((True, True, False, False, False, True), "30.3", "1826"),
        ((True, False, False, False, False, True), "", "1522"),
    ],
)
def test_holding_the_tip_costs_dearly_in_a_bend(held: Held, force: str, stress: str) -> None:
    flexed = moved(L_BEND, (0.25 * INCH, 0.0, 0.0, 0.0, 0.0, 0.0), held)
    assert psi(flexed.strain) == near(stress)
    if force:
        assert abs(flexed.wrench[0]) / POUND_FORCE == near(force)


@pytest.mark.published("elastic-foundation", "k = 200 psi, L = 36 in, P = 10 lb")
def test_soil_that_gives() -> None:
    soft = path((0.0, 0.0, 0.0), (36.0, 0.0, 0.0), soil_psi=200.0)
    assert soft.soil is not None
    beta = (soft.soil / (4.0 * soft.beam.ei)) ** 0.25
    assert 1.0 / beta / INCH == near("5.14")
    tip = pushed(soft, pounds(0.0, 10.0, 0.0)).movement[1] / INCH
    assert tip == near("6.6504")
    hard = tip_compliance(STRAIGHT)[1][1] * 10.0 * POUND_FORCE / INCH
    assert tip / hard == near("1.494")


@pytest.mark.published("derived", "bowed straight runs")
def test_a_bowed_run_yields_almost_nothing() -> None:
    assert bow_slack(120 * INCH, OD * INCH, 0.005) / INCH == near("0.633")
    assert bow_slack(60 * INCH, OD * INCH, 0.002, hinged=True) / INCH == near("0.051")


@pytest.mark.published("derived", "tip shortening of a flexed cantilever, L = 36 in")
@pytest.mark.parametrize(("movement", "printed"), [(1.314, "0.0288"), (3.285, "0.1799")])
def test_a_flexed_tip_draws_back(movement: float, printed: str) -> None:
    assert shortening(36 * INCH, movement * INCH) / INCH == near(printed)


@pytest.mark.published("elastic-foundation", "nearly (L + 1/B)^3/3 over EI, 1/B = 5.14 in")
def test_soil_adds_about_one_over_b_of_length() -> None:
    rule = 10.0 / 34937.2 * (36.0 + 5.14) ** 3 / 3.0
    soft = path((0.0, 0.0, 0.0), (36.0, 0.0, 0.0), soil_psi=200.0)
    tip = pushed(soft, pounds(0.0, 10.0, 0.0)).movement[1] / INCH
    assert tip == pytest.approx(rule, rel=2e-3)
