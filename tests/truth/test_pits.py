"""The families hold what their page says, and a seed always draws the same pit."""

from __future__ import annotations

import math
from collections import Counter

import pytest

from bench.truth.errors import MATCHED, MISMATCHED
from bench.truth.measuring import measure
from bench.truth.pits import FAMILIES, LEAN, TIGHT, draw_pit
from pitwright.catalogue.shelf import load_shelf
from pitwright.geometry.vector import angle_between
from pitwright.survey.pit import read_survey

SHELF = load_shelf()
MANY = 600
PITS = [draw_pit(seed, SHELF) for seed in range(MANY)]
SQUARE = [tuple(s * (i == j) for j in range(3)) for i in range(3) for s in (1.0, -1.0)]


def off_true(way: tuple[float, float, float]) -> float:
    return math.degrees(min(angle_between(way, (s[0], s[1], s[2])) for s in SQUARE))


def test_a_seed_always_draws_the_same_pit_and_the_same_readings() -> None:
    for seed in range(5):
        assert draw_pit(seed, SHELF) == PITS[seed]
        assert (
            measure(PITS[seed], MISMATCHED).text == measure(draw_pit(seed, SHELF), MISMATCHED).text
        )


def test_families_come_as_often_as_stated() -> None:
    seen = Counter(p.family for p in PITS)
    stated = {**FAMILIES, TIGHT: 1.0 - sum(FAMILIES.values())}
    for family, share in stated.items():
        assert abs(seen[family] / MANY - share) < 4 * math.sqrt(share * (1 - share) / MANY)


def test_more_than_half_the_pits_lean_one_to_five_degrees_out_of_plane_and_true() -> None:
    leaning = [
        p
        for p in PITS
        if all(LEAN[0] - 1e-9 <= off_true(s.outward) <= LEAN[1] + 1e-9 for s in p.stubs)
    ]
    assert len(leaning) == sum(p.family != "true" for p in PITS)
    assert len(leaning) > MANY / 2


def test_sizes_are_mixed_walls_thin_and_roots_in_half() -> None:
    assert len({p.outlet.pipe for p in PITS}) == 4
    assert sum(p.outlet.wall < 0.1 * 0.0254 for p in PITS) > MANY / 2
    assert abs(sum(p.root is not None for p in PITS) / MANY - 0.5) < 0.1


@pytest.mark.parametrize("world", [MATCHED, MISMATCHED])
def test_every_survey_is_one_that_the_reader_reads(world: object) -> None:
    assert world in (MATCHED, MISMATCHED)
    for pit in PITS[:40]:
        notes = measure(pit, MATCHED if world is MATCHED else MISMATCHED)
        assert read_survey(notes.text, "drawn", SHELF).zones[0].valve == "new"
