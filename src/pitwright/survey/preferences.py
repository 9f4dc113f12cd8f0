"""What the person prefers: which bends, the gap between faces, how well they cut."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.survey.section import Section
from pitwright.survey.weights import WEIGHTS, Weights, read_weights
from pitwright.units.kinds import INCH

__all__ = ["DEFAULTS", "Preferences", "read_preferences"]


@dataclass(frozen=True, slots=True)
class Preferences:
    """``gap`` is bare pipe between two socket faces and ``cut_within`` how well a cut is made,
    plus or minus [m]; ``play`` is what a socket may take up [rad]; ``most_bends`` 0 to 4;
    ``unions`` asks for one beside every valve; ``blocks`` says that bends will be tied or
    blocked; ``reserve`` is the stroke a telescoping coupling keeps both ways [m];
    ``weights`` rank the options.
    """

    bends_22: bool
    most_bends: int
    gap: float
    cut_within: float
    play: float
    unions: bool = False
    blocks: bool = False
    reserve: float = INCH / 2
    weights: Weights = WEIGHTS


DEFAULTS = Preferences(False, 4, INCH / 8, INCH / 32, math.radians(0.25))
"""An eighth for the cutter, a 32nd for the cut, a quarter degree of play, half an inch of stroke:
judgement."""


def read_preferences(section: Section) -> Preferences:
    """The section [preferences]. Raises BadInput. SI."""
    gap = section.reading("gap", low=0.0, high=0.1)
    cut = section.reading("cut_within", low=0.0, high=0.02)
    play = section.reading("play", tool="protractor", unit="deg", low=0.0, high=math.radians(0.5))
    reserve = section.reading("stroke_reserve", low=0.0, high=0.2)
    weights = section.sub("weights", "preferences.weights")
    return Preferences(
        section.flag("bends_22", DEFAULTS.bends_22),
        section.count("most_bends", 0, 4, DEFAULTS.most_bends),
        gap.value if gap else DEFAULTS.gap,
        cut.value if cut else DEFAULTS.cut_within,
        play.value if play else DEFAULTS.play,
        section.flag("unions", DEFAULTS.unions),
        section.flag("blocks", DEFAULTS.blocks),
        reserve.value if reserve else DEFAULTS.reserve,
        read_weights(weights) if weights is not None else WEIGHTS,
    )
