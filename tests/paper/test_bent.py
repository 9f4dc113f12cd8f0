"""Bent pipe on the pit sheet: drawn where it moves, enlarged by what the caption says."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.closing.closing import LEAST_SHARE
from pitwright.geometry.vector import norm, sub
from pitwright.paper.bent import enlarged, in_full, lines_of, shown_in
from pitwright.paper.found import outside_diameter
from pitwright.paper.pit_sheet import pit_sheet_svg, plan_scene
from pitwright.paper.view import VIEWS, view
from pitwright.planning import Plan, ZonePlan, plan
from pitwright.survey.pit import load_survey
from pitwright.wording.plan import closing_words

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@cache
def planned(name: str) -> Plan:
    return plan(load_survey(str(EXAMPLES / f"{name}.pit.toml"), load_shelf()))


def zones() -> list[tuple[Plan, ZonePlan]]:
    both = (planned("chapel-lawn"), planned("school-garden"))
    return [(p, z) for p in both for z in p.zones if z.best is not None]


def test_lines_start_at_rest_in_the_soil_and_follow_the_bare_path() -> None:
    found = 0
    for made, zone in zones():
        assert zone.best is not None
        for line in lines_of(made.survey, zone.zone, zone.best):
            found += 1
            points, moves = zip(*line.line, strict=True)
            assert moves[0] == (0.0, 0.0, 0.0)
            work = next(w for w in zone.best.stubs if w.stub == line.stub)
            length = sum(norm(sub(b, a)) for a, b in pairwise(points))
            dug = dict(zone.best.bending.dug.stubs) if zone.best.bending.dug else {}
            bare = sum(s.length for s in made.survey.stub(line.stub).bare) - work.cut
            assert length == pytest.approx(bare + dug.get(line.stub, 0.0))
    assert found >= 2


def test_what_closes_without_bending_has_no_lines() -> None:
    for made, zone in zones():
        assert zone.best is not None
        bends = zone.best.bending.judged.upper >= LEAST_SHARE
        assert bool(lines_of(made.survey, zone.zone, zone.best)) == bends


@pytest.mark.parametrize("share", [LEAST_SHARE * 0.999, LEAST_SHARE])
def test_bending_is_drawn_exactly_where_words_tell_of_it(share: float) -> None:
    """Below one threshold neither page nor sheet speaks of it; from there on both do."""
    made, zone = next((m, z) for m, z in zones() if z.best and z.best.bending.judged.bends)
    assert zone.best is not None
    bent = zone.best.bending
    option = replace(
        zone.best, bending=replace(bent, now=replace(bent.judged, upper=share), dug=None)
    )
    told = "without bending any pipe" not in closing_words(option)
    assert told == bool(lines_of(made.survey, zone.zone, option)) == (share >= LEAST_SHARE)


@pytest.mark.parametrize("name", ["elevation", "plan"])
def test_the_drawn_line_is_the_true_one_times_the_factor_and_leaves_its_pipe(name: str) -> None:
    seen = 0
    for made, zone in zones():
        assert zone.best is not None
        lines = lines_of(made.survey, zone.zone, zone.best)
        scene = in_full(plan_scene(made).only(zone.zone.id), made.survey, zone.best, lines)
        camera = VIEWS[name](scene)
        shown = shown_in(lines, camera)
        drawn, by = enlarged(scene, made.survey, shown, camera)
        assert len(drawn.bent) == (len(shown) if by else 0)
        farthest = 0.0
        for line, bent in zip(shown, drawn.bent, strict=bool(by)):
            for (point, shift), end in zip(line.line, bent.path, strict=True):
                assert sub(end, point) == pytest.approx(tuple(by * x for x in shift), abs=1e-12)
                a, b = camera.flat(point), camera.flat(end)
                farthest = max(farthest, abs(a[0] - b[0]) + abs(a[1] - b[1]))
        if by:
            seen += 1
            thick = min(outside_diameter(made.survey.stub(line.stub)) for line in shown)
            assert farthest >= thick * camera.mm_per_metre * camera.stretch * (1 - 1e-9)
    assert seen >= 1


def test_the_picture_says_how_many_times_and_holds_the_dashed_line() -> None:
    drawn = pit_sheet_svg(planned("potting-shed")).decode()
    assert re.search(r"bent pipe \(dashed\) drawn \d+ times", drawn)
    straight = plan_scene(planned("chapel-lawn")).only("lawn")
    assert straight.bent == ()
    assert view(straight, "plan", 120.0, 120.0).shapes
