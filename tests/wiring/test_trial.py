"""Simulated visits: the numbers the wiring room stands for, each night on a thousand systems."""

from __future__ import annotations

import pytest

from bench.bench_wiring import Record, lower_bound, stop_of
from bench.wiring_trial import EVEN, MATCHED, World, draw, place_of_truth, visit
from pitwright.wiring.answer import DIG_AT

SYSTEMS = 1000


def test_a_visit_is_the_same_for_the_same_seed() -> None:
    assert visit(17, MATCHED).steps == visit(17, MATCHED).steps


def test_minutes_only_grow_and_chances_stay_chances() -> None:
    for seed in (3, 8):
        steps = visit(seed, MATCHED).steps
        assert [s.minutes for s in steps] == sorted(s.minutes for s in steps)
        assert all(0.0 < s.chance <= 1.0 + 1e-12 for s in steps)


def test_every_drawn_fault_has_a_place() -> None:
    for seed in range(40):
        system = draw(seed, EVEN)
        assert place_of_truth(system.faults[0]).kind in ("valve", "wire", "between", "terminals")


def trial(world: World, base: int) -> list[Record]:
    return [visit(base + n, world).as_dict() for n in range(SYSTEMS)]


def first_after(visits: list[Record], tests: int) -> float:
    """Lower bound of the share whose true place came first after so many tests."""
    seen = [v for v in visits if v["symptom"]]
    first = sum(v["steps"][min(tests, len(v["steps"]) - 1)]["rank"] == 1 for v in seen)
    return lower_bound(first, len(seen))


@pytest.mark.nightly
def test_matched_systems_meet_every_number_with_their_lower_bounds() -> None:
    visits = trial(MATCHED, 5_000_000)
    assert first_after(visits, 2) >= 0.89
    assert first_after(visits, 4) >= 0.92
    ends = [stop_of(v, DIG_AT) for v in visits]
    said, right = sum(e[0] for e in ends), sum(e[1] for e in ends)
    assert lower_bound(said, len(ends)) >= 0.86
    assert lower_bound(right, said) >= 0.97
    assert sum(e[2] for e in ends) / len(ends) <= 9.0


@pytest.mark.nightly
def test_systems_with_every_kind_equally_likely_meet_theirs() -> None:
    ends = [stop_of(v, DIG_AT) for v in trial(EVEN, 6_000_000)]
    said, right = sum(e[0] for e in ends), sum(e[1] for e in ends)
    assert lower_bound(said, len(ends)) >= 0.78
    assert lower_bound(right, said) >= 0.93
