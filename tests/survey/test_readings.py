"""One reading: value, text, key path, and how sure it is."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import BadInput, Malformed, OutOfRange, UnknownName, WrongUnit
from pitwright.survey.readings import default_tools, diagonal, joined, read_one, tool_of
from pitwright.units.kinds import INCH, PSI
from tests.survey.pits import changed, read, small

TOOLS = default_tools()


def test_the_four_tools_of_the_pit_have_the_sigmas_we_promise() -> None:
    """Design study: tape 1/16, string 1/32, calliper 0.005 in, 2 degrees by eye, 0.5 by gauge."""
    inches = {name: TOOLS[name].sigma.one / INCH for name in ("tape", "string", "calliper")}
    assert inches == pytest.approx({"tape": 1 / 16, "string": 1 / 32, "calliper": 0.005})
    angles = {name: math.degrees(TOOLS[name].sigma.one) for name in ("eye", "protractor")}
    assert angles == pytest.approx({"eye": 2.0, "protractor": 0.5})
    assert {t.source for t in TOOLS.values()} == {"judgement"}


def test_a_reading_keeps_its_text_and_its_key_path() -> None:
    got = read_one(" 4 3/8 ", TOOLS["tape"], unit="in", where="stub.a.tip.0")
    assert (got.id, got.text, got.kind, got.tool) == ("stub.a.tip.0", " 4 3/8 ", "length", "tape")
    assert got.value == pytest.approx(4.375 * INCH)
    assert got.sigma.one == pytest.approx(INCH / 16)
    assert not got.given


@pytest.mark.parametrize("text", ["4 3/8 +- 1/8", "4 1/4 - 4 1/2", "4.25 to 4.5 in"])
def test_limits_override_the_tool(text: str) -> None:
    """One sigma of an eighth to both sides is an eighth over the square root of three."""
    got = read_one(text, TOOLS["tape"], unit="in", where="x")
    assert got.given
    assert got.sigma.one == pytest.approx(INCH / 8 / math.sqrt(3))


def test_a_reading_sure_to_nothing_is_refused() -> None:
    with pytest.raises(Malformed, match="no reading is sure to nothing"):
        read_one("4 +- 0", TOOLS["tape"], unit="in", where="x")


def test_a_figure_from_a_sheet_is_sure_to_one_in_twenty() -> None:
    got = read_one("30 psi", TOOLS["sheet pressure"], unit="psi", where="x")
    assert got.sigma.one == pytest.approx(1.5 * PSI)


@pytest.mark.parametrize("typed", [True, None, ["4"], {"a": 1}])
def test_what_is_no_text_and_no_number_is_refused(typed: object) -> None:
    with pytest.raises(Malformed, match=r"must be a length.*in quotes"):
        read_one(typed, TOOLS["tape"], unit="in", where="x")


def test_a_survey_may_have_tools_of_its_own() -> None:
    survey = small('[tools]\ntape = "1/32 in"\neye = "3 deg"\ngauge = 2\nbucket = "0.2 gal"\n')
    assert survey.stubs[0].tip.readings[0].sigma.one == pytest.approx(INCH / 32)
    assert math.degrees(survey.stubs[0].outward_sigma) == pytest.approx(3.0)
    assert tool_of(TOOLS["gauge"], 2, unit="in", where="x").sigma.one == pytest.approx(2 * PSI)


@pytest.mark.parametrize(
    ("line", "kind", "match"),
    [
        ('tap = "1/32"', UnknownName, r"pit\.toml:2: tools\.tap .*did you mean tape"),
        ('tape = "0"', Malformed, "must be one sigma, above 0"),
        ('tape = "1/16 +- 1/32"', Malformed, "must be one sigma"),
        ('tape = "2 psi"', WrongUnit, "unit of length"),
        ('thermometer = "2 F"', Malformed, "fixed for thermometers"),
    ],
)
def test_a_tool_needs_a_known_name_and_one_sigma(
    line: str, kind: type[BadInput], match: str
) -> None:
    with pytest.raises(kind, match=match):
        read(changed(f"[tools]\n{line}\n"))


def test_an_absurd_length_is_out_of_range() -> None:
    with pytest.raises(OutOfRange, match=r"must be -400 in to 400 in \(got \"4400\"\)"):
        small('[points]\nA = ["4400", "0", "0"]\n')


variances = st.floats(0.0, 1.0)


@given(st.tuples(variances, variances, variances), st.tuples(variances, variances, variances))
def test_doubts_of_two_steps_add(
    a: tuple[float, float, float], b: tuple[float, float, float]
) -> None:
    total = joined(diagonal(*a), diagonal(*b))
    assert [total[i][i] for i in range(3)] == [p + q for p, q in zip(a, b, strict=True)]
    assert joined(diagonal(*b), diagonal(*a)) == total
