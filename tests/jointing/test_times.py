"""Set and cure by the longest of all tables: laws, a second way of working it out, case F10."""

from __future__ import annotations

import csv
import itertools
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import BadInput, Missing, OutOfRange, UnknownName
from pitwright.findings import Refusal
from pitwright.jointing.cells import Cell, Reading, pressure_tables, read_table
from pitwright.jointing.question import CementedJoint, Warmth, cements, nominal_sizes
from pitwright.jointing.tables import fahrenheit
from pitwright.jointing.times import JointTimes, disagreement, joint_times
from pitwright.survey.conditions import CEMENTS
from pitwright.units.kinds import PSI

GATHERED = Path(__file__).parents[1] / "published" / "cure_times.csv"
SIZES = tuple(nominal_sizes())
DEGREES = (*range(0, 120, 10), 9.9, 10.1, 19.9, 20.1, 39.9, 40.1, 59.9, 60.1, 99.9, 100.1)
PRESSURES = (None, 0.0, 100.0, 159.0, 160.0, 161.0, 180.0, 181.0, 315.0, 316.0)


def joint(
    size: str = "1",
    degrees: float = 60.0,
    psi: float | None = None,
    *,
    humid: bool = False,
    wet: bool = False,
    cement: str = "",
) -> CementedJoint:
    pressure = None if psi is None else psi * PSI
    warmth = Warmth.of(fahrenheit(degrees))
    return CementedJoint(size, warmth, pressure=pressure, humid=humid, wet=wet, cement=cement)


def minutes(asked: CementedJoint) -> tuple[float, float] | None:
    """Set and cure in minutes, None when refused."""
    got = joint_times(asked)
    return None if isinstance(got, Refusal) else (got.set.seconds / 60, got.cure.seconds / 60)


@cache
def gathered() -> tuple[dict[str, str], ...]:
    return tuple(csv.DictReader(GATHERED.read_text("utf-8").splitlines()))


def again(kind: str, inches: float, degrees: float, psi: float | None, tables: str) -> float | None:
    """The longest of the tables, worked out apart: by corners, in the sheets' own units."""
    answers = []
    for table in tables:
        kinds = ("cure",) if kind == "cure" else ("set", "handling")
        rows = [r for r in gathered() if r["schedule"][0] == table and r["kind"] in kinds]
        tops = sorted({float(r["nps_max_in"]) for r in rows})
        top = next((t for t in tops if t >= inches), None)
        rows = [r for r in rows if float(r["nps_max_in"]) == top]
        lows = sorted({float(r["temp_min_F"]) for r in rows}, reverse=True)
        # the first band, from the warm end, that begins below; the coldest may begin there
        low = next((t for t in lows if t < degrees), None)
        if low is None and lows and lows[-1] == degrees:
            low = lows[-1]
        rows = [r for r in rows if float(r["temp_min_F"]) == low]
        if kind == "cure" and psi is not None:
            rows = [r for r in rows if float(r["test_psi_min"]) <= psi <= float(r["test_psi_max"])]
        elif kind == "cure":
            rows = [r for r in rows if float(r["test_psi_min"]) == 0]
        answers += [float(r["minutes"]) for r in rows]
    return max(answers, default=None)


@pytest.mark.parametrize("size", SIZES)
def test_a_second_reading_of_the_gathered_rows_gives_every_cell_the_same(size: str) -> None:
    refused = 0
    for degrees, psi, (cement, tables) in itertools.product(
        DEGREES, PRESSURES, (("", "ABC"), ("fast", "B"))
    ):
        want = [again(k, nominal_sizes()[size], degrees, psi, tables) for k in ("set", "cure")]
        got = minutes(joint(size, degrees, psi, cement=cement))
        if None in want:
            refused += 1
            assert got is None
        else:
            assert got == pytest.approx(tuple(want))
    assert refused < len(DEGREES) * len(PRESSURES) * 2


# -- field case F10 ----------------------------------------------------------------------------


