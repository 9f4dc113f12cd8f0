"""Which wire, which splice: Pitwright's order of tests beside a textbook order, same inference.

``python -m bench wiring`` runs a small sample; ``python -m bench.bench_wiring N [FILE]`` runs N
fresh systems of each world, appends every visit to FILE as it ends, and prints the tables.
"""

from __future__ import annotations

import json
import math
import sys
from collections import defaultdict
from collections.abc import Iterable, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

from bench.wiring_trial import (
    EVEN,
    MATCHED,
    OFF,
    PAIRS,
    Order,
    World,
    by_textbook,
    by_worth,
    visit,
)
from pitwright.wiring.answer import DIG_AT

Record = dict[str, Any]
RUNS: tuple[tuple[str, World, Order, bool, int, float], ...] = (
    ("matched", MATCHED, by_worth, False, 1_000_000, 1.0),
    ("even", EVEN, by_worth, False, 2_000_000, 1.0),
    ("matched textbook", MATCHED, by_textbook, False, 1_000_000, 1.0),
    ("even textbook", EVEN, by_textbook, False, 2_000_000, 0.5),
    ("off", OFF, by_worth, False, 3_000_000, 0.5),
    ("pairs", PAIRS, by_worth, False, 4_000_000, 0.3),
    ("matched look", MATCHED, by_worth, True, 1_000_000, 0.5),
    ("even look", EVEN, by_worth, True, 2_000_000, 0.5),
)


def lower_bound(hits: int, of: int) -> float:
    """Lower end of the one-sided 95 % interval of a share [Wilson 1927]."""
    if of == 0:
        return 0.0
    z, p = 1.645, hits / of
    middle = p + z * z / (2 * of)
    wide = z * math.sqrt(p * (1 - p) / of + z * z / (4 * of * of))
    return (middle - wide) / (1 + z * z / of)


def share(hits: int, of: int) -> str:
    """A share and its lower bound, in per cent."""
    return f"{100 * hits / max(of, 1):.1f} ({100 * lower_bound(hits, of):.1f})"


def stop_of(v: Record, at: float) -> tuple[bool, bool, float]:
    """Whether it says "dig here" at ``at``, whether that is right, and the minutes spent."""
    for s in v["steps"]:
        if s["chance"] >= at and s["place"] != "none":
            return True, s["rank"] == 1, s["minutes"]
    return False, False, v["steps"][-1]["minutes"]


def curve(name: str, visits: Sequence[Record]) -> list[str]:
    """Minutes against how often "dig here" is right, by the chance at which it is said."""
    rows = [
        f"**{name}** ({len(visits)} systems)",
        "",
        '| said at | says "dig here", % | right, % | minutes, mean | minutes, 90th pct |',
        "|---|---|---|---|---|",
    ]
    for at in (0.85, 0.90, 0.92, 0.94, 0.95, 0.96, 0.97, 0.98, 0.99, 0.995):
        ends = [stop_of(v, at) for v in visits]
        said = sum(e[0] for e in ends)
        right = sum(e[1] for e in ends)
        spent = sorted(e[2] for e in ends)
        rows.append(
            f"| {at} | {share(said, len(ends))} | {share(right, said)} "
            f"| {sum(spent) / len(spent):.1f} | {spent[int(0.9 * (len(spent) - 1))]:.1f} |"
        )
    return [*rows, ""]


def ranks(name: str, visits: Sequence[Record]) -> list[str]:
    """Rank of the true place after k tests."""
    return [f"| {name} | " + " | ".join(_rank(visits, k) for k in (0, 1, 2, 4, 6, 12)) + " |"]


def _rank(visits: Sequence[Record], k: int) -> str:
    first = sum(v["steps"][min(k, len(v["steps"]) - 1)]["rank"] == 1 for v in visits)
    third = sum(v["steps"][min(k, len(v["steps"]) - 1)]["rank"] <= 3 for v in visits)
    n = max(len(visits), 1)
    return f"{100 * first / n:.1f} ({100 * lower_bound(first, n):.1f}) / {100 * third / n:.0f}"


def by_kind(visits: Sequence[Record], other: Sequence[Record]) -> list[str]:
    """By kind of fault, at the chance Pitwright digs at."""
    rows = [
        '| kind | systems | says "dig here", % | right, % | minutes | true place first at the end '
        "| textbook: says, right, minutes, first |",
        "|---|---|---|---|---|---|---|",
    ]
    groups: dict[str, list[Record]] = defaultdict(list)
    theirs: dict[str, list[Record]] = defaultdict(list)
    for v in visits:
        groups[v["kind"]].append(v)
    for v in other:
        theirs[v["kind"]].append(v)
    for kind in sorted(groups):
        a, b = _kind_cells(groups[kind]), _kind_cells(theirs[kind])
        rows.append(f"| {kind} | {len(groups[kind])} | " + " | ".join(a) + f" | {', '.join(b)} |")
    return [*rows, ""]


