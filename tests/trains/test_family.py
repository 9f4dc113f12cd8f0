"""A family laid shortest first, beside laying everything everywhere."""

from __future__ import annotations

import math

import pytest

from pitwright.geometry.clearance import Capsule, HalfSpace
from pitwright.geometry.solids import gap
from pitwright.geometry.vector import Vec, minus, sub, unit
from pitwright.trains.chains import NoChain, chains
from pitwright.trains.family import Family
from pitwright.trains.frames import plain_frames
from pitwright.trains.kit import Girth, StubEnd
from pitwright.trains.room import Laid, Room, solids
from pitwright.trains.search import Allowance, order
from pitwright.trains.train import Train
from pitwright.trains.trying import on_chain
from pitwright.units.kinds import INCH
from tests.trains.pits import kit

ALLOW = Allowance(0.25 * INCH, math.radians(6.0))
ENDS: tuple[tuple[Vec, Vec, Vec], ...] = (
    ((0.03, 1.0, 0.02), (3.1, 25.9, -2.1), (-0.05, -1.0, 0.03)),
    ((0.05, 1.0, 0.04), (6.0, 24.0, -1.0), (-1.0, 0.06, 0.05)),
    ((0.01, 1.0, -0.05), (3.5, 26.0, 3.4), (0.07, -1.0, 0.02)),
)
"""The inlet's way out, the outlet's tip [in] and way out."""
ROOM = Room(
    (HalfSpace((0.0, 0.0, -1.0), 8 * INCH, "floor"), HalfSpace((1.0, 0.0, 0.0), 9 * INCH, "side")),
    (Capsule((-7 * INCH, 15 * INCH, -2 * INCH), (9 * INCH, 14 * INCH, -2 * INCH), INCH, "root"),),
    Girth(0.66 * INCH, 0.85 * INCH, 1.5 * INCH, 4.5 * INCH),
)


@pytest.mark.parametrize("degrees", [(45, 90, 45), (90, 90, 90), (45, 45, 90), (45, 90, 90, 45)])
@pytest.mark.parametrize("ends", ENDS)
def test_shortest_first_finds_what_laying_everything_everywhere_finds(
    degrees: tuple[int, ...], ends: tuple[Vec, Vec, Vec]
) -> None:
    """Every skeleton with a train, and of each the shortest, walls and a root in the way."""
    out, tip, back = ends
    far = (tip[0] * INCH, tip[1] * INCH, tip[2] * INCH)
    stubs = StubEnd((0.0, 0.0, 0.0), unit(out), INCH), StubEnd(far, unit(back), 2 * INCH)
    angles = [math.radians(d) for d in degrees]
    frames, _ = plain_frames(angles, stubs, kit(INCH, 2 * INCH, most_bends=4))
    way = sub(stubs[1].tip, stubs[0].tip)
    around = 8 if len(angles) == 3 else 2
    grid = chains(angles, stubs[0].outward, minus(stubs[1].outward), way, ALLOW.angle, around)
    assert not isinstance(grid, NoChain)

    got = Family(frames, stubs, ALLOW, ROOM, "family").walked(grid)
    quick = {t.skeleton.label: t for t in got if isinstance(t, Train)}
    slow: dict[str, Train] = {}
    for chain in grid:
        for t in on_chain(chain, frames, stubs, ALLOW, ROOM, "family"):
            key = t.skeleton.label if isinstance(t, Train) else ""
            if isinstance(t, Train) and (key not in slow or order(t) < order(slow[key])):
                slow[key] = t

    assert slow.keys() <= quick.keys()
    shorter = [k for k, train in slow.items() if quick[k].length < train.length - 3e-6]
    assert len(shorter) <= 1  # the family's shortest is looked for beside the grid, too
    for key, train in slow.items():
        assert quick[key].length <= train.length + 3e-6


@pytest.mark.parametrize("ends", [ENDS[0], ENDS[2]])
def test_a_skeleton_that_no_chain_of_the_grid_has_room_for_is_refined_though_others_fit(
    ends: tuple[Vec, Vec, Vec],
) -> None:
    """It stands clear of the walls and the root, and with the root away it is no news."""
    out, tip, back = ends
    far = (tip[0] * INCH, tip[1] * INCH, tip[2] * INCH)
    stubs = StubEnd((0.0, 0.0, 0.0), unit(out), INCH), StubEnd(far, unit(back), 2 * INCH)
    angles = [math.radians(d) for d in (45, 90, 45)]
    frames, _ = plain_frames(angles, stubs, kit(INCH, 2 * INCH, most_bends=4))
    way = sub(stubs[1].tip, stubs[0].tip)
    grid = chains(angles, stubs[0].outward, minus(stubs[1].outward), way, ALLOW.angle, 8)
    assert not isinstance(grid, NoChain)
    on_grid = {
        t.skeleton.label
        for chain in grid
        for t in on_chain(chain, frames, stubs, ALLOW, ROOM, "family")
        if isinstance(t, Train)
    }
    got = Family(frames, stubs, ALLOW, ROOM, "family").walked(grid)
    news = [t for t in got if isinstance(t, Train) and t.skeleton.label not in on_grid]
    assert on_grid
    assert news
    for train in news:
        laid = Laid(train.lengths, train.share)
        for solid in solids(train.directions, train.rows, stubs[0].tip, laid, ROOM.girth):
            assert all(gap(solid, thing) >= -2e-6 for thing in ROOM.obstacles)
    free = Family(frames, stubs, ALLOW, Room(), "family").walked(grid)
    assert {t.skeleton.label for t in news} <= {
        t.skeleton.label for t in free if isinstance(t, Train)
    }
