"""Laws of the chains: every bend bends by its angle, both ends are met, nothing near-parallel."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pitwright.findings import Refusal
from pitwright.geometry.clearance import HalfSpace
from pitwright.geometry.vector import (
    Vec,
    across,
    add,
    angle_between,
    dot,
    minus,
    norm,
    scale,
    sub,
    turned,
    unit,
    without,
)
from pitwright.trains.chains import Chain, NoChain, chains, neighbours, on_two_cones
from pitwright.trains.kit import Girth, StubEnd
from pitwright.trains.room import Room
from pitwright.trains.search import Allowance, search
from pitwright.units.kinds import INCH
from tests.strategies import directions
from tests.trains.pits import kit

BUDGET = math.radians(6.0)
BENDS = st.sampled_from([math.radians(b) for b in (22.5, 45.0, 90.0)])
ways = st.tuples(*[st.floats(-1.0, 1.0)] * 3)
Y, Z = (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
FAR = (0.1, 0.5, -0.05)


@st.composite
def nearly(draw: st.DrawFn) -> tuple[list[float], Vec, Vec, Vec]:
    """Bends, and two directions whose angle lies about where those bends can turn."""
    bends = draw(st.lists(BENDS, max_size=2))
    u = draw(directions())
    signs = [draw(st.sampled_from([1.0, -1.0])) for _ in bends]
    turn = sum(s * b for s, b in zip(signs, bends, strict=True))
    turn += math.radians(draw(st.floats(-8.0, 8.0)))
    axis = turned(across(u)[0], u, draw(st.floats(-3.0, 3.0)))
    return bends, u, turned(u, axis, turn), draw(ways)


@given(nearly())
def test_bends_bend_by_their_angle_and_both_ends_are_met(
    pit: tuple[list[float], Vec, Vec, Vec],
) -> None:
    bends, u, v, way = pit
    got = chains(bends, u, v, way, BUDGET)
    if isinstance(got, NoChain):
        assert got.code == "NO_OFFSET" or got.missed > BUDGET - 1e-9
        return
    for chain in got:
        legs = chain.directions
        assert legs[0] == u
        assert len(legs) == len(bends) + 1
        assert all(norm(w) == pytest.approx(1.0, abs=1e-12) for w in legs)
        for before, after, bend in zip(legs, legs[1:], bends, strict=False):
            assert angle_between(before, after) == pytest.approx(bend, abs=1e-7)
        assert angle_between(legs[-1], v) == pytest.approx(chain.residual, abs=1e-7)
        assert chain.residual <= BUDGET + 1e-9
        assert chain.snapped == (chain.residual > 1e-9)


@given(directions(), directions(), directions())
def test_two_cones_give_back_the_direction_they_were_made_from(u: Vec, w: Vec, v: Vec) -> None:
    """And with it its mirror image in the plane of u and v, and nothing else."""
    assume(0.01 < angle_between(u, v) < math.pi - 0.01)
    found = on_two_cones(u, angle_between(u, w), v, angle_between(w, v))
    assert 1 <= len(found) <= 2
    assert min(norm(sub(w, f)) for f in found) < 1e-5
    for f in found:
        assert dot(u, f) == pytest.approx(dot(u, w), abs=1e-9)
        assert dot(v, f) == pytest.approx(dot(v, w), abs=1e-9)


@given(directions(), st.floats(0.01, 3.0))
def test_cones_too_narrow_or_along_one_axis_give_none(u: Vec, turn: float) -> None:
    v = turned(u, across(u)[0], turn)
    assert on_two_cones(u, turn / 3, v, turn / 3) == ()
    assert on_two_cones(u, 0.5, u, 0.5) == ()
    assert on_two_cones(u, 0.5, minus(u), 0.5) == ()


@given(directions(), st.floats(-5.9, 5.9), BENDS, ways)
def test_nearly_parallel_stubs_are_snapped_and_the_rest_is_told(
    u: Vec, lean: float, bend: float, way: Vec
) -> None:
    """The middle leg rolls towards the offset; the exact chains stand behind it."""
    offset = without(way, u)
    assume(norm(offset) > 1e-3)
    v = turned(u, across(u)[1], math.radians(lean))
    got = chains([bend, bend], u, v, way, BUDGET)
    assert not isinstance(got, NoChain)
    chain = got[0]
    assert all(not other.snapped for other in got[1:])
    assert chain.directions[2] == u
    assert chain.residual == pytest.approx(math.radians(abs(lean)), abs=1e-9)
    side = without(chain.directions[1], u)
    assert angle_between(side, offset) < 1e-6


def test_a_return_of_two_90s_goes_back_the_way_it_came() -> None:
    (chain,) = two([90, 90], Y, minus(Y), (0.3, 0.01, 0.0))
    assert chain.directions[::2] == (Y, minus(Y))
    assert chain.directions[1] == pytest.approx((1.0, 0.0, 0.0), abs=1e-12)


def two(degrees: list[float], u: Vec, v: Vec, way: Vec) -> tuple[Chain, ...]:
    got = chains([math.radians(b) for b in degrees], u, v, way, BUDGET)
    assert not isinstance(got, NoChain), got
    return got


@pytest.mark.parametrize("u", [Y, Z, minus(Z), unit((0.3, -0.4, 0.5))], ids=str)
@pytest.mark.parametrize("way_along", [0.5, 0.0], ids=["in line", "one point"])
def test_with_nothing_to_offset_two_bends_have_no_way_to_roll(u: Vec, way_along: float) -> None:
    """Collinear stubs, plumb ones too, and stubs whose tips coincide."""
    got = chains([math.pi / 4] * 2, u, u, scale(u, way_along), BUDGET)
    assert got == NoChain("NO_OFFSET", 0.0, 0.0)


def test_plumb_stubs_roll_towards_their_offset_as_level_ones_do() -> None:
    (chain,) = two([45, 45], Z, Z, (0.0, -0.2, 0.6))
    assert chain.directions[1] == pytest.approx((0.0, -math.sqrt(0.5), math.sqrt(0.5)), abs=1e-12)


def test_straight_needs_stubs_that_look_at_each_other() -> None:
    assert chains([], Y, Y, FAR, BUDGET) == (Chain((Y,), 0.0, False),)
    got = chains([], Y, Z, FAR, BUDGET)
    assert got == NoChain("ANGLE", pytest.approx(math.pi / 2), 0.0)  # type: ignore[arg-type]


def test_one_bend_is_refused_where_there_is_no_plane_to_bend_in() -> None:
    """Parallel and opposite stubs are no 90; the angle had and needed are told."""
    got = chains([math.pi / 2], Y, Y, FAR, BUDGET)
    assert got == NoChain("ANGLE", 0.0, math.pi / 2)


@pytest.mark.parametrize("first", [45.0, 90.0])
def test_all_in_one_plane_where_the_bends_reach_just_so_far(first: float) -> None:
    """45 and 90 turn 45 at the least and 135 at the most; there the middle leg is flat."""
    bends = [first, 135.0 - first]
    for turn in (45.0 - 3.0, 135.0 + 3.0):
        v = turned(Y, Z, math.radians(turn))
        for chain in two(bends, Y, v, FAR):
            assert all(abs(w[2]) < 1e-9 for w in chain.directions)
            assert chain.residual == pytest.approx(math.radians(3.0))


def test_between_its_edges_a_pair_of_bends_has_two_middle_legs() -> None:
    v = turned(Y, Z, math.radians(90.0))
    got = two([45, 90], Y, v, FAR)
    assert len(got) == 2
    assert got[0].directions[1][2] == pytest.approx(-got[1].directions[1][2])


def test_what_no_pair_can_turn_says_the_angle_it_lacks() -> None:
    got = chains([math.pi / 4] * 2, Y, minus(Y), FAR, BUDGET)
    assert isinstance(got, NoChain)
    assert got.code == "ANGLE"
    assert got.missed == pytest.approx(math.pi / 2)


# Three and four bends: families on a grid.


@st.composite
def families(draw: st.DrawFn) -> tuple[list[float], Vec, Vec, Vec]:
    bends = draw(st.lists(BENDS, min_size=3, max_size=4))
    return bends, draw(directions()), draw(directions()), draw(ways)


def check_bends(got: tuple[Chain, ...] | NoChain, bends: list[float], u: Vec, v: Vec) -> None:
    if isinstance(got, NoChain):
        assert got.code == "ANGLE"
        return
    assert got
    for chain in got:
        legs = chain.directions
        assert (legs[0], legs[-1]) == (u, v)
        assert len(legs) == len(bends) + 1
        assert chain.residual == 0.0 and not chain.snapped
        for before, after, bend in zip(legs, legs[1:], bends, strict=False):
            assert angle_between(before, after) == pytest.approx(bend, abs=1e-6)


@given(families())
def test_every_chain_of_three_or_four_bends_bends_by_its_angles_and_meets_both_stubs(
    pit: tuple[list[float], Vec, Vec, Vec],
) -> None:
    bends, u, v, way = pit
    check_bends(chains(bends, u, v, way, BUDGET), bends, u, v)


@given(families(), st.floats(0.001, 0.5))
def test_refined_chains_keep_their_angles(
    pit: tuple[list[float], Vec, Vec, Vec], step: float
) -> None:
    bends, u, v, way = pit
    got = chains(bends, u, v, way, BUDGET)
    assume(not isinstance(got, NoChain))
    assert not isinstance(got, NoChain)
    near = tuple(neighbours(got[0], bends, step))
    if near:
        check_bends(near, bends, u, v)


@pytest.mark.parametrize("count", [3, 4])
def test_the_grid_is_the_pits_own_turning_the_pit_in_plan_turns_every_chain(count: int) -> None:
    """Plumb is a direction of the pit, north is not. Forty crooked pits, none on a tie."""
    rng = np.random.default_rng(count)
    told = 0
    for _ in range(40):
        raw = [unit((float(a), float(b), float(c))) for a, b, c in rng.normal(size=(3, 3))]
        bends = [math.radians(float(b)) for b in rng.choice([22.5, 45.0, 90.0], size=count)]
        turn = float(rng.uniform(-3, 3))
        one = chains(bends, raw[0], raw[1], raw[2], BUDGET)
        u, v, way = (turned(d, Z, turn) for d in raw)
        two = chains(bends, u, v, way, BUDGET)
        assert isinstance(one, NoChain) == isinstance(two, NoChain)
        if isinstance(one, NoChain) or isinstance(two, NoChain):
            continue
        told += 1
        here = [tuple(turned(d, Z, turn) for d in c.directions) for c in one]
        there = [c.directions for c in two]
        # on the very edge of two cones a double leg may come as one: sets, not lists
        for some, others in ((here, there), (there, here)):
            flat = np.array(others).reshape(len(others), -1)
            for chain in some:
                assert np.abs(flat - np.array(chain).ravel()).max(axis=1).min() < 1e-4
    assert told >= 15


ODD = {
    "collinear": (Y, Y, (0.0, 0.5, 0.0)),
    "parallel": (Y, Y, (0.1, 0.5, 0.0)),
    "opposite": (Y, minus(Y), (0.2, 0.0, 0.0)),
    "planar": (Y, unit((1.0, 0.3, 0.0)), (0.3, 0.5, 0.0)),
    "square": (Y, (1.0, 0.0, 0.0), (0.3, 0.3, 0.0)),
    "plumb": (Z, Z, (0.0, 0.0, 0.5)),
    "plumb and level": (Z, Y, (0.0, 0.4, 0.4)),
    "down into itself": (Z, minus(Z), (0.0, 0.0, 0.3)),
    "one point": (Y, Z, (0.0, 0.0, 0.0)),
    "one point, one line": (Y, Y, (0.0, 0.0, 0.0)),
    "a hair": (Y, unit((1e-8, 1.0, 0.0)), (1e-9, 0.5, 0.0)),
}


@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize("count", [3, 4])
def test_degenerate_pits_give_true_chains_or_say_why_not(odd: str, count: int) -> None:
    u, v, way = ODD[odd]
    for bends in product([math.pi / 4, math.pi / 2], repeat=count):
        got = chains(list(bends), u, v, way, BUDGET)
        check_bends(got, list(bends), u, v)
        if not isinstance(got, NoChain):
            assert len(got) <= 20 * 20 * 20


SLOW = {"one point"}
"""Nothing fits between two tips at one place, and it takes seconds to have tried it all."""


@pytest.mark.parametrize(
    "odd", [pytest.param(o, marks=[pytest.mark.nightly] if o in SLOW else []) for o in ODD]
)
def test_degenerate_pits_are_searched_to_an_answer(odd: str) -> None:
    """Four bends and a valve: trains that close, or a refusal with its reasons; never a crash."""
    u, v, way = ODD[odd]
    stubs = StubEnd((0.0, 0.0, 0.0), u, INCH), StubEnd(way, minus(v), INCH)
    allow = Allowance(INCH / 8, math.radians(3.0))
    room = Room((HalfSpace((0.0, 0.0, -1.0), 0.3, "floor"),), (), Girth(0.0167, 0.021))
    got = search(stubs, kit(INCH, INCH, most_bends=4), allow, room)
    if isinstance(got, Refusal):
        assert got.because
        return
    for train in got:
        assert train.misfit.position <= allow.position + 1e-9
        at = stubs[0].tip
        for w, a in zip(train.directions, train.lengths, strict=True):
            at = add(at, scale(w, a))
        assert norm(sub(at, way)) <= allow.position + 0.1 * sum(train.cut_back) + 1e-9
