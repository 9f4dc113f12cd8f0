"""Every train that closes between two stubs: the skeleton enumerated, the lengths solved.

Nothing is pruned silently: each skeleton that fails leaves its nearest miss as a
:class:`~pitwright.findings.Short`. What a train may need of the stubs beyond this geometry
(bending, joining) is judged elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from pitwright.findings import Refusal, Short, nearest_first
from pitwright.geometry.vector import Vec, minus, scale, sub
from pitwright.trains.chains import NoChain, chains
from pitwright.trains.family import Family
from pitwright.trains.frames import plain_frames, street_frames
from pitwright.trains.kit import Kit, StubEnd
from pitwright.trains.laying import Allowance
from pitwright.trains.room import Room
from pitwright.trains.train import Train, order
from pitwright.trains.trying import on_chain

__all__ = ["Allowance", "Found", "on_bends", "order", "search", "searched"]

FEW = 2
"""Up to so many bends every chain is known; beyond it a grid stands for a family. [-]"""


@dataclass(frozen=True, slots=True)
class Found:
    """Every train in order, every limit that stopped another, and how many were looked at. [-]"""

    trains: tuple[Train, ...]
    shorts: tuple[Short, ...]
    looked_at: int

    @property
    def cut_short(self) -> bool:
        """Whether some family was not looked at to its end, so that nothing is called the best."""
        return any(short.code == "CUT_SHORT" for short in self.shorts)


def search(
    stubs: tuple[StubEnd, StubEnd], kit: Kit, allow: Allowance, room: Room | None = None
) -> tuple[Train, ...] | Refusal:
    """Every train in the order of :func:`order`, or why there is none; lengths in metres.

    Source: docs/decisions/0003.
    """
    got = searched(stubs, kit, allow, room)
    return got.trains or Refusal(nearest_first(got.shorts), got.looked_at, got.cut_short)


def searched(
    stubs: tuple[StubEnd, StubEnd],
    kit: Kit,
    allow: Allowance,
    room: Room | None = None,
    least_bends: int = 0,
) -> Found:
    """Every train there is, and what stopped the others.

    Parameters
    ----------
    stubs : pair of StubEnd
        Inlet and outlet, lengths in metres.
    kit : Kit
        What may be built with. [m, rad]
    allow : Allowance
        How much misfit may remain. [m, rad]
    room : Room, optional
        Walls and obstacles. [m]
    least_bends : int
        Trains of fewer bends are not looked for. [-]

    Four bends are tried only where nothing exists with fewer. Of a family with three bends or
    four the shortest found of each skeleton is kept. Source: docs/decisions/0003.
    """
    space = room or Room()
    found: list[Train] = []
    shorts: list[Short] = []
    looked_at = 0
    for bends in range(least_bends, kit.most_bends + 1):
        if bends > 3 and found:
            break
        for angles in product(sorted({c.bend for c in kit.corners}), repeat=bends):
            for answer in on_bends(angles, stubs, kit, allow, space):
                looked_at += 1
                if isinstance(answer, Train):
                    found.append(answer)
                else:
                    shorts.append(answer)
    return Found(tuple(sorted(found, key=order)), tuple(shorts), looked_at)


def on_bends(
    angles: Sequence[float],
    stubs: tuple[StubEnd, StubEnd],
    kit: Kit,
    allow: Allowance,
    room: Room | None = None,
) -> Iterator[Train | Short]:
    """Every train, or why not, for one given sequence of bends. [rad, m]

    Source: docs/decisions/0003.
    """
    u, v = stubs[0].outward, minus(stubs[1].outward)
    way = sub(stubs[1].tip, stubs[0].tip)
    got = chains(angles, u, v, way, allow.angle, aim=_aim(angles, u, v, way, kit))
    label = "-".join(f"{math.degrees(a):g}" for a in angles) or "straight"
    if isinstance(got, NoChain):
        lift = "other_bends" if got.code == "ANGLE" else "jog"
        yield Short(got.code, "train", got.have, got.need, got.missed, "rad", lift, label)
        return
    frames, shorts = plain_frames(angles, stubs, kit)
    space = room or Room()
    if len(angles) <= FEW:
        yield from shorts
        fits = False
        for chain in got:
            for answer in on_chain(chain, frames, stubs, allow, space, label):
                fits = fits or isinstance(answer, Train)
                yield answer
        if not fits and kit.streets and angles:
            street = list(street_frames(angles, stubs, kit))
            for chain in got:
                yield from on_chain(chain, street, stubs, allow, space, label)
        return
    if not frames:
        yield from sorted(shorts, key=lambda s: (s.missed, s.where, s.tried))[:1]
    else:
        yield from Family(frames, stubs, allow, space, label).walked(got)


def _aim(angles: Sequence[float], u: Vec, v: Vec, way: Vec, kit: Kit) -> Vec | None:
    """From where the first bend turns to where the last does, both straight on the stubs. [m]"""
    if len(angles) < 4:
        return None
    first, last = (next(c for c in kit.corners if c.bend == a) for a in (angles[0], angles[-1]))
    return sub(sub(way, scale(u, first.before.takeout)), scale(v, last.after.takeout))
