"""No code of a joint reaches a reader without its words; times and clocks as people say them."""

from __future__ import annotations

import ast
from datetime import datetime

import pytest

from pitwright.findings import Short
from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.jointing.tables import fahrenheit
from pitwright.jointing.times import JointTimes, joint_times
from pitwright.wording.findings import finding_words, short_words
from pitwright.wording.jointing import (
    FINDINGS,
    LIFTS,
    SHORTS,
    clock_text,
    cure_text,
    degrees_text,
    duration_text,
    short_text,
)
from tests.house.reading import SRC, called, tree

ROOM = sorted((SRC / "jointing").glob("*.py"))


def given_to(names: set[str], place: int) -> set[str]:
    """The words at one place of every call of these names in the room."""
    return {
        word.value
        for path in ROOM
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call) and called(node) in names and len(node.args) > place
        for word in [node.args[place]]
        if isinstance(word, ast.Constant) and isinstance(word.value, str)
    }


def test_every_finding_of_the_room_has_its_sentence_and_none_is_idle() -> None:
    assert given_to({"finding"}, 0) == set(FINDINGS)


def test_every_limit_and_lift_of_the_room_has_its_words_and_none_is_idle() -> None:
    assert given_to({"Short", "_short"}, 0) == set(SHORTS)
    assert given_to({"Short"}, 6) == set(LIFTS)


@pytest.mark.parametrize(
    ("seconds", "text"),
    [
        (20.0, "20 s"),
        (90.0, "90 s"),
        (120.0, "2 min"),
        (1350.0, "22.5 min"),
        (5400.0, "90 min"),
        (10800.0, "180 min (3 h)"),
        (172800.0, "2880 min (48 h)"),
        (9300.0, "155 min (2 h 35 min)"),
        (9301.0, "156 min (2 h 36 min)"),
        (1351.0, "22.6 min"),
    ],
)
def test_a_time_is_told_in_the_unit_one_waits_by(seconds: float, text: str) -> None:
    assert duration_text(seconds) == text


def test_a_clock_counts_a_started_minute_whole_and_names_the_day() -> None:
    noon = datetime(2030, 5, 4, 12, 0)
    assert clock_text(datetime(2030, 5, 4, 12, 22, 30), noon) == "12:23"
    assert clock_text(datetime(2030, 5, 4, 12, 22), noon) == "12:22"
    assert clock_text(datetime(2030, 5, 5, 9, 5), noon) == "9:05 the next day"
    assert clock_text(datetime(2030, 5, 6, 12, 0), noon) == "12:00, 2 days later"
    assert clock_text(datetime(2030, 5, 4, 23, 59, 1), noon) == "0:00 the next day"


def test_degrees_never_read_minus_nought() -> None:
    assert degrees_text(273.05) == "32 °F (0 °C)"
    assert degrees_text(fahrenheit(-0.4)) == "0 °F (-18 °C)"


def test_a_finding_of_a_joint_reads_the_same_in_a_plan() -> None:
    got = joint_times(
        CementedJoint("3", Warmth.of(fahrenheit(120.0)), humid=True, cement="regular")
    )
    assert isinstance(got, JointTimes)
    assert len(got.findings) >= 5
    for found in got.findings:
        assert finding_words(found) == FINDINGS[found.code](found)
    text = cure_text(got, None)
    assert all(finding_words(found) in text for found in got.findings)


@pytest.mark.parametrize(
    ("short", "text"),
    [
        (Short("TABLE_COLD", "fast", 250.0, 255.37, 5.37, "K", "label_or_mechanical"), "0 °F"),
        (Short("TABLE_PRESSURE", "fast", 689476.0, 1034214.0, 1.0, "Pa", ""), "asked 150 psi"),
        (Short("TABLE_SIZE", "standard", 0.0762, 0.3048, 0.2286, "m", ""), "12 in"),
    ],
)
def test_a_limit_of_a_table_says_what_was_asked_and_where_it_ends(short: Short, text: str) -> None:
    assert text in short_text(short)
    assert text in short_words(short)
