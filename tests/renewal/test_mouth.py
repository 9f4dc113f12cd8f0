"""What goes through the mouth of a box: checked against the published condition for rectangles."""

from __future__ import annotations

import math
import random
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.geometry.clearance import Capsule
from pitwright.planning import plan
from pitwright.renewal.job import Job
from pitwright.renewal.mouth import footprint, passes_mouth, spools
from pitwright.renewal.proving import work_of
from pitwright.survey.box import Bounds, Box
from pitwright.survey.pit import load_survey
from pitwright.trains.cut_list import Where

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def box() -> Box:
    return load_survey(EXAMPLES / "chapel-lawn.pit.toml", load_shelf()).box


def with_mouth(a: float, b: float) -> Box:
    one = box()
    bounds: Bounds = replace(one.mouth, least=(0.0, 0.0), most=(a, b), radius=None)
    return replace(one, mouth=bounds)


def fits(p: float, q: float, a: float, b: float) -> bool:
    """A rectangle p by q in one a by b: W. B. Carver, Amer. Math. Monthly 64 (1957), E 1225."""
    p, q = max(p, q), min(p, q)
    a, b = max(a, b), min(a, b)
    if p <= a and q <= b:
        return True
    if p <= a or q > b:
        return False
    root = p * p + q * q - a * a
    return b >= (2 * p * q * a + (p * p - q * q) * math.sqrt(root)) / (p * p + q * q)


@pytest.mark.parametrize("seed", range(400))
def test_a_rectangle_passes_where_the_published_condition_says(seed: int) -> None:
    """Ways are tried every 2.5 degrees: what fits by less than 2 % may be missed, never granted."""
    dice = random.Random(seed)
    a, b = dice.uniform(0.2, 0.5), dice.uniform(0.2, 0.5)
    p, q = dice.uniform(0.05, 0.65), dice.uniform(0.01, 0.3)
    got = passes_mouth(with_mouth(a, b), p, q)
    if got:
        assert fits(p - 1e-5, q - 1e-5, a, b)
    if fits(1.02 * p + 1e-3, 1.02 * q + 1e-3, a, b):
        assert got


def test_a_spool_turned_in_the_pit_has_the_same_footprint() -> None:
    leg = [(0.0, 0.0, 0.0), (0.4, 0.0, 0.0), (0.4, 0.1, -0.05)]
    turn = math.radians(35.0)
    c, s = math.cos(turn), math.sin(turn)
    turned = [(c * x - s * y, s * x + c * y, z) for x, y, z in leg]
    one, two = (
        footprint([Capsule(a, b, 0.02) for a, b in pairwise(points)]) for points in (leg, turned)
    )
    assert two.length == pytest.approx(one.length, rel=2e-3)
    assert one.length == pytest.approx(math.hypot(0.4, 0.1) + 0.04, rel=2e-3)


@pytest.mark.parametrize("name", ["school-garden", "chapel-lawn", "wash-house"])
def test_what_the_bench_makes_is_one_spool_and_the_pit_parts_them(name: str) -> None:
    made = plan(load_survey(EXAMPLES / f"{name}.pit.toml", load_shelf()))
    seen = 0
    for zone in made.zones:
        for option in () if isinstance(zone.answer, Refusal) else zone.answer:
            assembly = option.assembly
            assert assembly is not None
            work = work_of(Job(made.survey, zone.zone, option.stubs_of(made.survey)), option)
            bench = {j for s in assembly.steps if s.where is Where.BENCH for j in s.joints}
            found = list(spools(work, assembly))
            # every joint of the bench adds one part to some spool
            assert bool(found) is bool(bench)
            assert sum(len(s) for s in found) >= len(found) + len(bench)
            codes = [f.code for f in option.findings if f.code.startswith("spool_")]
            assert len(codes) == bool(found)
            stuck = any(not footprint(s).passes(made.survey.box) for s in found)
            assert (codes == ["spool_past_mouth"]) is stuck
            seen += len(found)
    assert seen
