"""Laying one skeleton on one chain: the shortest lengths, or the shortest that have room.

Stubs are cut back only when they must be: first neither, then the outlet, the inlet, both.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitwright.findings import Short
from pitwright.geometry.clearance import HalfSpace
from pitwright.geometry.vector import Vec, add, minus, norm, scale, sub
from pitwright.trains.chains import Chain
from pitwright.trains.kit import StubEnd
from pitwright.trains.lengths import SLACK, Lack, Legs, Tableau, shortest, tableau
from pitwright.trains.placements import placements
from pitwright.trains.room import APART, SHARES, Laid, Room, clearest
from pitwright.trains.rows import Row
from pitwright.trains.train import Misfit, Skeleton, Train

__all__ = ["Allowance", "Frame", "Setting", "laid_out"]

_CUT_COSTS = 2.0
"""A length cut off old pipe counts this many times its length in new pipe. Judgement. [-]"""


@dataclass(frozen=True, slots=True)
class Allowance:
    """What may be left over for pipe and sockets to take up. [m, rad]

    ``absurd`` bounds a train's length as a multiple of the way between the tips [-], beyond which
    an exact chain is a nearly parallel one in disguise; ``absurd_floor`` is the least bound. [m]
    """

    position: float
    angle: float
    absurd: float = 4.0
    absurd_floor: float = 1.0


@dataclass(frozen=True, slots=True)
class Frame:
    """One skeleton with its rows; bounds of its legs with everything cut back that may be. [m]

    ``uncut`` are the lower bounds with nothing cut back. [m]
    """

    skeleton: Skeleton
    rows: tuple[Row, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    uncut: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Setting:
    """One chain of directions between two stubs, ready for its skeletons.

    ``brief`` asks for no more than any reason why there is no room. [-]
    """

    stubs: tuple[StubEnd, StubEnd]
    allow: Allowance
    chain: Chain
    board: Tableau
    room: Room
    brief: bool = False


@dataclass(frozen=True, slots=True)
class _Lie:
    """Lengths of the legs, what comes off each stub [m], and the valve's share of slack. [-]"""

    lengths: tuple[float, ...]
    cuts: tuple[float, float]
    share: float = 0.0


def laid_out(setting: Setting, frame: Frame) -> Train | Short | Lack:
    """The best train of a skeleton on a chain, or what it lacks. [m]

    Source: docs/decisions/0003.
    """
    nearest: Short | Lack | None = None
    crowded = bool(setting.room.walls or setting.room.obstacles) or len(frame.rows) > APART
    last = len(frame.rows) - 1
    for cut_a, cut_b in ((False, False), (False, True), (True, False), (True, True)):
        if (cut_a and frame.rows[0].cut <= 0.0) or (cut_b and frame.rows[last].cut <= 0.0):
            continue
        ways = frame.skeleton.ways
        allowed = (ways[0].cut * cut_a, ways[1].cut * cut_b)
        got: _Lie | Short | Lack = _shortest_lie(setting, frame, allowed)
        if isinstance(got, _Lie):
            far = _absurd(setting, frame, got)
            if far is not None:
                got = far
            elif crowded:
                got = _roomy_lie(setting, frame, allowed, got)
        if isinstance(got, _Lie):
            return _finished(setting, frame, got)
        if nearest is None or got.missed < nearest.missed:
            nearest = got
    assert nearest is not None
    return nearest


def _bounds(frame: Frame, allowed: tuple[float, float]) -> tuple[list[float], list[float]]:
    low, high = list(frame.uncut), list(frame.high)
    low[0] -= allowed[0]
    low[-1] -= allowed[1]
    return low, high


def _way(setting: Setting, cut: float) -> Vec:
    """From tip to tip when ``cut`` [m] comes off the outlet stub.

    The stub's tip moves along the stub, not along a snapped last leg: the way makes up for it.
    """
    way = sub(setting.stubs[1].tip, setting.stubs[0].tip)
    if not setting.chain.snapped or cut <= 0.0:
        return way
    off = sub(minus(setting.stubs[1].outward), setting.chain.directions[-1])
    return add(way, scale(off, cut))


