from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from pitwright.closing.closing import close
from pitwright.closing.ends import between
from pitwright.closing.rebuild import walk
from pitwright.flex.limits import hand_force
from pitwright.geometry.vector import sub
from pitwright.renewal.bending import flex_end, rigid_train
from pitwright.tolerance.bearing import chance_borne, sharing
from pitwright.tolerance.causes import causes, walked
from pitwright.tolerance.doubt import Doubt
from pitwright.tolerance.doubting import EIGHTH, doubt_of
from pitwright.tolerance.slips import SLIPS, Slips
from pitwright.trains.cut_list import Bend, CutList, Piece
from pitwright.units.spread import Sigma
from tests.tolerance.jobs import Work, works

WORKS = works()
SOME = list(range(len(WORKS)))
BENT = [i for i in SOME if WORKS[i].train.bends]
STIFF = [i for i in SOME if not rigid_train(WORKS[i].survey, WORKS[i].stubs, WORKS[i].cuts).slides]


def doubt(work: Work, slips: Slips = SLIPS) -> Doubt:
    return doubt_of(work.train, work.cuts, work.stubs, work.bears, slips)


def drawn(work: Work, n: int, seed: int) -> NDArray[np.float64]:
    effects = np.array([c.effect for c in causes(work.train, work.cuts, work.stubs, SLIPS)])
    dice = np.random.default_rng(seed).standard_normal((n, len(effects)))
    return np.asarray(dice @ effects, dtype=np.float64)


def test_there_are_straight_and_bent_trains_to_doubt() -> None:
    assert len(STIFF) >= 2 and len(BENT) >= 1


@pytest.mark.parametrize("i", STIFF)
def test_the_chance_within_an_eighth_is_that_of_drawn_errors(i: int) -> None:
    errors = drawn(WORKS[i], 40_000, 5)[:, :3]
    within = float((np.linalg.norm(errors, axis=1) <= EIGHTH).mean())
    assert doubt(WORKS[i]).plain.eighth == pytest.approx(within, abs=0.01)


@pytest.mark.parametrize("i", SOME)
def test_flex_never_promises_more_than_the_certified_closing_of_drawn_errors(i: int) -> None:
    """200 draws, each closed by the code that certifies; 0.1 is three sigmas of the count."""
    work = WORKS[i]
    cuts = work.cuts
    one, two = (
        flex_end(work.survey, s, c)
        for s, c in zip(work.stubs, (cuts.inlet_cut, cuts.outlet_cut), strict=True)
    )
    ends = between(one, two, hand_force())
    train = rigid_train(work.survey, work.stubs, cuts)
    closed = 0
    for x in drawn(work, 200, 6):
        way = np.array(train.way) - np.cross(x[3:], train.way)
        way /= np.linalg.norm(way)
        end = np.array(train.end) - x[:3]
        moved = replace(
            train, end=(end[0], end[1], end[2]), way=(float(way[0]), float(way[1]), float(way[2]))
        )
        closed += close(ends, moved, above=1.0).closes
    got = doubt(work).plain.flex
    assert got <= closed / 200 + 0.1
    assert got >= closed / 200 - 0.25  # the rule of sharing errs low, but not by much


@pytest.mark.parametrize("i", SOME)
def test_the_laid_out_train_ends_where_the_rebuilt_one_does(i: int) -> None:
    work = WORKS[i]
    *_, end = walk(work.cuts, work.stubs[0].tip.mean, work.stubs[0].outward)
    ours = walked(work.train, work.cuts, work.stubs[0].tip.mean)
    snap = 0.02 * work.train.length if work.train.snapped else 2e-3
    assert math.dist(ours.end, end.at) <= snap


@pytest.mark.parametrize("i", SOME)
def test_a_cut_an_angle_and_a_clocking_move_the_end_as_a_rebuilt_train_does(i: int) -> None:
    """A small change in the cut list, walked again by code that knows nothing of errors."""
    work, small = WORKS[i], 1e-5
    found = {c.name: c.effect[:3] for c in causes(work.train, work.cuts, work.stubs, SLIPS)}
    *_, before = walk(work.cuts, work.stubs[0].tip.mean, work.stubs[0].outward)
    for n, item in enumerate(work.cuts.items):
        changes: list[tuple[str, Piece | Bend]] = []
        if isinstance(item, Piece):
            changes.append((f"cut.{item.letter}", replace(item, length=item.length + small)))
        if isinstance(item, Bend):
            changes.append((f"angle.{item.name}", replace(item, angle=item.angle + small)))
            changes.append((f"clock.{item.name}", replace(item, clock=item.clock + small)))
        for name, changed in changes:
            items = (*work.cuts.items[:n], changed, *work.cuts.items[n + 1 :])
            cuts: CutList = replace(work.cuts, items=items)
            *_, after = walk(cuts, work.stubs[0].tip.mean, work.stubs[0].outward)
            kind = name.partition(".")[0]
            sigma = {"cut": SLIPS.cut, "angle": SLIPS.fitting, "clock": SLIPS.clock}[kind].one
            moved = np.array(sub(after.at, before.at)) / small * sigma
            ours = np.array(found[name])
            # the sign of an error is nothing; a snapped train leans a little from its own list
            off = min(np.linalg.norm(moved - ours), np.linalg.norm(moved + ours))
            assert off <= 0.06 * np.linalg.norm(ours) + 1e-6, name


@pytest.mark.parametrize("i", SOME)
def test_shares_add_to_one_and_the_largest_comes_first(i: int) -> None:
    parts = [round(s.share, 12) for s in doubt(WORKS[i]).shares]
    assert sum(parts) == pytest.approx(1.0)
    assert parts == sorted(parts, reverse=True)