def test_f10_humid_is_90_and_180_minutes_and_dry_60_and_120() -> None:
    assert minutes(joint(humid=True)) == (90.0, 180.0)
    assert minutes(joint()) == (60.0, 120.0)


@pytest.mark.parametrize("cement", ["", "regular", "medium", "heavy", "fast"])
@pytest.mark.parametrize("humid", [False, True])
def test_f10_a_wet_socket_is_not_cemented_whatever_the_factor(cement: str, humid: bool) -> None:
    got = joint_times(joint(wet=True, humid=humid, cement=cement))
    assert isinstance(got, Refusal)
    assert [(s.code, s.lift) for s in got.because] == [("WET_SOCKET", "without_cement")]


def test_wet_tolerant_cement_by_its_label_gets_the_longest_times_and_a_check() -> None:
    got = joint_times(joint(wet=True, humid=True, cement="wet"))
    assert isinstance(got, JointTimes)
    assert (got.set.seconds, got.cure.seconds) == (5400.0, 10800.0)
    assert "wet-by-label" in {f.code for f in got.findings}


# -- a seep --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("wet_after", "allowed"), [(4.0, False), (5399.0, False), (5400.0, True)])
def test_water_that_seeps_in_before_the_set_forbids_cement(wet_after: float, allowed: bool) -> None:
    """Set is 90 minutes: a pipe that fills in 4 seconds is not cemented."""
    got = joint_times(replace(joint(humid=True), wet_after=wet_after))
    assert isinstance(got, JointTimes) is allowed
    if isinstance(got, Refusal):
        (short,) = got.because
        assert (short.code, short.have, short.need) == ("WET_BEFORE_SET", wet_after, 5400.0)
    else:
        assert "seep-after-set" in {f.code for f in got.findings}


@given(st.sampled_from(["", *CEMENTS]), st.floats(0.0, 1e5), st.floats(0.0, 1e5))
def test_water_that_comes_sooner_never_allows_more(cement: str, a: float, b: float) -> None:
    soon, late = sorted((a, b))
    never_shorter(
        replace(joint(cement=cement), wet_after=soon), replace(joint(cement=cement), wet_after=late)
    )
    never_shorter(replace(joint(cement=cement), wet_after=late), joint(cement=cement))


def test_a_seep_into_wet_tolerant_cement_is_left_to_its_label() -> None:
    got = joint_times(replace(joint(cement="wet"), wet_after=4.0))
    assert isinstance(got, JointTimes)
    assert "wet-by-label" in {f.code for f in got.findings}
    assert "seep-after-set" not in {f.code for f in got.findings}


# -- laws --------------------------------------------------------------------------------------

degrees = st.one_of(st.floats(0.0, 150.0), st.sampled_from([float(d) for d in DEGREES]))
pressures = st.one_of(st.none(), st.floats(0.0, 370.0), st.sampled_from([160.0, 180.0, 315.0]))
sizes = st.sampled_from(SIZES)
classes = st.sampled_from(["", *CEMENTS])


def never_shorter(harder: CementedJoint, easier: CementedJoint) -> None:
    """What is harder takes as long or longer, or is refused."""
    hard, easy = minutes(harder), minutes(easier)
    if easy is None:
        assert hard is None
    elif hard is not None:
        assert hard[0] >= easy[0]
        assert hard[1] >= easy[1]


@given(sizes, degrees, degrees, pressures, classes)
def test_colder_never_shortens(
    size: str, a: float, b: float, psi: float | None, cement: str
) -> None:
    never_shorter(
        joint(size, min(a, b), psi, cement=cement), joint(size, max(a, b), psi, cement=cement)
    )


@given(sizes, sizes, degrees, pressures, classes)
def test_larger_never_shortens(
    one: str, other: str, warmth: float, psi: float | None, cement: str
) -> None:
    small, large = sorted((one, other), key=lambda s: nominal_sizes()[s])
    never_shorter(
        joint(large, warmth, psi, cement=cement), joint(small, warmth, psi, cement=cement)
    )


