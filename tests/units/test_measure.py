"""Reading one quantity as a person writes it."""

from __future__ import annotations

import math
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import BadInput, Malformed, OutOfRange, WrongUnit
from pitwright.units.inches import on_tape
from pitwright.units.kinds import (
    ANGLE,
    FLOW,
    FORCE,
    INCH,
    LENGTH,
    PRESSURE,
    SPEED,
    TEMPERATURE,
    TIME,
    VOLUME,
    Kind,
)
from pitwright.units.measure import measure, opposite


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("4 3/8", "4.375"),
        ('4-3/8"', "4.375"),
        ("4.375 in", "4.375"),
        ("4½", "4.5"),
        ("1 ft 2 1/2 in", "14.5"),
        ("1 ft 2 1/2", "14.5"),
        ("1' 2-1/2\"", "14.5"),
        ("-2 1/4 in", "-2.25"),
        ("− 3/8", "-0.375"),
        ("–5", "-5"),
        ("-4-3/8", "-4.375"),
        ("5 in 3/8", "5.375"),
        ('5" 3/8', "5.375"),
        ('5" 3/8"', "5.375"),
        ("1 ft 5 in 3/8", "17.375"),
        ("1 ft 3/8", "12.375"),
        ("11/16 in.", "0.6875"),
        ("2 ft", "24"),
        ("1 m 2 cm", "40.15748031496063"),
        ("35 cm", "13.779527559055118"),
        ("350mm", "13.779527559055118"),
        (7, "7"),
        (7.25, "7.25"),
    ],
)
def test_a_length_is_read_as_fitters_write_it(text: str | float, inches: str) -> None:
    assert measure(text, default="in").si / INCH == pytest.approx(float(inches), rel=1e-12)
    assert measure(text, default="in").limit is None


@pytest.mark.parametrize(
    ("text", "centre", "half"),
    [
        ("4 - 5 in", 4.5, 0.5),
        ("4-5 in", 4.5, 0.5),
        ("4 to 5", 4.5, 0.5),
        ("4 in – 5 in", 4.5, 0.5),
        ("4 3/8-4 1/2", 4.4375, 0.0625),
        ("4-3/8 - 4-1/2 in", 4.4375, 0.0625),
        ("1/2-3/4", 0.625, 0.125),
        ("-1 to 1 in", 0.0, 1.0),
        ("4 3/8 +- 1/16", 4.375, 0.0625),
        ("4 3/8 ± 1/16 in", 4.375, 0.0625),
        ("4.3 +/- 0.1 in", 4.3, 0.1),
        ("254 mm +- 1/10 in", None, None),
        ("10 in +- 2.54 mm", 10.0, 0.1),
    ],
)
def test_a_range_and_plus_minus_are_limits(
    text: str, centre: float | None, half: float | None
) -> None:
    if centre is None or half is None:
        with pytest.raises(Malformed, match="64ths"):
            measure(text, default="in")
        return
    got = measure(text, default="in")
    assert got.limit is not None
    assert got.si / INCH == pytest.approx(centre, abs=1e-9)
    assert got.limit.half / INCH == pytest.approx(half, abs=1e-9)
    assert got.low == pytest.approx((centre - half) * INCH, abs=1e-12)
    assert got.high == pytest.approx((centre + half) * INCH, abs=1e-12)


@pytest.mark.parametrize(
    "text",
    ["", "   ", "abc", "4 9/8", "3/5", "4,5 cm", "1 in 2 ft", "5 - 4 in", "4--5", "4 - 3/8",
     "1 ft 14 in",
     "4 5", "4 ++ 1", "1/0", "4 +- -1", "in", "4 in in", "--4", "4 to 5 to 6",
     "x" * 500, "4 +- 1 +- 1"],
)  # fmt: skip
def test_what_is_no_length_is_told_apart_with_an_example(text: str) -> None:
    with pytest.raises(Malformed, match=r"stub\.tip must .*write it as 4 3/8 in"):
        measure(text, default="in", where="stub.tip")


@pytest.mark.parametrize("text", ["4 psi", "4 furlongs", "1e5", "4 kg"])
def test_a_unit_of_another_kind_is_named(text: str) -> None:
    with pytest.raises(WrongUnit, match="in, ft, mm, cm, m"):
        measure(text, default="in")


def test_a_number_that_is_no_number_is_refused() -> None:
    for odd in (True, None, [4], math.nan, math.inf):
        with pytest.raises(BadInput):
            measure(odd, default="in")  # type: ignore[arg-type]


