"""Thread make-up by the part's own sheet, and what is never screwed together."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.catalogue.shelf import load_shelf
from pitwright.catalogue.threads import Thread
from pitwright.errors import OutOfRange, UnknownName
from pitwright.findings import Refusal
from pitwright.jointing.makeup import MadeUp, ThreadEnd, make_up
from pitwright.units.kinds import INCH

THREADS = load_shelf().threads


def thread(system: str, size: str) -> Thread:
    return next(t for t in THREADS if (t.system, t.size) == (system, size))


def plastic(system: str = "npt", size: str = "1") -> ThreadEnd:
    return ThreadEnd(thread(system, size), "plastic")


def metal(system: str = "npt", size: str = "1") -> ThreadEnd:
    return ThreadEnd(thread(system, size), "metal")


def made(sheet: tuple[float, float] | None = None, size: str = "1") -> MadeUp:
    got = make_up(plastic(size=size), plastic(size=size), sheet)
    assert isinstance(got, MadeUp)
    return got


@pytest.mark.published("ASME-B1.20.1, a maker's manual", "hand-tight and total turns by size")
@pytest.mark.parametrize(
    ("size", "hand_tight", "total"),
    [
        ("1/2", "4.5", "5.5-6.5"),
        ("3/4", "4.75", "5.8-6.8"),
        ("1", "4.6", "5.6-6.6"),
        ("1-1/4", "4.8", "5.8-6.8"),
        ("1-1/2", "4.8", "5.8-6.8"),
        ("2", "5.0", "6.0-7.0"),
    ],
)
def test_turns_by_size_are_as_printed(size: str, hand_tight: str, total: str) -> None:
    """Within half the last digit; totals were added up from hand-tight turns already rounded."""
    got = made(size=size)
    assert got.turns == (1.0, 2.0)
    assert got.hand_tight == pytest.approx(float(hand_tight), abs=0.051)
    low, high = (float(t) for t in total.split("-"))
    assert got.hand_tight + got.turns[0] == pytest.approx(low, abs=0.1)
    assert got.hand_tight + got.turns[1] == pytest.approx(high, abs=0.1)


def test_one_to_two_turns_of_inch_thread_are_0_487_to_0_574_in() -> None:
    got = made()
    one_turn = INCH / 11.5
    assert got.engagement.low / INCH == pytest.approx(0.487 - 1 / 11.5, abs=5e-4)
    assert got.engagement.high / INCH == pytest.approx(0.574 + 1 / 11.5, abs=5e-4)
    assert got.engagement.value / INCH == pytest.approx(0.5304, abs=5e-5)
    assert got.stop_every == pytest.approx(one_turn)


def test_the_parts_own_sheet_wins() -> None:
    usual, own = made(), made((0.25, 0.5))
    assert own.turns == (0.25, 0.5)
    assert own.engagement.value < usual.engagement.low + own.stop_every
    assert own.source == "owner"
    assert "turns-by-usual" in {f.code for f in usual.findings}
    assert "turns-by-usual" not in {f.code for f in own.findings}


@given(st.floats(0.25, 3.0), st.floats(0.25, 3.0))
def test_more_turns_never_reach_less_deep(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert made((low, low)).engagement.value <= made((high, high)).engagement.value
    both = made((low, high)).engagement
    assert both.low <= both.value <= both.high


@pytest.mark.parametrize("sheet", [(0.2, 1.0), (1.0, 3.1), (2.0, 1.0), (math.nan, 1.0)])
def test_a_sheet_outside_a_quarter_to_three_turns_is_read_again(
    sheet: tuple[float, float],
) -> None:
    with pytest.raises(OutOfRange, match=r"0\.25 to 3"):
        made(sheet)


def refused(male: ThreadEnd, female: ThreadEnd) -> set[str]:
    got = make_up(male, female)
    return {s.code for s in got.because} if isinstance(got, Refusal) else set()


def test_metal_male_into_plastic_female_is_refused_and_the_other_three_are_not() -> None:
    assert refused(metal(), plastic()) == {"METAL_INTO_PLASTIC"}
    assert refused(plastic(), metal()) == set()
    assert refused(plastic(), plastic()) == set()
    assert refused(metal(), metal()) == set()


def test_bsp_and_npt_are_refused_either_way_and_two_sizes_too() -> None:
    assert refused(plastic("bsp"), plastic("npt")) == {"THREAD_SYSTEMS"}
    assert refused(plastic("npt"), metal("bsp")) == {"THREAD_SYSTEMS"}
    assert refused(plastic(size="3/4"), plastic()) == {"THREAD_SIZES"}
    assert refused(metal("bsp"), plastic("npt")) == {"METAL_INTO_PLASTIC", "THREAD_SYSTEMS"}


def test_only_like_threads_are_ever_made_up() -> None:
    for a, b in itertools.product(THREADS, repeat=2):
        allowed = refused(ThreadEnd(a, "plastic"), ThreadEnd(b, "plastic")) == set()
        assert allowed is a.takes(b)


def test_a_material_nobody_knows_is_an_error() -> None:
    with pytest.raises(UnknownName, match="male thread"):
        make_up(ThreadEnd(thread("npt", "1"), "wood"), plastic())
