"""What putting a train in comes to: numbered steps with clock times, and the spread proved."""

from __future__ import annotations

from dataclasses import dataclass, field

from pitwright.findings import COMMON_PRACTICE, Finding, SourceKey
from pitwright.joining.spread import Spread
from pitwright.trains.cut_list import Where

__all__ = ["Assembly", "Step"]


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


@dataclass(frozen=True, slots=True)
class Assembly:
    """An order in which every joint of a train can be made.

    ``order`` lists the joints as they are made (each tuple is one push); ``closing`` is the last
    of them, whose opening is the vector sum of its pushes [m], given by ``giver`` ("flex",
    "union", "telescoping", "stop-less", "parallel sockets", "none"); ``spread`` is the proof where
    flex gives it. ``water_on`` is how long after work begins water may return. [s] ``first`` steps
    set and close a shut-off on a feed that seeps: all after them is dry behind it. [-]
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
    first: int = 0
