"""Every way to renew a zone by a train between two stubs: found where it serves, else refused."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.closing.rebuild import rebuilt
from pitwright.findings import Refusal, StubId
from pitwright.geometry.vector import add, norm, scale, sub
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


def test_the_cut_is_not_moved_where_a_neighbour_hangs_on_what_comes_out() -> None:
    survey = load_survey(EXAMPLES / "wash-house.pit.toml", load_shelf())
    green = survey.stub(StubId("green"))
    corner = add(green.tip.mean, scale(green.bare[0].direction, green.bare[0].length))
    side = (1.0, 0.0, 0.0)
    length = 8 * INCH
    up = replace(green.bare[1], direction=(0.0, 0.0, -1.0), length=4 * INCH)
    along = replace(green.bare[1], direction=side, length=length)
    tip = add(sub(corner, scale(side, length)), (0.0, 0.0, 4 * INCH))
    lies = replace(green.tip, mean=tip)
    neighbour = replace(
        green,
        id=StubId("neighbour"),
        tip=lies,
        outward=(0.0, 0.0, 1.0),
        bare=(up, along),
        behind="",
    )
    with_it = plan(replace(survey, stubs=(*survey.stubs, neighbour)))

    (moved,) = (w for w in with_it.zones[0].ways if w.way == MOVE_CUT)

    assert isinstance(moved.answer, Refusal)
    assert "TAKES_NEIGHBOUR" in {s.code for s in moved.answer.because}


def test_a_zone_refused_at_three_bends_says_so_where_a_box_of_four_needs_no_digging() -> None:
    survey = load_survey(EXAMPLES / "school-garden.pit.toml", load_shelf())
    three = plan(replace(survey, preferences=replace(survey.preferences, most_bends=3)))
    seen = []
    for few, four in zip(three.zones, made("school-garden").zones, strict=True):
        if not isinstance(few.answer, Refusal):
            continue
        first = few.answer.because[0]
        boxes = () if isinstance(four.answer, Refusal) else four.answer
        boxed = any(o.way == BOX_AROUND and not o.digging for o in boxes)
        assert (first.lift == "four_bends_serve") is boxed
        assert not boxed or all(s.lift != "bare_more" for s in few.answer.because)
        seen.append(boxed)
    assert set(seen) == {True, False}


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
