"""The clock of a job: one pair of hands, one step after the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pitwright.joining.assembly import Step
from pitwright.joining.numbers import handwork
from pitwright.jointing.times import JointTimes
from pitwright.trains.cut_list import Where

__all__ = ["Clock", "Names", "Numbers"]

Numbers = tuple[tuple[str, float], ...]
Names = tuple[tuple[str, str], ...]


class Clock:
    """Steps one after the other; ``set`` is when all cement so far is set, ``water`` cured. [s]"""

    def __init__(self) -> None:
        self.now = self.set = self.water = 0.0
        self.steps: list[Step] = []

    def do(
        self,
        code: str,
        where: Where,
        seconds: float,
        *,
        joints: tuple[int, ...] = (),
        numbers: Numbers = (),
        names: Names = (),
        stop: bool = False,
    ) -> None:
        """A step that is over when hands are free."""
        end = self.now + seconds
        self.steps.append(Step(code, where, joints, self.now, end, end, stop, numbers, names))
        self.now = end

    def cement(
        self,
        code: str,
        where: Where,
        joints: tuple[int, ...],
        times: Sequence[JointTimes],
        numbers: Numbers,
        names: Names,
    ) -> None:
        """A cemented push: coats, then bottomed, then held; the clocks run from the last coat."""
        coats = (handwork("prime") + handwork("coat")) * len(joints)
        made = self.now + coats
        bottom = min(t.working.bottom_by for t in times)
        hold = max(t.working.hand_hold for t in times)
        is_set = made + max(t.set.seconds for t in times)
        cured = made + max(max(t.set.seconds, t.cure.seconds) for t in times)
        more = (
            *numbers,
            ("last_coat", made),
            ("bottom_by", bottom),
            ("hand_hold", hold),
            ("set_at", is_set),
            ("cured_at", cured),
        )
        self.do(code, where, coats + bottom + hold, joints=joints, numbers=more, names=names)
        self.set, self.water = max(self.set, is_set), max(self.water, cured)

    def wait(self) -> None:
        """The next step waits until all that was cemented is set."""
        if self.steps and self.set > self.now:
            self.steps[-1] = replace(self.steps[-1], ends=self.set)
            self.now = self.set
