"""Putting trains in: every train of the example pits, and the spread beside a conic library."""

from __future__ import annotations

import statistics
import time
from pathlib import Path

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.flex.limits import hand_force
from pitwright.joining.assembly import Assembly
from pitwright.joining.checking import objections
from pitwright.joining.putting_in import put_in
from pitwright.joining.spread import SpreadSide, spread
from pitwright.joining.work import Work
from pitwright.renewal.cut_in import considered
from pitwright.survey.pit import read_survey
from tests.joining import conic
from tests.joining.built import corner, elbow_box
from tests.joining.works import work_of

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"


def main() -> None:
    works = list(_works())
    put, checked, count = [], [], 0
    for work in works:
        start = time.process_time()
        got = put_in(work)
        put.append(time.process_time() - start)
        if isinstance(got, Assembly):
            count += 1
            start = time.process_time()
            assert not objections(work, got)
            checked.append(time.process_time() - start)
    ours, peer = _spreads()
    print(f"{len(works)} trains, {count} of them go in; processor time\n")
    print("| what | mean ms | longest ms |")
    print("|---|---|---|")
    for name, times in (
        ("putting a train in, or refusing it", put),
        ("checking an assembly", checked),
        ("one spread, bounds within 2 %", ours),
        ("one spread by clarabel, built with numpy and solved", peer),
    ):
        print(f"| {name} | {statistics.mean(times) * 1e3:.2f} | {max(times) * 1e3:.1f} |")


def _works() -> list[Work]:
    found = [elbow_box(), corner(), corner(8.0, 4.0, 8.0)]
    for path in sorted(EXAMPLES.glob("*.pit.toml")):
        survey = read_survey(path.read_text(encoding="utf-8"), path.name, load_shelf())
        for zone in survey.zones:
            answer = considered(survey, zone, 3).answer if zone.planned else ()
            if not isinstance(answer, Refusal):
                found += [work_of(survey, option) for option in answer]
    return found


def _spreads() -> tuple[list[float], list[float]]:
    """The same last joint of a corner, its riser 8 to 47 in high, by both."""
    ours, peer = [], []
    for riser in range(8, 48):
        work = corner(float(riser))
        sides = [(s.path, s.strain) for s in work.sides if s.path is not None]
        at, opening, axis = work.sides[0].tip, (0.0, 0.028, 0.0), (0.0, 1.0, 0.0)
        start = time.process_time()
        one, two = (SpreadSide(*s) for s in sides)
        got = spread(one, two, at, opening, hand_force(), roll_axis=axis)
        middle = time.process_time()
        best = conic.optimum(sides, at, opening, hand_force(), axis, 0.0)
        end = time.process_time()
        assert got.lower <= best * 1.0001 and best <= got.upper * 1.0001
        ours.append(middle - start)
        peer.append(end - middle)
    return ours, peer
