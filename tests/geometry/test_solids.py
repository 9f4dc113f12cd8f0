"""Boxes and drums: how far a pipe stands from them, beside two optimisers and by laws."""

from __future__ import annotations

import math

import clarabel
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy import sparse
from scipy.optimize import minimize

from pitwright.geometry.clearance import Capsule, between, segment_distance
from pitwright.geometry.solids import Block, Drum, Solid, block, drum, gap, nearest, shortest_gap
from pitwright.geometry.vector import Vec, across, add, norm, scale, sub, turned
from tests.strategies import directions, points

SIZES = st.floats(0.02, 1.0)


@st.composite
def things(draw: st.DrawFn) -> Block | Drum:
    start, way = draw(points), draw(directions())
    end = add(start, scale(way, draw(SIZES)))
    margin = draw(st.sampled_from([0.0, 0.03]))
    if draw(st.booleans()):
        return drum(start, end, draw(SIZES), margin=margin, name="drum")
    side = turned(across(way)[0], way, draw(st.floats(0.0, 6.28)))
    return block(start, end, side, draw(SIZES), draw(SIZES), margin=margin, name="box")


@st.composite
def near(draw: st.DrawFn) -> tuple[Vec, Vec, Block | Drum]:
    """A thing and a segment not far from it, or through it."""
    thing = draw(things())
    a = add(thing.a, scale(draw(directions()), draw(st.floats(0.0, 2.0))))
    return a, add(a, scale(draw(directions()), draw(st.floats(0.0, 2.0)))), thing


def by_cone(a: Vec, b: Vec, thing: Block | Drum) -> float:
    """The distance as a conic programme in t, a point q of the thing (3), and the distance.

    Clarabel's form: right - rows · x lies in the cones.
    """
    way, corner = np.array(b) - np.array(a), np.array(a)
    rows: list[NDArray[np.float64]] = [np.array([[1.0, 0, 0, 0, 0], [-1.0, 0, 0, 0, 0]])]
    right: list[NDArray[np.float64]] = [np.array([1.0, 0.0])]
    cones: list[object] = []
    if isinstance(thing, Block):
        axes, centre = np.array(thing.axes), np.array(thing.centre)
        halves = np.array(thing.halves)
        for sign in (1.0, -1.0):
            rows.append(np.hstack([np.zeros((3, 1)), sign * axes, np.zeros((3, 1))]))
            right.append(halves + sign * axes @ centre)
        cones.append(clarabel.NonnegativeConeT(8))
    else:
        first, last = np.array(thing.a), np.array(thing.b)
        long = float(np.linalg.norm(last - first))
        along = (last - first) / long
        for sign, most in ((1.0, long + along @ first), (-1.0, -along @ first)):
            rows.append(np.hstack([[0.0], sign * along, [0.0]])[None, :])
            right.append(np.array([most]))
        cones.append(clarabel.NonnegativeConeT(4))
        flat = np.eye(3) - np.outer(along, along)
        rows.append(
            np.vstack([np.zeros(5), np.hstack([np.zeros((3, 1)), -flat, np.zeros((3, 1))])])
        )
        right.append(np.concatenate([[thing.size], -flat @ first]))
        cones.append(clarabel.SecondOrderConeT(4))
    apart = np.zeros((4, 5))
    apart[0, 4] = -1.0
    apart[1:, 0], apart[1:, 1:4] = -way, np.eye(3)
    rows.append(apart)
    right.append(np.concatenate([[0.0], corner]))
    cones.append(clarabel.SecondOrderConeT(4))
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    cost = np.array([0.0, 0.0, 0.0, 0.0, 1.0])
    solution = clarabel.DefaultSolver(
        sparse.csc_matrix((5, 5)),
        cost,
        sparse.csc_matrix(np.vstack(rows)),
        np.concatenate(right),
        cones,
        settings,
    ).solve()
    assert str(solution.status) in {"Solved", "AlmostSolved"}, solution.status
    return float(solution.x[4]) - thing.margin


@pytest.mark.parametrize("seed", range(60))
def test_a_conic_optimiser_finds_the_same_distance(seed: int) -> None:
    dice = np.random.default_rng(seed)

    def any_way() -> Vec:
        x, y, z = (float(v) for v in dice.standard_normal(3))
        return scale((x, y, z), 1.0 / norm((x, y, z)))

    start, way = scale(any_way(), 0.5), any_way()
    end = add(start, scale(way, dice.uniform(0.05, 1.0)))
    size, wide, high = (float(s) for s in dice.uniform(0.02, 0.8, 3))
    box = block(start, end, across(way)[0], wide, high, margin=0.02 * (seed % 2))
    a = add(start, scale(any_way(), dice.uniform(0.6, 2.0)))
    b = add(a, scale(any_way(), dice.uniform(0.0, 1.5)))
    for thing in (box, drum(start, end, size, margin=0.02 * (seed % 2))):
        ours, theirs = shortest_gap(a, b, thing), by_cone(a, b, thing)
        if ours > -thing.margin + 1e-9:
            assert ours == pytest.approx(theirs, abs=2e-6)
        else:
            assert theirs == pytest.approx(-thing.margin, abs=2e-6)


