"""What is said of the soil, for the whole pit or one stub."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput
from pitwright.flex import soil as figures
from pitwright.survey.soil import CLAMP, SOILS, Soil
from pitwright.units.kinds import PSI
from tests.survey.pits import changed, read, small


def said(line: str) -> Soil | None:
    got = read(changed(f"[conditions]\n{line}\n")).conditions
    assert got is not None
    return got.soil


def test_every_word_for_soil_has_a_figure_or_is_the_clamp() -> None:
    assert set(SOILS) == {CLAMP, *figures.SOILS}
    for word in SOILS:
        assert said(f'soil = "{word}"') == Soil(word)
    assert said('soil = "Loose  Sand"') == Soil("loose sand")


def test_a_modulus_is_a_pressure_and_keeps_what_was_typed() -> None:
    got = said('soil = "500 psi"')
    assert got is not None
    assert got.modulus is not None
    assert (got.kind, got.modulus.text) == ("", "500 psi")
    assert got.modulus.value == pytest.approx(500 * PSI)
    assert got.modulus.id == "conditions.soil"


def test_nothing_said_is_nothing_read() -> None:
    assert said('air = "60 F"') is None
    assert all(stub.soil is None for stub in small().stubs)


@pytest.mark.parametrize(
    ("line", "match"),
    [
        ('soil = "mud"', r"conditions\.soil must be one of: clamp, loose sand.*500 psi"),
        ('soil = "1 psi"', r"conditions\.soil must be 5 psi to 20000 psi"),
        ('soil = "90000 psi"', "conditions.soil must be"),
        ('soil = "500 ft"', "unit of pressure"),
        ("soil = true", "conditions.soil"),
        ("soil = [1]", "conditions.soil"),
    ],
)
def test_soil_that_cannot_be_is_told(line: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        said(line)
