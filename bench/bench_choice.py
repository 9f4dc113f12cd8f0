"""One option for each of eight zones, a hundred options each, against a constraint solver.

Dense pits: most pairs of options stand in each other, costs lie close together. Model building is
the peer's own work and is shown beside the solve call; conflicts are looked up in the same table.
"""

from __future__ import annotations

import itertools
import random
import statistics
import time

from ortools.sat.python import cp_model

from pitwright.choice import Choice, choose

ZONES, OPTIONS = 8, 100
DENSITIES = (0.3, 0.6, 0.8)
RUNS = 3

Costs = list[list[int]]
Clash = set[tuple[int, int, int, int]]


def pit(seed: int, dense: float) -> tuple[Costs, Clash]:
    """Costs and conflicts of one pit, the same for every run."""
    dice = random.Random(seed)
    costs = [[dice.randint(50, 200) for _ in range(OPTIONS)] for _ in range(ZONES)]
    clash = {
        (i, a, j, b)
        for i, j in itertools.combinations(range(ZONES), 2)
        for a in range(OPTIONS)
        for b in range(OPTIONS)
        if dice.random() < dense
    }
    return costs, clash


def ours(costs: Costs, clash: Clash) -> tuple[float | None, bool, int]:
    """Cost, whether it is proved, nodes."""

    def conflict(i: int, a: int, j: int, b: int) -> bool:
        return (i, a, j, b) in clash if i < j else (j, b, i, a) in clash

    got = choose(costs, conflict)
    return (got.cost if isinstance(got, Choice) else None), got.proved, got.nodes


def built(costs: Costs, clash: Clash) -> cp_model.CpModel:
    """The same as a constraint model: one literal an option, exactly one a zone."""
    model = cp_model.CpModel()
    taken = [[model.new_bool_var(f"{z} {o}") for o in range(OPTIONS)] for z in range(ZONES)]
    for zone in taken:
        model.add_exactly_one(zone)
    for i, a, j, b in clash:
        model.add_bool_or([taken[i][a].negated(), taken[j][b].negated()])
    pairs = [
        (c, v)
        for row, mine in zip(costs, taken, strict=True)
        for c, v in zip(row, mine, strict=True)
    ]
    model.minimize(sum(c * v for c, v in pairs))
    return model


def main() -> None:
    rows = []
    for dense in DENSITIES:
        mine: list[float] = []
        build: list[float] = []
        solve: list[float] = []
        nodes: list[int] = []
        same = proved = 0
        for seed in range(RUNS):
            costs, clash = pit(seed, dense)
            start = time.perf_counter()
            cost, sure, count = ours(costs, clash)
            mine.append(time.perf_counter() - start)
            nodes.append(count)
            proved += sure
            start = time.perf_counter()
            model = built(costs, clash)
            build.append(time.perf_counter() - start)
            solver = cp_model.CpSolver()
            solver.parameters.num_workers = 1
            start = time.perf_counter()
            status = solver.solve(model)
            solve.append(time.perf_counter() - start)
            best = solver.objective_value if status == cp_model.OPTIMAL else None
            same += cost == best
        rows.append((dense, mine, solve, build, nodes, same, proved))
    print(f"{ZONES} zones, {OPTIONS} options each, {RUNS} pits a row; wall clock, one thread\n")
    print("| pairs that clash | Pitwright ms | CP-SAT solve ms | CP-SAT build ms | times faster "
          "than solve alone | most nodes | same cost | proved |")  # fmt: skip
    print("|---|---|---|---|---|---|---|---|")
    for dense, mine, solve, build, nodes, same, proved in rows:
        a, b, c = (1e3 * statistics.median(t) for t in (mine, solve, build))
        print(
            f"| {dense:.0%} | {a:.1f} | {b:.0f} | {c:.0f} | {b / a:.1f} | {max(nodes)} "
            f"| {same} of {RUNS} | {proved} of {RUNS} |"
        )


if __name__ == "__main__":
    main()