def test_an_absurd_size_is_out_of_range_in_the_unit_of_the_survey() -> None:
    with pytest.raises(OutOfRange, match=r'must be 0 in to 400 in \(got "9999"\)'):
        measure("9999", default="in", low=0.0, high=400 * INCH)


@given(st.integers(-400 * 64, 400 * 64))
def test_every_mark_of_the_tape_is_read_back_exactly(marks: int) -> None:
    """Printing a mark and reading it gives the same mark."""
    length = marks / 64 * INCH
    tape = on_tape(length, per_inch=64)
    assert measure(f"{tape} in", default="mm").si == pytest.approx(length, abs=1e-12)


PINT: pint.UnitRegistry[float] = pint.UnitRegistry()
KINDS: list[tuple[Kind, dict[str, str]]] = [
    (LENGTH, {"in": "inch", "ft": "foot", "mm": "mm", "cm": "cm", "m": "m"}),
    (ANGLE, {"deg": "degree", "rad": "radian"}),
    (
        PRESSURE,
        {"psi": "psi", "kPa": "kPa", "bar": "bar", "Pa": "Pa", "ft of water": "ftH2O"},
    ),
    (
        FLOW,
        {"gpm": "gallon/minute", "gph": "gallon/hour", "L/min": "litre/minute", "L/s": "litre/s",
         "mL/min": "millilitre/minute", "L/h": "litre/hour", "m3/h": "m**3/hour"},
    ),
    (VOLUME, {"gal": "gallon", "L": "litre", "mL": "millilitre"}),
    (TEMPERATURE, {"°F": "degF", "°C": "degC"}),
    (TIME, {"s": "s", "min": "minute", "h": "hour", "day": "day"}),
    (SPEED, {"ft/s": "ft/s", "m/s": "m/s"}),
    (FORCE, {"lb": "force_pound", "N": "N"}),
]  # fmt: skip


@pytest.mark.parametrize("kind", [k for k, _ in KINDS], ids=lambda k: k.name)
@given(value=st.floats(0.001, 1e4))
def test_units_agree_with_an_independent_library(kind: Kind, value: float) -> None:
    """Every unit we read converts as pint converts it (feet of water to its own last digit)."""
    si = kind.si.replace("³", "**3").replace("rad", "radian")
    for ours, theirs in next(t for k, t in KINDS if k is kind).items():
        got = measure(f"{value:.6f} {ours}", kind, default=ours).si
        expected = PINT.Quantity(float(f"{value:.6f}"), theirs).to(si).magnitude
        tolerance = 1e-3 if "water" in ours else 1e-9
        assert got == pytest.approx(expected, rel=tolerance), ours


@given(st.text(max_size=30))
def test_any_text_is_either_a_length_or_one_clear_mistake(text: str) -> None:
    try:
        got = measure(text, default="in")
    except BadInput as mistake:
        assert mistake.where == "value"
        assert "\n" not in str(mistake)
    else:
        assert math.isfinite(got.si)
        assert got.low <= got.si <= got.high


@given(
    st.integers(0, 99),
    st.sampled_from([2, 4, 8, 16, 32, 64]).flatmap(
        lambda d: st.tuples(st.integers(1, d - 1), st.just(d))
    ),
    st.sampled_from([" ", "-"]),
)
def test_mixed_numbers_are_exact(whole: int, fraction: tuple[int, int], sep: str) -> None:
    n, d = fraction
    expected = float(whole + Fraction(n, d)) * INCH
    assert measure(f"{whole}{sep}{n}/{d}", default="in").si == expected


@pytest.mark.parametrize("text", ["5.5 in 3/8", "5 mm 3/8", "5 3/8 in 1/8", "5 in 2"])
def test_a_fraction_that_could_be_of_something_else_is_not_guessed(text: str) -> None:
    with pytest.raises(BadInput):
        measure(text, default="in")


@pytest.mark.parametrize(
    "text", ["4", "-4 3/8", "4-3/8", "4-5 in", "4 to 5", '4"-5"', "4 +- 1/8", "1 ft 2 1/2", "35 cm"]
)
def test_the_opposite_of_a_length_is_as_far_the_other_way_and_back_again(text: str) -> None:
    one = measure(text, default="in")
    for other, sign in ((opposite(text), -1), (opposite(opposite(text)), 1)):
        got = measure(other, default="in")
        assert got.si == pytest.approx(sign * one.si, rel=1e-12)
        assert (got.limit is None) == (one.limit is None)
        if got.limit is not None and one.limit is not None:
            assert got.limit.half == pytest.approx(one.limit.half, rel=1e-12)


def test_nothing_and_what_cannot_be_read_have_no_opposite() -> None:
    assert [opposite(t) for t in ("", "0", "x y")] == ["", "0", "x y"]
