"""All places of a train against a general solver of linear programmes: feasibility and the best.

Chains of three to five legs in space have 0, 1 and 2 free numbers; flat and square ones more or
fewer. Walls are half-planes before and behind every bend's centre.
"""

from __future__ import annotations

import math
from itertools import accumulate

import numpy as np
import pytest
from scipy.optimize import linprog

from pitwright.geometry.clearance import HalfSpace
from pitwright.geometry.vector import Vec, add, dot, norm, scale, sub, unit
from pitwright.trains.lengths import tableau
from pitwright.trains.placements import placements

RNG = np.random.default_rng(20260516)
Job = tuple[list[Vec], Vec, list[float], list[float], list[HalfSpace]]
TIP = (0.1, -0.2, 0.05)
FAR = 10.0
"""No leg in a pit is longer. [m]"""
EDGE = 1e-7
"""A problem that is feasible, or not, by less than this is nobody's mistake. [m]"""


def vec(a: object) -> Vec:
    x, y, z = np.asarray(a, dtype=float)
    return float(x), float(y), float(z)


def bends(ways: list[Vec], lengths: list[float]) -> list[Vec]:
    """The centres of the bends."""
    steps = [scale(w, a) for w, a in zip(ways, lengths, strict=True)]
    return list(accumulate(steps[:-1], add, initial=TIP))[1:]


def job(free: int, family: str) -> Job:
    """A chain that would close if there were no walls, with as many free numbers as asked."""
    legs = 2 + free if family == "flat" else 3 + free
    if family == "flat":
        frame = np.linalg.qr(RNG.normal(size=(3, 2)))[0]
        turns = [math.radians(45.0 * float(t)) for t in RNG.integers(0, 8, size=legs)]
        turns[:2] = [0.0, math.pi / 2]
        ways = [vec(frame @ (math.cos(t), math.sin(t))) for t in turns]
    elif family == "square":
        axes = [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)]
        ways = [*axes, *(scale(axes[int(RNG.integers(3))], s) for s in (1.0, -1.0)[:free])]
        ways = [ways[i] for i in RNG.permutation(legs)]
    else:
        ways = [unit(vec(RNG.normal(size=3))) for _ in range(legs)]
    lengths = RNG.uniform(0.05, 0.6, size=legs)
    low = (lengths * RNG.uniform(0.1, 1.15, size=legs)).tolist()
    high = [math.inf if RNG.random() < 0.6 else float(a * RNG.uniform(1, 2)) for a in lengths]
    high = [max(h, a) for h, a in zip(high, low, strict=True)]
    way = vec(sum(np.array(w) * a for w, a in zip(ways, lengths, strict=True)))
    walls = []
    for n in range(int(RNG.integers(0, 4))):
        normal = unit(vec(RNG.normal(size=3)))
        at = bends(ways, lengths.tolist())[int(RNG.integers(legs - 1))]
        walls.append(HalfSpace(normal, dot(normal, at) + float(RNG.normal(0.02, 0.1)), f"w{n}"))
    return ways, way, low, high, walls


def by_highs(task: Job, slack: float) -> float | None:
    """The least total with every limit loosened by ``slack``, None when nothing closes. [m]"""
    ways, way, low, high, walls = task
    legs = len(ways)
    rows, most = [], []
    for wall in walls:
        for bend in range(1, legs):
            rows.append([dot(wall.normal, w) if j < bend else 0.0 for j, w in enumerate(ways)])
            most.append(wall.most - dot(wall.normal, TIP) + slack)
    got = linprog(
        np.ones(legs),
        A_ub=np.array(rows) if rows else None,
        b_ub=most if rows else None,
        A_eq=np.array(ways).T,
        b_eq=way,
        bounds=[(a - slack, min(b, FAR) + slack) for a, b in zip(low, high, strict=True)],
        method="highs",
    )
    return float(got.fun) if got.status == 0 else None


@pytest.mark.parametrize(
    ("free", "family"),
    [(f, k) for k in ("any way", "square") for f in (0, 1, 2)] + [(f, "flat") for f in (1, 2, 3)],
)
def test_places_with_walls_are_those_of_a_general_solver(free: int, family: str) -> None:
    """200 programmes a family, 1,800 in all: closes or not, and the shortest place."""
    closed = refused = walled = 0
    for _ in range(200):
        task = job(free, family)
        ways, way, low, high, walls = task
        board = tableau(ways, way)
        got = placements(board, ways, TIP, low, high, walls)
        if got is None or isinstance(got, HalfSpace):
            assert by_highs(task, -EDGE) is None
            refused += 1
            walled += isinstance(got, HalfSpace)
            continue
        best = by_highs(task, EDGE)
        assert best is not None
        closed += 1
        assert min(sum(lengths) for lengths in got) == pytest.approx(best, abs=1e-5)
        for lengths in got:
            end = TIP
            for w, a in zip(ways, lengths, strict=True):
                end = add(end, scale(w, a))
            assert norm(sub(end, add(TIP, way))) < 1e-6
            assert all(a > b - 1e-6 for a, b in zip(lengths, low, strict=True))
            assert all(a < b + 1e-6 for a, b in zip(lengths, high, strict=True))
            for centre in bends(ways, list(lengths)):
                assert all(dot(w.normal, centre) < w.most + 1e-6 for w in walls)
    assert min(closed, refused, walled) >= 10


def test_the_wall_that_leaves_nothing_is_named() -> None:
    ways: list[Vec] = [(0.0, 1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)]
    board = tableau(ways, (0.3, 0.6, 0.0))
    far = HalfSpace((0.0, 1.0, 0.0), 5.0, "far")
    near = HalfSpace((1.0, 0.0, 0.0), 0.2, "near")
    got = placements(board, ways, (0.0, 0.0, 0.0), [0.1] * 3, [math.inf] * 3, [far, near])
    assert got == near
