"""From the last coat to hands off: the short time is the careful one, and hands stay longest."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.jointing.question import CementedJoint, Warmth, nominal_sizes
from pitwright.jointing.tables import fahrenheit, records
from pitwright.jointing.working import working
from pitwright.survey.conditions import CEMENTS
from tests.house.reading import SRC

degrees = st.floats(0.0, 150.0)


def joint(size: str, *read: float, cement: str = "") -> CementedJoint:
    warm = [Warmth.of(fahrenheit(r)) for r in read]
    air, pipe = warm[0], (warm[1] if len(warm) > 1 else None)
    return CementedJoint(size, air, pipe, cement=cement)


@pytest.mark.parametrize(
    ("read", "low", "high"),
    [
        (70.0, 20, 90),
        (90.0, 15, 45),
        (50.0, 60, 180),
        (80.0, 15, 45),
        (60.0, 20, 90),
        (0.0, 60, 180),
    ],
)
def test_open_time_takes_the_shorter_row_at_an_edge(read: float, low: float, high: float) -> None:
    got = working(joint("1", read)).open_time
    assert got is not None
    assert (got.low, got.high, got.status) == (low, high, "memory")


def test_open_time_goes_by_the_hottest_and_hand_hold_by_the_coldest() -> None:
    got = working(joint("1", 30.0, 95.0))
    assert got.open_time is not None
    assert got.open_time.low == 15
    assert got.bottom_by == 15
    assert got.hand_hold == 180


def test_any_joint_is_bottomed_within_20_seconds_even_where_no_open_time_is_known() -> None:
    got = working(joint("2", 70.0))
    assert got.open_time is None
    assert got.bottom_by == 20
    assert {f.code for f in got.findings} == {"open-time-not-printed"}


@given(st.sampled_from(list(nominal_sizes())), degrees, st.sampled_from(["", *CEMENTS]))
def test_larger_pipe_never_gives_more_time(size: str, read: float, cement: str) -> None:
    assert (
        working(joint(size, read, cement=cement)).bottom_by
        <= working(joint("1/2", read, cement=cement)).bottom_by
    )


def test_heat_is_warned_about_at_any_size_even_where_only_the_pipe_is_hot() -> None:
    got = working(joint("2", 90.0, 120.0))
    assert got.hotter
    assert {f.code for f in got.findings} == {"hot-open-time", "open-time-not-printed"}
    assert got.bottom_by == 15


@pytest.mark.parametrize("size", ["1", "2"])
@pytest.mark.parametrize("cement", ["fast", "wet"])
def test_a_quick_cement_has_its_own_shorter_open_time(size: str, cement: str) -> None:
    got = working(joint(size, 70.0, cement=cement))
    assert got.open_time is not None
    assert (got.open_time.low, got.bottom_by) == (10, 10)


@pytest.mark.parametrize(("read", "hold"), [(41.0, 60), (40.0, 180), (39.0, 180), (100.0, 60)])
def test_hands_stay_three_minutes_in_the_cold_and_its_edge(read: float, hold: float) -> None:
    assert working(joint("1", read)).hand_hold == hold


@given(st.sampled_from(list(nominal_sizes())), degrees, degrees, st.sampled_from(["", *CEMENTS]))
def test_hotter_never_gives_more_time_and_never_a_longer_hold(
    size: str, a: float, b: float, cement: str
) -> None:
    cool = working(joint(size, min(a, b), cement=cement))
    hot = working(joint(size, max(a, b), cement=cement))
    assert hot.bottom_by <= cool.bottom_by <= 20
    assert hot.hand_hold <= cool.hand_hold
    if cool.open_time and hot.open_time:
        assert hot.open_time.low <= cool.open_time.low


def test_no_rule_lies_unused() -> None:
    """Each row of single numbers is asked for by name somewhere in the room."""
    source = "".join(p.read_text("utf-8") for p in (SRC / "jointing").glob("*.py"))
    rows = [row["item"] for _, row in records("joint_rule")]
    assert len(rows) >= 5
    assert [item for item in rows if f'rule("{item}")' not in source] == []
