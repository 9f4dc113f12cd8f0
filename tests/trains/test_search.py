"""Laws of the search: what it prints closes, and only the pit itself matters."""

from __future__ import annotations

import math

import pytest
from hypothesis import given

from pitwright.closing.rebuild import rebuilt
from pitwright.findings import Refusal, Short
from pitwright.geometry.vector import Vec, angle_between, norm
from pitwright.trains.cut_list import exact_list
from pitwright.trains.kit import StubEnd
from pitwright.trains.search import Allowance, on_bends, search
from pitwright.trains.train import Train
from pitwright.units.kinds import INCH
from tests.trains.pits import GAP, crooked_pits, kit, mirrored, moved, turns

ALLOW = Allowance(0.125 * INCH, math.radians(6))
Pit = tuple[StubEnd, StubEnd]


def trains(pit: Pit, *, valve: bool = True) -> tuple[Train, ...]:
    got = search(pit, kit(pit[0].cut, pit[1].cut, valve=valve), ALLOW)
    return () if isinstance(got, Refusal) else got


def summary(found: tuple[Train, ...]) -> list[tuple[object, ...]]:
    """What a fitter would see of each train, to a hundredth of a millimetre, in any order."""
    return sorted(
        (
            t.skeleton.label,
            *(round(a, 5) + 0.0 for a in t.lengths),
            *(round(c, 5) + 0.0 for c in t.cut_back),
            round(t.misfit.angle, 6),
        )
        for t in found
    )


@given(crooked_pits())
def test_every_train_closes_when_it_is_built_from_its_own_list(pit: Pit) -> None:
    """Before rounding: exactly, but for the misfit it admits. By code that did not find it."""
    for train in trains(pit) + trains(pit, valve=False):
        ends = [(s.tip, s.outward) for s in pit]
        way, angle = rebuilt(exact_list(train), ends[0], ends[1])
        assert norm(way) == pytest.approx(train.misfit.position, abs=1e-9)
        assert angle == pytest.approx(train.misfit.angle, abs=1e-7)
        assert norm(way) <= ALLOW.position + 1e-9 or train.misfit.position > ALLOW.position


@given(crooked_pits())
def test_every_piece_fills_its_sockets_and_no_stub_is_cut_beyond_what_it_has(pit: Pit) -> None:
    for train in trains(pit):
        for row, pieces in zip(train.rows, train.pieces, strict=True):
            for gap, size in zip(row.gaps, pieces, strict=True):
                assert size >= gap.depth_before + gap.depth_after + GAP - 1e-8
        for stub, cut in zip(pit, train.cut_back, strict=True):
            assert -1e-12 <= cut <= stub.cut + 1e-8
        for corner, a, b in zip(
            train.skeleton.corners, train.directions, train.directions[1:], strict=False
        ):
            assert angle_between(a, b) == pytest.approx(corner.bend, abs=1e-7)


@given(crooked_pits(), turns())
def test_turning_and_shifting_the_pit_changes_nothing(
    pit: Pit, turn: tuple[Vec, float, Vec]
) -> None:
    """Without a valve, which must face up, even a tumbled pit is the same pit."""
    there = (moved(pit[0], turn), moved(pit[1], turn))
    assert summary(trains(there, valve=False)) == summary(trains(pit, valve=False))


@given(crooked_pits(), turns())
def test_turning_the_pit_in_plan_changes_nothing_for_a_valve_either(
    pit: Pit, turn: tuple[Vec, float, Vec]
) -> None:
    plan = ((0.0, 0.0, 1.0), turn[1], turn[2])
    there = (moved(pit[0], plan), moved(pit[1], plan))
    assert summary(trains(there)) == summary(trains(pit))


@given(crooked_pits())
def test_a_mirrored_pit_has_the_mirrored_trains(pit: Pit) -> None:
    assert summary(trains((mirrored(pit[0]), mirrored(pit[1])))) == summary(trains(pit))


@given(crooked_pits())
def test_more_pipe_to_cut_never_loses_a_kind_of_train(pit: Pit) -> None:
    longer = tuple(StubEnd(s.tip, s.outward, s.cut + 2 * INCH) for s in pit)
    before = {t.skeleton.label for t in trains(pit)}
    after = {t.skeleton.label for t in trains((longer[0], longer[1]))}
    assert before <= after


def test_a_refusal_names_the_nearest_miss_first_and_loses_none() -> None:
    """An offset of 1/2 in: every skeleton says what it lacked."""
    pit = (
        StubEnd((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.0),
        StubEnd((0.5 * INCH, 20 * INCH, 0.0), (0.0, -1.0, 0.0), 0.0),
    )
    got = search(pit, kit(0.0, 0.0), ALLOW)
    assert isinstance(got, Refusal)
    misses = [s.missed for s in got.because]
    assert misses == sorted(misses)
    assert {s.code for s in got.because} >= {"OFFSET", "LEG", "ANGLE"}
    straight = next(s for s in got.because if s.code == "OFFSET")
    assert straight.have == pytest.approx(0.5 * INCH)


def test_too_little_pipe_to_hold_a_fitting_is_said_as_such() -> None:
    pit = (
        StubEnd((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), -0.5 * INCH),
        StubEnd((0.0, 20 * INCH, 0.0), (0.0, -1.0, 0.0), 0.0),
    )
    answers = list(on_bends((), pit, kit(-0.5 * INCH, 0.0), ALLOW))
    shorts = [a for a in answers if isinstance(a, Short)]
    assert len(shorts) == len(answers)
    assert {s.code for s in shorts} == {"CUTBACK"}
    assert shorts[0].missed == pytest.approx(0.5 * INCH)


def test_a_family_that_is_not_finished_says_so_and_claims_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With no effort allowed at all the refusal is marked as cut short, the miss told last."""
    monkeypatch.setattr("pitwright.trains.family.MOST_LAID", 0)
    pit = (
        StubEnd((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.0),
        StubEnd((0.5 * INCH, 20 * INCH, 0.0), (0.0, -1.0, 0.0), 0.0),
    )

    got = search(pit, kit(0.0, 0.0, most_bends=3), ALLOW)

    assert isinstance(got, Refusal)
    assert got.cut_short
    assert got.because[-1].code == "CUT_SHORT"
    assert not search_with_effort(pit).cut_short


def search_with_effort(pit: Pit) -> Refusal:
    got = search(pit, kit(0.0, 0.0, most_bends=2), ALLOW)
    assert isinstance(got, Refusal)
    return got
