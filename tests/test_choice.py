"""One option a zone at the least cost: exact, and proved so by trying everything."""

from __future__ import annotations

import itertools
import json
import math
import random
from collections.abc import Mapping
from pathlib import Path

import pytest

from pitwright.choice import Choice, NoChoice, choose
from pitwright.sequence import Spell, sequence

STUDY = json.loads((Path(__file__).parent / "studies" / "choose.json").read_text())["case"]


def by_trying_everything(
    costs: list[list[int]], clash: set[tuple[int, int, int, int]]
) -> float | None:
    best: float | None = None
    for picks in itertools.product(*(range(len(c)) for c in costs)):
        pairs = itertools.combinations(enumerate(picks), 2)
        if any((i, a, j, b) in clash for (i, a), (j, b) in pairs):
            continue
        cost = sum(c[p] for c, p in zip(costs, picks, strict=True))
        best = cost if best is None else min(best, cost)
    return best


def test_the_study_s_three_zones() -> None:
    clash = {(a, i, b, j) for (a, i), (b, j) in STUDY["in"]["conflicts"]}

    got = choose(
        STUDY["in"]["costs"], lambda i, a, j, b: (i, a, j, b) in clash or (j, b, i, a) in clash
    )

    assert isinstance(got, Choice)
    assert got.proved
    assert got.cost == STUDY["out"]["cost"]
    assert list(got.picks) == STUDY["out"]["choice"]


@pytest.mark.parametrize("seed", range(500))
def test_small_instances_equal_an_exhaustive_search(seed: int) -> None:
    """Independent: 500 random pits of 2 to 5 zones, some without any answer."""
    dice = random.Random(seed)
    costs = [
        [dice.randint(1, 60) for _ in range(dice.randint(1, 6))] for _ in range(dice.randint(2, 5))
    ]
    dense = dice.choice([0.1, 0.4, 0.7, 0.9])
    clash = {
        (i, a, j, b)
        for i, j in itertools.combinations(range(len(costs)), 2)
        for a in range(len(costs[i]))
        for b in range(len(costs[j]))
        if dice.random() < dense
    }

    got = choose(costs, lambda i, a, j, b: (i, a, j, b) in clash or (j, b, i, a) in clash)

    expected = by_trying_everything(costs, clash)
    assert got.proved
    assert (got.cost if isinstance(got, Choice) else None) == expected
    if isinstance(got, Choice):
        pairs = itertools.combinations(enumerate(got.picks), 2)
        assert not any((i, a, j, b) in clash for (i, a), (j, b) in pairs)


@pytest.mark.parametrize("seed", range(200))
def test_what_options_cost_together_is_weighed_as_by_an_exhaustive_search(seed: int) -> None:
    """Independent: the time until water returns to all zones, which is no sum over the zones."""
    dice = random.Random(seed)
    zones = dice.randint(1, 4)
    costs = [[dice.randint(1, 60) for _ in range(dice.randint(1, 5))] for _ in range(zones)]
    spells = [[Spell(dice.uniform(1, 30), dice.choice([0, 9, 60])) for _ in c] for c in costs]
    blocked = {
        (i, a, j, b)
        for i, j in itertools.permutations(range(zones), 2)
        for a in range(len(costs[i]))
        for b in range(len(costs[j]))
        if dice.random() < 0.3
    }

    def together(picks: Mapping[int, int]) -> float:
        names = sorted(picks)
        before = {
            (y, x)
            for (x, i), (y, j) in itertools.permutations(enumerate(names), 2)
            if (i, picks[i], j, picks[j]) in blocked
        }
        got = sequence([spells[z][picks[z]] for z in names], before)
        return math.inf if got is None else got.water

    got = choose(costs, lambda i, a, j, b: False, together=together)

    every = itertools.product(*(range(len(c)) for c in costs))
    totals = [
        sum(c[p] for c, p in zip(costs, picks, strict=True)) + together(dict(enumerate(picks)))
        for picks in every
    ]
    least = min(totals)
    assert got.proved
    assert isinstance(got, Choice) is math.isfinite(least)
    if isinstance(got, Choice):
        assert got.cost == pytest.approx(least)


def test_a_search_cut_short_never_claims_the_best() -> None:
    costs = [[float(n) for n in range(20)] for _ in range(6)]

    got = choose(costs, lambda i, a, j, b: a + b < 25, most_nodes=8)

    assert not got.proved
    assert got.nodes <= 20


def test_a_zone_without_options_leaves_no_choice_and_says_so_for_certain() -> None:
    assert choose([[1.0], []], lambda i, a, j, b: False) == NoChoice(True, 0)
