"""Options are ranked by points: the weights of a person times what each option costs."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.ranking import KEY, Merits, key, points, ranked
from pitwright.survey.weights import WEIGHTS, Weights
from pitwright.units.kinds import INCH

PLAIN = Merits(7200.0, 5, 0.5, 0.5, 0.1, 0.0, 1, False, "b")
SMALL, SHARE = st.integers(0, 20), st.floats(0.0, 1.0)
MERITS = st.builds(
    Merits,
    st.floats(0.0, 2e5),
    SMALL,
    SHARE,
    SHARE,
    SHARE,
    SHARE,
    SMALL,
    st.booleans(),
    st.sampled_from("abcdef"),
)
MOST = {n: st.floats(0.0, 100.0) for n in KEY}
ANY_WEIGHTS = st.builds(Weights, **MOST)


def test_weights_and_merits_have_the_same_names() -> None:
    assert tuple(f.name for f in fields(Weights)) == KEY
    assert (*KEY, "unlisted", "name") == tuple(f.name for f in fields(Merits))


def test_points_by_hand() -> None:
    """2 h, 5 parts, half a chance, half of the springing, 3.94 in given up, one loose joint."""
    assert sum(p.points for p in points(PLAIN)) == pytest.approx(
        2.0 + 5 * 0.25 + 0.5 * 4.0 + 0.5 + 0.1 / INCH * 0.1 + 1.0
    )


@pytest.mark.parametrize("merit", KEY)
def test_more_of_any_merit_ranks_lower(merit: str) -> None:
    more: dict[str, Any] = {merit: getattr(PLAIN, merit) + (3600 if merit == "time" else 1)}
    worse = replace(PLAIN, **more)
    assert ranked([worse, PLAIN]) == (1, 0)


@given(st.lists(MERITS, max_size=8), ANY_WEIGHTS)
def test_the_order_does_not_depend_on_the_order_they_came_in(
    found: list[Merits], weights: Weights
) -> None:
    best = [key(found[i], weights) for i in ranked(found, weights)]
    shuffled = found[::-1]
    assert best == [key(shuffled[i], weights) for i in ranked(shuffled, weights)] == sorted(best)


@given(MERITS, MERITS, ANY_WEIGHTS, st.sampled_from(KEY), st.floats(0.0, 100.0))
def test_a_weight_raised_never_lifts_an_option_over_one_better_in_that_merit(
    one: Merits, other: Merits, weights: Weights, merit: str, more: float
) -> None:
    """Within the thousandth that points are compared to."""
    worse, better = sorted((one, other), key=lambda m: -float(getattr(m, merit)))
    raised = replace(weights, **{merit: getattr(weights, merit) + more})
    before = key(worse, weights)[1] - key(better, weights)[1]
    after = key(worse, raised)[1] - key(better, raised)[1]
    assert after >= before - 2


def test_what_no_standard_lists_comes_last_whatever_its_points() -> None:
    risky = Merits(0.0, 0, 0.0, 0.0, 0.0, 0.0, 0, True, "a")
    assert ranked([risky, PLAIN]) == (1, 0)


def test_a_name_decides_between_equals_and_weights_of_nothing_leave_only_names() -> None:
    nothing = Weights(*(0.0 for _ in KEY))
    assert ranked([PLAIN, replace(PLAIN, name="a")]) == (1, 0)
    assert ranked([replace(PLAIN, parts=1), replace(PLAIN, name="a")], nothing) == (1, 0)
    assert nothing != WEIGHTS
