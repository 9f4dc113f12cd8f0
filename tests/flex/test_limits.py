from __future__ import annotations

import csv
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import OutOfRange, UnknownName
from pitwright.findings import Refusal
from pitwright.flex.limits import (
    COLD,
    CONDITIONS,
    HOT,
    NEVER,
    hand_force,
    modulus,
    sources,
    strain_limit,
)
from pitwright.units.kinds import POUND_FORCE, PSI


def fahrenheit(value: float) -> float:
    return (value - 32.0) / 1.8 + 273.15


@pytest.mark.parametrize("table", ["modulus.csv", "bend_strain.csv", "hands.csv"])
def test_every_row_names_a_source_that_exists_and_its_standing(table: str) -> None:
    text = files("pitwright.flex").joinpath("data", table).read_text(encoding="utf-8")
    for row in csv.DictReader(text.splitlines()):
        assert row["source"] in sources()
        assert row["status"] in {"sourced", "derived", "memory", "judgement"}


@pytest.mark.parametrize(
    ("condition", "kelvin", "staying", "momentary"),
    [
        ("sound", fahrenheit(73), 0.002, 0.005),
        ("sound", fahrenheit(50), 0.002, 0.005),
        ("sound", fahrenheit(49), 0.001, 0.002),
        ("old", fahrenheit(73), 0.001, 0.002),
        ("", fahrenheit(73), 0.001, 0.002),
        ("sun-struck", fahrenheit(73), 0.001, 0.002),
    ],
)
def test_rigid_plastic_bears_what_the_design_says(
    condition: str, kelvin: float, staying: float, momentary: float
) -> None:
    limit = strain_limit("pvc", condition, kelvin)
    assert not isinstance(limit, Refusal)
    assert (limit.staying, limit.momentary) == pytest.approx((staying, momentary))


def test_only_the_staying_limit_of_sound_pipe_claims_an_outside_source() -> None:
    sound, old = strain_limit("pvc", "sound"), strain_limit("pvc", "old")
    assert not isinstance(sound, Refusal) and not isinstance(old, Refusal)
    assert (sound.staying_source, sound.staying_status) == ("pvc-pipe-handbook", "sourced")
    assert {sound.momentary_status, old.staying_status, old.momentary_status} == {"judgement"}


@pytest.mark.parametrize("material", NEVER)
@pytest.mark.parametrize("condition", CONDITIONS)
def test_asbestos_cement_and_iron_are_never_bent(material: str, condition: str) -> None:
    refusal = strain_limit(material, condition)
    assert isinstance(refusal, Refusal)
    assert [s.code for s in refusal.because] == ["FLEX_FORBIDDEN"]


@pytest.mark.parametrize("material", ["pvc", "pe", "copper"])
@pytest.mark.parametrize("condition", ["chalky", "cracked"])
def test_chalky_and_cracked_pipe_is_never_bent(material: str, condition: str) -> None:
    assert isinstance(strain_limit(material, condition), Refusal)


def test_what_nobody_has_a_figure_for_is_refused_and_so_is_hot_plastic() -> None:
    unknown, hot = strain_limit("cpvc", "sound"), strain_limit("pvc", "sound", HOT + 1.0)
    assert isinstance(unknown, Refusal) and isinstance(hot, Refusal)
    assert unknown.because[0].code == "FLEX_UNKNOWN_MATERIAL"
    assert hot.because[0].code == "FLEX_HOT"


@given(
    st.sampled_from(["pvc", "pe", "copper"]),
    st.sampled_from(["sound", "old", "sun-struck"]),
    st.floats(220.0, 330.0),
)
def test_what_may_stay_never_exceeds_what_may_be_held_for_a_moment(
    material: str, condition: str, kelvin: float
) -> None:
    limit = strain_limit(material, condition, kelvin)
    sound = strain_limit(material, "sound", max(kelvin, COLD))
    assert not isinstance(limit, Refusal) and not isinstance(sound, Refusal)
    assert 0.0 < limit.staying <= limit.momentary <= sound.momentary
    assert limit.staying <= sound.staying


@given(st.floats(220.0, 370.0), st.floats(0.0, 20.0))
def test_plastic_never_stiffens_as_it_warms(kelvin: float, more: float) -> None:
    warmer = min(kelvin + more, 370.0)
    assert modulus("pvc", warmer).value <= modulus("pvc", kelvin).value


def test_the_modulus_runs_straight_between_two_rows() -> None:
    assert modulus("pvc", fahrenheit(73)).value == pytest.approx(400_000 * PSI)
    assert modulus("pvc", fahrenheit(105)).value == pytest.approx(342_500 * PSI)
    assert modulus("pvc", fahrenheit(0)).value == pytest.approx(473_000 * PSI)


def test_a_condition_nobody_knows_is_named_with_its_neighbours() -> None:
    with pytest.raises(UnknownName, match="did you mean chalky"):
        strain_limit("pvc", "chalkey")
    with pytest.raises(UnknownName, match="not a known material"):
        modulus("clay")
    with pytest.raises(OutOfRange, match="kelvin"):
        strain_limit("pvc", "sound", 20.0)


def test_hands_push_fifty_pounds() -> None:
    """Pin: judgement, no source."""
    assert hand_force() == pytest.approx(50.0 * POUND_FORCE)
