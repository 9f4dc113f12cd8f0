"""Where two tapes cross."""

from __future__ import annotations

import math
import random
import statistics

from hypothesis import assume, given
from hypothesis import strategies as st

from pitwright.records.store import Draft, Store
from pitwright.records.ties import TAPE_SIGMA, Crossing, Miss, crossing, ties_of
from tests.records.support import hand


@given(st.floats(-20, 20), st.floats(0.5, 20), st.floats(0.5, 30), st.booleans())
def test_tapes_to_a_known_point_lead_back_to_it(x: float, y: float, d: float, left: bool) -> None:
    met = crossing(math.hypot(x, y), math.hypot(x - d, y), d, left)

    assert isinstance(met, Crossing)
    assert math.isclose(met.x, x, abs_tol=1e-7)
    assert math.isclose(met.y, y if left else -y, abs_tol=1e-7)


def test_the_printed_sigma_is_that_of_many_tapings() -> None:
    """Drawn with a thousand erring tapes; the worst direction by the covariance drawn."""
    dice = random.Random(4)
    x, y, d = 2.0, 1.5, 3.0
    drawn = []
    for _ in range(4000):
        a, b, between = (
            dice.gauss(v, TAPE_SIGMA) for v in (math.hypot(x, y), math.hypot(x - d, y), d)
        )
        met = crossing(a, b, between)
        assert isinstance(met, Crossing)
        drawn.append((met.x, met.y))
    xs, ys = [p[0] for p in drawn], [p[1] for p in drawn]
    xx, yy = statistics.variance(xs), statistics.variance(ys)
    xy = statistics.covariance(xs, ys)
    worst = math.sqrt((xx + yy) / 2 + math.hypot((xx - yy) / 2, xy))
    met = crossing(math.hypot(x, y), math.hypot(x - d, y), d)

    assert isinstance(met, Crossing)
    assert math.isclose(met.sigma, worst, rel_tol=0.05)


@given(st.floats(0.1, 5), st.floats(0.1, 5), st.floats(0.1, 12))
def test_tapes_that_cannot_meet_say_by_how_much(a: float, b: float, d: float) -> None:
    gap = max(d - a - b, abs(a - b) - d)
    assume(abs(gap) > 0.02)
    met = crossing(a, b, d)

    assert isinstance(met, Miss) == (gap > 0)
    if isinstance(met, Miss):
        assert math.isclose(met.by, gap, abs_tol=1e-9)


def test_a_flat_crossing_is_called_poor() -> None:
    for a, b, poor in ((3.0, 4.0, False), (5.2, 5.0, True), (2.6, 2.45, True)):
        met = crossing(a, b, 5.0 if a == 3.0 else 0.5 if a > 5 else 5.0)
        assert isinstance(met, Crossing) and met.poor is poor
    inline = crossing(1.0, 2.0, 3.0)
    assert isinstance(inline, Crossing) and math.isinf(inline.sigma)
    assert crossing(1.0, 2.0, 0.0) == Miss(1.0)


def test_ties_come_out_of_the_record_in_metres(store: Store) -> None:
    h = hand()
    body = {"thing": "riser 2", "mark_a": "post", "a": "7 ft 3", "mark_b": "wall", "b": "71 1/2",
            "between": "9 ft", "side": "right"}  # fmt: skip
    store.write(Draft("tie", "s-1", "b-1", body), h)
    store.write(Draft("tie", "s-1", "b-1", {**body, "thing": "feed", "between": ""}), h)
    store.write(Draft("tie", "s-1", "b-1", {**body, "a": "7 ft 4"}), h)
    feed, riser = ties_of(store.state("s-1", "b-1"))

    assert feed.thing == "feed" and feed.between is None
    assert math.isclose(riser.a, 88 * 0.0254) and math.isclose(riser.b, 71.5 * 0.0254)
    assert riser.between == 108 * 0.0254 and not riser.left
    assert riser.typed == ("7 ft 4", "71 1/2", "9 ft")