@given(sizes, degrees, st.floats(0.0, 370.0), st.floats(0.0, 370.0), classes)
def test_more_pressure_never_shortens(
    size: str, warmth: float, a: float, b: float, cement: str
) -> None:
    never_shorter(
        joint(size, warmth, max(a, b), cement=cement), joint(size, warmth, min(a, b), cement=cement)
    )


@given(sizes, degrees, pressures, classes, st.booleans())
def test_damper_never_shortens(
    size: str, warmth: float, psi: float | None, cement: str, humid: bool
) -> None:
    dry = joint(size, warmth, psi, cement=cement)
    never_shorter(replace(dry, humid=True), dry)
    never_shorter(replace(dry, humid=humid, wet=True), replace(dry, humid=humid))


@given(sizes, degrees, degrees, degrees, classes)
def test_one_more_thermometer_never_shortens(
    size: str, air: float, pipe: float, ground: float, cement: str
) -> None:
    first = joint(size, air, cement=cement)
    second = replace(first, pipe=Warmth.of(fahrenheit(pipe)))
    never_shorter(second, first)
    never_shorter(replace(second, ground=Warmth.of(fahrenheit(ground))), second)


@given(sizes, degrees, pressures)
def test_the_longest_of_all_is_as_long_as_every_single_table(
    size: str, warmth: float, psi: float | None
) -> None:
    got = joint_times(joint(size, warmth, psi))
    cell = Cell(nominal_sizes()[size], fahrenheit(warmth), None if psi is None else psi * PSI)
    for table in pressure_tables():
        alone = {kind: read_table(table, kind, cell) for kind in ("set", "cure")}
        if isinstance(got, JointTimes):
            for kind, longest in (("set", got.set), ("cure", got.cure)):
                one = alone[kind]
                assert not isinstance(one, Reading) or one.seconds <= longest.seconds


@given(sizes, degrees, pressures, classes)
def test_a_named_class_is_never_slower_than_no_class(
    size: str, warmth: float, psi: float | None, cement: str
) -> None:
    never_shorter(joint(size, warmth, psi), joint(size, warmth, psi, cement=cement))


@given(sizes, degrees, pressures, classes, st.booleans())
def test_asked_twice_it_answers_the_same_and_cure_is_never_before_set(
    size: str, warmth: float, psi: float | None, cement: str, humid: bool
) -> None:
    asked = joint(size, warmth, psi, cement=cement, humid=humid)
    assert joint_times(asked) == joint_times(asked)
    got = minutes(asked)
    assert got is None or got[0] <= got[1]


def test_only_the_fast_class_is_faster() -> None:
    slow = minutes(joint("2", 30.0))
    assert slow is not None
    told = {c: minutes(joint("2", 30.0, cement=c)) for c in cements()}
    assert {c for c, m in told.items() if m != slow} == {"fast"}
    assert told["fast"] == (15.0, 60.0)


def test_a_loose_fit_takes_the_longest_again_even_with_a_fast_cement() -> None:
    asked = replace(joint("2", 30.0, cement="fast"), loose=True)
    assert minutes(asked) == minutes(joint("2", 30.0))


# -- how far the sources disagree --------------------------------------------------------------


def every_cell() -> list[Cell]:
    return [
        Cell(inches, fahrenheit(d), None if p is None else p * PSI)
        for inches in nominal_sizes().values()
        for d in DEGREES
        for p in PRESSURES
    ]


def test_the_tables_differ_up_to_24_fold_and_none_is_slowest_everywhere() -> None:
    told = [disagreement(kind, cell) for kind in ("set", "cure") for cell in every_cell()]
    assert max(d.ratio for d in told) == pytest.approx(24.0)
    several = [d for d in told if len(d.readings) == len(pressure_tables())]
    alone_slowest = {
        d.readings[0].table for d in several if d.readings[0].seconds > d.readings[1].seconds
    }
    assert len(alone_slowest) > 1
    assert all(d.ratio >= 1.0 and len(d.readings) + len(d.silent) == 3 for d in told)


