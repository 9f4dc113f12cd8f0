"""A rigid train between two flexible stubs: the design study's cases 11, 13, 15 and 17.

Inches and pounds there; 1 in schedule 40 at 400 000 psi; the train is 16 in long with joints at
0, 3, 13 and 16 in, each with 1 degree of play (a test value) and 1/16 in of seat; hands 50 lbf.
The study refers everything to the train's own end.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import pytest

from pitwright.closing.closing import Closed, Joint, RigidTrain, Slide, close
from pitwright.closing.ends import FlexEnd, between
from pitwright.geometry.vector import add, scale
from pitwright.units.kinds import INCH, POUND_FORCE
from tests.flex.inch import Inches, path

AT = (0.0, 3.0, 13.0, 16.0)


@dataclass(frozen=True)
class Case:
    a: tuple[Inches, ...]
    b: tuple[Inches, ...]
    strain: float
    free: tuple[float, float]
    ratio: float
    length_only: float
    nothing: float


CASES = {
    "11 perfect": Case(
        ((0, 0, 0), (24, 0, 0)), ((64, 0, 0), (40, 0, 0)), 0.0025, (-0.1, 0.1), 0.0, 0.0, 0.0
    ),
    "13 sideways": Case(
        ((0, 0, 0), (24, 0, 0)),
        ((64, 0.8, 0.3), (40, 0.8, 0.3)),
        0.0025,
        (-0.1, 0.1),
        0.14670325544575769,
        0.31287742382916145,
        1.208794431168285,
    ),
    "15 half an inch short": Case(
        ((0, 0, 0), (24, 0, 0)),
        ((64.5, 0, 0), (40.5, 0, 0)),
        0.0025,
        (0.0, 0.0),
        20.578217252039142,
        41.156434566440595,
        41.15643455863204,
    ),
    "17 over a riser": Case(
        ((0, 0, -18), (0, 0, 0), (10, 0, 0)),
        ((50, 1.3, -0.4), (26, 1.3, -0.4)),
        0.005,
        (-0.1, 0.1),
        0.14379624067228228,
        0.26914136358341556,
        0.2739517538744919,
    ),
}


def closed(case: Case, play: float, seat: float, *, free: bool) -> Closed:
    inlet, outlet = path(*case.a), path(*case.b)
    way = inlet.outward
    joints = tuple(
        Joint(add(inlet.tip, scale(way, s * INCH)), way, math.radians(play), seat * INCH)
        for s in AT
    )
    low, high = case.free if free else (0.0, 0.0)
    train = RigidTrain(
        add(inlet.tip, scale(way, 16.0 * INCH)),
        way,
        joints,
        (Slide(way, low * INCH, high * INCH),),
    )
    ends = between(
        FlexEnd(inlet, case.strain), FlexEnd(outlet, case.strain), 50.0 * POUND_FORCE, train.end
    )
    return close(ends, train, within=1e-4, nothing=1e-4)


@pytest.mark.parametrize("name", CASES)
def test_the_least_worst_ratio(name: str) -> None:
    found = closed(CASES[name], 1.0, 0.0625, free=True)
    assert found.upper == pytest.approx(CASES[name].ratio, rel=2e-4, abs=1e-4)
    assert found.lower <= CASES[name].ratio * (1.0 + 2e-4) + 1e-9


@pytest.mark.parametrize("name", CASES)
def test_with_free_length_alone_and_with_nothing(name: str) -> None:
    case = CASES[name]
    length_only = closed(case, 0.0, 0.0, free=True)
    assert length_only.upper == pytest.approx(case.length_only, rel=2e-4, abs=1e-4)
    nothing = closed(case, 0.0, 0.0, free=False)
    assert nothing.upper == pytest.approx(case.nothing, rel=1e-6, abs=1e-9)
    assert nothing.lower == pytest.approx(case.nothing, rel=1e-6, abs=1e-9)


def test_what_governs_and_the_force() -> None:
    sideways = closed(CASES["13 sideways"], 1.0, 0.0625, free=True)
    assert (sideways.governs, sideways.closes) == ("strain", True)
    assert sideways.force / POUND_FORCE == pytest.approx(7.335162731482972, rel=1e-3)
    short = closed(CASES["15 half an inch short"], 1.0, 0.0625, free=True)
    assert (short.governs, short.cannot) == ("force", True)
    assert short.force / POUND_FORCE == pytest.approx(1028.9108625185308, rel=1e-3)
    riser = closed(CASES["17 over a riser"], 1.0, 0.0625, free=True)
    assert (riser.governs, riser.closes) == ("strain", True)
    assert riser.force / POUND_FORCE == pytest.approx(1.9998178370030766, rel=2e-3)
