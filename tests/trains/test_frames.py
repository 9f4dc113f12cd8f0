"""Skeletons: what can never stand is told once, with its number, and lifted by what it names."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.trains.frames import plain_frames, street_frames
from pitwright.trains.kit import TELESCOPING, Kit, Port
from pitwright.trains.kitting import kit_for, stub_end
from pitwright.units.kinds import INCH
from tests.trains.test_kitting import bench, stub, valve

SHELF = load_shelf()
STUBS = (stub("beds-in"), stub("beds-out"))
ENDS = (stub_end(STUBS[0], SHELF), stub_end(STUBS[1], SHELF))
RIGHT = (math.pi / 2,)


def kit(**changes: object) -> Kit:
    got = kit_for(replace(bench(), **changes), STUBS, valve())  # type: ignore[arg-type]
    assert isinstance(got, Kit)
    return got


def names(angles: tuple[float, ...], mine: Kit) -> set[str]:
    return {w.name for f in plain_frames(angles, ENDS, mine)[0] for w in f.skeleton.ways}


def test_a_joint_that_holds_no_thrust_stands_in_a_straight_train_and_beside_no_open_bend() -> None:
    straight, bent, blocked = names((), kit()), names(RIGHT, kit()), names(RIGHT, kit(blocked=True))
    loose = {"telescoping", "gripped"}
    assert loose <= straight
    assert not loose & bent
    assert loose <= blocked
    told = [s for s in plain_frames(RIGHT, ENDS, kit())[1] if s.code == "THRUST"]
    assert told
    assert {s.lift for s in told} == {"block_bends"}
    assert all(s.unit == "N" and s.missed > 300.0 for s in told)


def test_a_bare_elbow_behind_a_stub_that_nothing_holds_is_an_open_bend_too() -> None:
    riser = replace(STUBS[0], bare=(*STUBS[0].bare, STUBS[1].bare[0]))
    open_, held = (
        kit_for(bench(), (s, STUBS[1]), valve()) for s in (riser, replace(riser, held=True))
    )
    assert isinstance(open_, Kit)
    assert isinstance(held, Kit)
    assert "telescoping" not in names((), open_)
    assert "telescoping" in names((), held)
    told = {s.lift for s in plain_frames((), ENDS, open_)[1] if s.code == "THRUST"}
    assert told == {"block_stub"}


def test_too_little_bare_pipe_to_park_on_says_how_much_more_and_that_much_lifts_it() -> None:
    told = [s for s in plain_frames((), ENDS, kit())[1] if s.code == "PARK"]
    assert told
    more = max(s.missed for s in told)
    assert all(s.where == "inlet stub" for s in told)
    assert all(s.need - s.have == pytest.approx(s.missed) for s in told)
    short = STUBS[0]
    longer = replace(short, bare=(replace(short.bare[0], length=short.bare[0].length + more),))
    lifted = kit_for(bench(), (longer, STUBS[1]), valve())
    assert isinstance(lifted, Kit)
    assert not [s for s in plain_frames((), ENDS, lifted)[1] if s.code == "PARK"]


def test_sliding_bodies_are_tried_in_up_to_two_bends_and_pairs_beside_bends_are_stop_less() -> None:
    for bends, most in ((0, 2), (1, 2), (2, 2), (3, 0)):
        frames, _ = plain_frames((math.pi / 4,) * bends, ENDS, kit(blocked=True))
        assert max(f.skeleton.slides for f in frames) == most
        pairs = {w.name for f in frames if f.skeleton.slides == 2 for w in f.skeleton.ways}
        assert (TELESCOPING in pairs) == (bends == 0)
        assert pairs >= ({"slid"} if 0 < bends < 3 else set())


def test_every_street_frame_has_one_street_elbow_and_one_piece_less() -> None:
    angles = (math.pi / 4, math.pi / 4)
    plain = {
        (*f.skeleton.ways, f.skeleton.valve_leg): f for f in plain_frames(angles, ENDS, kit())[0]
    }
    seen = 0
    for frame in street_frames(angles, ENDS, kit()):
        seats = [s for c in frame.skeleton.corners for s in (c.before, c.after)]
        assert sum(s.port is Port.SPIGOT for s in seats) == 1
        like = plain[(*frame.skeleton.ways, frame.skeleton.valve_leg)]
        pieces, before = (sum(len(r.gaps) for r in f.rows) for f in (frame, like))
        assert pieces == before - 1
        assert "s" in frame.skeleton.label.split(",")[0]
        seen += 1
    assert seen >= 8


def test_a_union_is_part_of_every_skeleton_with_a_valve() -> None:
    frames, _ = plain_frames((), ENDS, kit(unions=True))
    assert frames
    union = SHELF.fitting("union", "1")
    assert union is not None
    for frame in frames:
        assert frame.skeleton.union
        assert any(union.id in getattr(i, "parts", ()) for i in frame.rows[0].items)
    assert frames[0].rows[0].low > plain_frames((), ENDS, kit())[0][0].rows[0].low + INCH
