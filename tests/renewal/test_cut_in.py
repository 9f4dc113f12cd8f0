"""Cutting in at the school garden: every option is built again by matrices, turned, mirrored."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from pitwright.catalogue.parts import JointKind
from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal, StubId, ZoneId
from pitwright.planning import plan
from pitwright.renewal.cut_in import ALLOWANCE, cut_in
from pitwright.renewal.option import overlap
from pitwright.survey.pit import Survey, read_survey
from pitwright.survey.stubs import Stub
from pitwright.trains.cut_list import Bend
from pitwright.trains.rows import Body
from pitwright.units.kinds import INCH
from pitwright.wording.plan_data import plan_data
from tests.pits.moving import mirrored_survey, turned_survey
from tests.pits.test_generated import same
from tests.pits.walker import missed

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.pit.toml"))
GARDEN = next(p for p in EXAMPLES if p.name.startswith("school-garden"))


@cache
def garden() -> Survey:
    return read_survey(GARDEN.read_text(encoding="utf-8"), GARDEN.name, load_shelf())


def options(survey: Survey) -> dict[str, list[dict[str, Any]]]:
    return {z["zone"]: z["options"] for z in plan_data(plan(survey), "0")["zones"]}


def with_stubs(survey: Survey, change: Any) -> Survey:
    return replace(survey, stubs=tuple(change(s) for s in survey.stubs))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.name)
def test_every_printed_option_closes_when_it_is_built_again(path: Path) -> None:
    survey = read_survey(path.read_text(encoding="utf-8"), path.name, load_shelf())
    document = plan_data(plan(survey), "0")
    looked_at = 0
    for zone in document["zones"]:
        a, b = (survey.stub(zone[k]) for k in ("inlet", "outlet"))
        for option in zone["options"]:
            ends = [(a.tip.mean, a.outward), (b.tip.mean, b.outward)]
            if option["between"] is not None:
                ends = [(e["tip_m"], e["outward"]) for e in option["between"]]
            off, angle = missed(option, *ends)
            assert off <= ALLOWANCE.position + INCH / 16
            assert off == pytest.approx(option["misfit"]["rebuilt"]["position_m"], abs=1e-9)
            assert angle <= ALLOWANCE.angle + math.radians(0.2)
            looked_at += 1
    assert looked_at >= (4 if path == GARDEN else 0)


def test_a_garden_turned_by_37_degrees_has_the_same_cut_list() -> None:
    got = options(turned_survey(garden(), 37.0))
    for zone, found in options(garden()).items():
        same(found, got[zone])


def test_a_mirrored_garden_has_the_mirrored_cut_list() -> None:
    got = options(mirrored_survey(garden()))
    for zone, found in options(garden()).items():
        same(found, got[zone], glass=True)


def test_new_names_change_nothing_but_names() -> None:
    """Renamed so that their order in the alphabet is another."""
    text = garden().text
    names = {"hedge": "zulu", "beds": "yard", "drip": "alpha", "gate": "mike"}
    for old, new in names.items():
        for suffix in ("-in", "-out"):
            text = text.replace(f"{old}{suffix}", f"{new}{suffix}")
        text = text.replace(f"[zone.{old}]", f"[zone.{new}]")
        text = text.replace(f'zone = "{old}"', f'zone = "{new}"')
    got = options(read_survey(text, "renamed", load_shelf()))
    for zone, found in options(garden()).items():
        same(found, got[names[zone]])


def test_parts_are_counted_from_the_list_that_is_printed() -> None:
    for zone in plan(garden()).zones:
        if isinstance(zone.answer, Refusal):
            continue
        for option in zone.answer:
            items = [i for i in option.cuts.items if isinstance(i, Body | Bend)]
            assert sum(n for _, n in option.parts) == sum(len(i.parts) for i in items)
            assert option.pipe == pytest.approx(sum(p.length for p in option.cuts.pieces))


def test_straight_pipe_left_is_what_was_bare_less_the_cut_and_what_the_joint_hides() -> None:
    """By hand for the beds: 14 in bare, nothing cut, the coupling's socket depth hidden."""
    survey = garden()
    got = cut_in(survey, survey.zone(ZoneId("beds")), 2)
    assert not isinstance(got, Refusal)
    coupling = load_shelf().fitting("coupling", "1")
    assert coupling is not None
    option = next(o for o in got if o.train.skeleton.label.startswith("straight, coupled-coupled"))
    work = option.stubs[1]
    assert work.cut == 0.0
    assert work.left == pytest.approx(14 * INCH - coupling.ports[0].depth.value)


