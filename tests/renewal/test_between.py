"""Every way to renew a zone by a train between two stubs: found where it serves, else refused."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.closing.rebuild import rebuilt
from pitwright.findings import Refusal
from pitwright.geometry.vector import norm
from pitwright.joining.assembly import Assembly
from pitwright.joining.checking import objections
from pitwright.planning import Plan, plan
from pitwright.renewal.job import Job
from pitwright.renewal.option import Option
from pitwright.renewal.proving import work_of
from pitwright.renewal.way import (
    BOX_AROUND,
    CUT_IN,
    KEEP_ADAPTER,
    MOVE_CUT,
    RECLAIM,
    SHUT_FIRST,
    SLIP_IN,
    WAYS,
)
from pitwright.survey.pit import load_survey
from pitwright.survey.zones import Zone
from pitwright.units.kinds import INCH

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
NAMES = sorted(p.name.removesuffix(".pit.toml") for p in EXAMPLES.glob("*.pit.toml"))
SHOWN = {
    KEEP_ADAPTER: "potting-shed",
    CUT_IN: "chapel-lawn",
    SLIP_IN: "foot-bridge",
    BOX_AROUND: "cast-wall",
    MOVE_CUT: "wash-house",
    SHUT_FIRST: "spring-head",
    RECLAIM: "tennis-shed",
}


@cache
def made(name: str) -> Plan:
    return plan(load_survey(EXAMPLES / f"{name}.pit.toml", load_shelf()))


def options(name: str) -> list[tuple[Zone, Option]]:
    return [
        (z.zone, o)
        for z in made(name).zones
        for o in (() if isinstance(z.answer, Refusal) else z.answer)
    ]


def job_of(name: str, zone: Zone, option: Option) -> Job:
    survey = made(name).survey
    return Job(survey, zone, option.stubs_of(survey))


@pytest.mark.parametrize("way", WAYS)
def test_every_way_has_an_example_in_which_it_is_found_and_one_in_which_it_is_refused(
    way: str,
) -> None:
    found = [o for _, o in options(SHOWN[way]) if o.way == way]
    assert found
    assert all(o.keeps for o in found)
    refused = [
        w for name in NAMES for z in made(name).zones for w in z.ways
        if w.way == way and isinstance(w.answer, Refusal)
    ]  # fmt: skip
    assert refused
    assert all(w.answer.because for w in refused if isinstance(w.answer, Refusal))


@pytest.mark.parametrize("name", NAMES)
def test_every_option_of_every_way_closes_between_the_stubs_it_joins(name: str) -> None:
    survey = made(name).survey
    for _, option in options(name):
        a, b = option.stubs_of(survey)
        way, angle = rebuilt(option.cuts, (a.tip.mean, a.outward), (b.tip.mean, b.outward))
        assert norm(way) == pytest.approx(option.built.position, abs=1e-9)
        assert norm(way) <= 5 / 16 * INCH
        assert angle == pytest.approx(option.built.angle, abs=1e-9)


@pytest.mark.parametrize("name", NAMES)
def test_no_plan_has_a_step_that_the_second_opinion_refuses(name: str) -> None:
    for zone, option in options(name):
        assert isinstance(option.assembly, Assembly)
        work = work_of(job_of(name, zone, option), option)
        assert objections(work, option.assembly) == (), option.key


def test_the_reclaimed_socket_comes_with_its_risk_and_after_all_else() -> None:
    found = [o for _, o in options("tennis-shed")]
    assert [o.way for o in found] == sorted((o.way for o in found), key=lambda w: w == RECLAIM)
    for option in (o for o in found if o.way == RECLAIM):
        assert "reclaimed_socket" in {f.code for f in option.findings}
        assert option.keeps == ("stub feed", "tee behind lawns")


def test_a_kept_adapter_takes_the_valve_itself() -> None:
    """Bonnet off to spin it on, and a stop-less coupling on the lateral."""
    option = next(
        o for _, o in options("potting-shed") if o.train.skeleton.ways[0].name == "spun on"
    )
    assert option.keeps == ("adapter at kept", "stub frames")
    assert option.train.skeleton.ways[1].slides
    assert dict(option.parts)["1 in male adapter"] == 1


def test_a_zone_that_cannot_be_asked_has_no_ways() -> None:
    (plots,) = made("allotment").zones
    assert isinstance(plots.answer, Refusal)
    assert plots.ways == ()
