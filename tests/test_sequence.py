"""The order of the zones is checked against trying every order."""

from __future__ import annotations

import random
from itertools import permutations

import pytest

from pitwright.sequence import Sequenced, Spell, sequence


def water_of(order: tuple[int, ...], spells: list[Spell]) -> float:
    now, water = 0.0, 0.0
    for n in order:
        now += spells[n].hands
        water = max(water, now + spells[n].wait)
    return water


def by_trying_everything(spells: list[Spell], before: set[tuple[int, int]]) -> float | None:
    allowed = (
        order
        for order in permutations(range(len(spells)))
        if all(order.index(a) < order.index(b) for a, b in before)
    )
    return min((water_of(order, spells) for order in allowed), default=None)


@pytest.mark.parametrize("seed", range(300))
def test_no_order_of_all_brings_water_back_sooner(seed: int) -> None:
    dice = random.Random(seed)
    count = dice.randint(1, 5)
    spells = [Spell(dice.uniform(60, 5400), dice.uniform(0, 14400)) for _ in range(count)]
    pairs = [(a, b) for a in range(count) for b in range(count) if a != b]
    before = {p for p in pairs if dice.random() < dice.choice([0.0, 0.15, 0.4])}

    got = sequence(spells, before)

    expected = by_trying_everything(spells, before)
    assert (got is None) is (expected is None)
    if isinstance(got, Sequenced) and expected is not None:
        assert got.water == pytest.approx(expected)
        assert water_of(got.order, spells) == pytest.approx(got.water)
        assert all(got.order.index(a) < got.order.index(b) for a, b in before)


def test_what_waits_longest_is_worked_first() -> None:
    got = sequence([Spell(3600.0, 0.0), Spell(1800.0, 7200.0)])
    assert got == Sequenced((1, 0), 9000.0)


def test_two_that_each_must_come_first_have_no_order() -> None:
    assert sequence([Spell(1.0, 1.0)] * 2, {(0, 1), (1, 0)}) is None


def test_more_work_never_brings_water_back_sooner() -> None:
    dice = random.Random(7)
    for _ in range(200):
        spells = [Spell(dice.uniform(0, 9), dice.uniform(0, 9)) for _ in range(4)]
        fewer, more = sequence(spells[:3]), sequence(spells)
        assert fewer is not None and more is not None
        assert more.water >= fewer.water - 1e-9
