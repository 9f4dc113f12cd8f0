"""Contradictory and impossible readings are named, and control of another kind is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pitwright.errors import Contradiction
from pitwright.wiring.answer import answer, desk
from pitwright.wiring.faults import Place
from pitwright.wiring.measuring import MeterTest, Reading
from pitwright.wiring.readings import parse_line
from tests.wiring.harnesses import three

READY = desk(three())


def said(*lines: str) -> tuple[Reading, ...]:
    return tuple(parse_line(line, READY.harness) for line in lines)


def test_the_one_reading_that_contradicts_the_rest_is_named() -> None:
    """Five readings say sound; one of them, misread, says otherwise in a way nothing explains."""
    readings = said(
        "S1 to C1: 29.5",
        "S2 to C1: 31.7",
        "S3 to C1: 31.6",
        "S1 to S2: 59.9",
        "S2 to S3: 12.0",
        "S2 on: runs S2",
        "S1 to S3: 60.0",
    )
    got = answer(READY, readings)
    assert got.doubt is not None
    assert got.doubt.number == 4
    assert got.tests == ()


def test_readings_that_agree_are_not_doubted() -> None:
    got = answer(
        READY, said("S1 to C1: 29.5", "S2 to C1: OL", "S3 to C1: 31.7", "S2 on: runs none")
    )
    assert got.doubt is None
    assert got.findings == ()


def test_zero_ohms_everywhere_is_asked_about_and_not_believed() -> None:
    """F13: "all zones read 0 ohm except the dead one": which range, which wire was lifted?"""
    with pytest.raises(Contradiction, match="which range"):
        answer(READY, said("S1 to C1: 0", "S2 to C1: OL", "S3 to C1: 0"))


def test_the_same_zeros_with_their_range_are_sound_coils() -> None:
    """F13, once the range is known: 0.03 on 20K is 30 ohm give or take 10."""
    got = answer(
        READY, said("S1 to C1: 0.03 on 20K", "S2 to C1: OL on 20K", "S3 to C1: 0.03 on 20K")
    )
    assert got.places[0].place == Place("valve", "S2")


def test_more_volts_than_the_source_has_is_refused() -> None:
    with pytest.raises(Contradiction, match="more than this source"):
        answer(READY, said("S1 on: 120"))


def test_a_repeat_that_differs_is_a_finding_and_the_later_one_stands() -> None:
    got = answer(READY, said("S2 to C1: 31.7", "S2 to C1: OL"))
    assert [f.code for f in got.findings] == ["wiring.varies"]


@pytest.mark.parametrize("control", ["latching", "decoder", "hydraulic"])
def test_other_kinds_of_control_are_refused(control: str) -> None:
    got = answer(desk(replace(three(), control=control)), ())
    assert got.refusal is not None
    assert got.refusal.because[0].code == f"control.{control}"


def test_coils_that_all_read_a_few_ohms_are_latching_not_shorted() -> None:
    got = answer(READY, said("S1 to C1: 4.9", "S2 to C1: 5.2", "S3 to C1: 5.3"))
    assert got.refusal is not None
    assert got.refusal.because[0].code == "control.all-low"


def test_one_low_reading_among_sound_ones_is_a_fault_not_a_kind_of_control() -> None:
    got = answer(READY, said("S1 to C1: 29.4", "S2 to C1: 5.2", "S3 to C1: 31.8"))
    assert got.refusal is None


def test_two_faults_are_found_and_one_is_to_be_mended_first() -> None:
    got = answer(
        READY,
        said(
            "S1 to C1: OL", "S2 to C1: 150", "S3 to C1: 31.7", "S2 to S3: 180", "S1 on: runs none"
        ),
    )
    assert got.pair is not None
    assert {got.pair[0].on, got.pair[1].on} == {"S1", "S2"}
    assert got.pair[0].kind == "open"


def test_readings_of_a_test_with_no_names_left_out_keep_their_number() -> None:
    assert answer(READY, ()).step in ("test", "stop")
    assert MeterTest("ohms", "S1") < MeterTest("ohms", "S2")
