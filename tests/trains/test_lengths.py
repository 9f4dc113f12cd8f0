"""The tableau against a general solver of linear programmes, and what it promises besides."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from pitwright.geometry.vector import Vec, add, dot, norm, scale, unit
from pitwright.trains.lengths import (
    SLACK,
    Lack,
    Legs,
    _projected,
    nearest_lack,
    shortest,
    tableau,
)
from tests.strategies import directions

Array = npt.NDArray[np.float64]
Problem = tuple[list[Vec], Vec, list[float], list[float]]
X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
S = math.sqrt(0.5)


def vec(a: Array) -> Vec:
    return float(a[0]), float(a[1]), float(a[2])


def any_way(rng: np.random.Generator, legs: int) -> list[Vec]:
    raw = rng.normal(size=(legs, 3))
    return [unit(vec(r)) for r in raw]


def flat(rng: np.random.Generator, legs: int) -> list[Vec]:
    """All directions in one tilted plane."""
    basis = np.linalg.qr(rng.normal(size=(3, 2)))[0]
    return [unit(vec(basis @ rng.normal(size=2))) for _ in range(legs)]


def square(rng: np.random.Generator, legs: int) -> list[Vec]:
    """Right angles only, so that legs are parallel in pairs: the solver's ties."""
    frame = np.linalg.qr(rng.normal(size=(3, 3)))[0]
    picked = rng.integers(0, 3, size=legs)
    signs = rng.choice([-1.0, 1.0], size=legs)
    return [unit(vec(s * frame[:, i])) for s, i in zip(signs, picked, strict=True)]


def in_line(rng: np.random.Generator, legs: int) -> list[Vec]:
    axis = unit(vec(rng.normal(size=3)))
    return [axis] * legs


FAMILIES: dict[str, Callable[[np.random.Generator, int], list[Vec]]] = {
    "any way": any_way,
    "planar": flat,
    "square": square,
    "in line": in_line,
}


def problem(rng: np.random.Generator, family: str, *, capped: bool) -> Problem:
    """A chain of 1 to 5 legs with bounds, mostly one that closes, sometimes one that cannot."""
    legs = int(rng.integers(1, 6))
    ways = FAMILIES[family](rng, legs)
    low = rng.uniform(0.0, 0.3, size=legs)
    room = rng.uniform(0.0, 0.5, size=legs) * rng.integers(0, 2, size=legs)
    lengths = low + room + rng.choice([0.0, 0.0, -0.2], p=[0.4, 0.4, 0.2])
    high = np.full(legs, np.inf)
    if capped:
        some = rng.integers(0, 2, size=legs).astype(bool)
        high[some] = (low + rng.uniform(0.0, 0.6, size=legs))[some]
    way = sum((np.array(w) * a for w, a in zip(ways, lengths, strict=True)), np.zeros(3))
    return ways, vec(way), low.tolist(), high.tolist()


def by_highs(ways: list[Vec], way: Vec, low: list[float], high: list[float]) -> float | None:
    """The least total as HiGHS finds it with the same costs, None when nothing closes. [m]"""
    matrix = np.array(ways).T
    span = np.linalg.svd(matrix)
    rank = int(np.sum(span[1] > 1e-7))
    base = span[0][:, :rank]
    cost = [1.0 + 1e-6 * (len(ways) - j) for j in range(len(ways))]
    got = linprog(
        cost,
        A_eq=base.T @ matrix,
        b_eq=base.T @ np.array(way),
        bounds=[(a, None if b == math.inf else b) for a, b in zip(low, high, strict=True)],
        method="highs",
        options={"primal_feasibility_tolerance": 1e-10, "dual_feasibility_tolerance": 1e-10},
    )
    return float(got.fun) if got.status == 0 else None


@pytest.mark.parametrize("capped", [False, True], ids=["open", "capped"])
@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_the_tableau_agrees_with_highs(family: str, capped: bool) -> None:
    """Least total and whether anything closes at all: 280 problems of each of 8 families."""
    rng = np.random.default_rng(sorted(FAMILIES).index(family) * 2 + capped)
    closed = refused = 0
    for _ in range(280):
        ways, way, low, high = problem(rng, family, capped=capped)
        mine = shortest(tableau(ways, way), low, high)
        theirs = by_highs(ways, way, low, high)
        if isinstance(mine, Lack):
            assert theirs is None or mine.missed < 1e-6
            assert 0.0 < mine.missed < math.inf
            refused += 1
            continue
        assert theirs is not None
        legs = len(ways)
        total = sum(a * (1.0 + 1e-6 * (legs - j)) for j, a in enumerate(mine.lengths))
        assert total == pytest.approx(theirs, abs=2e-8)
        closed += 1
    assert closed > 100
    assert refused > 5


@given(st.lists(directions(), min_size=1, max_size=5), st.data())
def test_lengths_close_and_keep_their_bounds(ways: list[Vec], data: st.DataObject) -> None:
    sizes = [data.draw(st.floats(0.0, 1.0)) for _ in ways]
    low = [a * data.draw(st.floats(0.0, 1.0)) for a in sizes]
    way = (0.0, 0.0, 0.0)
    for w, a in zip(ways, sizes, strict=True):
        way = add(way, scale(w, a))
    got = shortest(tableau(ways, way), low, [math.inf] * len(ways))
    assert isinstance(got, Legs), got
    there = np.array(ways).T @ np.array(got.lengths)
    assert np.linalg.norm(there - np.array(way)) < 1e-6
    assert all(a >= b - SLACK for a, b in zip(got.lengths, low, strict=True))
    assert sum(got.lengths) <= sum(sizes) * (1 + 1e-5) + 1e-8


