"""The clock of one joint is a pure function of the time it was made."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from pitwright.jointing.clock import joint_clock, water_on
from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.jointing.tables import fahrenheit
from pitwright.jointing.times import JointTimes, joint_times

NOON = datetime(2030, 5, 4, 12, 0)


def times(degrees: float = 60.0, *, humid: bool = False) -> JointTimes:
    got = joint_times(CementedJoint("1", Warmth.of(fahrenheit(degrees)), humid=humid))
    assert isinstance(got, JointTimes)
    return got


def test_f10_made_at_noon_in_humid_air_is_filled_at_three() -> None:
    clock = joint_clock(NOON, times(humid=True))
    assert clock.water_on == water_on(NOON, times(humid=True)) == datetime(2030, 5, 4, 15, 0)
    assert clock.braces_off == datetime(2030, 5, 4, 13, 30)
    assert clock.hands_off == NOON + timedelta(seconds=80)


def test_dry_air_lets_it_be_filled_at_two() -> None:
    assert water_on(NOON, times()) == datetime(2030, 5, 4, 14, 0)


def test_the_night_the_clocks_are_put_forward_does_not_shorten_a_cure() -> None:
    zone = ZoneInfo("America/Los_Angeles")
    evening = datetime(2030, 3, 9, 23, 30, tzinfo=zone)  # at 2:00 it becomes 3:00
    on = water_on(evening, times(humid=True))
    assert on.tzinfo is zone
    assert on.astimezone(UTC) - evening.astimezone(UTC) == timedelta(hours=3)
    assert (on.hour, on.minute) == (3, 30)


@given(st.datetimes(datetime(2000, 1, 1), datetime(2100, 1, 1)), st.floats(0.0, 120.0))
def test_the_clock_never_runs_backwards_and_moves_with_the_making(
    made_at: datetime, degrees: float
) -> None:
    got = times(degrees)
    clock = joint_clock(made_at, got)
    assert made_at < clock.hands_off < clock.braces_off <= clock.water_on
    later = joint_clock(made_at + timedelta(minutes=7), got)
    assert later.water_on - clock.water_on == timedelta(minutes=7)
