"""What putting a train in comes to: numbered steps with clock times, and the spread proved."""

from __future__ import annotations

from dataclasses import dataclass, field

from pitwright.findings import COMMON_PRACTICE, Finding, SourceKey
from pitwright.geometry.clearance import Capsule
from pitwright.joining.spread import Spread
from pitwright.trains.cut_list import Where

__all__ = ["CLOSE_RELIEF", "WATER_ON", "Assembly", "Step", "Waits"]

WATER_ON = "water_on"
"""The code of the last step of all: water may return."""
CLOSE_RELIEF = "close_relief"
"""The code of the step before it, where a relief end was opened: it too waits for the cure."""


@dataclass(frozen=True, slots=True)
class Waits:
    """What a step starts when it is made: hands stay on ``hold``, braces ``set``, and no water
    comes before ``cure``, each from the last coat. All nought where nothing is cemented. [s]
    """

    hold: float = 0.0
    set: float = 0.0
    cure: float = 0.0


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, without its sentence.

    ``code`` is put into words by ``wording``; ``joints`` are the joints made by it, counted as in
    :attr:`~pitwright.trains.cut_list.CutList.joints`. ``starts``, ``free`` (hands off) and
    ``ends`` (the next thing may be done) are seconds after work begins; ``ends`` has the set time
    in it only where something waits for it. [s] ``stop`` marks what cannot be undone: the checks
    named by the steps before it come first. ``numbers`` are SI, ``names`` labels.
    """

    code: str
    where: Where
    joints: tuple[int, ...]
    starts: float
    free: float
    ends: float
    stop: bool = False
    numbers: tuple[tuple[str, float], ...] = ()
    names: tuple[tuple[str, str], ...] = ()
    source: SourceKey = COMMON_PRACTICE

    def number(self, name: str) -> float:
        """The number called ``name``, in SI."""
        return dict(self.numbers)[name]

    def name(self, name: str) -> str:
        """The label called ``name``."""
        return dict(self.names)[name]

    @property
    def waits(self) -> Waits:
        """The clocks that run once it is made. [s]"""
        told = dict(self.numbers)
        if "last_coat" not in told:
            return Waits()
        coat = told["last_coat"]
        set_, cured = (max(0.0, told.get(n, coat) - coat) for n in ("set_at", "cured_at"))
        return Waits(told.get("hand_hold", 0.0), set_, cured)


@dataclass(frozen=True, slots=True)
class Assembly:
    """An order in which every joint of a train can be made.

    ``order`` lists the joints as they are made (each tuple is one push); ``closing`` is the last
    of them, whose opening is the vector sum of its pushes [m], given by ``giver`` ("flex",
    "union", "telescoping", "stop-less", "parallel sockets", "none"); ``spread`` is the proof where
    flex gives it. ``water_on`` is how long after work begins water may return. [s] ``swept`` is
    where the parts pass that are pushed in, for the neighbours. [m] ``first`` steps set and close a
    shut-off on a feed that seeps: all after them is dry behind it. [-]
    """

    steps: tuple[Step, ...]
    order: tuple[tuple[int, ...], ...]
    closing: tuple[int, ...]
    opening: float
    giver: str
    spread: Spread | None
    water_on: float
    tools: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = field(default=())
    swept: tuple[Capsule, ...] = ()
    first: int = 0

    @property
    def hands(self) -> float:
        """How long hands are busy: from the beginning until all that is left is to wait. [s]"""
        late = (CLOSE_RELIEF, WATER_ON)
        return max((s.free for s in self.steps if s.code not in late), default=0.0)
