"""Every train that closes between two stubs: the skeleton enumerated, the lengths solved.

Nothing is pruned silently: each skeleton that fails leaves its nearest miss as a
:class:`~pitwright.findings.Short`. What a train may need of the stubs beyond this geometry
(bending, joining, room) is judged elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from pitwright.findings import Refusal, Short, nearest_first
from pitwright.geometry.vector import Vec, add, minus, norm, scale, sub
from pitwright.trains.chains import Chain, NoChain, chains
from pitwright.trains.kit import Corner, EndWay, Kit, StubEnd
from pitwright.trains.lengths import SLACK, Lack, Legs, Tableau, shortest, tableau
from pitwright.trains.rows import Row, rows
from pitwright.trains.train import Misfit, Skeleton, Train

__all__ = ["Allowance", "on_bends", "order", "search"]


@dataclass(frozen=True, slots=True)
class Allowance:
    """What may be left over for pipe and sockets to take up. [m, rad]

    ``absurd`` bounds a train's length as a multiple of the way between the tips, beyond which
    an exact chain is a nearly parallel one in disguise.
    """

    position: float
    angle: float
    absurd: float = 4.0
    absurd_floor: float = 1.0


@dataclass(frozen=True, slots=True)
class _Setting:
    """One chain of corners between two stubs, ready for its problems."""

    corners: tuple[Corner, ...]
    stubs: tuple[StubEnd, StubEnd]
    allow: Allowance
    chain: Chain
    board: Tableau


def search(
    stubs: tuple[StubEnd, StubEnd], kit: Kit, allow: Allowance
) -> tuple[Train, ...] | Refusal:
    """Every train, fewest bends first, then fewest parts, then shortest; or why there is none.

    Parameters
    ----------
    stubs : pair of StubEnd
        Inlet and outlet, lengths in metres.
    kit : Kit
        What may be built with. [m, rad]
    allow : Allowance
        How much misfit may remain. [m, rad]

    Source: docs/decisions/0003.
    """
    found: list[Train] = []
    shorts: list[Short] = []
    looked_at = 0
    for bends in range(kit.most_bends + 1):
        for angles in product(sorted({c.bend for c in kit.corners}), repeat=bends):
            for answer in on_bends(angles, stubs, kit, allow):
                looked_at += 1
                if isinstance(answer, Train):
                    found.append(answer)
                else:
                    shorts.append(answer)
    if not found:
        return Refusal(nearest_first(shorts), looked_at)
    return tuple(sorted(found, key=order))


def order(train: Train) -> tuple[int, int, float, tuple[bool, ...], str]:
    """The search's own order: bends, parts, length to a micrometre, bare stubs first, label. [m]

    Source: the fixed key of docs/decisions/0003.
    """
    coupled = tuple(way.coupler is not None for way in train.skeleton.ways)
    return (train.bends, train.parts, round(train.length, 6), coupled, train.skeleton.label)


def on_bends(
    angles: Sequence[float], stubs: tuple[StubEnd, StubEnd], kit: Kit, allow: Allowance
) -> Iterator[Train | Short]:
    """Every train, or why not, for one given sequence of bends. [rad, m]

    Source: docs/decisions/0003.
    """
    u, v = stubs[0].outward, minus(stubs[1].outward)
    way = sub(stubs[1].tip, stubs[0].tip)
    got = chains(angles, u, v, way, allow.angle)
    label = "-".join(f"{math.degrees(a):g}" for a in angles) or "straight"
    if isinstance(got, NoChain):
        lift = "other_bends" if got.code == "ANGLE" else "jog"
        yield Short(got.code, "train", got.have, got.need, got.missed, "rad", lift, label)
        return
    for chain in got:
        board = tableau(chain.directions, way)
        miss = norm(board.miss)
        if miss > allow.position:
            lift = "more_bends" if angles else "offset"
            code = "SKEW" if angles else "OFFSET"
            short = (code, "train", miss, allow.position, miss - allow.position)
            yield Short(*short, "m", lift, label)
            continue
        yield from _built_on(angles, stubs, kit, allow, chain, board)


def _corner_rows(
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


def _built_on(
    angles: Sequence[float],
    stubs: tuple[StubEnd, StubEnd],
    kit: Kit,
    allow: Allowance,
    chain: Chain,
    board: Tableau,
) -> Iterator[Train | Short]:
    """Every end mode and valve leg on one chain of directions."""
    legs = len(angles) + 1
    places: Sequence[int | None] = range(legs) if kit.unit else [None]
    for ways in product(kit.ends_a, kit.ends_b):
        corners = _corner_rows(angles, ways, kit)
        if corners is None:
            continue
        for valve_leg in places:
            skeleton = Skeleton(corners, ways, kit.unit, valve_leg)
            setting = _Setting(corners, stubs, allow, chain, board)
            if not _may_stand(skeleton, legs):
                continue
            short = _too_little_pipe(skeleton) or _tilted(skeleton, chain)
            if short is not None:
                yield short
                continue
            made = rows(corners, stubs, ways, kit.unit, valve_leg, kit.gap)
            if made is not None:
                yield _solved(skeleton, setting, made)


def _may_stand(skeleton: Skeleton, legs: int) -> bool:
    """Whether the valve, where it meets a bare stub, can be joined to it."""
    first, last = skeleton.ways
    on_first = skeleton.valve_leg == 0 and first.coupler is None and not first.fits_unit
    on_last = skeleton.valve_leg == legs - 1 and last.coupler is None and not last.fits_unit
    if legs == 1 and (first.corners or last.corners):
        return False
    return not (on_first or on_last)


def _too_little_pipe(skeleton: Skeleton) -> Short | None:
    for way, where in zip(skeleton.ways, ("inlet stub", "outlet stub"), strict=True):
        if way.cut < -SLACK:
            label = skeleton.label
            return Short("CUTBACK", where, 0.0, -way.cut, -way.cut, "m", "bare_more", label)
    return None


def _tilted(skeleton: Skeleton, chain: Chain) -> Short | None:
    if skeleton.unit is None or skeleton.valve_leg is None:
        return None
    lean = abs(math.asin(max(-1.0, min(1.0, chain.directions[skeleton.valve_leg][2]))))
    most = skeleton.unit.tilt
    if lean <= most + 1e-9:
        return None
    label = skeleton.label
    return Short("TILT", "valve", lean, most, lean - most, "rad", "valve_on_level_leg", label)


def _solved(skeleton: Skeleton, setting: _Setting, made: tuple[Row, ...]) -> Train | Short:
    """The shortest lengths: first without cutting a stub back, then the outlet, the inlet, both."""
    nearest: Lack | None = None
    last = len(made) - 1
    for cut_a, cut_b in ((False, False), (False, True), (True, False), (True, True)):
        if (cut_a and made[0].cut <= 0.0) or (cut_b and made[last].cut <= 0.0):
            continue
        allowed = (skeleton.ways[0].cut * cut_a, skeleton.ways[1].cut * cut_b)
        got = _lengths(setting, made, allowed)
        if isinstance(got, Lack):
            nearest = got
            continue
        return _finished(skeleton, setting, made, got, allowed)
    assert nearest is not None
    where = f"leg {nearest.leg + 1}"
    return Short(
        "LEG", where, nearest.have, nearest.bound, nearest.missed, "m",
        _remedy(nearest, last), skeleton.label,
    )  # fmt: skip


def _remedy(lack: Lack, last: int) -> str:
    if lack.have > lack.bound:
        return "coupling_and_piece"
    if lack.leg == 0:
        return "cut_back_inlet"
    return "cut_back_outlet" if lack.leg == last else "other_bends"


def _lengths(
    setting: _Setting, made: tuple[Row, ...], allowed: tuple[float, float]
) -> tuple[float, ...] | Lack:
    """Leg lengths whose end legs may be shorter by what is ``allowed`` off their stubs.

    Cutting the outlet stub moves its tip along the stub, not along a snapped last leg: the way is
    corrected for the difference until it settles. One or two rounds do.
    """
    last = len(made) - 1
    low = [row.low for row in made]
    high = [row.high for row in made]
    low[0] -= allowed[0]
    low[last] -= allowed[1]
    board = setting.board
    off = sub(minus(setting.stubs[1].outward), setting.chain.directions[-1])
    got = shortest(board, low, high)
    for _ in range(8):
        if isinstance(got, Lack) or not setting.chain.snapped or allowed[1] <= 0.0:
            break
        cut = max(0.0, made[last].low - got.lengths[last]) if last else 0.0
        if cut <= SLACK:
            break
        way = add(sub(setting.stubs[1].tip, setting.stubs[0].tip), scale(off, cut))
        again = shortest(tableau(setting.chain.directions, way), low, high)
        settled = (
            isinstance(again, Legs)
            and abs(max(0.0, made[last].low - again.lengths[last]) - cut) < 1e-9
        )
        got = again
        if settled:
            break
    return got if isinstance(got, Lack) else got.lengths


def _finished(
    skeleton: Skeleton,
    setting: _Setting,
    made: tuple[Row, ...],
    lengths: tuple[float, ...],
    allowed: tuple[float, float],
) -> Train | Short:
    reach = norm(sub(setting.stubs[1].tip, setting.stubs[0].tip))
    allow = setting.allow
    most = max(allow.absurd * reach, allow.absurd_floor)
    if sum(lengths) > most:
        total, label = sum(lengths), skeleton.label
        return Short("ABSURD", "train", total, most, total - most, "m", "other_bends", label)
    cut_back, pieces = _shared_out(made, lengths, allowed)
    directions = setting.chain.directions
    tips = [
        add(stub.tip, scale(stub.outward, -cut))
        for stub, cut in zip(setting.stubs, cut_back, strict=True)
    ]
    misfit = Misfit(norm(_left_over(tips, directions, lengths, cut_back)), setting.chain.residual)
    return Train(
        skeleton, directions, lengths, made, pieces, cut_back, misfit, setting.chain.snapped
    )


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


def _shared_out(
    made: tuple[Row, ...], lengths: tuple[float, ...], allowed: tuple[float, float]
) -> tuple[tuple[float, float], tuple[tuple[float, ...], ...]]:
    """What comes off each stub, and the pieces of each leg: slack goes to a leg's last piece."""
    last = len(made) - 1
    cuts = [0.0, 0.0]
    pieces: list[tuple[float, ...]] = []
    for number, (row, length) in enumerate(zip(made, lengths, strict=True)):
        short = max(0.0, row.low - length)
        if short > 0.0 and number == last:
            cuts[1] = min(short, allowed[1])
            short -= cuts[1]
        if short > 0.0 and number == 0:
            cuts[0] = min(short, allowed[0])
        total = length + (cuts[0] if number == 0 else 0.0) + (cuts[1] if number == last else 0.0)
        slack = total - row.low
        sizes = [g.least for g in row.gaps]
        if sizes:
            sizes[-1] += slack
        pieces.append(tuple(sizes))
    return (cuts[0], cuts[1]), tuple(pieces)
