"""The bench in small by day, with room for chance; at night as many pits as its page is made of."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from bench.bench_dry_build import (
    AT_ONCE,
    BY_HAND,
    METHODS,
    TRIM_LAST,
    Record,
    closable,
    interval,
    table,
    trials,
)
from bench.truth.errors import MATCHED, MISMATCHED, World

FEW = (0, 3, 5, 11, 15)
"""By day: pits that two bends are planned for, planned with no more, to be quick."""
MANY = 1000
"""At night, every pit with up to four."""


def closed(records: Sequence[Record], method: str) -> tuple[int, int]:
    could = closable(records)
    rows = [r for r in records if r.method == method and r.seed in could]
    return sum(r.closes for r in rows), len(rows)


@pytest.fixture(scope="module")
def few() -> list[Record]:
    return trials(FEW, MATCHED, 2)


def test_trimmed_last_more_pits_close_than_by_hand(few: list[Record]) -> None:
    assert closed(few, TRIM_LAST)[0] > closed(few, BY_HAND)[0]
    assert closed(few, TRIM_LAST)[0] >= closed(few, AT_ONCE)[0]


def test_most_pits_that_can_be_closed_close(few: list[Record]) -> None:
    hits, of = closed(few, TRIM_LAST)
    assert of >= len(FEW) - 1
    assert interval(hits, of)[1] > 0.95


def test_every_method_is_asked_about_every_pit(few: list[Record]) -> None:
    for method in METHODS:
        assert [r.seed for r in few if r.method == method] == list(FEW)
    assert table(few).count("\n") == 1 + len(METHODS)


@pytest.mark.nightly
@pytest.mark.parametrize(("world", "least"), [(MATCHED, 0.95), (MISMATCHED, 0.85)])
def test_a_thousand_pits_close_as_the_page_says(world: World, least: float) -> None:
    """The targets. What is built is what the sheet tells a technician to do."""
    got = trials(range(MANY), world)
    hits, of = closed(got, TRIM_LAST)
    assert of > MANY / 2
    assert hits / of >= least
    assert interval(hits, of)[0] > interval(*closed(got, BY_HAND))[1]
