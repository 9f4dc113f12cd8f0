"""Built without error a train closes exactly; with error as the errors say."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from bench.bench_dry_build import interval, knowing, planned, recipe_of, shelf, trial
from bench.truth.building import Bend, Piece, build
from bench.truth.closing import Bearing, bearing, worst_ratio
from bench.truth.errors import MATCHED, PERFECT
from bench.truth.measuring import measure
from bench.truth.pits import INCH, TruePit, draw_pit
from pitwright.planning import plan
from pitwright.survey.pit import read_survey

STRICT = Bearing(0.0, 1.0)
TWO_BENDS = 2
"""At most so many, to be quick."""


def test_with_no_error_at_all_a_plan_closes_as_it_says() -> None:
    """The misfit of the plan's own rebuilt cut list, found again by other code."""
    seen = 0
    for seed in (5, 11, 15):
        pit = draw_pit(seed, shelf())
        survey = read_survey(measure(pit, PERFECT, TWO_BENDS).text, "drawn", shelf())
        option = plan(survey).zones[0].best
        if option is None:
            continue
        built = build(pit, recipe_of(option, survey, None), PERFECT)
        assert built.miss == pytest.approx(option.built.position, abs=2e-6)
        assert math.hypot(*built.turn) == pytest.approx(option.built.angle, abs=1e-6)
        seen += 1
    assert seen == 3


def test_the_planner_that_knows_closes_exactly_without_error() -> None:
    got = knowing(draw_pit(3, shelf()), MATCHED)
    assert got.closes and got.miss is not None and got.miss < 1e-4 * INCH


def test_pieces_left_long_take_up_what_a_wrong_cut_leaves() -> None:
    pit = draw_pit(5, shelf())
    survey = read_survey(measure(pit, PERFECT, TWO_BENDS).text, "drawn", shelf())
    option = plan(survey).zones[0].best
    assert option is not None
    recipe = recipe_of(option, survey, None)
    long = [replace(i, length=i.length + INCH / 4) if isinstance(i, Piece) else i
            for i in recipe.items]  # fmt: skip
    wrong = replace(recipe, items=tuple(long))
    late = [replace(i, late=True) if isinstance(i, Piece) else i for i in long]
    assert build(pit, wrong, PERFECT).miss > INCH / 8
    assert build(pit, replace(wrong, items=tuple(late)), PERFECT).miss < INCH / 32


def test_errors_of_one_bend_move_the_end_by_angle_times_reach() -> None:
    pit = draw_pit(5, shelf())
    survey = read_survey(measure(pit, PERFECT, TWO_BENDS).text, "drawn", shelf())
    option = plan(survey).zones[0].best
    assert option is not None
    recipe = recipe_of(option, survey, None)
    at = next(n for n, i in enumerate(recipe.items) if isinstance(i, Bend))
    bend = recipe.items[at]
    assert isinstance(bend, Bend)
    by = 1e-4
    off = replace(bend, angle=bend.angle + by)
    items = (*recipe.items[:at], off, *recipe.items[at + 1 :])
    one, two = build(pit, recipe, PERFECT), build(pit, replace(recipe, items=items), PERFECT)
    reach = np.linalg.norm(np.array(one.at) - np.array(one.joints[at][0]))
    moved = np.linalg.norm(np.array(one.at) - np.array(two.at))
    assert 0.0 < moved <= by * reach * 1.05


def test_closing_asks_more_of_a_worse_misfit_and_nothing_of_none() -> None:
    pit = draw_pit(3, shelf())
    survey = read_survey(measure(pit, PERFECT, TWO_BENDS).text, "drawn", shelf())
    option = plan(survey).zones[0].best
    assert option is not None
    built = build(pit, recipe_of(option, survey, None), PERFECT)
    none = replace(built, shift=(0.0, 0.0, 0.0), turn=(0.0, 0.0, 0.0))
    aside = replace(none, shift=(INCH / 4, 0.0, 0.0))
    twice = replace(none, shift=(INCH / 2, 0.0, 0.0))
    assert worst_ratio(pit, none, STRICT) == pytest.approx(0.0, abs=1e-6)
    one, two = worst_ratio(pit, aside, STRICT), worst_ratio(pit, twice, STRICT)
    assert 0.0 < one < two


def typical(pit: TruePit) -> TruePit:
    """With the shelf's typical walls, which is what a plan reckons with."""
    one, two = (replace(s, wall=shelf().pipe(s.pipe).wall.value) for s in pit.stubs)
    return replace(pit, inlet=one, outlet=two)


def test_two_closings_that_know_nothing_of_each_other_find_the_same_ratio() -> None:
    """A frame and a cone programme here, compliances and weights in the plan."""
    apart = []
    for seed in (3, 5, 18):
        pit = typical(draw_pit(seed, shelf()))
        survey = read_survey(measure(pit, PERFECT, TWO_BENDS).text, "drawn", shelf())
        answer = plan(survey).zones[0].answer
        assert isinstance(answer, tuple)
        for option in answer[:3]:
            recipe, told = recipe_of(option, survey, None), option.bending.judged
            got = worst_ratio(pit, build(pit, recipe, PERFECT), bearing(pit, PERFECT), recipe.dug)
            assert got == pytest.approx(told.upper, rel=0.03, abs=0.005)
            apart.append(told.upper)
    assert max(apart) > 0.5


def test_a_trial_is_the_same_every_time() -> None:
    assert trial(5, MATCHED, TWO_BENDS) == trial(5, MATCHED, TWO_BENDS)


def test_a_refusal_counts_as_not_closed() -> None:
    pit = next(p for p in (draw_pit(s, shelf()) for s in range(60)) if p.family == "tight")
    got = planned(pit, MATCHED, measure(pit, MATCHED, TWO_BENDS))
    assert all(r.refused and not r.closes and r.why for r in got)


@pytest.mark.published("WILSON-1927", "score interval of 8 in 10 at 95 %: 0.490 to 0.943")
def test_the_interval_is_wilsons() -> None:
    low, high = interval(8, 10)
    assert (round(low, 3), round(high, 3)) == (0.490, 0.943)