@given(st.lists(directions(), min_size=1, max_size=4), directions(), st.floats(0.1, 2.0))
def test_the_miss_is_what_no_lengths_can_cover(ways: list[Vec], axis: Vec, size: float) -> None:
    """Against numpy's least squares."""
    way = scale(axis, size)
    board = tableau(ways, way)
    best = np.linalg.lstsq(np.array(ways).T, np.array(way), rcond=1e-7)[0]
    left = np.linalg.norm(np.array(way) - np.array(ways).T @ best)
    assert norm(board.miss) == pytest.approx(left, abs=2e-6)
    assert all(abs(dot(board.miss, w)) < 1e-6 for w in ways)


def test_between_equal_lengths_the_slack_goes_to_the_later_leg() -> None:
    """An offset of two 45s: first and last leg are parallel, either could take up the way."""
    ways = [Y, (S, S, 0.0), Y]
    got = shortest(tableau(ways, (0.2, 1.0, 0.0)), [0.1] * 3, [math.inf] * 3)
    assert isinstance(got, Legs)
    assert got.lengths == pytest.approx((0.1, 0.2 / S, 0.7), abs=1e-9)


def test_a_capped_later_leg_hands_the_rest_to_the_earlier() -> None:
    ways = [Y, (S, S, 0.0), Y]
    got = shortest(tableau(ways, (0.2, 1.0, 0.0)), [0.1] * 3, [math.inf, math.inf, 0.3])
    assert isinstance(got, Legs)
    assert got.lengths == pytest.approx((0.5, 0.2 / S, 0.3), abs=1e-9)


def test_a_lack_names_the_leg_and_by_how_much() -> None:
    """The middle leg needs 0.3 m and the offset gives it 0.2 / sin 45."""
    ways = [Y, (S, S, 0.0), Y]
    got = shortest(tableau(ways, (0.1, 1.0, 0.0)), [0.1, 0.3, 0.1], [math.inf] * 3)
    assert isinstance(got, Lack)
    assert got.leg == 1
    assert got.have == pytest.approx(0.1 / S)
    assert got.missed == pytest.approx(0.3 - 0.1 / S)


def test_too_far_for_a_fixed_leg_is_a_lack_with_the_length_it_would_need() -> None:
    got = shortest(tableau([Z], (0.0, 0.0, 0.5)), [0.2], [0.2])
    assert isinstance(got, Lack)
    assert (got.leg, got.have, got.bound) == pytest.approx((0, 0.5, 0.2))


def test_one_tableau_serves_every_problem_on_its_chain() -> None:
    board = tableau([X, Y, Z], (0.3, 0.4, 0.5))
    assert shortest(board, [0.0] * 3, [1.0] * 3) == Legs((0.3, 0.4, 0.5))
    got = shortest(board, [0.0, 0.0, 0.6], [1.0] * 3)
    assert isinstance(got, Lack)
    assert (got.leg, got.missed) == pytest.approx((2, 0.1))


@pytest.mark.parametrize("family", FAMILIES)
def test_the_direct_way_and_the_projected_one_make_the_same_tableau(family: str) -> None:
    """Triple products against solving within the span: same bases in the same order."""
    rng = np.random.default_rng(7)
    direct = 0
    for _ in range(300):
        ways, way, *_ = problem(rng, family, capped=False)
        one, other = tableau(ways, way), _projected(ways, way)
        assert one.miss == pytest.approx(other.miss, abs=1e-12)
        if not other.bases or len(other.bases[0].solved) < 3:
            assert one == other
            continue
        direct += 1
        assert [b[:3] for b in one.bases] == [b[:3] for b in other.bases]
        for mine, theirs in zip(one.bases, other.bases, strict=True):
            size = max(
                1.0, *(abs(x) for x in theirs.beta), *(abs(x) for c in theirs.alpha for x in c)
            )
            assert mine.beta == pytest.approx(theirs.beta, abs=1e-9 * size)
            for a, b in zip(mine.alpha, theirs.alpha, strict=True):
                assert a == pytest.approx(b, abs=1e-9 * size)
    assert direct > 50 or family in ("planar", "in line")


@pytest.mark.parametrize("family", ["any way", "square"])
def test_the_nearest_lack_of_endless_legs_is_that_of_the_tableau(family: str) -> None:
    rng = np.random.default_rng(8)
    lacking = 0
    for _ in range(600):
        ways, way, low, _ = problem(rng, family, capped=False)
        gate = nearest_lack(ways, way, low)
        got = shortest(tableau(ways, way), low, [math.inf] * len(ways))
        if gate is None:
            spatial = len(ways) >= 3 and np.linalg.matrix_rank(np.array(ways), tol=1e-3) == 3
            assert isinstance(got, Legs) or not spatial
            continue
        lacking += 1
        assert isinstance(got, Lack)
        assert gate.missed == pytest.approx(got.missed, abs=1e-8)
    assert lacking >= 10
