"""Which marks to cut at: never worse than the nearest ones, never a piece too short."""

from __future__ import annotations

import math
from itertools import product

import pytest
from hypothesis import given

from pitwright.closing.rebuild import close_pieces, rebuilt
from pitwright.findings import Refusal
from pitwright.geometry.vector import norm
from pitwright.renewal.rounding import best_marks
from pitwright.trains.cut_list import cut_list, exact_cuts
from pitwright.trains.kit import StubEnd
from pitwright.trains.search import Allowance, search
from pitwright.trains.train import Train
from pitwright.units.inches import SIXTEENTH
from pitwright.units.kinds import INCH
from tests.trains.pits import GAP, crooked_pits, kit

Pit = tuple[StubEnd, StubEnd]
ALLOW = Allowance(INCH / 8, math.radians(6))


def trains(pit: Pit) -> tuple[Train, ...]:
    got = search(pit, kit(pit[0].cut, pit[1].cut), ALLOW)
    return () if isinstance(got, Refusal) else got[:4]


def ends(pit: Pit) -> list[tuple[tuple[float, float, float], tuple[float, float, float]]]:
    return [(s.tip, s.outward) for s in pit]


def allowed(train: Train) -> list[float]:
    return [way.cut for way in train.skeleton.ways]


@given(crooked_pits())
def test_every_cut_stands_on_a_mark_beside_its_exact_length(pit: Pit) -> None:
    for train in trains(pit):
        got = best_marks(train, ends(pit), GAP, allowed(train))
        if got is None:
            continue
        cuts, built = got
        made = (cuts.inlet_cut, cuts.outlet_cut, *(p.length for p in cuts.pieces))
        for mark, exact in zip(made, exact_cuts(train), strict=True):
            assert mark / SIXTEENTH == pytest.approx(round(mark / SIXTEENTH), abs=1e-9)
            assert abs(mark - exact) < SIXTEENTH * 1.0001
        assert close_pieces(cuts, GAP) == ()
        for cut, most in zip(made[:2], allowed(train), strict=True):
            assert cut <= most + 1e-6
        way, angle = rebuilt(cuts, *ends(pit))
        assert (norm(way), angle) == pytest.approx((built.position, built.angle))


@given(crooked_pits())
def test_no_other_marks_beside_them_would_close_better(pit: Pit) -> None:
    """Every combination of the two marks beside each cut, tried here one by one."""
    for train in trains(pit)[:2]:
        got = best_marks(train, ends(pit), GAP, allowed(train))
        exact = exact_cuts(train)
        best = math.inf
        both = [{math.floor(c / SIXTEENTH), math.ceil(c / SIXTEENTH)} for c in exact]
        for marks in product(*both):
            if any(m * SIXTEENTH > c + 1e-6 for m, c in zip(marks, allowed(train), strict=False)):
                continue
            cuts = cut_list(train, marks)
            if not close_pieces(cuts, GAP):
                best = min(best, norm(rebuilt(cuts, *ends(pit))[0]))
        if got is None:
            # a cut within float noise of a mark may only be cut there
            assert best == math.inf or any(
                abs(c / SIXTEENTH - round(c / SIXTEENTH)) < 1e-3 for c in exact
            )
        else:
            assert got[1].position <= best + 1e-6


@given(crooked_pits())
def test_where_cuts_may_go_either_way_rounding_adds_less_than_a_sixteenth_each(pit: Pit) -> None:
    for train in trains(pit):
        got = best_marks(train, ends(pit), GAP, allowed(train))
        if got is not None:
            most = SIXTEENTH * len(exact_cuts(train)) + 0.001 * train.length * 2
            assert got[1].position <= train.misfit.position + most
