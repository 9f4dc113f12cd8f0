"""The cut list: letters, joints, and clocking as a fitter reads it."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from pitwright.geometry.vector import Vec, across, add, angle_between, norm, scale, sub, turned
from pitwright.trains.cut_list import (
    Bend,
    Piece,
    Where,
    clocks,
    cut_list,
    exact_cuts,
    exact_list,
)
from pitwright.trains.kit import StubEnd
from pitwright.trains.search import Allowance, search
from pitwright.trains.train import Train
from pitwright.units.inches import SIXTEENTH
from pitwright.units.kinds import INCH
from tests.strategies import directions
from tests.trains.pits import kit, mirrored

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
TURNS = st.tuples(st.floats(0.3, 1.6), st.floats(-3.1, 3.1))


def built(first: Vec, turns: list[tuple[float, float]]) -> list[Vec]:
    """Directions of a chain bent by (bend, clock) pairs: the definition, run forward."""
    at, (reference, _) = first, across(first)
    made = [first]
    for bend, clock in turns:
        side = turned(reference, at, clock)  # to the right when seen along the flow
        onward = add(scale(at, math.cos(bend)), scale(side, math.sin(bend)))
        reference = add(scale(side, math.cos(bend)), scale(at, -math.sin(bend)))
        at = onward
        made.append(onward)
    return made


@given(directions(), st.lists(TURNS, min_size=1, max_size=4))
def test_clocking_read_from_directions_builds_those_directions_again(
    first: Vec, turns: list[tuple[float, float]]
) -> None:
    made = built(first, turns)
    assert list(clocks(made)) == pytest.approx([c for _, c in turns], abs=1e-6)
    again = built(first, [(b, c) for (b, _), c in zip(turns, clocks(made), strict=True)])
    assert all(norm(sub(a, b)) < 1e-9 for a, b in zip(made, again, strict=True))


@pytest.mark.parametrize(
    ("onward", "clock"), [(Z, 0.0), (X, 90.0), (scale(Z, -1.0), 180.0), (scale(X, -1.0), -90.0)]
)
def test_seen_along_the_flow_up_is_zero_and_right_is_90(onward: Vec, clock: float) -> None:
    """Downstream is y; x lies to its right."""
    (got,) = clocks([Y, onward])
    assert math.degrees(got) == pytest.approx(clock)


def test_zero_goes_on_as_in_a_u_and_180_turns_back_as_in_an_offset() -> None:
    leaning = add(scale(X, math.sin(1.0)), scale(Y, math.cos(1.0)))
    back = list(clocks([Y, leaning, Y]))
    on = list(clocks([Y, X, scale(Y, -1.0)]))
    assert [math.degrees(c) for c in back] == pytest.approx([90.0, 180.0])
    assert [math.degrees(c) for c in on] == pytest.approx([90.0, 0.0])


@given(directions(), st.lists(TURNS, min_size=2, max_size=4), st.floats(-3.0, 3.0))
def test_turning_the_pit_in_plan_changes_no_clocking(
    first: Vec, turns: list[tuple[float, float]], angle: float
) -> None:
    assume(abs(first[2]) < 0.999)
    made = built(first, turns)
    there = [turned(w, Z, angle) for w in made]
    assert list(clocks(there)) == pytest.approx(list(clocks(made)), abs=1e-6)


@given(directions(), directions(), st.lists(TURNS, min_size=2, max_size=4))
def test_clocks_after_the_first_do_not_care_where_up_is(
    first: Vec, axis: Vec, turns: list[tuple[float, float]]
) -> None:
    made = built(first, turns)
    there = [turned(w, axis, 1.0) for w in made]
    assert list(clocks(there))[1:] == pytest.approx(list(clocks(made))[1:], abs=1e-6)


@given(directions(), st.lists(TURNS, min_size=1, max_size=4))
def test_the_looking_glass_turns_every_clocking_round(
    first: Vec, turns: list[tuple[float, float]]
) -> None:
    assume(abs(first[2]) < 0.999)
    made = built(first, turns)
    glass = [(-x, y, z) for x, y, z in made]
    assert [-c for c in clocks(glass)] == pytest.approx(list(clocks(made)), abs=1e-6)


PIT = (
    StubEnd((0.0, 0.0, 0.0), Y, 0.0),
    StubEnd((4 * INCH, 22.03 * INCH, -3 * INCH), (0.03, -1.0, 0.01), 0.0),
)


def train() -> Train:
    v = PIT[1].outward
    straight = StubEnd(PIT[1].tip, scale(v, 1.0 / norm(v)), 3 * INCH)
    got = search((PIT[0], straight), kit(0.0, 3 * INCH), Allowance(INCH / 4, 0.1))
    assert isinstance(got, tuple)
    return next(t for t in got if t.bends == 2 and sum(len(p) for p in t.pieces) > 1)


def test_pieces_are_lettered_from_the_inlet_and_joined_end_to_end() -> None:
    cuts = exact_list(train())
    assert [p.letter for p in cuts.pieces] == list("ABCDEF"[: len(cuts.pieces)])
    joints = cuts.joints
    assert joints[0].before == "inlet stub"
    assert joints[-1].after == "outlet stub"
    assert all(a.after == b.before for a, b in pairwise(joints))
    assert {joints[0].where, joints[-1].where} == {Where.PIT}
    assert {j.where for j in joints[1:-1]} == {Where.BENCH}
    assert len(joints) == len(cuts.items) + 1


def test_every_cut_stands_on_the_mark_it_was_given_and_the_rest_stays() -> None:
    one = train()
    exact = exact_cuts(one)
    marks = [round(c / SIXTEENTH) for c in exact]
    cuts = cut_list(one, marks)
    got = (cuts.inlet_cut, cuts.outlet_cut, *(p.length for p in cuts.pieces))
    assert got == tuple(m * SIXTEENTH for m in marks)
    for rounded, true in zip(cuts.items, exact_list(one).items, strict=True):
        if isinstance(rounded, Bend) and isinstance(true, Bend):
            assert abs(rounded.clock - true.clock) <= math.radians(0.05) + 1e-12
            assert math.degrees(rounded.clock) * 10 == pytest.approx(
                round(math.degrees(rounded.clock) * 10), abs=1e-6
            )
        elif not isinstance(rounded, Piece):
            assert rounded == true


def test_the_looking_glass_keeps_every_length_of_the_list() -> None:
    one = exact_list(train())
    v = scale(PIT[1].outward, 1.0 / norm(PIT[1].outward))
    glass = (mirrored(PIT[0]), mirrored(StubEnd(PIT[1].tip, v, 3 * INCH)))
    got = search(glass, kit(0.0, 3 * INCH), Allowance(INCH / 4, 0.1))
    assert isinstance(got, tuple)
    label = train().skeleton.label
    other = exact_list(next(t for t in got if t.skeleton.label == label))
    assert [p.length for p in other.pieces] == pytest.approx([p.length for p in one.pieces])
    bends = [(i.clock, j.clock) for i, j in zip(one.items, other.items, strict=True)
             if isinstance(i, Bend) and isinstance(j, Bend)]  # fmt: skip
    assert all(angle_between((math.cos(a), math.sin(a), 0.0), (math.cos(b), -math.sin(b), 0.0))
               < 1e-9 for a, b in bends)  # fmt: skip
