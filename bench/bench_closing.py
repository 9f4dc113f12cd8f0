"""Closings certified to 2 %, against a conic library called directly on a ready problem."""

from __future__ import annotations

import statistics
import time

from pitwright.closing.closing import close
from tests.closing import conic
from tests.closing.pits import job

JOBS = 300
PEER_JOBS = 100


def main() -> None:
    jobs = [job(seed) for seed in range(JOBS)]
    close(jobs[0].ends, jobs[0].train)
    ours: list[float] = []
    nothing: list[float] = []
    other: list[float] = []
    sure = 0
    for j in jobs:
        start = time.process_time()
        closed = close(j.ends, j.train)
        took = time.process_time() - start
        ours.append(took)
        (nothing if closed.upper <= 0.002 else other).append(took)
        sure += closed.upper <= max(0.002, 1.02 * closed.lower * (1.0 + 1e-12))
    built, solved = [], []
    for j in jobs[:PEER_JOBS]:
        start = time.process_time()
        solver = conic.solver(j.ends, j.train)
        middle = time.process_time()
        solver.solve()
        end = time.process_time()
        built.append(end - start)
        solved.append(end - middle)
    mean = statistics.mean(ours)
    print(f"{JOBS} closings, 2 to 8 joints, stubs 2 degrees out of true; processor time\n")
    print("| way | mean ms | median ms | longest ms | times ours |")
    print("|---|---|---|---|---|")
    for name, times in (
        ("Pitwright, bounds within 2 %", ours),
        ("of these, closing without strain", nothing),
        ("of these, all others", other),
        ("clarabel, solve call alone", solved),
        ("clarabel, problem built with numpy and solved", built),
    ):
        m = statistics.mean(times)
        print(
            f"| {name} | {1e3 * m:.2f} | {1e3 * statistics.median(times):.2f}"
            f" | {1e3 * max(times):.2f} | {m / mean:.1f} |"
        )
    print(f"\n{sure} of {JOBS} certified to 2 %.")


if __name__ == "__main__":
    main()