def _shortest_lie(setting: Setting, frame: Frame, allowed: tuple[float, float]) -> _Lie | Lack:
    """The shortest lengths whose end legs may be shorter by what is allowed off their stubs.

    Cutting a snapped outlet changes the way: it is corrected until it settles, in a round or two.
    """
    low, high = _bounds(frame, allowed)
    got = shortest(setting.board, low, high)
    last = len(frame.rows) - 1
    for _ in range(8):
        if isinstance(got, Lack) or not setting.chain.snapped or not last or allowed[1] <= 0.0:
            break
        cut = max(0.0, frame.uncut[last] - got.lengths[last])
        if cut <= SLACK:
            break
        again = shortest(tableau(setting.chain.directions, _way(setting, cut)), low, high)
        settled = (
            isinstance(again, Legs)
            and abs(max(0.0, frame.uncut[last] - again.lengths[last]) - cut) < SLACK
        )
        got = again
        if settled:
            break
    if isinstance(got, Lack):
        return got
    return _Lie(got.lengths, _cuts(frame.uncut, got.lengths, allowed))


def _cuts(
    uncut: Sequence[float], lengths: Sequence[float], allowed: tuple[float, float]
) -> tuple[float, float]:
    """What must come off each stub so that the end legs are as short as they are. [m]"""
    first, second = 0.0, 0.0
    short = max(0.0, uncut[-1] - lengths[-1])
    if short > 0.0:
        second = min(short, allowed[1])
    short = max(0.0, uncut[0] - lengths[0] - (second if len(uncut) == 1 else 0.0))
    if short > 0.0:
        first = min(short, allowed[0])
    return first, second


def _roomy_lie(
    setting: Setting, frame: Frame, allowed: tuple[float, float], start: _Lie
) -> _Lie | Short:
    """The shortest place with room. The shortest of all is tried first, then the whole set."""
    label, room = frame.skeleton.label, setting.room
    directions, tip = setting.chain.directions, setting.stubs[0].tip
    walls = room.bend_walls
    nearest: Short | None = None
    for lie_set in _lie_sets(setting, frame, allowed, start, walls):
        if isinstance(lie_set, HalfSpace):
            gap = max(_beyond(lie_set, directions, start.lengths, tip), SLACK)
            short = Short("WALL", lie_set.name, -gap, 0.0, gap, "m", "dig_wall", label)
        else:
            candidates = [Laid(lie.lengths, lie.share) for lie in lie_set]
            got = clearest(candidates, directions, frame.rows, tip, room, label, setting.brief)
            if isinstance(got, Laid):
                return next(
                    lie for lie in lie_set if (lie.lengths, lie.share) == (got.lengths, got.share)
                )
            short = got
        if nearest is None or short.missed < nearest.missed:
            nearest = short
    assert nearest is not None
    return nearest


def _lie_sets(
    setting: Setting,
    frame: Frame,
    allowed: tuple[float, float],
    start: _Lie,
    walls: Sequence[HalfSpace],
) -> Iterator[list[_Lie] | HalfSpace]:
    """Sets of places to try: on an exact chain one, on a snapped one a few cuts of the outlet."""
    low, high = _bounds(frame, allowed)
    last = frame.rows[-1]
    others = allowed[0] if len(frame.rows) == 1 else 0.0
    nowhere = True
    fixed: Sequence[float | None] = [None]
    if setting.chain.snapped and allowed[1] > 0.0:
        fixed = sorted({start.cuts[1], allowed[1] / 3, allowed[1] * 2 / 3, allowed[1]})
    for cut in fixed:
        board = setting.board
        if cut is not None:
            board = tableau(setting.chain.directions, _way(setting, cut))
            # what is cut is cut: a leg without a piece is exactly so much shorter
            low[-1] = frame.uncut[-1] - cut - others
            high[-1] = last.high - cut
        got = placements(board, setting.chain.directions, setting.stubs[0].tip, low, high, walls)
        if got is None:
            continue
        nowhere = False
        if isinstance(got, HalfSpace):
            yield got
            continue
        yield _lies(frame, got, allowed, cut)
    if nowhere:
        # only float noise can leave nothing where the shortest place was just found
        yield [start]


