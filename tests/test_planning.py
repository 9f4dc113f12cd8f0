"""The plan of a whole pit: every zone asked for, ranked, loaded once."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal, Weight
from pitwright.planning import KERF, Plan, as_chosen, plan
from pitwright.ranking import key
from pitwright.renewal.option import overlap
from pitwright.side_by_side import merits_of
from pitwright.survey.pit import Survey, read_survey
from pitwright.units.kinds import FOOT

GARDEN = Path(__file__).resolve().parents[1] / "examples" / "school-garden.pit.toml"


@cache
def garden() -> Survey:
    return read_survey(GARDEN.read_text(encoding="utf-8"), GARDEN.name, load_shelf())


@cache
def made() -> Plan:
    return plan(garden())


def test_every_zone_that_asks_for_a_valve_is_answered_in_the_order_of_the_survey() -> None:
    assert [z.zone.id for z in made().zones] == [z.id for z in garden().zones if z.valve]
    assert [z.zone.id for z in made().refused] == ["gate"]
    assert all(bool(z.best) != isinstance(z.answer, Refusal) for z in made().zones)


def test_options_stand_in_the_order_of_the_key() -> None:
    """But for the first of a zone that keeps clear of its neighbour."""
    told = [f.name("zone") for f in made().findings if f.code == "chosen_for_neighbour"]
    moved = [z.zone.id for z in made().zones if z.zone.name in told]
    for zone in made().zones:
        if not isinstance(zone.answer, Refusal):
            first = zone.answer[1:] if zone.zone.id in moved else zone.answer
            keys = [key(merits_of(o)) for o in first]
            assert keys == sorted(keys)
            assert len({o.key for o in zone.answer}) == len(zone.answer)


def test_a_zone_that_asks_for_nothing_is_left_alone_and_named() -> None:
    survey = garden()
    zones = tuple(replace(z, valve=None) if z.id == "beds" else z for z in survey.zones)
    got = plan(replace(survey, zones=zones))
    assert "beds" not in [z.zone.id for z in got.zones]
    left = [f.name("zones") for f in got.findings if f.code == "zones_left_alone"]
    assert left == ["beds"]


def test_the_load_is_the_best_options_added_up() -> None:
    best = [z.best for z in made().zones if z.best]
    for line in made().load.lines:
        assert line.need == sum(n for o in best for name, n in o.parts if name == line.item)
    assert {name for o in best for name, _ in o.parts} == {x.item for x in made().load.lines}
    for name, length in made().load.pipes:
        mine = [o for o in best if o.pipe_name == name]
        cuts = sum(len(o.cuts.pieces) for o in mine)
        assert length == pytest.approx(sum(o.pipe for o in mine) + cuts * KERF + FOOT)


def test_what_is_on_the_truck_is_not_loaded_again_and_what_is_in_the_shop_is() -> None:
    lines = {x.item: x for x in made().load.lines}
    needed = [x for x in lines.values() if x.on_truck]
    assert needed
    assert all(x.to_load == max(0, x.need + x.spare - x.on_truck) for x in needed)
    shop = tuple(replace(p, where="shop") for p in garden().parts)
    got = plan(replace(garden(), parts=shop))
    assert {x.on_truck for x in got.load.lines} == {0}


def water_of(plan: Plan) -> float | None:
    told = (dict(f.numbers)["water"] for f in plan.findings if f.code == "zones_order")
    return next(told, None)


def test_what_a_person_chose_is_first_and_what_to_load_and_when_is_told_of_it() -> None:
    clashed = slower = 0
    ways = [z for z in made().zones if isinstance(z.answer, tuple)]
    for zone, neighbour in itertools.permutations(ways, 2):
        two = replace(made(), zones=(zone, neighbour))
        before = water_of(as_chosen(two, {}))
        assert before is not None
        for option in zone.answer[1:] if isinstance(zone.answer, tuple) else ():
            got = as_chosen(two, {zone.zone.id: option})
            best = [z.best for z in got.zones if z.best]
            assert best[0] is option
            assert {x.item for x in got.load.lines} == {n for o in best for n, _ in o.parts}
            stops = {f.code for f in got.findings if f.weight is Weight.STOP}
            clash = overlap(*best) > 0.0
            assert ("chosen_clash" in stops) is clash
            clashed += clash
            slower += (water_of(got) or 0.0) > before
    assert clashed and slower
    assert as_chosen(made(), {}).load == made().load


def test_fewer_bends_asked_for_never_plans_more_of_them() -> None:
    wishes = replace(garden().preferences, most_bends=0)
    got = plan(replace(garden(), preferences=wishes))
    assert all(o.train.bends == 0 for z in got.zones if not isinstance(z.answer, Refusal)
               for o in z.answer)  # fmt: skip
    assert {z.zone.id for z in got.refused} == {"hedge", "gate"}


def test_every_option_can_be_put_in_and_says_how_sure_it_is() -> None:
    for zone in made().zones:
        for option in () if isinstance(zone.answer, Refusal) else zone.answer:
            assert option.assembly is not None
            assert option.doubt is not None
            assert option.keeps
            assert {way.way for way in zone.ways} >= {option.way}


def test_where_nobody_read_a_temperature_it_is_said() -> None:
    assert "warmth_not_read" not in {f.code for f in made().findings}
    cold = plan(replace(garden(), conditions=None))
    assert "warmth_not_read" in {f.code for f in cold.findings}


def test_the_same_survey_gives_the_same_plan() -> None:
    assert plan(garden()) == made()
