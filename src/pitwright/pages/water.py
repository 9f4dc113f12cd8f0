"""When water may come back on Build, and what still speaks against it. [s]"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime, timedelta

from pitwright.joining.assembly import WATER_ON
from pitwright.pages.doing import Doing, doings, done_at, standing_before
from pitwright.pages.standing import Going, Pit

__all__ = ["against_water", "waits_for_all", "water_at"]


def waits_for_all(pit: Pit, going: Going, every: Sequence[Doing]) -> float | None:
    """The longest cure of a zone whose cemented joints are not all made; None when they are. [s]

    Source: the plan's own waits.
    """
    cemented = [d for d in every if d.cure > 0.0]
    if all(done_at(pit.state, going, d) is not None for d in cemented):
        return None
    return max(d.cure for d in cemented)


def water_at(pit: Pit, going: Going, every: Sequence[Doing]) -> tuple[datetime, datetime] | None:
    """Until when the joints made so far keep water away, and when the latest was made.

    What earlier trains left standing counts too. None where nothing is cemented. Source: the
    record's own times.
    """
    made = [(d, done_at(pit.state, going, d)) for d in every if d.cure > 0.0]
    every_joint = [*standing_before(pit.state, going), *made]
    ends = [
        (at + timedelta(seconds=d.cure), at)
        for d, at in every_joint
        if at is not None and d.cure > 0.0
    ]
    return max(ends) if ends else None


def against_water(pit: Pit, going: Going, now: datetime) -> Iterator[str]:
    """What speaks against water now: steps not done, joints that cure, another zone begun.

    Source: none needed.
    """
    every = doings(going.stage)
    open_ = [d for d in every if d.code != WATER_ON and done_at(pit.state, going, d) is None]
    if open_:
        yield f"{len(open_)} step{'s' * (len(open_) != 1)} before it not done"
    got = water_at(pit, going, every)
    if got is not None and now < got[0]:
        yield f"the last joint cures until {got[0]:%H:%M}"
    for other in pit.goings:
        if other.zone == going.zone or other.status != "ready":
            continue
        theirs = doings(other.stage)
        done = [d for d in theirs if done_at(pit.state, other, d) is not None]
        until = water_at(pit, other, theirs)
        curing = until is not None and now < until[0]
        if curing or 0 < len(done) < len(theirs) - any(d.code == WATER_ON for d in theirs):
            yield f"zone {other.name} is begun and not ready for water"
