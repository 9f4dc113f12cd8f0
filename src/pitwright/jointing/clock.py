"""The clock of one joint: when hands, braces and water may change, from the time it was made.

No clock is read here: the time the joint was made is an argument.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from pitwright.jointing.times import JointTimes

__all__ = ["JointClock", "joint_clock", "water_on"]


@dataclass(frozen=True, slots=True)
class JointClock:
    """The four times of one joint: made, hands off, braces off, water on."""

    made_at: datetime
    hands_off: datetime
    braces_off: datetime
    water_on: datetime


def water_on(made_at: datetime, times: JointTimes) -> datetime:
    """The earliest time water under pressure may stand in a joint made at ``made_at``. [s]

    The cure time later, and never before it is set. Source: the tables' own, and arithmetic.
    """
    return _later(made_at, max(times.set.seconds, times.cure.seconds))


def joint_clock(made_at: datetime, times: JointTimes) -> JointClock:
    """All four times of a joint whose last coat went on at ``made_at``. Source: arithmetic. [s]"""
    return JointClock(
        made_at,
        _later(made_at, times.working.bottom_by + times.working.hand_hold),
        _later(made_at, times.set.seconds),
        water_on(made_at, times),
    )


def _later(start: datetime, seconds: float) -> datetime:
    """Real time later: where the time knows its zone, a night the clocks change adds nothing."""
    if start.tzinfo is None:
        return start + timedelta(seconds=seconds)
    return (start.astimezone(UTC) + timedelta(seconds=seconds)).astimezone(start.tzinfo)
