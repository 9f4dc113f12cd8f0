"""Joints without cure; the wetter the pit, the fewer the ways; the push on a cap."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import OutOfRange, UnknownName
from pitwright.jointing.methods import joinable, methods, thrust, without_cure
from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.jointing.times import JointTimes, joint_times
from pitwright.survey.conditions import CEMENTS
from pitwright.units.kinds import INCH, POUND_FORCE, PSI

MATERIALS = sorted({m for way in methods() for m in way.materials})


def joint(*, wet: bool = False, cement: str = "") -> CementedJoint:
    return CementedJoint("1", Warmth.of(290.0), wet=wet, cement=cement)


def test_plastic_pipe_has_threads_unions_compression_and_push_fit_without_cure() -> None:
    assert [m.method for m in without_cure()] == ["thread", "union", "compression", "push-fit"]
    assert [m.method for m in without_cure("pe")] == ["compression", "push-fit", "insert"]


def test_nothing_without_cement_makes_the_water_wait() -> None:
    assert {m.method for m in methods() if m.waits} == {"cement", "cement wet"}


def test_a_sliding_joint_holds_no_thrust() -> None:
    assert {m.method: m.holds_thrust for m in methods()}["compression"] == "no"


@given(st.sampled_from(["", *CEMENTS]), st.sampled_from(MATERIALS))
def test_wetter_never_allows_more_ways(cement: str, material: str) -> None:
    dry = {m.method for m in joinable(joint(cement=cement), material)}
    wet = {m.method for m in joinable(joint(wet=True, cement=cement), material)}
    assert wet <= dry


@pytest.mark.parametrize("cement", ["", *CEMENTS])
@pytest.mark.parametrize("wet", [False, True])
def test_cement_is_a_way_exactly_where_its_times_can_be_given(cement: str, wet: bool) -> None:
    asked = joint(wet=wet, cement=cement)
    given_times = isinstance(joint_times(asked), JointTimes)
    assert any(m.cement for m in joinable(asked)) is given_times
    assert all(m in joinable(asked) for m in without_cure())


def test_80_psi_pushes_109_lb_on_inch_pipe() -> None:
    assert round(thrust(80 * PSI, 1.315 * INCH) / POUND_FORCE) == 109


@given(st.floats(0.0, 2e6), st.floats(1e-3, 1.0))
def test_thrust_is_pressure_on_a_circle(pressure: float, outside: float) -> None:
    assert thrust(pressure, outside) == pytest.approx(pressure * math.pi * (outside / 2) ** 2)


@pytest.mark.parametrize(("p", "d"), [(-1.0, 1.0), (math.nan, 1.0), (1.0, 0.0), (1.0, math.inf)])
def test_a_push_needs_a_pressure_and_a_pipe(p: float, d: float) -> None:
    with pytest.raises(OutOfRange):
        thrust(p, d)


def test_an_unknown_material_is_said() -> None:
    with pytest.raises(UnknownName, match="wood"):
        without_cure("wood")
    with pytest.raises(UnknownName, match="glue"):
        joinable(replace(joint(), cement="glue"))