def asked(zone: str, **changes: object) -> Refusal:
    """The refusal of a zone whose outlet is changed."""
    survey = garden()
    one = survey.zone(next(z.id for z in survey.zones if z.id == zone))

    def there(stub: Stub) -> Stub:
        return replace(stub, **changes) if stub.id == one.outlet else stub  # type: ignore[arg-type]

    got = cut_in(with_stubs(survey, there), one, 2)
    assert isinstance(got, Refusal), got
    return got


def test_a_pipe_nobody_knows_is_asked_for_and_nothing_is_guessed() -> None:
    (short,) = asked("beds", pipe=None).because
    assert (short.code, short.where, short.lift) == ("WHAT_PIPE", "beds-out", "tell_pipe")


def test_a_cracked_stub_is_never_joined() -> None:
    (short,) = asked("beds", condition="cracked").because
    assert (short.code, short.lift) == ("CRACKED", "cut_past_crack")


def test_a_size_the_shelf_does_not_make_new_work_of_is_said() -> None:
    survey = garden()
    valves = tuple(replace(v, size="7/8") for v in survey.valves)
    got = cut_in(replace(survey, valves=valves), survey.zones[1], 2)
    assert isinstance(got, Refusal)
    assert [(s.code, s.tried) for s in got.because] == [("NO_PIPE", "7/8")]


def test_cautions_belong_to_the_stubs_they_concern() -> None:
    survey = garden()
    beds = survey.stub(StubId("beds-out"))
    flow = replace(beds.cut_back_reading, value=6e-7)
    wet = with_stubs(survey, lambda s: replace(s, seeps_reading=flow) if s.id == "hedge-out" else s)
    found = {z: cut_in(wet, wet.zone(ZoneId(z)), 2) for z in ("hedge", "beds")}
    hedge, options = found["hedge"], found["beds"]
    assert isinstance(hedge, Refusal)
    assert (hedge.because[0].code, hedge.because[0].where) == ("WET_SOCKET", "hedge-out")
    assert not isinstance(options, Refusal)
    assert not any(f.code == "stub_seeps" for o in options for f in o.findings)


def test_asbestos_cement_stops_the_zone_before_anything_is_searched() -> None:
    """Never a part for the shelf, never a cut: stop."""
    pipe = next(p for p in load_shelf().pipes if p.material == "asbestos cement")

    (short,) = asked("beds", pipe=pipe).because

    assert (short.code, short.lift) == ("ASBESTOS", "qualified_handling")


def test_a_straight_train_may_begin_in_a_socket_that_stays() -> None:
    """A piece goes between the kept socket and the valve."""
    survey = with_stubs(
        garden(),
        lambda s: replace(s, end=JointKind.SOCKET, end_size="1") if s.id == "beds-out" else s,
    )

    got = cut_in(survey, survey.zone(ZoneId("beds")), 0)

    assert not isinstance(got, Refusal)
    assert {o.train.skeleton.ways[1].name for o in got} == {"socket"}
    assert all(o.cuts.items[-1].name == "outlet stub socket" for o in got)  # type: ignore[union-attr]


def test_new_work_of_two_zones_never_stands_in_one_place() -> None:
    """The first options shown keep clear of each other, by their own solids."""
    best = [z.best for z in plan(garden()).zones if z.best]
    assert len(best) >= 3
    assert all(overlap(a, b) <= 0.0 for a, b in combinations(best, 2))
