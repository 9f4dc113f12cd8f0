"""Steps in sentences: every code has its words, every clock its time, a stop says so."""

from __future__ import annotations

from datetime import datetime
from functools import cache
from itertools import pairwise

import pytest

from pitwright.findings import Refusal
from pitwright.joining.assembly import Assembly, Step
from pitwright.joining.putting_in import put_in
from pitwright.trains.cut_list import Where
from pitwright.units.inches import both_text
from pitwright.wording.steps import (
    LEFT_LONG,
    began_at,
    clock_of,
    giver_words,
    step_lines,
    step_words,
    water_words,
)
from tests.joining.built import corner, elbow_box

EIGHT = datetime(2026, 5, 16, 8, 20)


@cache
def made() -> tuple[Assembly, ...]:
    got = [put_in(elbow_box()), put_in(corner())]
    return tuple(a for a in got if not isinstance(a, Refusal))


def test_both_hand_built_trains_go_in() -> None:
    assert len(made()) == 2


def test_every_step_has_its_words() -> None:
    for assembly in made():
        for step in assembly.steps:
            said = step_words(step)
            assert said != step.code
            assert said[0].isupper()
            assert said.endswith((".", "?"))


def test_an_unknown_step_is_shown_as_it_is() -> None:
    assert step_words(Step("hum_a_tune", Where.PIT, (), 0.0, 0.0, 0.0)) == "hum_a_tune"


def test_clock_times_run_forward_from_when_work_begins() -> None:
    for assembly in made():
        lines = list(step_lines(assembly, EIGHT))
        assert lines[0].startswith("8:20: ")
        times = [datetime.strptime(line.split(": ")[0].split(" ")[0], "%H:%M") for line in lines]
        assert all(a <= b for a, b in pairwise(times))
        assert water_words(assembly, EIGHT).removeprefix("water on ") in lines[-1]


def test_without_a_time_they_are_minutes_from_the_start() -> None:
    assembly = made()[0]
    assert next(step_lines(assembly)).startswith("0 min in: ")
    assert water_words(assembly).endswith("after work begins")


def test_a_cut_is_a_stop_with_its_check_right_before_it() -> None:
    lines = list(step_lines(made()[0], EIGHT))
    stops = [n for n, line in enumerate(lines) if ": STOP. Cut " in line]
    assert len(stops) == 2
    assert all("again before it is cut" in lines[n - 1] for n in stops)


def test_what_gives_the_opening_is_named() -> None:
    assert giver_words(made()[0]) == "the rest drops on two parallel sockets in one push"
    assert giver_words(made()[1]).startswith("old pipe is sprung open for the last joint, by ")


@pytest.mark.parametrize(
    ("text", "expected"),
    [("2026-05-16 08:20", EIGHT), ("after lunch", None), ("", None)],
)
def test_a_clock_time_is_read_or_left(text: str, expected: datetime | None) -> None:
    assert began_at(text) == expected


def test_a_started_minute_counts_whole() -> None:
    assert clock_of(61.0, EIGHT) == "8:22"
    assert clock_of(61.0, None) == "2 min in"
    assert clock_of(86_400.0, EIGHT) == "8:20 the next day"


def test_bends_that_are_left_dry_are_told_to_be_rolled_at_the_dry_fit() -> None:
    assembly = made()[1]
    plain, rolled = (
        next(line for line in step_lines(assembly, EIGHT, (), rolls) if "together dry" in line)
        for rolls in ((), ("bend 1", "bend 2"))
    )
    assert "Roll bend 1 and bend 2, still dry" in rolled
    assert "Mark the clocking across every bend" in rolled
    assert "Roll" not in plain


def test_a_piece_that_is_trimmed_last_is_never_told_to_be_cut_to_length_first() -> None:
    """Cut to length at once, nothing would be left to trim."""
    assembly = made()[0]
    lines = list(step_lines(assembly, EIGHT, ("B",)))
    cut = next(line for line in lines if "Cut piece B" in line)
    planned = next(s for s in assembly.steps if dict(s.names).get("piece") == "B").number("length")
    assert "LONG" in cut
    assert f"to {both_text(planned + LEFT_LONG)}" in cut
    assert all("LONG" not in line for line in lines if "Cut piece A" in line)
    assert any(
        "drawn out 1/64 in, so that all comes out a hair short. Mark B in place" in line
        and "Put it together dry again" in line
        for line in lines
    )
