"""The question about a joint, made from the conditions of a survey."""

from __future__ import annotations

import math

from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.jointing.tables import rule
from pitwright.survey.conditions import Conditions
from pitwright.survey.readings import Reading

__all__ = ["is_humid", "joint_under"]


def is_humid(relative: float | None) -> bool:
    """Whether air of this relative humidity [0 to 1] lengthens set and cure; unknown does not.

    Above 60 %. Source: ``joint_rule.csv``, humid_above.
    """
    return relative is not None and relative > rule("humid_above").value


def joint_under(
    conditions: Conditions,
    size: str,
    *,
    pressure: float | None = None,
    wet: bool = False,
    damp_pit: bool = False,
    loose: bool = False,
) -> CementedJoint:
    """A joint of nominal ``size`` under the conditions of the day.

    ``pressure`` is what will stand in it [Pa]; ``damp_pit``: water stands or drips in the pit,
    so that its air is humid whatever the hygrometer says. Raises Missing where no temperature was
    read, OutOfRange, UnknownName. Source: the readings.
    """
    return CementedJoint(
        size,
        _warmth(conditions.air),
        _warmth(conditions.pipe),
        _warmth(conditions.ground),
        pressure,
        is_humid(conditions.humidity) or damp_pit,
        wet,
        loose,
        conditions.cement,
    ).checked()


def _warmth(reading: Reading | None) -> Warmth | None:
    """A range or a plus-or-minus that was typed counts in full; a tool's own sigma does not."""
    if reading is None:
        return None
    half = math.sqrt(3.0) * reading.sigma.one if reading.given else 0.0
    return Warmth(reading.value - half, reading.value + half)