def test_a_vent_table_never_speaks_of_pressure() -> None:
    assert "vent" not in pressure_tables()
    warm = fahrenheit(70.0)
    for pressure in (None, 1.0, 80 * PSI):
        for kind in ("set", "cure"):
            got = read_table("vent", kind, Cell(2.0, warm, pressure))
            assert not isinstance(got, Reading)
            assert got.code == "VENT_ONLY"
    told = disagreement("cure", Cell(2.0, warm, 0.0))
    assert {r.table for r in told.readings} == set(pressure_tables())


# -- edges, heat, cold -------------------------------------------------------------------------


@pytest.mark.parametrize(("edge", "colder"), [(60.0, 59.0), (40.0, 39.0), (20.0, 19.0)])
def test_an_edge_takes_the_colder_row(edge: float, colder: float) -> None:
    assert minutes(joint(degrees=edge)) == minutes(joint(degrees=colder))
    got = joint_times(joint(degrees=edge))
    assert isinstance(got, JointTimes)
    assert ("band-edge" in {f.code for f in got.findings}) is True


def test_an_edge_typed_in_celsius_is_the_same_edge() -> None:
    asked = CementedJoint("1", Warmth.of(40.0 / 9.0 + 273.15))  # 4.444 °C is 40 °F
    assert minutes(asked) == minutes(joint(degrees=40.0)) == minutes(joint(degrees=39.0))


def test_hotter_than_the_tables_is_bounded_by_their_hottest_row_and_warned_about() -> None:
    assert minutes(joint(degrees=110.0)) == minutes(joint(degrees=99.0))
    got = joint_times(joint(degrees=110.0))
    assert isinstance(got, JointTimes)
    codes = {f.code for f in got.findings}
    assert {"hotter-than-tables", "hot-open-time"} <= codes
    assert got.working.hotter


@pytest.mark.parametrize(
    ("asked", "codes"),
    [
        (joint(degrees=-1.0), {"TABLE_COLD"}),
        (joint("12", 70.0, 101.0), {"TABLE_PRESSURE", "TABLE_SIZE"}),
        (joint("1", 70.0, 371.0), {"TABLE_PRESSURE"}),
    ],
)
def test_what_no_table_reaches_is_refused_with_every_tables_limit(
    asked: CementedJoint, codes: set[str]
) -> None:
    got = joint_times(asked)
    assert isinstance(got, Refusal)
    assert {s.code for s in got.because} == codes
    assert {s.where for s in got.because} == set(pressure_tables())


def test_a_cement_too_thin_for_its_pipe_is_remarked_on() -> None:
    got = joint_times(joint("3", cement="regular"))
    assert isinstance(got, JointTimes)
    assert "cement-too-thin" in {f.code for f in got.findings}
    small = joint_times(joint("2", cement="regular"))
    assert isinstance(small, JointTimes)
    assert "cement-too-thin" not in {f.code for f in small.findings}


def test_both_sources_are_named() -> None:
    got = joint_times(joint(humid=True))
    assert isinstance(got, JointTimes)
    named = {r.row.source for r in got.cure.sources_differ.readings}
    assert named == {"maker-J1", "maker-J2", "maker-J3"}
    assert got.set.factor is not None
    assert got.set.factor.source == "maker-J2"


# -- what cannot be asked ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "error"),
    [
        (CementedJoint("1"), Missing),
        (joint("1.3"), BadInput),
        (joint("1-3/8"), BadInput),
        (joint(cement="hot glue"), UnknownName),
        (joint(degrees=300.0), OutOfRange),
        (joint(degrees=float("nan")), OutOfRange),
        (joint(psi=-1.0), OutOfRange),
        (replace(joint(), wet_after=-1.0), OutOfRange),
        (joint(psi=float("inf")), OutOfRange),
        (CementedJoint("1", Warmth(290.0, 280.0)), OutOfRange),
    ],
)
def test_what_cannot_be_read_is_one_clear_error(
    asked: CementedJoint, error: type[BadInput]
) -> None:
    with pytest.raises(error):
        joint_times(asked)


def test_the_survey_and_the_shelf_know_the_same_cements() -> None:
    assert tuple(cements()) == CEMENTS
