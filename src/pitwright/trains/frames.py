"""Every skeleton that a sequence of bends allows: end ways, the valve's leg, street elbows.

What cannot stand whatever the lengths is told here once: too little pipe to hold or park a body,
and joints that water would push apart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from pitwright.findings import Short
from pitwright.trains.kit import (
    GRIPS_ON_PIECE,
    GRIPS_ON_STUB,
    SLID_ON_PIECE,
    SLID_ON_STUB,
    TELESCOPING,
    Corner,
    EndWay,
    Kit,
    StubEnd,
)
from pitwright.trains.laying import Frame
from pitwright.trains.lengths import SLACK
from pitwright.trains.rows import rows
from pitwright.trains.train import Skeleton

__all__ = ["plain_frames", "street_frames"]

_ON_PIECE = {SLID_ON_PIECE, GRIPS_ON_PIECE}
_SIDES = ("inlet stub", "outlet stub")


def plain_frames(
    angles: Sequence[float], stubs: tuple[StubEnd, StubEnd], kit: Kit
) -> tuple[list[Frame], list[Short]]:
    """Every end way and valve leg for a sequence of bends [rad], and what can never stand. [m, N]

    Source: docs/decisions/0003.
    """
    frames: list[Frame] = []
    shorts: list[Short] = []
    for skeleton in _skeletons(angles, kit):
        short = _too_little_pipe(skeleton) or _pushed_apart(skeleton, kit)
        if short is not None:
            shorts.append(short)
            continue
        frame = _framed(skeleton, stubs, kit)
        if frame is not None:
            frames.append(frame)
    return frames, shorts


def street_frames(
    angles: Sequence[float], stubs: tuple[StubEnd, StubEnd], kit: Kit
) -> Iterator[Frame]:
    """The same with one of the corners a street elbow, its spigot in its neighbour's socket. [rad]

    A close joint saves the piece between. Source: docs/decisions/0003.
    """
    for skeleton in _skeletons(angles, kit):
        if _too_little_pipe(skeleton) or _pushed_apart(skeleton, kit):
            continue
        for number, corner in enumerate(skeleton.corners):
            if skeleton.ways[0].corners and number == 0:
                continue
            if skeleton.ways[1].corners and number == len(angles) - 1:
                continue
            for street in (s for s in kit.streets if s.bend == corner.bend):
                for turned in (street, _turned_round(street)):
                    corners = (
                        *skeleton.corners[:number], turned, *skeleton.corners[number + 1 :]
                    )  # fmt: skip
                    frame = _framed(replace(skeleton, corners=corners), stubs, kit)
                    if frame is not None:
                        yield frame


def _skeletons(angles: Sequence[float], kit: Kit) -> Iterator[Skeleton]:
    legs = len(angles) + 1
    places: Sequence[int | None] = range(legs) if kit.unit else [None]
    for ways in product(kit.ends_a, kit.ends_b):
        if len(angles) > min(way.most_bends for way in ways):
            continue
        if angles and _both_telescope(ways):
            continue
        corners = _corner_row(angles, ways, kit)
        if corners is None:
            continue
        for leg in places:
            union = kit.union is not None and leg is not None
            skeleton = Skeleton(corners, ways, kit.unit, leg, union)
            if _may_stand(skeleton, legs):
                yield skeleton


def _both_telescope(ways: tuple[EndWay, EndWay]) -> bool:
    """Whether both ends slide and one telescopes: with bends one stroke is all there is use for.

    Two stop-less couplings are another matter: a rigid spool between rigid ends goes in by them.
    """
    return all(way.slides for way in ways) and any(way.name == TELESCOPING for way in ways)


def _framed(skeleton: Skeleton, stubs: tuple[StubEnd, StubEnd], kit: Kit) -> Frame | None:
    ways, leg = skeleton.ways, skeleton.valve_leg
    union = kit.union if skeleton.union else None
    made = rows(skeleton.corners, stubs, ways, kit.unit, leg, kit.gap, union)
    if made is None:
        return None
    uncut = tuple(row.low for row in made)
    low = list(uncut)
    low[0] -= max(ways[0].cut, 0.0)
    low[-1] -= max(ways[1].cut, 0.0)
    return Frame(skeleton, made, tuple(low), tuple(r.high for r in made), uncut)


def _corner_row(
    angles: Sequence[float], ways: tuple[EndWay, EndWay], kit: Kit
) -> tuple[Corner, ...] | None:
    """The corners of a skeleton, those beside a stub replaced where its end way asks for it."""
    chosen = [next(c for c in kit.corners if c.bend == a) for a in angles]
    for way, at in ((ways[0], 0), (ways[1], -1)):
        if way.corners is None:
            continue
        own = next((c for c in way.corners if chosen and c.bend == chosen[at].bend), None)
        if own is None or (len(chosen) == 1 and ways[0].corners and ways[1].corners):
            return None
        chosen[at] = own if at == 0 else _turned_round(own)
    return tuple(chosen)


def _turned_round(corner: Corner) -> Corner:
    return Corner(corner.bend, corner.after, corner.before, corner.parts)


def _may_stand(skeleton: Skeleton, legs: int) -> bool:
    """Whether a valve that meets a bare stub can be joined to it, and a body parked on a piece has
    one beside it.
    """
    first, last = skeleton.ways
    on_first = skeleton.valve_leg == 0 and first.coupler is None and not first.fits_unit
    on_last = skeleton.valve_leg == legs - 1 and last.coupler is None and not last.fits_unit
    if legs == 1 and (first.corners or last.corners):
        return False
    names = {first.name, last.name}
    if legs == 1 and skeleton.unit is None and "direct" in names and names & _ON_PIECE:
        return False
    return not (on_first or on_last)


def _too_little_pipe(skeleton: Skeleton) -> Short | None:
    """A stub with less straight pipe than its joint must hold, or than a body is parked on. [m]"""
    for way, where in zip(skeleton.ways, _SIDES, strict=True):
        if way.cut >= -SLACK:
            continue
        label = skeleton.label
        if way.name in (SLID_ON_STUB, GRIPS_ON_STUB):
            have = way.needs + way.cut
            return Short("PARK", where, have, way.needs, -way.cut, "m", "bare_to_park", label)
        return Short("CUTBACK", where, 0.0, -way.cut, -way.cut, "m", "bare_and_ask", label)
    return None


def _pushed_apart(skeleton: Skeleton, kit: Kit) -> Short | None:
    """A joint that holds no thrust in line with a bend that nothing backs. [N]"""
    push = max(way.push for way in skeleton.ways)
    if push <= 0.0:
        return None
    label = skeleton.label
    if skeleton.corners and not kit.blocked:
        return Short("THRUST", "first bend", 0.0, push, push, "N", "block_bends", label)
    for where in kit.unbacked:
        return Short("THRUST", where, 0.0, push, push, "N", "block_stub", label)
    return None
