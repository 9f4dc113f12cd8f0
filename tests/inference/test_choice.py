"""The next test: most bits a minute, and nothing worked out that cannot win."""

from __future__ import annotations

from pitwright.inference.bits import Outcomes
from pitwright.inference.choice import Offer, worth_of

SURE: list[Outcomes] = [{"x": 1.0}, {"y": 1.0}]
NOTHING: list[Outcomes] = [{"x": 1.0}, {"x": 1.0}]


def test_a_dear_test_that_tells_all_loses_to_a_cheap_one_that_tells_half() -> None:
    half: list[Outcomes] = [{"x": 1.0}, {"x": 0.3, "y": 0.7}]
    offers = [Offer("dear", 20.0, lambda: SURE), Offer("cheap", 1.0, lambda: half)]
    got = worth_of(offers, [1.0, 1.0], ["a", "b"])
    assert [w.test for w in got] == ["cheap", "dear"]
    assert got[1].bits == 1.0


def test_what_cannot_be_among_the_best_is_never_evaluated() -> None:
    def never() -> list[Outcomes]:
        raise AssertionError("evaluated for nothing")

    offers = [Offer("good", 1.0, lambda: SURE), Offer("hopeless", 5.0, never)]
    assert [w.test for w in worth_of(offers, [1.0, 1.0], ["a", "b"], keep=1)] == ["good"]


def test_ties_fall_to_the_quicker_test_and_then_to_the_earlier() -> None:
    offers = [Offer(n, 2.0, lambda: NOTHING) for n in ("first", "second")]
    offers.append(Offer("quick", 1.0, lambda: NOTHING))
    got = worth_of(offers, [1.0, 1.0], ["a", "b"])
    assert [w.test for w in got] == ["quick", "first", "second"]
