"""Places along a header: the grid's choice against every combination, polish against a solver."""

from __future__ import annotations

from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from pitwright.choice import Choice, NoChoice
from pitwright.renewal.from_feed_places import GRID, Span, choose_places, polish

targets = st.lists(st.floats(-0.05, 0.4), min_size=1, max_size=4)
spans = st.builds(
    Span, st.floats(0.0, 0.05), st.floats(0.06, 0.15), st.floats(0.03, 0.08)
)  # up to 25 places


def cost(wanted: list[float], places: tuple[float, ...]) -> float:
    return sum((a - b) ** 2 for a, b in zip(wanted, places, strict=True))


@given(st.lists(st.floats(-0.05, 0.2), min_size=1, max_size=3), spans)
def test_the_grid_is_chosen_as_if_every_combination_had_been_tried(
    wanted: list[float], span: Span
) -> None:
    got = choose_places(wanted, span)
    grid = span.places
    fits = [
        cost(wanted, p)
        for p in product(grid, repeat=len(wanted))
        if all(abs(a - b) >= span.spacing - 1e-9 for n, a in enumerate(p) for b in p[:n])
    ]
    if isinstance(got, NoChoice):
        assert not fits
        assert got.proved
    else:
        assert got.proved
        assert got.cost == pytest.approx(min(fits), abs=1e-12)


@given(targets, spans)
def test_polish_never_asks_for_more_offset_than_the_grid(wanted: list[float], span: Span) -> None:
    got = choose_places(wanted, span)
    if isinstance(got, NoChoice):
        return
    on_grid = tuple(span.places[n] for n in got.picks)
    fine = polish(wanted, on_grid, span)
    assert cost(wanted, fine) <= cost(wanted, on_grid) + 1e-12
    ordered = sorted(fine)
    assert ordered[0] >= span.first - 1e-9
    assert ordered[-1] <= span.last + 1e-9
    assert all(b - a >= span.spacing - 1e-9 for a, b in pairwise(ordered))


@given(targets, spans)
def test_polish_is_what_a_general_solver_finds(wanted: list[float], span: Span) -> None:
    """Sequential quadratic programming of another library, from the grid's own places."""
    got = choose_places(wanted, span)
    if isinstance(got, NoChoice):
        return
    on_grid = tuple(span.places[n] for n in got.picks)
    order = sorted(range(len(wanted)), key=lambda n: (on_grid[n], n))
    rules = [
        {"type": "ineq", "fun": lambda s, a=a, b=b: s[b] - s[a] - span.spacing}
        for a, b in pairwise(order)
    ]
    found = minimize(
        lambda s: 1e3 * cost(wanted, tuple(s)),
        on_grid,
        bounds=[(span.first, span.last)] * len(wanted),
        constraints=rules,
        method="SLSQP",
        options={"ftol": 1e-12, "maxiter": 200},
    )
    fine = cost(wanted, polish(wanted, on_grid, span))
    assert fine <= found.fun / 1e3 + 1e-7


def test_a_forbidden_place_is_left_for_the_next_best() -> None:
    span = Span(0.0, 10 * GRID, 3 * GRID)
    first = choose_places([4 * GRID], span)
    assert isinstance(first, Choice)
    assert first.picks == (4,)
    second = choose_places([4 * GRID], span, {(0, 4)})
    assert isinstance(second, Choice)
    assert second.picks[0] in (3, 5)


def test_two_places_barred_together_are_not_taken_together() -> None:
    span = Span(0.0, 10 * GRID, 3 * GRID)
    wanted = [2 * GRID, 6 * GRID]
    got = choose_places(wanted, span, pairs={((0, 2), (1, 6))})
    assert isinstance(got, Choice)
    assert got.picks != (2, 6)


def test_too_many_branches_for_the_span_are_no_choice_and_that_is_proved() -> None:
    got = choose_places([0.0, 0.0, 0.0], Span(0.0, 2 * GRID, 2 * GRID))
    assert isinstance(got, NoChoice)
    assert got.proved
