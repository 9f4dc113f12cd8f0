"""One straight pipe by closed formulas: how far it gives at a strain, and how long it must be."""

from __future__ import annotations

import math

__all__ = [
    "bow_slack",
    "free_length",
    "free_reach",
    "guided_length",
    "guided_reach",
    "shortening",
]


def free_reach(length: float, od: float, strain: float) -> float:
    """Sideways movement of a clamped straight's free tip at a strain: 2 e L²/(3 OD). [m]

    length, od [m], strain [-]. Source: textbook mechanics.
    """
    return 2.0 * strain * length * length / (3.0 * od)


def guided_reach(length: float, od: float, strain: float) -> float:
    """The same when the tip may not turn: e L²/(3 OD). [m]

    length, od [m], strain [-]. Source: textbook mechanics.
    """
    return strain * length * length / (3.0 * od)


def free_length(movement: float, od: float, strain: float) -> float:
    """Bare length that gives a free tip a sideways movement: sqrt(1.5 OD d/e). [m]

    movement, od [m], strain [-]. Source: textbook mechanics.
    """
    return math.sqrt(1.5 * od * movement / strain)


def guided_length(movement: float, od: float, strain: float) -> float:
    """The same when the tip may not turn: sqrt(3 OD d/e). [m]

    movement, od [m], strain [-]. Source: textbook mechanics.
    """
    return math.sqrt(3.0 * od * movement / strain)


def bow_slack(length: float, od: float, strain: float, *, hinged: bool = False) -> float:
    """Slack that bowing a straight run sideways yields at a strain. [m]

    Ends built in: e² L³/(4 pi² OD²); hinged ends: e² L³/(pi² OD²). Almost nothing: 0.6 in in
    10 ft of 1 in pipe at half a percent. length, od [m], strain [-].
    Source: derived from a cosine, or sine, bow.
    """
    slack = strain**2 * length**3 / (math.pi**2 * od**2)
    return slack if hinged else slack / 4.0


def shortening(length: float, movement: float) -> float:
    """How much a cantilever's tip draws back when moved sideways: 3 d²/(5 L). [m]

    length, movement [m]. Source: derived, textbook mechanics.
    """
    return 3.0 * movement * movement / (5.0 * length)
