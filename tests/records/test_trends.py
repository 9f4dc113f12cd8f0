"""Series, drift, and how far the estimate can be trusted."""

from __future__ import annotations

import math
import random
from datetime import datetime, timedelta

import pytest
import scipy.stats
from hypothesis import given
from hypothesis import strategies as st

from pitwright.records.accepting import accept
from pitwright.records.chances import PRIOR_YEARS, chance_in_a_year, fleet_rate, gamma_quantile
from pitwright.records.store import Draft, Store
from pitwright.records.trends import YEAR, Point, drift, outlooks, series_of
from pitwright.records.when import Span
from tests.records.support import NOON, OFFICE, entry_of, hand


def reading(value: str, years_ago: float, **more: str) -> Draft:
    body = {"reading": "coil", "typed": f"{value} ohm", "value": value, "unit": "ohm",
            "quantity": "coil ohms", "zone": "3", **more}  # fmt: skip
    at = Span.at(NOON - timedelta(days=365.25 * years_ago))
    return Draft("reading", "s-1", "b-1", body, at)


def test_later_readings_are_points_and_corrections_are_not(store: Store) -> None:
    h = hand()
    store.write(reading("24", 4), h)
    store.write(reading("26", 2), h)
    store.write(reading("28", 2), h)
    wrong = store.write(reading("99", 1), h)
    store.take_back(wrong.id, h)
    store.write(reading("12.5", 1, reading="flow", unit="gpm", quantity="zone flow"), h)
    series = series_of("s-1", "b-1", store.of_subject("s-1", "b-1"))

    assert [(s.quantity, s.zone, s.unit) for s in series] == [
        ("coil ohms", "3", "ohm"),
        ("zone flow", "3", "gpm"),
    ]
    assert [p.value for p in series[0].points] == [24.0, 28.0]


@given(
    st.lists(
        st.tuples(st.integers(0, 4000), st.floats(1, 100)), min_size=3, max_size=9,
        unique_by=lambda t: t[0],
    )
)  # fmt: skip
def test_the_line_is_that_of_another_library(values: list[tuple[int, float]]) -> None:
    points = [Point(NOON + timedelta(days=d), v, str(d)) for d, v in sorted(values)]
    found = drift(points)
    x = [(p.when - points[0].when).total_seconds() / YEAR for p in points]
    line = scipy.stats.linregress(x, [p.value for p in points])

    assert found is not None and found.sigma is not None
    assert math.isclose(found.per_year, line.slope, rel_tol=1e-9, abs_tol=1e-9)
    assert math.isclose(found.sigma, line.stderr, rel_tol=1e-6, abs_tol=1e-6)


def test_two_readings_have_no_sigma_and_one_no_line() -> None:
    points = [Point(NOON + timedelta(days=365.25 * k), 20.0 + k, "x") for k in range(2)]
    found = drift(points)

    assert found is not None and found.sigma is None and found.years_left is None
    assert math.isclose(found.per_year, 1.0)
    assert drift(points[:1]) is None and drift([]) is None


def test_a_drift_says_when_it_leaves_its_band() -> None:
    values = (20.0, 21.01, 21.99, 23.0)
    points = [Point(NOON + timedelta(days=365.25 * k), v, "x") for k, v in enumerate(values)]
    found = drift(points)

    assert found is not None and found.years_left is not None and not found.left_band
    assert math.isclose(found.years_left, 2.0, abs_tol=0.05)
    gone = drift([*points, Point(NOON + timedelta(days=3000), 30.0, "x")])
    assert gone is not None and gone.left_band


@given(st.floats(0.05, 60), st.floats(0.01, 0.99))
def test_gamma_quantiles_are_those_of_another_library(shape: float, p: float) -> None:
    expected = float(scipy.stats.gamma.ppf(p, shape))

    assert math.isclose(gamma_quantile(shape, p), expected, rel_tol=1e-7, abs_tol=1e-12)


def test_the_estimate_is_right_as_often_as_it_says() -> None:
    """Made-up fleets whose true rates are known: the band holds eight times in ten."""
    dice = random.Random(7)
    inside = likely = happened = count = 0.0
    for _ in range(30):
        true = [dice.gammavariate(1.0, 0.1) for _ in range(40)]
        years = [dice.uniform(1, 12) for _ in true]
        seen = [sum(_events(dice, r * y)) for r, y in zip(true, years, strict=True)]
        rate = fleet_rate(sum(seen), sum(years))
        for r, y, n in zip(true, years, seen, strict=True):
            chance = chance_in_a_year(n, y, rate)
            real = 1 - math.exp(-r)
            inside += chance.low <= real <= chance.high
            likely += chance.likely
            happened += real
            count += 1

    assert 0.75 < inside / count < 0.85
    assert math.isclose(likely / count, happened / count, rel_tol=0.06)
    assert PRIOR_YEARS == 10.0


def _events(dice: random.Random, mean: float) -> list[int]:
    """A Poisson number, as that many ones."""
    found, at = [], dice.expovariate(1.0)
    while at < mean:
        found.append(1)
        at += dice.expovariate(1.0)
    return found


def test_the_valve_with_more_trouble_comes_first_and_withheld_ones_last(store: Store) -> None:
    h = hand()
    old = Span.at(datetime(2020, 5, 4, tzinfo=NOON.tzinfo))
    for pit, fails in (("b-1", 0), ("b-2", 2), ("b-3", 3)):
        store.write(Draft("pit", "s-1", pit, {"label": pit, "zones": "3"}, old), h)
        for _ in range(fails):
            store.write(Draft("outcome", "s-1", pit, {"closed": "no", "zone": "3"}), h)
    store.write(Draft("test", "s-1", "b-2", {"what": "leak", "result": "fail", "zone": "4"}), h)
    strange = entry_of(kind="hologram", field="hologram/1", subject="b-3")
    accept(store, [strange.message()], OFFICE, NOON)
    pits = [(s, b, store.of_subject(s, b)) for s, b in store.subjects("pit")]
    found = outlooks(pits, NOON)

    assert [(o.subject, o.zone, o.troubles, o.withheld) for o in found] == [
        ("b-2", "3", 2, False),
        ("b-2", "4", 1, False),
        ("b-1", "3", 0, False),
        ("b-3", "3", 3, True),
    ]
    assert found[0].years == pytest.approx(6.0, abs=0.01)
    assert found[0].chance.low < found[0].chance.likely < found[0].chance.high
