"""What pipe a stub is, and what it can be."""

from __future__ import annotations

import math

import pytest

from pitwright.errors import BadInput, Malformed, Missing, UnknownName
from pitwright.findings import Weight
from pitwright.survey.pipes import outside
from pitwright.survey.stubs import Stub
from pitwright.units.kinds import INCH
from tests.survey.pits import read, swapped

NAMED = 'pipe = "1 in schedule 40 PVC"'


def stub(measured: str, pipe: str = NAMED, condition: str = "sound") -> Stub:
    """The small survey's feed with another pipe."""
    text = swapped(NAMED, f"{pipe}\nmeasured = {{ {measured} }}" if measured else pipe)
    return read(text.replace('condition = "sound"', f'condition = "{condition}"', 1)).stubs[0]


def unknown(measured: str) -> Stub:
    return stub(measured, 'pipe = "unknown"')


def inches(got: Stub) -> list[float]:
    """Outside diameter and its sigma. [in]"""
    assert got.measured is not None
    clue = outside(got.measured)
    assert clue is not None
    return [clue.value / INCH, clue.sigma / INCH]


def codes(got: Stub) -> list[str]:
    return [f.code for f in got.findings]


@pytest.mark.parametrize(("around", "diameter"), [("2.75", 0.8754), ("3.53", 1.1236)])
def test_a_string_is_as_long_as_its_own_middle(around: str, diameter: float) -> None:
    """Field report F3 of the design study: 2.75 in and 3.53 in around are 0.875 and 1.124."""
    got = inches(unknown(f'around = "{around}"'))
    assert got == pytest.approx([diameter, 1 / 32 / math.pi], abs=5e-5)
    thick = inches(unknown(f'around = "{around}", string = "1/16"'))
    assert thick[0] == pytest.approx(got[0] - 1 / 16)
    assert thick[1] == pytest.approx(math.hypot(got[1], 0.005))


def test_crosswise_diameters_are_averaged() -> None:
    got = inches(stub('calliper = ["1.30", "1.33"]'))
    assert got == pytest.approx([1.315, 0.005 / math.sqrt(2)])
    assert inches(stub('calliper = "1.315 +- 0.01"'))[1] == pytest.approx(0.01 / math.sqrt(3))


def test_the_surest_tool_speaks() -> None:
    every = 'across = "1 3/8", around = "4 1/8", calliper = "1.315"'
    assert inches(stub(every))[0] == pytest.approx(1.315)
    assert inches(stub(every.partition(", calliper")[0]))[0] == pytest.approx(4.125 / math.pi)
    assert inches(stub('across = "1 3/8"')) == pytest.approx([1.375, 1 / 16])


def test_an_unknown_pipe_keeps_all_that_it_can_be() -> None:
    """Field report F3: 2.75 in around is 3/4 in copper-tube size; 1.660 is 1-1/4, never 1-1/2."""
    tube = unknown('around = "2.75"')
    assert tube.pipe is None
    assert {c.pipe.size for c in tube.candidates if c.fits} >= {"3/4"}
    assert tube.candidates[0].pipe.system == "cts"
    wide = unknown('calliper = "1.660"')
    assert {c.pipe.size for c in wide.candidates if c.pipe.system == "ips"} == {"1-1/4"}
    assert "pipe-unknown" in codes(wide)
    assert stub("").candidates == ()


def test_words_narrow_what_it_can_be() -> None:
    plain, pvc = unknown('calliper = "1.315"'), unknown('calliper = "1.315", material = "vinyl"')
    assert {c.pipe.material for c in pvc.candidates} == {"pvc"}
    assert len(pvc.candidates) < len(plain.candidates)
    assert pvc.measured is not None
    assert pvc.measured.material == "pvc"


def test_a_size_nobody_makes_fits_nothing() -> None:
    got = unknown('calliper = "3.00"')
    assert got.candidates == ()
    assert "pipe-fits-nothing" in codes(got)


@pytest.mark.parametrize(
    ("measured", "told"),
    [
        ('calliper = "1.315"', False),
        ('calliper = "1.31"', False),
        ('calliper = "1.125"', True),
        ('calliper = "1.66"', True),
        ('around = "4 1/8"', False),
        ('around = "5 1/4"', True),
        ('wall = "0.133"', False),
    ],
)
def test_a_pipe_that_measures_otherwise_than_its_name_is_told(measured: str, told: bool) -> None:
    """1 in iron pipe size is 1.315; 1.125 is copper-tube size, 1.66 the next iron pipe size."""
    assert ("pipe-measures-otherwise" in codes(stub(measured))) is told


def test_old_pipe_may_be_out_of_round_before_its_name_is_doubted() -> None:
    """One diameter of old thin wall strays by 0.030; two taken crosswise do not."""
    thin = 'pipe = "1 in SDR 21 PVC"'
    for condition, measured, told in (
        ("old", '"1.342"', False),
        ("old", '["1.342", "1.341"]', True),
    ):
        got = stub(f"calliper = {measured}", thin, condition)
        assert ("pipe-measures-otherwise" in codes(got)) is told, (condition, measured)


def test_pipe_that_must_not_be_cut_stops_the_work() -> None:
    got = stub("", 'pipe = "4 in asbestos cement"')
    (found,) = [f for f in got.findings if f.code == "asbestos-cement"]
    assert found.weight is Weight.STOP
    assert found.name("stub") == "feed"


@pytest.mark.parametrize(
    ("measured", "kind", "match"),
    [
        ('material = "wood"', UnknownName, r"stub\.feed\.measured\.material is not a known mat"),
        ('colour = "pink"', UnknownName, r"stub\.feed\.measured\.colour is not a known colour"),
        ('calliper = "0.1"', BadInput, r"stub\.feed\.measured\.calliper must be 0\.2 in to 8 in"),
        ("calliper = []", Malformed, "one to eight diameters"),
        ('calliper = ["1", "2 psi"]', BadInput, r"measured\.calliper\.1 must be in a unit"),
        ('around = "0.1"', BadInput, r"measured\.around must be"),
        ('around = "1", string = "1/4"', BadInput, r"measured\.string must be"),
        ('wall = "4.5"', BadInput, r"measured\.wall must be"),
        ('diameter = "4"', UnknownName, r"measured\.diameter is not a known key"),
        ('wall = "0.1"', Missing, "an unknown pipe needs its calliper"),
    ],
)
def test_what_cannot_be_measured_is_told(measured: str, kind: type[BadInput], match: str) -> None:
    with pytest.raises(kind, match=match):
        unknown(measured)
