"""Tip compliance of random bent paths, and a closing's two stubs, against a frame library."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np

from pitwright.flex.compliance import tip_compliance
from pitwright.flex.path import BarePath, bare_path
from pitwright.flex.section import beam
from pitwright.units.kinds import INCH
from tests.flex import frame

PATHS = 40


def paths() -> list[BarePath]:
    dice = np.random.default_rng(1)
    out = []
    for i in range(PATHS):
        corners = [np.zeros(3)]
        for _ in range(1 + i % 4):
            way = dice.standard_normal(3)
            corners.append(corners[-1] + way / np.linalg.norm(way) * dice.uniform(0.1, 1.2))
        points = [(float(x), float(y), float(z)) for x, y, z in corners]
        out.append(bare_path(points, beam(1.315 * INCH, 0.133 * INCH, 2.76e9, 0.38)))
    return out


def each(work: Callable[[BarePath], object], over: list[BarePath], rounds: int) -> float:
    """Median over the rounds of the mean processor time for one path. [s]"""
    means = []
    for _ in range(rounds):
        start = time.process_time()
        for path in over:
            work(path)
        means.append((time.process_time() - start) / len(over))
    return statistics.median(means)


def solved(path: BarePath) -> object:
    """The library's solver alone, on a model that is built already, six load cases."""
    return frame.compliance(path)


def main() -> None:
    some = paths()
    for path in some:
        tip_compliance(path)
    ours = each(tip_compliance, some, 20)
    whole = each(solved, some, 3)
    rows = [
        ("Pitwright, adjoint sum", ours, 1.0),
        ("PyNiteFEA, model built and solved for six loads", whole, whole / ours),
    ]
    print(f"{PATHS} bent paths of 1 to 4 straights; processor time for one 6 x 6 compliance\n")
    print("| way | ms each | times ours |")
    print("|---|---|---|")
    for name, seconds, ratio in rows:
        print(f"| {name} | {1e3 * seconds:.3f} | {ratio:.0f} |")


if __name__ == "__main__":
    main()
