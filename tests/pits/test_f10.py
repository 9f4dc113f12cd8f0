"""Field case F10, cap and wait: a supply stub to be closed at noon, water wanted from 3:30 on.

The case: first a threaded or mechanical cap, blocked against thrust, no cure; cemented on dry pipe
60 F is a band's edge, so the colder row: set 60 min and cure 120, in humid air 90 and 180, 15:00;
a wet socket is not cemented at all. The pit about it is ours: the stub joined to its line. Inches.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from functools import cache

import pytest

from pitwright.findings import Refusal
from pitwright.joining.assembly import Assembly, Step
from pitwright.jointing.asked import joint_under
from pitwright.jointing.methods import joinable, thrust
from pitwright.jointing.question import CementedJoint
from pitwright.jointing.times import JointTimes, joint_times
from pitwright.planning import ZonePlan, plan
from pitwright.survey.pit import Survey
from pitwright.trains.cut_list import Where
from pitwright.units.kinds import POUND_FORCE
from pitwright.wording.steps import clock_of, water_words
from tests.pits import written
from tests.survey.pits import read

NOON = datetime(2026, 5, 16, 12, 0)
WANTED, LATEST = timedelta(hours=3, minutes=30), timedelta(hours=4)


def pit(*, humid: bool = True, seeps: bool = False) -> str:
    trickle = {"seeps": "60 mL/min"} if seeps else {}
    return written.pit(
        written.heading("Field F10"),
        written.box((-8, 8), (-8, 16), soil_along=(-32, 40)),
        written.stub(
            "supply", "inlet", (0, 0, 0), (0, -12, 0), bare=(24,), cut_back=4, **trickle
        ),
        written.stub("line", "outlet", (0.25, 7, 0), (0.5, 20, 0), bare=(24,), cut_back=6),
        written.section("zone.only", inlet="supply", outlet="line", join=True),
        written.section("water", static="80 psi"),
        written.section(
            "conditions", air="60 F", pipe="60 F", ground="60 F",
            humidity="70 %" if humid else "50 %", now=NOON.isoformat(" ", "minutes"),
        ),
        written.section("preferences", blocks=True),
    )  # fmt: skip


@cache
def survey(*, humid: bool = True) -> Survey:
    return read(pit(humid=humid))


def cap(*, humid: bool = True, wet: bool = False) -> CementedJoint:
    """The cap's joint on the day of the survey."""
    told = survey(humid=humid)
    assert told.conditions is not None and told.water is not None and told.water.static is not None
    return joint_under(told.conditions, "1", pressure=told.water.static.value, wet=wet)


@cache
def zone(*, humid: bool = True, seeps: bool = False) -> ZonePlan:
    (one,) = plan(read(pit(humid=humid, seeps=seeps))).zones
    return one


def glued(assembly: Assembly) -> list[Step]:
    return [s for s in assembly.steps if "last_coat" in dict(s.numbers)]


@pytest.mark.parametrize(("humid", "set_at", "filled"), [(True, 90, "15:00"), (False, 60, "14:00")])
def test_a_cap_glued_dry_at_noon_is_filled_at_three_in_humid_air(
    humid: bool, set_at: int, filled: str
) -> None:
    times = joint_times(cap(humid=humid))
    assert isinstance(times, JointTimes)
    assert times.set.seconds == set_at * 60.0
    assert clock_of(times.cure.seconds, NOON) == filled
    assert times.cure.seconds <= WANTED.total_seconds()


def test_a_wet_socket_is_not_glued_and_what_is_left_needs_no_cure() -> None:
    assert isinstance(joint_times(cap(wet=True)), Refusal)
    left = joinable(cap(wet=True))
    assert {"thread", "union", "compression"} <= {m.method for m in left}
    assert not any(m.cement for m in left)
    assert next(m for m in left if m.method == "thread").holds_thrust == "yes"


def test_a_cap_that_only_grips_must_be_blocked_against_109_lb() -> None:
    told = survey()
    assert told.water is not None and told.water.static is not None
    pipe = told.stubs[0].pipe
    assert pipe is not None
    push = thrust(told.water.static.value, pipe.od.value)
    assert push / POUND_FORCE == pytest.approx(109, abs=0.5)
    grips = next(m for m in joinable(cap(wet=True)) if m.method == "compression")
    assert grips.holds_thrust == "no"


@pytest.mark.parametrize(("humid", "waits"), [(True, (90, 180)), (False, (60, 120))])
def test_every_joint_of_the_whole_pit_waits_as_the_cap_does(
    humid: bool, waits: tuple[int, int]
) -> None:
    best = zone(humid=humid).best
    assert best is not None and best.assembly is not None
    assert glued(best.assembly)
    for step in glued(best.assembly):
        coat = step.number("last_coat")
        told = (step.number("set_at") - coat, step.number("cured_at") - coat)
        assert told == pytest.approx(tuple(60.0 * w for w in waits))
    assert isinstance(zone(humid=humid).answer, tuple)
    every = [o.assembly for o in zone(humid=humid).answer if o.assembly]  # type: ignore[union-attr]
    quickest = min(every, key=lambda a: a.water_on)
    assert 60.0 * waits[1] < quickest.water_on <= LATEST.total_seconds()
    assert water_words(quickest, NOON) == f"water on {clock_of(quickest.water_on, NOON)}"


def test_while_the_supply_runs_nothing_in_the_pit_is_glued_to_it_and_the_grip_is_blocked() -> None:
    found = zone(seeps=True)
    assert isinstance(found.answer, tuple)
    assert "WET_SOCKET" in {s.code for s in found.passed_over}
    for option in found.answer:
        assert option.assembly is not None
        wet = [s for s in glued(option.assembly) if 0 in s.joints and s.where is Where.PIT]
        assert wet == []
        assert "holds_no_thrust" in {f.code for f in option.findings}
