"""The search of a whole pit: four zones out of true, three and four bends, beside HiGHS.

The pit is made here: eight stubs crooked by some degrees, walls, one root a zone. For the length
problems the peer is scipy's linprog with HiGHS, called directly on a sample of the very problems
that the search solves. Four bends are forced here; a plan asks for them only where three fail.
"""

from __future__ import annotations

import math
import resource
import subprocess
import sys
import time

from pitwright.findings import Refusal
from pitwright.geometry.clearance import Capsule, HalfSpace
from pitwright.geometry.vector import Vec, sub, unit
from pitwright.trains.chains import NoChain, chains
from pitwright.trains.frames import plain_frames
from pitwright.trains.kit import Corner, Coupler, EndWay, Girth, Kit, Seat, StubEnd, Unit
from pitwright.trains.lengths import shortest, tableau
from pitwright.trains.room import Room
from pitwright.trains.search import Allowance, on_bends, search
from pitwright.units.kinds import INCH

DEPTH, GAP = 1.06 * INCH, INCH / 8
ALLOW = Allowance(INCH / 4, math.radians(6.0))
ZONES: tuple[tuple[Vec, Vec, Vec, Vec], ...] = (
    ((0.0, 0.0, 0.0), (0.03, 1.0, 0.02), (3.1, 25.9, -2.1), (-0.05, -1.0, 0.03)),
    ((8.0, 0.3, 0.1), (-0.02, 1.0, -0.03), (4.8, 28.0, 1.7), (0.04, -1.0, -0.06)),
    ((16.0, -0.2, 0.0), (0.05, 1.0, 0.04), (22.0, 24.0, -1.0), (-1.0, 0.06, 0.05)),
    ((24.0, 0.1, -0.3), (0.01, 1.0, -0.05), (27.5, 26.0, 3.4), (0.07, -1.0, 0.02)),
)
"""Inlet tip and way out, outlet tip and way out. [in]"""
SAMPLE = 300


def inches(p: Vec) -> Vec:
    return (p[0] * INCH, p[1] * INCH, p[2] * INCH)


def zone(number: int) -> tuple[tuple[StubEnd, StubEnd], Room]:
    """Two stubs out of true, walls, and a root between them. [m]"""
    a, u, b, v = ZONES[number]
    stubs = StubEnd(inches(a), unit(u), INCH), StubEnd(inches(b), unit(v), 4 * INCH)
    walls = (
        HalfSpace((-1.0, 0.0, 0.0), 9 * INCH, "left"),
        HalfSpace((1.0, 0.0, 0.0), 40 * INCH, "right"),
        HalfSpace((0.0, 0.0, -1.0), 8 * INCH, "floor"),
        HalfSpace((0.0, 0.0, 1.0), 10 * INCH, "lid"),
    )
    x = a[0]
    root = Capsule(inches((x - 7, 17.0, -3.4)), inches((x + 7, 16.5, -3.1)), 1.2 * INCH, "root")
    return stubs, Room(walls, (root,), Girth(0.66 * INCH, 0.85 * INCH, 1.5 * INCH, 4.5 * INCH))


def kit(most: int) -> Kit:
    """Schedule 40 numbers of one inch, a valve, both ends straight on or coupled. [m]"""
    corners = tuple(
        Corner(math.radians(b), Seat(g * INCH, DEPTH), Seat(g * INCH, DEPTH), (f"{b:g}",))
        for b, g in ((45.0, 0.469), (90.0, 0.6875))
    )
    half = Seat(0.05 * INCH, DEPTH)

    def ways(cut: float) -> tuple[EndWay, ...]:
        return (EndWay("direct", cut), EndWay("coupled", cut, Coupler(half, half, ("coupling",))))

    unit_ = Unit(5.57 * INCH, DEPTH, DEPTH, math.radians(10.0), ("valve",))
    return Kit(corners, ways(INCH), ways(4 * INCH), GAP, unit_, most_bends=most)