@given(near(), directions(), st.floats(-3.0, 3.0), points)
def test_turning_and_shifting_everything_changes_no_distance(
    found: tuple[Vec, Vec, Block | Drum], axis: Vec, turn: float, shift: Vec
) -> None:
    a, b, thing = found

    def moved(p: Vec) -> Vec:
        return add(turned(p, axis, turn), shift)

    again: Solid
    if isinstance(thing, Drum):
        again = drum(moved(thing.a), moved(thing.b), thing.size, margin=thing.margin)
    else:
        along, side, _ = thing.axes
        reach = scale(along, thing.halves[0])
        start, end = sub(thing.centre, reach), add(thing.centre, reach)
        wide, high = 2 * thing.halves[1], 2 * thing.halves[2]
        side = turned(side, axis, turn)
        again = block(moved(start), moved(end), side, wide, high, margin=thing.margin)
    before = shortest_gap(a, b, thing)
    assert shortest_gap(moved(a), moved(b), again) == pytest.approx(before, abs=1e-8)


@given(near(), directions(), st.floats(0.0, 0.5))
def test_a_thing_moved_so_far_is_nearer_or_farther_by_no_more(
    found: tuple[Vec, Vec, Block | Drum], way: Vec, by: float
) -> None:
    a, b, thing = found
    off = scale(way, by)
    moved = shortest_gap(add(a, off), add(b, off), thing)
    assert abs(moved - shortest_gap(a, b, thing)) <= by + 1e-9


@given(near())
def test_the_capsule_that_holds_a_thing_is_never_farther_than_the_thing(
    found: tuple[Vec, Vec, Block | Drum],
) -> None:
    a, b, thing = found
    rough = segment_distance(a, b, thing.a, thing.b) - thing.radius
    exact = shortest_gap(a, b, thing)
    assert rough <= exact + 1e-9
    assert shortest_gap(a, b, thing, enough=0.1) >= min(exact, 0.1) - 1e-9
    assert gap(Capsule(a, b, 0.05), thing) == exact - 0.05


@given(near(), st.floats(0.0, 1.0))
def test_no_point_of_the_segment_is_nearer_than_told(
    found: tuple[Vec, Vec, Block | Drum], share: float
) -> None:
    a, b, thing = found
    point = add(a, scale(sub(b, a), share))
    assert shortest_gap(point, point, thing) >= shortest_gap(a, b, thing) - 1e-9
    back = shortest_gap(b, a, thing)
    assert back == pytest.approx(shortest_gap(a, b, thing), abs=1e-9)


@given(near())
def test_the_nearest_points_lie_on_both_and_stand_as_far_apart_as_told(
    found: tuple[Vec, Vec, Block | Drum],
) -> None:
    a, b, thing = found
    p, q = nearest(a, b, thing)
    told = shortest_gap(a, b, thing) + thing.margin
    assert norm(sub(p, q)) == pytest.approx(max(told, 0.0), abs=1e-9)
    assert segment_distance(a, b, p, p) < 1e-9
    assert shortest_gap(q, q, thing) + thing.margin < 1e-9


@given(near())
def test_how_deep_a_segment_lies_in_a_box_is_the_shortest_way_out(
    found: tuple[Vec, Vec, Block | Drum],
) -> None:
    """No direction gets it out sooner, by an optimiser's search over all directions."""
    a, b, thing = found
    deep = -shortest_gap(a, b, thing) - thing.margin
    if not isinstance(thing, Block) or deep < 1e-6:
        return

    def out(way: NDArray[np.float64]) -> float:
        n = way / np.linalg.norm(way)
        reach = sum(
            abs(float(n @ np.array(x))) * h for x, h in zip(thing.axes, thing.halves, strict=True)
        )
        ends = [float(n @ (np.array(p) - np.array(thing.centre))) for p in (a, b)]
        return reach - min(ends)

    dice = np.random.default_rng(1)
    tries = dice.standard_normal((60, 3))
    best = min(tries, key=out)
    assert min(out(n) for n in tries) >= deep - 1e-9
    found_out = minimize(out, best, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12})
    assert float(found_out.fun) >= deep - 1e-9


@given(near())
def test_moved_out_along_or_across_a_drum_by_its_depth_a_segment_is_out(
    found: tuple[Vec, Vec, Block | Drum],
) -> None:
    a, b, thing = found
    deep = -shortest_gap(a, b, thing) - thing.margin
    if not isinstance(thing, Drum) or deep < 1e-6:
        return
    axis = scale(sub(thing.b, thing.a), 1.0 / norm(sub(thing.b, thing.a)))
    one, two = across(axis)
    turns = [2 * math.pi * n / 720 for n in range(720)]
    ways = [add(scale(one, math.cos(t)), scale(two, math.sin(t))) for t in turns]
    ways += [axis, scale(axis, -1.0)]
    offs = [scale(way, deep * 1.0001 + 1e-6) for way in ways]
    freed = max(shortest_gap(add(a, off), add(b, off), thing) + thing.margin for off in offs)
    assert freed >= -1e-4  # enough, though a slanting way out may be shorter


def test_a_drum_ends_flat_where_a_capsule_goes_on_round() -> None:
    a, b = (0.0, 0.0, 0.0), (0.0, 0.0, 1.0)
    above = Capsule((-1.0, 0.0, 1.3), (1.0, 0.0, 1.3), 0.1)
    assert gap(above, drum(a, b, 0.5)) == pytest.approx(0.2)
    assert between(above, Capsule(a, b, 0.5)) == pytest.approx(-0.3)
    assert gap(above, Capsule(a, b, 0.5)) == between(above, Capsule(a, b, 0.5))
