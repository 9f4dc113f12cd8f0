"""From the conditions of a survey to the question about a joint."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pitwright.errors import Missing
from pitwright.findings import ReadingId
from pitwright.jointing.asked import is_humid, joint_under
from pitwright.jointing.tables import fahrenheit
from pitwright.jointing.times import JointTimes, joint_times
from pitwright.survey.conditions import Conditions
from pitwright.survey.readings import Reading
from pitwright.units.spread import Limit, Sigma, sigma_from


def read(degrees: float, within: float | None = None) -> Reading:
    sigma = Sigma(1.0) if within is None else sigma_from(Limit(within * 5 / 9))
    return Reading(
        ReadingId("conditions.air"),
        f"{degrees} F",
        fahrenheit(degrees),
        sigma,
        "temperature",
        "thermometer",
        within is not None,
    )


DAY = Conditions(read(70.0), None, read(55.0), 0.5, "medium", "12:00", "")


def minutes(conditions: Conditions, *, damp_pit: bool = False) -> tuple[float, float]:
    got = joint_times(joint_under(conditions, "1", damp_pit=damp_pit))
    assert isinstance(got, JointTimes)
    return got.set.seconds / 60, got.cure.seconds / 60


def test_the_coldest_reading_of_the_day_counts() -> None:
    assert joint_under(DAY, "1").coldest() == ("ground", fahrenheit(55.0))
    assert minutes(DAY) == (60.0, 120.0)
    assert minutes(replace(DAY, ground=None)) == (30.0, 60.0)


def test_a_range_that_was_typed_counts_to_its_coldest_end_and_a_tools_sigma_does_not() -> None:
    assert minutes(replace(DAY, air=read(62.0), ground=None)) == (30.0, 60.0)
    assert minutes(replace(DAY, air=read(62.0, within=3.0), ground=None)) == (60.0, 120.0)


@pytest.mark.parametrize(
    ("relative", "humid"), [(None, False), (0.0, False), (0.60, False), (0.61, True), (1.0, True)]
)
def test_air_is_humid_above_60_percent(relative: float | None, humid: bool) -> None:
    assert is_humid(relative) is humid
    assert joint_under(replace(DAY, humidity=relative), "1").humid is humid


def test_a_pit_that_drips_is_humid_whatever_the_hygrometer_says() -> None:
    assert minutes(DAY, damp_pit=True) == (90.0, 180.0)


def test_no_thermometer_is_asked_for_and_never_guessed() -> None:
    with pytest.raises(Missing, match="temperature"):
        joint_under(replace(DAY, air=None, ground=None), "1")