@pytest.mark.parametrize("i", SOME)
@pytest.mark.parametrize("by", [1.2, 3.0])
def test_more_error_never_raises_the_chance(i: int, by: float) -> None:
    before, after = doubt(WORKS[i]), doubt(WORKS[i].less_sure(by))
    assert after.plain.eighth <= before.plain.eighth + 1e-6
    careless = replace(SLIPS, cut=Sigma(SLIPS.cut.one * by), seat=Sigma(SLIPS.seat.one * by))
    assert doubt(WORKS[i], careless).plain.eighth <= before.plain.eighth + 1e-6


@pytest.mark.parametrize("i", SOME)
def test_the_advised_way_is_never_worse_than_cutting_all_at_once(i: int) -> None:
    got = doubt(WORKS[i])
    assert got.advised.eighth >= got.plain.eighth
    for way in got.ways:
        assert len(set(way.pieces)) == len(way.pieces)


@pytest.mark.parametrize("i", SOME)
def test_help_gains_and_names_something_that_was_read_or_measured(i: int) -> None:
    got = doubt(WORKS[i])
    if got.help is not None:
        assert got.help.eighth > got.advised.eighth
        assert got.help.code in ("two_points", "measure_part", "read_again")


@pytest.mark.parametrize("i", SOME)
def test_without_any_error_the_plan_closes_for_certain(i: int) -> None:
    work = WORKS[i]
    walked_joints = walked(work.train, work.cuts, work.stubs[0].tip.mean)
    joints = [
        (p, work.train.directions[n])
        for p, n in zip(walked_joints.points, walked_joints.legs, strict=True)
    ]
    borne = sharing(work.bears, joints)
    nothing = [[0.0] * 5 for _ in range(5)]
    assert chance_borne(borne, borne.middle, nothing) == pytest.approx(1.0, abs=1e-9)


def test_two_points_a_foot_apart_beat_an_angle_gauge_and_a_short_stub_asks_for_the_gauge() -> None:
    """The same train, its inlet's direction guessed by eye; bare for two inches, then for 14."""
    short = next(w for w in WORKS if w.stubs[0].id == "beds-in" and not w.train.bends)
    asked = doubt(short).help
    assert asked is not None
    assert (asked.code, asked.of) == ("read_again", "stub.beds-in.faces")
    straight = replace(short.stubs[0].bare[0], length=0.36)
    long = replace(short, stubs=(replace(short.stubs[0], bare=(straight,)), short.stubs[1]))
    better = doubt(long).help
    assert better is not None
    assert (better.code, better.of) == ("two_points", "beds-in")
    assert better.eighth > asked.eighth


@pytest.mark.parametrize("i", SOME)
def test_renaming_pieces_and_fittings_changes_no_chance(i: int) -> None:
    work = WORKS[i]
    items = tuple(
        replace(x, letter=f"Q{x.letter}")
        if isinstance(x, Piece)
        else replace(x, name=f"other {x.name}")
        for x in work.cuts.items
    )
    before, after = doubt(work), doubt(replace(work, cuts=replace(work.cuts, items=items)))
    assert after.plain == before.plain
    assert [(h.eighth, h.flex) for h in after.ways] == [(h.eighth, h.flex) for h in before.ways]


def test_everything_that_can_be_held_is_advised_where_holding_gains_anything() -> None:
    """What is marked in place takes up slips that no sigma knows of: so the dry build measured."""
    several = 0
    for work in works():
        got = doubt_of(work.train, work.cuts, work.stubs, work.bears)
        if not got.ways:
            assert got.advised == got.plain
            continue
        assert got.advised == got.ways[0]
        assert len(got.advised.pieces) == max(len(w.pieces) for w in got.ways)
        several += len(got.advised.pieces) > 1
    assert several


@pytest.mark.parametrize("i", SOME)
def test_the_chance_of_what_is_held_is_that_of_drawn_errors_fitted_dry(i: int) -> None:
    """Every error drawn, the fit by numpy's least squares, then marks and bends err anew."""
    work = WORKS[i]
    got = doubt(work)
    made = causes(work.train, work.cuts, work.stubs, SLIPS)
    way = walked(work.train, work.cuts, work.stubs[0].tip.mean)
    slides = bool(rigid_train(work.survey, work.stubs, work.cuts).slides)
    dice, count = np.random.default_rng(7), 40_000
    for held in () if slides else got.ways:
        letters = [getattr(x, "letter", "") for x in work.cuts.items]
        free = [
            np.array(work.train.directions[way.legs[letters.index(x) + 1]]) for x in held.pieces
        ]
        if held.rolls:
            axes = np.array(work.train.directions)
            at = np.array([*(c.at for c in way.corners), way.end])
            moves = np.cross(axes, np.array(way.end) - at)
            turnless = np.linalg.svd(axes.T)[2][np.linalg.matrix_rank(axes, tol=1e-9) :]
            free += [m for m in turnless @ moves if np.linalg.norm(m) > 1e-6]
        room = np.array(free).T
        errors = dice.standard_normal((count, len(made))) @ np.array([c.effect[:3] for c in made])
        left = errors.T - room @ np.linalg.lstsq(room, errors.T, rcond=1e-9)[0]
        sides, sizes, _ = np.linalg.svd(room)
        marks = sides[:, : int((sizes > 1e-6).sum())]
        left += marks @ (SLIPS.mark.one * dice.standard_normal((marks.shape[1], count)))
        if held.rolls:
            anew = np.array([c.effect[:3] for c in made if c.name.startswith("clock.")])
            left += anew.T @ dice.standard_normal((len(anew), count))
        within = float((np.linalg.norm(left, axis=0) <= EIGHTH).mean())
        assert held.eighth == pytest.approx(within, abs=0.012)