def _lies(
    frame: Frame,
    lengths: Sequence[tuple[float, ...]],
    allowed: tuple[float, float],
    cut: float | None,
) -> list[_Lie]:
    """Every place with every share of the valve leg's slack, cheapest first."""
    leg = frame.skeleton.valve_leg
    shares = SHARES if leg is not None and len(frame.rows[leg].gaps) > 1 else SHARES[:1]
    made = []
    for place in lengths:
        cuts = _cuts(frame.uncut, place, allowed)
        if cut is not None:
            cuts = (cuts[0], cut)
        made += [_Lie(place, cuts, share) for share in shares]
    return sorted(
        made, key=lambda m: (round(sum(m.lengths) + _CUT_COSTS * sum(m.cuts), 9), m.share)
    )


def _beyond(
    wall: HalfSpace, directions: Sequence[Vec], lengths: Sequence[float], tip: Vec
) -> float:
    """How far the shortest train's worst bend would stand in the wall. [m]"""
    at, worst = tip, 0.0
    for direction, length in zip(directions[:-1], lengths, strict=False):
        at = add(at, scale(direction, length))
        worst = max(worst, sum(n * x for n, x in zip(wall.normal, at, strict=True)) - wall.most)
    return worst


def _absurd(setting: Setting, frame: Frame, lie: _Lie) -> Short | None:
    """Whether even the shortest lengths are out of all proportion to the way. [m]"""
    reach = norm(sub(setting.stubs[1].tip, setting.stubs[0].tip))
    most = max(setting.allow.absurd * reach, setting.allow.absurd_floor)
    total = sum(lie.lengths)
    if total <= most:
        return None
    label = frame.skeleton.label
    return Short("ABSURD", "train", total, most, total - most, "m", "other_bends", label)


def _finished(setting: Setting, frame: Frame, lie: _Lie) -> Train:
    directions = setting.chain.directions
    tips = [
        add(stub.tip, scale(stub.outward, -cut))
        for stub, cut in zip(setting.stubs, lie.cuts, strict=True)
    ]
    misfit = Misfit(
        norm(_left_over(tips, directions, lie.lengths, lie.cuts)), setting.chain.residual
    )
    return Train(
        frame.skeleton,
        directions,
        lie.lengths,
        frame.rows,
        _pieces(frame, lie),
        lie.cuts,
        misfit,
        setting.chain.snapped,
        lie.share,
        tuple(row.drawn(built) for row, built in zip(frame.rows, _built(lie), strict=True)),
    )


def _built(lie: _Lie) -> list[float]:
    """How long each leg is built: what comes off a stub is built again. [m]"""
    built = list(lie.lengths)
    built[0] += lie.cuts[0]
    built[-1] += lie.cuts[1]
    return built


def _left_over(
    tips: Sequence[Vec],
    directions: Sequence[Vec],
    lengths: Sequence[float],
    cut_back: tuple[float, float],
) -> Vec:
    """From where the train ends to the outlet's tip, both after cutting back. [m]"""
    at = tips[0]
    for w, a in zip(directions, lengths, strict=True):
        at = add(at, scale(w, a))
    # end legs are counted from the uncut tips: what came off a stub is built again
    at = add(at, scale(directions[0], cut_back[0]))
    at = add(at, scale(directions[-1], cut_back[1]))
    return sub(tips[1], at)


def _pieces(frame: Frame, lie: _Lie) -> tuple[tuple[float, ...], ...]:
    """The pieces of each leg: slack goes to its last piece, or is shared about the valve."""
    made: list[tuple[float, ...]] = []
    for number, (row, built) in enumerate(zip(frame.rows, _built(lie), strict=True)):
        sizes = [g.least for g in row.gaps]
        if sizes:
            slack = row.spare(built)
            share = lie.share if number == frame.skeleton.valve_leg and len(sizes) > 1 else 0.0
            sizes[0] += slack * share
            sizes[-1] += slack * (1.0 - share)
        made.append(tuple(sizes))
    return tuple(made)
