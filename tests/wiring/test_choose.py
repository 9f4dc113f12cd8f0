"""Which test next: what tells places apart cheaply comes first."""

from __future__ import annotations

from pitwright.wiring.answer import answer, desk
from pitwright.wiring.belief import model, start
from pitwright.wiring.choose import candidates, next_tests
from pitwright.wiring.measuring import MeterTest, Reading, Site
from tests.wiring.harnesses import three

MADE = model(three())
DEAD = (
    Reading(MeterTest("moves", "S2"), frozenset()),
    Reading(MeterTest("ohms", "S2"), "OL"),
    Reading(MeterTest("ohms", "S3"), 31.7),
)


def test_an_open_wire_asks_for_capacitance_first() -> None:
    """Ohms carry no position of an open; capacitance from the controller does, for a minute."""
    got = next_tests(start(MADE, DEAD), Site(controller=True))
    assert got[0].test == MeterTest("capacitance", "S2")
    assert got[0].bits > 0.3


def test_a_test_that_was_made_is_not_offered_again() -> None:
    now = start(MADE, DEAD)
    assert not {r.test for r in DEAD} & set(candidates(now))


def test_a_box_already_open_makes_its_tests_cheaper() -> None:
    test = MeterTest("joined", "S2")
    shut, opened = Site(controller=True), Site(frozenset({"B2"}), True)
    assert shut.cost(MADE.harness, test) - opened.cost(MADE.harness, test) == 4.5


def test_opening_the_controller_is_paid_once() -> None:
    test = MeterTest("ohms", "S1")
    assert Site().cost(MADE.harness, test) == 3.5
    assert Site().after(MADE.harness, test).cost(MADE.harness, test) == 0.5


def test_the_best_tests_come_by_bits_a_minute() -> None:
    got = next_tests(start(MADE, DEAD), Site(), 3)
    rates = [w.rate for w in got]
    assert rates == sorted(rates, reverse=True)


def test_a_called_valve_end_is_looked_at_before_anything_is_cut() -> None:
    """High ohms at a station may lie in mid-wire: the joined pair, read first, says."""
    readings = (
        Reading(MeterTest("ohms", "S1"), 29.5),
        Reading(MeterTest("ohms", "S2"), 90.0),
        Reading(MeterTest("ohms", "S3"), 31.7),
    )
    got = answer(desk(three()), readings)
    if got.step == "dig":
        assert got.look is not None
    else:
        assert got.tests[0].test.kind in ("joined", "parted", "volts-wires", "volts-box", "coil")