def _kind_cells(visits: Sequence[Record]) -> list[str]:
    if not visits:
        return ["-"] * 4
    ends = [stop_of(v, DIG_AT) for v in visits]
    said = sum(e[0] for e in ends)
    first = sum(_final(v)["rank"] == 1 for v in visits)
    return [
        f"{100 * said / len(ends):.0f}",
        f"{100 * sum(e[1] for e in ends) / max(said, 1):.0f}",
        f"{sum(e[2] for e in ends) / len(ends):.1f}",
        f"{100 * first / len(ends):.0f}",
    ]


def _final(v: Record) -> Record:
    """The step at which the visit would have stopped."""
    for s in v["steps"]:
        if s["chance"] >= DIG_AT and s["place"] != "none":
            return dict(s)
    return dict(v["steps"][-1])


def calibration(visits: Sequence[Record]) -> list[str]:
    """Chance given to the leading place when the visit stops, against how often it was right."""
    edges = (0.0, 0.3, 0.6, 0.9, 0.95, 0.97, 0.99, 1.01)
    rows = ["| chance at the end | systems | right, % |", "|---|---|---|"]
    for low, high in pairwise(edges):
        here = [_final(v) for v in visits if low <= _final(v)["chance"] < high]
        here = [s for s in here if s["place"] != "none"]
        right = sum(s["rank"] == 1 for s in here)
        rows.append(f"| {low} to {min(high, 1.0)} | {len(here)} | {share(right, len(here))} |")
    return [*rows, ""]


def tables(runs: dict[str, list[Record]]) -> str:
    """All tables as markdown."""
    out: list[str] = []
    for name, visits in runs.items():
        if visits:
            out += curve(name, visits)
    out += [
        "Rank of a true place after k tests: first, % (lower bound) / among the first three, %",
        "",
        "| order | k = 0 | 1 | 2 | 4 | 6 | 12 |",
        "|---|---|---|---|---|---|---|",
    ]
    for name, visits in runs.items():
        if visits:
            seen = [v for v in visits if v["symptom"]]
            out += ranks(f"{name}, visible symptom ({len(seen)})", seen)
            out += ranks(f"{name}, all ({len(visits)})", visits)
    out += [
        "",
        "By kind of fault, matched:",
        "",
        *by_kind(runs["matched"], runs["matched textbook"]),
    ]
    if runs.get("even"):
        out += ["By kind of fault, even:", "", *by_kind(runs["even"], runs["even textbook"])]
    out += ["Calibration, matched:", "", *calibration(runs["matched"])]
    out += timing([v for visits in runs.values() for v in visits])
    return "\n".join(out)


def timing(visits: Iterable[Record]) -> list[str]:
    """Seconds from a reading to answer and next test, for the largest systems."""
    large = sorted(
        s for v in visits if v["stations"] == 12 and v["boxes"] == 6 for s in v["seconds"]
    )
    if not large:
        return []
    return [
        "Seconds from reading to places and next test, 12 stations and 6 boxes: "
        f"median {large[len(large) // 2]:.2f}, "
        f"99th percentile {large[int(0.99 * (len(large) - 1))]:.2f}, "
        f"most {large[-1]:.2f} ({len(large)} readings)",
    ]


def run(count: int, file: Path | None = None, only: Sequence[str] = ()) -> dict[str, list[Record]]:
    """Visit ``count`` fresh systems of every world; append each to ``file`` as it ends."""
    runs: dict[str, list[Record]] = {}
    for name, world, order, look, base, part in RUNS:
        runs[name] = []
        if only and name not in only:
            continue
        for seed in range(base, base + max(int(count * part), 1)):
            record = visit(seed, world, order, look).as_dict()
            runs[name].append(record)
            if file is not None:
                with file.open("a", encoding="utf-8") as out:
                    out.write(json.dumps({"run": name, **record}) + "\n")
    return runs


def read(file: Path) -> dict[str, list[Record]]:
    """Visits kept in a file."""
    runs: dict[str, list[Record]] = {name: [] for name, *_ in RUNS}
    for line in file.read_text(encoding="utf-8").splitlines():
        record = json.loads(line)
        runs[record["run"]].append(record)
    return runs


def main() -> None:
    print(tables(run(12)))


if __name__ == "__main__":
    asked = Path(sys.argv[2]) if len(sys.argv) > 2 else None
    print(tables(run(int(sys.argv[1]), asked, sys.argv[3:])))
