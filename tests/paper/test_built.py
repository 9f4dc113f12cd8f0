"""A train on paper stands where its rounded cut list puts it."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pitwright.closing.rebuild import walk
from pitwright.findings import Refusal
from pitwright.geometry.vector import norm, sub
from pitwright.paper.built import ValveLook, as_built, together
from pitwright.paper.scene import Ground, Scene
from pitwright.paper.shapes import Marker, box_of
from pitwright.paper.view import VIEWS, view
from pitwright.trains.cut_list import Bend, CutList, cut_list, exact_cuts
from pitwright.trains.kit import StubEnd
from pitwright.trains.search import Allowance, search
from pitwright.trains.train import Train
from pitwright.units.inches import SIXTEENTH
from tests.trains.pits import crooked_pits, kit

OD = 0.0334
LOOK = ValveLook(0.12, 0.13, 0.076)
Stubs = tuple[StubEnd, StubEnd]


def planned(stubs: Stubs) -> tuple[Train, CutList] | None:
    found = search(stubs, kit(stubs[0].cut, stubs[1].cut), Allowance(0.003, 0.03))
    if isinstance(found, Refusal):
        return None
    return found[0], cut_list(found[0], [round(x / SIXTEENTH) for x in exact_cuts(found[0])])


def drawn(stubs: Stubs) -> tuple[CutList, Scene] | None:
    got = planned(stubs)
    if got is None:
        return None
    return got[1], as_built(*got, stubs, od=OD, look=LOOK, words="beds", zone="z")


STRAIGHT = (
    StubEnd((0.0, 0.0, 0.0), (0.0, 1.0, 0.0), 0.02),
    StubEnd((0.0, 0.4, 0.0), (0.0, -1.0, 0.0), 0.05),
)


@given(crooked_pits())
@settings(max_examples=20)
def test_every_piece_is_drawn_as_long_as_it_is_cut(stubs: Stubs) -> None:
    """Law: the drawing is the rounded cut list, letter by letter."""
    got = drawn(stubs)
    assume(got is not None)
    assert got is not None
    cuts, scene = got
    assert [p.letter for p in scene.pipes] == [p.letter for p in cuts.pieces]
    for pipe, piece in zip(scene.pipes, cuts.pieces, strict=True):
        assert norm(sub(pipe.path[1], pipe.path[0])) == pytest.approx(piece.length, abs=1e-9)
    assert len(scene.joints) == len(cuts.joints)
    assert [j.where for j in scene.joints] == [j.where.value for j in cuts.joints]


@given(crooked_pits())
@settings(max_examples=20)
def test_fittings_stand_where_the_fitter_gets_to(stubs: Stubs) -> None:
    """Law: each elbow's centre is on the walked train, and the valve is drawn once."""
    got = drawn(stubs)
    assume(got is not None)
    assert got is not None
    cuts, scene = got
    poses = list(walk(cuts, stubs[0].tip, stubs[0].outward))
    elbows = [f for f in scene.fittings if f.kind == "elbow"]
    bends = [(i, b) for i, b in enumerate(cuts.items) if isinstance(b, Bend)]
    assert len(elbows) == len(bends)
    for fitting, (i, bend) in zip(elbows, bends, strict=True):
        assert norm(sub(fitting.centre, poses[i].at)) == pytest.approx(bend.before, abs=1e-9)
        assert norm(sub(fitting.centre, poses[i + 1].at)) == pytest.approx(bend.after, abs=1e-9)
    assert sum(f.kind == "valve" for f in scene.fittings) == 1


@given(crooked_pits(), st.sampled_from(sorted(VIEWS)))
@settings(max_examples=15)
def test_every_train_fits_its_frame(stubs: Stubs, name: str) -> None:
    got = drawn(stubs)
    assume(got is not None)
    assert got is not None
    box = box_of(view(got[1], name, 120.0, 100.0).shapes)
    assert box is not None
    assert min(box[:2]) >= -0.01 and box[2] <= 120.01 and box[3] <= 100.01


def test_only_the_joints_at_the_stubs_are_rings() -> None:
    got = drawn(STRAIGHT)
    assert got is not None
    marks = [s for s in view(got[1], "elevation", 160.0, 90.0).shapes if isinstance(s, Marker)]
    kinds = [m.kind for m in sorted(marks, key=lambda m: m.at[0])]
    assert kinds[0] == kinds[-1] == "ring"
    assert set(kinds[1:-1]) == {"square"}


def test_letters_can_go_on_from_one_zone_to_the_next() -> None:
    got = planned(STRAIGHT)
    assert got is not None
    letters = {p.letter: f"{p.letter}2" for p in got[1].pieces}
    scene = as_built(*got, STRAIGHT, od=OD, look=LOOK, letters=letters)
    assert [p.letter for p in scene.pipes] == [f"{p.letter}2" for p in got[1].pieces]


def test_scenes_come_together_with_the_first_box_and_ground() -> None:
    got = drawn(STRAIGHT)
    assert got is not None
    both = together([got[1], Scene(ground=Ground(0.2)), got[1]])
    assert len(both.pipes) == 2 * len(got[1].pipes)
    assert both.ground == Ground(0.2)
    assert both.only("z") == both and both.only("y").pipes == ()
