"""Zones worked one after the other: what goes together, in which order, and when water returns."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import permutations, product
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.geometry.clearance import Capsule, between
from pitwright.geometry.vector import Vec, add, scale
from pitwright.planning import Plan, plan
from pitwright.ranking import points
from pitwright.renewal.option import Option, overlap
from pitwright.renewal.way import RECLAIM
from pitwright.side_by_side import Together, merits_of, side_by_side, stands_in_the_way
from pitwright.survey.pit import load_survey
from pitwright.survey.weights import WEIGHTS, Weights

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"


@cache
def made(name: str) -> Plan:
    return plan(load_survey(EXAMPLES / f"{name}.pit.toml", load_shelf()))


def options(name: str) -> list[tuple[Option, ...]]:
    return [z.answer for z in made(name).zones if not isinstance(z.answer, Refusal)]


def shifted(option: Option, by: Vec) -> Option:
    """The same work somewhere else."""
    assert option.assembly is not None

    def moved(solids: tuple[Capsule, ...]) -> tuple[Capsule, ...]:
        return tuple(replace(c, a=add(c.a, by), b=add(c.b, by)) for c in solids)

    there = replace(option.assembly, swept=moved(option.assembly.swept))
    return replace(option, solids=moved(option.solids), assembly=there)


def water_of(order: tuple[int, ...], picked: list[Option]) -> float:
    """When the last zone may see water, told again from the steps. [s]"""
    now = water = 0.0
    for n in order:
        assembly = picked[n].assembly
        assert assembly is not None
        busy = max(s.free for s in assembly.steps[:-1])
        now += busy
        water = max(water, now + assembly.water_on - busy)
    return water


def by_trying_everything(zones: list[tuple[Option, ...]], weights: Weights) -> float:
    """The fewest points of all combinations and orders that can be worked."""
    best = float("inf")
    for picked in product(*zones):
        if any(overlap(a, b) > 0.0 for n, a in enumerate(picked) for b in picked[:n]):
            continue
        alone = sum(
            p.points for o in picked for p in points(merits_of(o), weights) if p.merit != "time"
        )
        for order in permutations(range(len(picked))):
            done: list[Option] = []
            for n in order:
                if any(stands_in_the_way(other, picked[n]) for other in done):
                    break
                done.append(picked[n])
            else:
                hours = water_of(order, list(picked)) / 3600.0
                best = min(best, alone + weights.time * hours)
    return best


@pytest.mark.parametrize("name", ["school-garden", "walled-garden", "mill-race"])
@pytest.mark.parametrize("weights", [WEIGHTS, replace(WEIGHTS, time=20.0)])
def test_no_other_combination_and_order_has_fewer_points(name: str, weights: Weights) -> None:
    zones = options(name)

    got = side_by_side(zones, weights)

    assert isinstance(got, Together)
    picked = [own[n] for own, n in zip(zones, got.picks, strict=True)]
    alone = sum(
        p.points for o in picked for p in points(merits_of(o), weights) if p.merit != "time"
    )
    assert got.water == pytest.approx(water_of(got.order, picked))
    total = alone + weights.time * got.water / 3600.0
    assert total == pytest.approx(by_trying_everything(zones, weights))


def test_water_returns_to_all_sooner_than_one_zone_after_the_other() -> None:
    zones = options("school-garden")
    got = side_by_side(zones, WEIGHTS)
    assert isinstance(got, Together)
    picked = [own[n] for own, n in zip(zones, got.picks, strict=True)]
    waters = [o.assembly.water_on for o in picked if o.assembly is not None]
    assert max(waters) < got.water < sum(waters)


def one_in_the_other_s_way() -> tuple[Option, Option]:
    """Two zones that stand clear of each other; the second must pass where a pin of the first's
    stands.
    """
    coming = next(o for own in options("school-garden") for o in own if "box" in o.way)
    assert coming.assembly is not None
    for swept in coming.assembly.swept:
        for end in (swept.a, swept.b):
            for i, j, k in product((-0.9, 0.0, 0.9), repeat=3):
                x, y, z = add(end, scale((i, j, k), swept.radius))
                pin = Capsule((x, y, z), (x, y, z + 0.001), 0.001, "pin")
                if all(between(pin, solid) > 0.002 for solid in coming.solids):
                    standing = replace(shifted(coming, (9.0, 0.0, 0.0)), solids=(pin,))
                    if stands_in_the_way(standing, coming):
                        return standing, coming
    raise AssertionError("no such place")


def test_what_stands_in_the_next_one_s_way_in_is_worked_after_it() -> None:
    standing, coming = one_in_the_other_s_way()
    for zones, order in (([standing, coming], (1, 0)), ([coming, standing], (0, 1))):
        got = side_by_side([(o,) for o in zones], WEIGHTS)
        assert isinstance(got, Together)
        assert got.order == order
    clear = min(between(a, b) for a in standing.solids for b in coming.solids)
    assert clear >= 0.0


def test_two_that_neither_let_the_other_in_do_not_go_together() -> None:
    standing, coming = one_in_the_other_s_way()
    assert coming.assembly is not None and standing.assembly is not None
    both = replace(standing, assembly=replace(standing.assembly, swept=coming.solids))
    assert not isinstance(side_by_side([(both,), (coming,)], WEIGHTS), Together)


def test_what_no_standard_lists_is_not_picked_for_its_points() -> None:
    listed, other = options("school-garden")[1][:2]
    assert listed.assembly is not None
    dear = replace(listed, assembly=replace(listed.assembly, water_on=90 * 3600.0))
    unlisted = replace(listed, way=RECLAIM)

    got = side_by_side([(dear, unlisted), (shifted(other, (9.0, 0.0, 0.0)),)], WEIGHTS)

    assert isinstance(got, Together)
    assert got.picks == (0, 0)
