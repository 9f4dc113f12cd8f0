"""The lengths of a train: our tableau beside HiGHS, called directly, on the same programmes.

As in a search, each chain of directions serves many problems that differ in their bounds.
"""

from __future__ import annotations

import math
from functools import partial

import numpy as np
from scipy.optimize import linprog

from bench.timing import timed
from pitwright.geometry.vector import Vec, add, scale, unit
from pitwright.trains.lengths import Legs, shortest, tableau

CHAINS, BOUNDS = 10, 20
ROUNDS = 5
Job = tuple[list[Vec], Vec, list[tuple[list[float], list[float]]]]


def jobs(legs: int) -> list[Job]:
    """Random chains that close, each with many bounds. [m]"""
    rng = np.random.default_rng(legs)
    made: list[Job] = []
    for _ in range(CHAINS):
        ways = [unit((float(a), float(b), float(c))) for a, b, c in rng.normal(size=(legs, 3))]
        lengths = rng.uniform(0.1, 0.6, size=legs)
        way = (0.0, 0.0, 0.0)
        for w, a in zip(ways, lengths, strict=True):
            way = add(way, scale(w, float(a)))
        bounds = [
            ((lengths * rng.uniform(0.2, 1.0, size=legs)).tolist(), [math.inf] * legs)
            for _ in range(BOUNDS)
        ]
        made.append((ways, way, bounds))
    return made


def ours(all_jobs: list[Job]) -> list[float]:
    """Least totals by the tableau. [m]"""
    totals = []
    for ways, way, bounds in all_jobs:
        board = tableau(ways, way)
        for low, high in bounds:
            got = shortest(board, low, high)
            assert isinstance(got, Legs)
            totals.append(sum(got.lengths))
    return totals


def highs(all_jobs: list[Job]) -> list[float]:
    """Least totals by HiGHS through scipy. [m]"""
    totals = []
    for ways, way, bounds in all_jobs:
        matrix = np.array(ways).T
        cost = [1.0 + 1e-6 * (len(ways) - j) for j in range(len(ways))]
        for low, _ in bounds:
            got = linprog(
                cost,
                A_eq=matrix,
                b_eq=way,
                bounds=[(a, None) for a in low],
                method="highs",
            )
            totals.append(float(sum(got.x)))
    return totals


def main() -> None:
    """Print the table; both must find the same totals."""
    print("| legs | ours, µs each | scipy linprog (HiGHS), µs each | times quicker |")
    print("|---|---|---|---|")
    for legs in (3, 4, 5):
        work = jobs(legs)
        assert np.allclose(ours(work), highs(work), atol=1e-6)
        count = CHAINS * BOUNDS
        mine = timed(partial(ours, work), ROUNDS).least / count
        theirs = timed(partial(highs, work), ROUNDS).least / count
        print(f"| {legs} | {1e6 * mine:.1f} | {1e6 * theirs:.0f} | {theirs / mine:.0f} |")


if __name__ == "__main__":
    main()
