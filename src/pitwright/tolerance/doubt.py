"""How sure a plan is to close: the chance as it is cut, and what trimming last would make of it."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Doubt", "Held", "Remedy", "Share"]


@dataclass(frozen=True, slots=True)
class Held:
    """Pieces left long and marked in place, joints left dry to roll, and the chances with them.

    ``pieces`` are letters of the cut list, ``rolls`` names of bends whose joints stay dry;
    ``eighth`` is the chance of closing within 1/8 in (common practice, no source), ``flex`` within
    what the old pipe bears. [-]
    """

    pieces: tuple[str, ...]
    rolls: tuple[str, ...]
    eighth: float
    flex: float


@dataclass(frozen=True, slots=True)
class Share:
    """What part of the closing error's variance comes from one reading, cut or part. [-]"""

    name: str
    share: float


@dataclass(frozen=True, slots=True)
class Remedy:
    """One better measurement: its code ("two_points", "measure_part", "read_again"), what it is
    of, and the chance of closing within 1/8 in after it, with the same pieces held. [-]
    """

    code: str
    of: str
    eighth: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """All of it for one train.

    ``plain`` holds nothing: all cut at once. ``ways`` are worthwhile holdings, the best first;
    ``advised`` is the one the plan is made with (``plain`` where holding gains nothing). ``shares``
    are the causes, largest first; ``help`` the measurement that would help most, None where none
    does. ``cut_within`` is the error of every cut (plus or minus) at which the advised holding
    still closes within flex limits at nineteen in twenty, 0 where it never does. [m]
    """

    plain: Held
    ways: tuple[Held, ...]
    advised: Held
    shares: tuple[Share, ...]
    help: Remedy | None
    cut_within: float
