"""The doubt of one train, against drawing its errors with numpy and a normal box by scipy."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np
from scipy.stats import multivariate_normal

from pitwright.tolerance.causes import causes
from pitwright.tolerance.chance import chance_within
from pitwright.tolerance.doubting import EIGHTH, doubt_of
from pitwright.tolerance.slips import SLIPS
from tests.tolerance.jobs import works

REPEATS = 30
DRAWS = 100_000


def _mean(work: Callable[[], object], repeats: int) -> float:
    """Processor seconds of one call. [s]"""
    work()
    took = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        took.append(time.process_time() - start)
    return statistics.mean(took)


def main() -> None:
    rows: dict[str, list[float]] = {}
    dice = np.random.default_rng(1)
    for w in works():
        effects = np.array([c.effect for c in causes(w.train, w.cuts, w.stubs, SLIPS)])[:, :3]
        covariance = effects.T @ effects
        plain = covariance.tolist()
        low, high = np.full(3, -EIGHTH), np.full(3, EIGHTH)

        def draw(effects: np.ndarray = effects) -> object:
            errors = dice.standard_normal((DRAWS, len(effects))) @ effects
            return float((np.linalg.norm(errors, axis=1) <= EIGHTH).mean())

        def box(
            covariance: np.ndarray = covariance, low: np.ndarray = low, high: np.ndarray = high
        ) -> object:
            return multivariate_normal(np.zeros(3), covariance).cdf(high, lower_limit=low)

        for name, call, repeats in (
            ("chance within 1/8 in", lambda plain=plain: chance_within(plain, EIGHTH), REPEATS),
            (
                "whole doubt of a train",
                lambda w=w: doubt_of(w.train, w.cuts, w.stubs, w.bears),
                REPEATS,
            ),
            (f"numpy, {DRAWS} draws, one chance", draw, 3),
            ("scipy, normal in a box (not a ball), one chance", box, 3),
        ):
            rows.setdefault(name, []).append(_mean(call, repeats))
    first = statistics.mean(rows["chance within 1/8 in"])
    print(f"{len(works())} trains of the examples; processor time\n")
    print("| way | mean ms | longest ms | times the chance |")
    print("|---|---|---|---|")
    for name, times in rows.items():
        mean = statistics.mean(times)
        print(f"| {name} | {1e3 * mean:.2f} | {1e3 * max(times):.2f} | {mean / first:.1f} |")


if __name__ == "__main__":
    main()