def whole(bends: int) -> tuple[int, int]:
    """Search all zones up to so many bends: trains found, zones refused. Four are forced."""
    found = refused = 0
    for number in range(len(ZONES)):
        stubs, room = zone(number)
        got = search(stubs, kit(min(bends, 3)), ALLOW, room)
        if isinstance(got, Refusal):
            refused += 1
        else:
            found += len(got)
        if bends == 4:
            for angles in four():
                found += sum(
                    not hasattr(a, "missed") for a in on_bends(angles, stubs, kit(4), ALLOW, room)
                )
    return found, refused


def four() -> list[tuple[float, ...]]:
    """Every sequence of four bends without 22.5. [rad]"""
    both = (math.pi / 4, math.pi / 2)
    return [(a, b, c, d) for a in both for b in both for c in both for d in both]


def problems(bends: int) -> tuple[int, list[tuple[tuple[Vec, ...], Vec, list[float]]]]:
    """How many length problems (chain by skeleton) the families pose, and a sample of them."""
    count = 0
    sample = []
    sequences = list(four()) if bends == 4 else sorted({s[:3] for s in four()})
    for number in range(len(ZONES)):
        stubs, _ = zone(number)
        u, v = stubs[0].outward, tuple(-x for x in stubs[1].outward)
        way = sub(stubs[1].tip, stubs[0].tip)
        for angles in sequences:
            got = chains(angles, u, (v[0], v[1], v[2]), way, ALLOW.angle)
            frames, _ = plain_frames(angles, stubs, kit(bends))
            if isinstance(got, NoChain):
                continue
            for chain in got:
                for frame in frames:
                    count += 1
                    if count % (43 if bends == 3 else 997) == 0:
                        sample.append((chain.directions, way, list(frame.low)))
    return count, sample[:SAMPLE]


def highs(sample: list[tuple[tuple[Vec, ...], Vec, list[float]]]) -> float:
    """Processor time of linprog for one problem. [s]"""
    import numpy as np
    from scipy.optimize import linprog

    start = time.process_time()
    for ways, way, low in sample:
        bounds = [(a, None) for a in low]
        linprog([1.0] * len(ways), A_eq=np.array(ways).T, b_eq=way, bounds=bounds, method="highs")
    return (time.process_time() - start) / len(sample)


def ours(sample: list[tuple[tuple[Vec, ...], Vec, list[float]]]) -> float:
    """Processor time of tableau and lengths for one problem, nothing shared. [s]"""
    start = time.process_time()
    for ways, way, low in sample:
        shortest(tableau(ways, way), low, [math.inf] * len(low))
    return (time.process_time() - start) / len(sample)


def child(bends: int) -> None:
    """One search in a process of its own: processor time [s], peak above the start [MB]."""
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    start = time.process_time()
    found, refused = whole(bends)
    used = time.process_time() - start
    peak = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    print(used, peak, found, refused)


def main() -> None:
    """Print the tables."""
    print("| bends | processor, s | target, s | peak above the loaded modules, MB | trains |")
    print("|---|---|---|---|---|")
    took = {}
    for bends, target in ((3, 0.6), (4, 3.0)):
        runs = []
        for _ in range(3):
            code = f"from bench.bench_search import child; child({bends})"
            got = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
            runs.append([float(x) for x in got.stdout.split()])
        best = min(runs)
        took[bends] = best[0]
        print(f"| {bends} | {best[0]:.2f} | {target} | {best[1]:.1f} | {best[2]:.0f} |")
    print()
    print(
        "| bends | length problems | our whole search, µs a problem | ours, one alone, µs "
        "| linprog (HiGHS), one, µs | search quicker | one alone quicker |"
    )
    print("|---|---|---|---|---|---|---|")
    for bends in (3, 4):
        count, sample = problems(bends)
        theirs, mine, all_in = highs(sample), ours(sample), took[bends] / count
        print(
            f"| {bends} | {count} | {1e6 * all_in:.1f} | {1e6 * mine:.1f} | {1e6 * theirs:.0f} "
            f"| {theirs / all_in:.0f} | {theirs / mine:.0f} |"
        )


if __name__ == "__main__":
    main()
