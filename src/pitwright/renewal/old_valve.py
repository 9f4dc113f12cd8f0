"""The old valve that is screwed off a thread that stays: where it stands and what it sweeps."""

from __future__ import annotations

from pitwright.catalogue.parts import JointKind
from pitwright.geometry.clearance import Capsule
from pitwright.geometry.vector import add, scale
from pitwright.joining.work import OldBody, Swing
from pitwright.survey.existing import Existing
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.bench import TURNS_PAST_HAND_TIGHT

__all__ = ["old_valve", "spun_off"]

_LENGTH = 0.12
"""A body nobody measured is taken to be so long. From memory. [m]"""


def old_valve(survey: Survey, zone: Zone) -> Existing | None:
    """The zone's old valve as the survey has it, None where nobody wrote one down."""
    mine = (e for e in survey.existing if e.kind == "valve" and e.zone == zone.id)
    return next(mine, None)


def spun_off(survey: Survey, zone: Zone, stubs: tuple[Stub, Stub], radius: float) -> OldBody | None:
    """The old valve on the thread that stays, None where none stays or the valve does. [m]

    ``radius`` is taken for its body. Source: the survey.
    """
    old = old_valve(survey, zone)
    kept = next((s for s in stubs if s.end is JointKind.MALE_THREAD), None)
    if old is None or old.fate == "stays" or kept is None:
        return None
    made = survey.shelf.thread("npt", kept.end_size).made_up(TURNS_PAST_HAND_TIGHT)
    length = old.body.value if old.body else _LENGTH
    begin = add(kept.tip.mean, scale(kept.outward, -made))
    body = Capsule(begin, add(begin, scale(kept.outward, length)), radius, "old valve")
    read = (old.swing_with_bonnet, old.swing_without)
    swing = Swing(*(r.value if r else None for r in read))
    return OldBody(old.name, body, swing, old.turns)
