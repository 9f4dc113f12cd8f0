"""Laws of room: one thing less never hurts, more allowance never hurts, the culprit is told."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from pitwright.findings import Refusal
from pitwright.geometry.clearance import Capsule, HalfSpace, between, to_wall
from pitwright.geometry.vector import Vec, dot, sub
from pitwright.trains.kit import Girth, Kit, StubEnd
from pitwright.trains.room import TOUCH, Laid, Room, solids
from pitwright.trains.search import Allowance, search
from pitwright.trains.train import Train
from pitwright.units.kinds import INCH
from tests.trains.pits import crooked_pits, kit

GIRTH = Girth(0.0167, 0.021, 0.035, 0.1)
ALLOW = Allowance(INCH / 8, math.radians(3.0))


def obstacle(seed: tuple[float, float, float], size: float, name: str, way: Vec) -> Capsule:
    """A root square to nothing, somewhere between the stubs."""
    at = tuple(w * (0.5 + 0.4 * s) + 0.1 * s for w, s in zip(way, seed, strict=True))
    end = (at[0] + 0.2 * seed[1], at[1] + 0.2 * seed[2], at[2] - 0.2 * seed[0])
    return Capsule((at[0], at[1], at[2]), end, size, name)


seeds = st.tuples(*[st.floats(-1.0, 1.0)] * 3)
obstacles = st.lists(st.tuples(seeds, st.floats(0.003, 0.04)), min_size=1, max_size=4)


def keys(found: tuple[Train, ...] | Refusal) -> set[str]:
    return set() if isinstance(found, Refusal) else {t.skeleton.label for t in found}


def pit_kit(stubs: tuple[StubEnd, StubEnd]) -> Kit:
    return kit(stubs[0].cut, stubs[1].cut, valve=False)


@given(crooked_pits(), obstacles)
@settings(max_examples=40)
def test_one_obstacle_less_never_loses_a_train(
    stubs: tuple[StubEnd, StubEnd], drawn: list[tuple[tuple[float, float, float], float]]
) -> None:
    way = sub(stubs[1].tip, stubs[0].tip)
    things = tuple(obstacle(s, r, f"root {n}", way) for n, (s, r) in enumerate(drawn))
    full = keys(search(stubs, pit_kit(stubs), ALLOW, Room((), things, GIRTH)))
    fewer = keys(search(stubs, pit_kit(stubs), ALLOW, Room((), things[1:], GIRTH)))
    none = keys(search(stubs, pit_kit(stubs), ALLOW, Room((), (), GIRTH)))
    assert full <= fewer <= none


@given(crooked_pits(), st.floats(0.0, 3.0))
@settings(max_examples=40)
def test_a_larger_allowance_never_loses_a_kind_of_train(
    stubs: tuple[StubEnd, StubEnd], more: float
) -> None:
    """Of the misfit in place; the angle's own law is that a snapped chain stays a chain."""
    wide = replace(ALLOW, position=ALLOW.position * (1.0 + more))
    assert keys(search(stubs, pit_kit(stubs), ALLOW)) <= keys(search(stubs, pit_kit(stubs), wide))


@given(crooked_pits(), obstacles)
@settings(max_examples=40, suppress_health_check=[HealthCheck.filter_too_much])
def test_no_train_found_touches_anything(
    stubs: tuple[StubEnd, StubEnd], drawn: list[tuple[tuple[float, float, float], float]]
) -> None:
    way = sub(stubs[1].tip, stubs[0].tip)
    things = tuple(obstacle(s, r, f"root {n}", way) for n, (s, r) in enumerate(drawn))
    walls = (HalfSpace((0.0, 0.0, -1.0), 0.15, "floor"),)
    room = Room(walls, things, GIRTH)
    found = search(stubs, kit(stubs[0].cut, stubs[1].cut), ALLOW, room)
    assume(not isinstance(found, Refusal))
    assert not isinstance(found, Refusal)
    for train in found:
        laid = Laid(train.lengths, train.share)
        shapes = list(solids(train.directions, train.rows, stubs[0].tip, laid, GIRTH))
        for solid in shapes:
            assert all(between(solid, thing) > -2 * TOUCH for thing in things)
            if solid.name in ("valve", "bonnet"):
                assert to_wall(solid, walls[0]) > -2 * TOUCH
        centres = [s.a for s in shapes if s.name.startswith("leg")][1:]
        for centre in centres:
            assert dot(walls[0].normal, centre) <= walls[0].most - GIRTH.fitting + 1e-6


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_the_obstacle_in_the_way_is_named_and_a_harmless_one_is_not(
    order: tuple[int, int],
) -> None:
    """Two stubs face to face: the rock on the line stops them, the one aside does not."""
    stubs = (
        StubEnd((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.0),
        StubEnd((0.0, 0.5, 0.0), (0.0, -1.0, 0.0), 0.0),
    )
    rocks = (
        Capsule((0.0, 0.25, 0.0), (0.0, 0.25, 0.0), 0.02, "rock in the way"),
        Capsule((0.3, 0.25, 0.0), (0.3, 0.25, 0.0), 0.02, "rock aside"),
    )
    straight = replace(kit(0.0, 0.0, valve=False), most_bends=0)
    room = Room((), tuple(rocks[i] for i in order), GIRTH)
    got = search(stubs, straight, ALLOW, room)
    assert isinstance(got, Refusal)
    hit = [s for s in got.because if s.code == "OBSTACLE"]
    assert {s.where for s in hit} == {"rock in the way"}
    assert all(s.missed == pytest.approx(0.02 + GIRTH.fitting) or s.missed > 0.03 for s in hit)
    clear = Room((), (rocks[1],), GIRTH)
    assert not isinstance(search(stubs, straight, ALLOW, clear), Refusal)
