"""People's own way of writing a reading is understood, and what is unclear is asked about."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import BadInput, Malformed, OutOfRange, UnknownName
from pitwright.wiring.measuring import EARTH, MeterTest, Reading
from pitwright.wiring.readings import parse_line, parse_shown, parse_test
from tests.wiring.harnesses import three

HARNESS = three()


def read(text: str) -> Reading:
    return parse_line(text, HARNESS)


@pytest.mark.parametrize(
    ("said", "test"),
    [
        ("S1 to C1", MeterTest("ohms", "S1")),
        ("1 to common", MeterTest("ohms", "S1")),
        ("common to zone 2", MeterTest("ohms", "S2")),
        ("2 - 3", MeterTest("ohms", "S2", "S3")),
        ("C1 to earth", MeterTest("insulation", "C1")),
        ("station 2 to ground", MeterTest("insulation", "S2")),
        ("coil S2", MeterTest("coil", "S2")),
        ("S2 parted", MeterTest("parted", "S2")),
        ("S2 joined", MeterTest("joined", "S2")),
        ("S2 at B1", MeterTest("volts-box", "S2", box="B1")),
        ("S2 capacitance", MeterTest("capacitance", "S2")),
        (
            "drive S1 C1 sense earth C1",
            MeterTest("transfer", "S1", "C1", sense=(EARTH, "C1")),
        ),
    ],
)
def test_a_test_is_named_in_plain_words(said: str, test: MeterTest) -> None:
    assert parse_test(said, HARNESS) == test


def test_a_range_says_what_the_display_was_in() -> None:
    """0.04 on the 20K range is 40 ohm, give or take its last digit of 10."""
    got = read("S1 to C1: 0.04 on 20K")
    assert (got.value, got.fixed, got.limit) == (40.0, 10.0, 20_000.0)


def test_over_range_on_a_low_range_is_only_more_than_that_range() -> None:
    got = read("S1 to C1: OL on 200")
    assert (got.value, got.limit) == ("OL", 200.0)


@pytest.mark.parametrize("said", ["OL", "O.L.", "0L", "1 .", "infinite", "over range", "OL."])
def test_over_range_has_many_spellings(said: str) -> None:
    assert read(f"S1 to C1: {said}").value == "OL"


def test_no_load_at_the_valve_means_the_coil_was_parted() -> None:
    got = read("S2 at valve: 24v no load")
    assert (got.test.kind, got.value) == ("volts-wires", 24.0)
    assert read("S2 at valve: 19.5 V").test.kind == "volts-coil"


def test_no_load_anywhere_else_is_refused() -> None:
    with pytest.raises(Malformed, match="prove nothing"):
        read("S2 on: 24v no load")


@pytest.mark.parametrize(
    ("said", "moved"),
    [
        ("runs 2 and 3", {"S2", "S3"}),
        ("runs S2", {"S2"}),
        ("only 2 runs", {"S2"}),
        ("none runs", set()),
        ("nothing runs", set()),
        ("runs 1, 2 & 3", {"S1", "S2", "S3"}),
    ],
)
def test_what_runs_is_a_set_of_stations(said: str, moved: set[str]) -> None:
    got = read(f"S2 on: {said}")
    assert (got.test, got.value) == (MeterTest("moves", "S2"), frozenset(moved))


def test_a_station_switched_on_reads_volts_or_amps_by_its_unit() -> None:
    assert read("S2 on: 26.5").test.kind == "volts"
    assert read("S2 on: 0.22 A").test.kind == "amps"
    assert read("S2 on: 220 mA").value == pytest.approx(0.22)


@pytest.mark.parametrize("said", ["short", "shorted", "dead", "open", "beeps", "bad"])
def test_a_word_is_no_reading_and_is_asked_about(said: str) -> None:
    with pytest.raises(Malformed, match="is not a reading"):
        read(f"S2 to C1: {said}")


def test_readings_with_the_wires_on_are_refused() -> None:
    with pytest.raises(Malformed, match="lift all field wires"):
        read("S2 to C1: 28 wires on")


def test_an_unknown_wire_brings_the_nearest_names() -> None:
    with pytest.raises(UnknownName) as caught:
        read("S22 to C1: 30")
    assert "S2" in caught.value.nearest


@pytest.mark.parametrize(
    "said",
    ["S1 to C1", "S1 to C1:", "S1 to S1: 3", "S1 near C1: 3", "S1 to C1: 3 V", "S1 at B2: 3"],
)
def test_what_cannot_be_read_is_one_clear_message(said: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(said)
    assert "\n" not in str(caught.value)


def test_a_number_over_its_own_range_is_out_of_range() -> None:
    with pytest.raises(OutOfRange, match="range"):
        read("S1 to C1: 350 on 200")


def test_an_answer_alone_is_read_for_a_known_test() -> None:
    got = parse_shown("4.6 nF", MeterTest("capacitance", "S2"), HARNESS)
    assert got.value == pytest.approx(4.6e-9)
    assert parse_shown("no reading", MeterTest("capacitance", "S2"), HARNESS).value == "INVALID"


def test_leads_are_taken_off_and_a_meters_class_is_kept() -> None:
    got = read("S1 to C1: 30.2 on 200, leads 0.4, meter 2.5 %")
    assert got.value == pytest.approx(29.8)
    assert got.rel == pytest.approx(0.025)


WORDS = st.sampled_from(
    [
        "S1",
        "S2",
        "C1",
        "C2",
        "2",
        "zone",
        "to",
        "on",
        "coil",
        "parted",
        "valve",
        "at",
        "B1",
        "earth",
        "drive",
        "sense",
        ":",
        "OL",
        "24v",
        "no",
        "load",
        "20K",
        "-3",
        "0.04",
        "1e9",
        "runs",
        "none",
        "and",
        "nF",
        "mA",
        "%",
        "leads",
        "∞",
        ".",
        ",",
        ";",
        "½",
    ]
)


@given(st.one_of(st.text(max_size=40), st.lists(WORDS, max_size=9).map(" ".join)))
def test_any_text_is_a_reading_or_one_clear_message(text: str) -> None:
    try:
        got = read(text)
    except BadInput as mistake:
        assert "\n" not in str(mistake)
    else:
        assert got.test.a
