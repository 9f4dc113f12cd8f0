"""Every train that closes between two stubs: the skeleton enumerated, the lengths solved.

Nothing is pruned silently: each skeleton that fails leaves its nearest miss as a
:class:`~pitwright.findings.Short`. What a train may need of the stubs beyond this geometry
(bending, joining) is judged elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

from pitwright.findings import Refusal, Short, nearest_first
from pitwright.geometry.vector import angle_between, minus, norm, sub
from pitwright.trains.chains import AZIMUTHS, Chain, NoChain, chains, neighbours
from pitwright.trains.frames import plain_frames, street_frames
from pitwright.trains.kit import GRIPPED, Kit, StubEnd
from pitwright.trains.laying import Allowance, Frame, Setting, laid_out
from pitwright.trains.lengths import Lack, first_fit, nearest_lack, shortest, tableau
from pitwright.trains.room import Room
from pitwright.trains.train import Skeleton, Train

__all__ = ["Allowance", "Found", "on_bends", "order", "search", "searched"]

FEW = 2
"""Up to so many bends every chain is known; beyond it a grid stands for a family. [-]"""
NEAREST_KEPT = 6
"""So many of a family's nearest misses are refined before it is refused. [-]"""
_HALVINGS = 4
"""How often a refinement halves its step, which starts at half the grid's. [-]"""

MOST_LAID = 400
"""So many skeletons of one sequence of bends are laid before its family is left unfinished. [-]"""
_UNKNOWN = 1e6
"""What an unfinished family may miss by: it sorts behind everything that is known. [-]"""


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


def order(train: Train) -> tuple[int, int, int, int, float, tuple[bool, ...], str]:
    """The search's own order: sliding bodies, bends, parts, gripping bodies, length to a
    micrometre [m], bare stubs first, label.

    Source: the fixed key of docs/decisions/0003.
    """
    coupled = tuple(way.coupler is not None for way in train.skeleton.ways)
    grips = sum(way.name == GRIPPED for way in train.skeleton.ways)
    length = round(train.length, 6)
    slides = train.skeleton.slides
    return (slides, train.bends, train.parts, grips, length, coupled, train.skeleton.label)


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
    got = chains(angles, u, v, way, allow.angle)
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
            for answer in _on_chain(chain, frames, stubs, allow, space, label):
                fits = fits or isinstance(answer, Train)
                yield answer
        if not fits and kit.streets and angles:
            street = list(street_frames(angles, stubs, kit))
            for chain in got:
                yield from _on_chain(chain, street, stubs, allow, space, label)
        return
    if not frames:
        yield from sorted(shorts, key=lambda s: (s.missed, s.where, s.tried))[:1]
    else:
        yield from _best_of_family(got, frames, stubs, allow, space, label)


@dataclass(frozen=True, slots=True)
class _Gate:
    """The least demanding bounds of all skeletons together: where these fail, all do. [m]

    ``least`` is the shortest train found so far, by the number of its skeleton; it grows.
    """

    low: tuple[float, ...]
    high: tuple[float, ...]
    capped: bool
    least: dict[int, float]


def _gate(frames: Sequence[Frame]) -> _Gate | None:
    if not frames:
        return None
    low = tuple(min(bounds) for bounds in zip(*(f.low for f in frames), strict=True))
    high = tuple(max(bounds) for bounds in zip(*(f.high for f in frames), strict=True))
    return _Gate(low, high, min(high) < math.inf, {})


def _best_of_family(
    got: Sequence[Chain],
    frames: Sequence[Frame],
    stubs: tuple[StubEnd, StubEnd],
    allow: Allowance,
    room: Room,
    label: str,
) -> Iterator[Train | Short]:
    """The best train of each skeleton; where there is none, the nearest misses refined first."""
    gate = _gate(frames)
    best: dict[str, Train] = {}
    misses: list[tuple[float, int, Chain, Short]] = []
    laid = 0

    def walked(chain: Chain) -> float:
        """How far this chain is from any train: 0 when it carries one. [m]"""
        nonlocal laid
        nearest = math.inf
        if laid >= MOST_LAID:
            return nearest
        for answer in _on_chain(chain, frames, stubs, allow, room, label, gate):
            laid += 1
            if isinstance(answer, Train):
                key = answer.skeleton.label
                if key not in best or order(answer) < order(best[key]):
                    best[key] = answer
                nearest = 0.0
            elif answer.missed < nearest:
                nearest = answer.missed
                misses.append((nearest, len(misses), chain, answer))
        return nearest

    for chain in got:
        walked(chain)
    if not best:
        bends = [angle_between(*pair) for pair in pairwise(got[0].directions)]
        for missed, _, chain, _ in sorted(misses, key=lambda m: m[:2])[:NEAREST_KEPT]:
            if _refined(chain, bends, missed, walked) == 0.0:
                break
    if laid >= MOST_LAID:
        # last of all misses: how much is missing here nobody knows
        yield Short("CUT_SHORT", "search", laid, laid, _UNKNOWN, "1", "search_longer", label)
    if best:
        yield from best.values()
    elif misses:
        yield min(misses, key=lambda m: m[:2])[3]


def _refined(
    chain: Chain, bends: Sequence[float], missed: float, walked: Callable[[Chain], float]
) -> float:
    """Turn the first and last bend of a chain by ever smaller steps towards a smaller miss. [m]"""
    step = math.pi / AZIMUTHS
    for _ in range(_HALVINGS):
        trials = list(neighbours(chain, bends, step))
        for trial in trials:
            now = walked(trial)
            if now < missed:
                chain, missed = trial, now
        if missed == 0.0:
            break
        step /= 2
    return missed


def _on_chain(
    chain: Chain,
    frames: Sequence[Frame],
    stubs: tuple[StubEnd, StubEnd],
    allow: Allowance,
    room: Room,
    label: str,
    gate: _Gate | None = None,
) -> Iterator[Train | Short]:
    """Every skeleton on one chain of directions; with a gate only the nearest lack of all."""
    if not frames:
        return
    way = sub(stubs[1].tip, stubs[0].tip)
    if gate is not None:
        lack = nearest_lack(chain.directions, way, gate.low)
        if lack is not None:
            yield _too_short(lack, None, label, len(chain.directions) - 1)
            return
    board = tableau(chain.directions, way)
    miss = norm(board.miss)
    if miss > allow.position:
        lift, code = ("more_bends", "SKEW") if label != "straight" else ("offset", "OFFSET")
        over = miss - allow.position
        yield Short(code, "train", miss, allow.position, over, "m", lift, label)
        return
    if gate is not None and gate.capped:
        capped = shortest(board, gate.low, gate.high)
        if isinstance(capped, Lack):
            yield _too_short(capped, None, label, board.legs - 1)
            return
    least = None if gate is None else gate.least
    yield from _on_frames(Setting(stubs, allow, chain, board, room), frames, least)


def _on_frames(
    setting: Setting, frames: Sequence[Frame], least: dict[int, float] | None
) -> Iterator[Train | Short]:
    """Every skeleton laid on a chain. ``least`` is the shortest found of each skeleton so far [m]:
    what cannot be shorter is not laid, and of those that fail early only one is told.
    """
    brief = least is not None
    board, last = setting.board, setting.board.legs - 1
    early: Short | None = None
    told = False
    for number, frame in enumerate(frames):
        short = _tilted(frame.skeleton, setting.chain)
        if short is None:
            fit = first_fit(board, frame.low, frame.high)
            if fit is not None and least is not None and sum(fit) > least.get(number, math.inf):
                continue
            if setting.chain.snapped or fit is not None:
                answer = laid_out(setting, frame)
                if least is not None and isinstance(answer, Train):
                    least[number] = min(answer.length, least.get(number, math.inf))
                told = True
                if isinstance(answer, Lack):
                    answer = _too_short(answer, frame, frame.skeleton.label, last)
                yield answer
                continue
            if brief and early is not None:
                continue
            lack = shortest(board, frame.low, frame.high)
            assert isinstance(lack, Lack)  # nothing fitted a line above
            short = _too_short(lack, frame, frame.skeleton.label, last)
        if not brief:
            yield short
        early = early or short
    if brief and not told and early is not None:
        yield early


def _too_short(lack: Lack, frame: Frame | None, label: str, last: int) -> Short:
    if frame is not None and frame.rows[lack.leg].give > 0.0:
        return _out_of_window(lack, label)
    where, lift = f"leg {lack.leg + 1}", _remedy(lack, last)
    return Short("LEG", where, lack.have, lack.bound, lack.missed, "m", lift, label)


def _out_of_window(lack: Lack, label: str) -> Short:
    """A gap too long or too short for what a sliding coupling spans. [m]"""
    lift = "cut_back_more" if lack.have < lack.bound else "add_pipe"
    where = f"leg {lack.leg + 1}"
    return Short("WINDOW", where, lack.have, lack.bound, lack.missed, "m", lift, label)


def _remedy(lack: Lack, last: int) -> str:
    if lack.have > lack.bound:
        return "coupling_and_piece"
    if lack.leg == 0:
        return "cut_back_inlet"
    return "cut_back_outlet" if lack.leg == last else "other_bends"


def _tilted(skeleton: Skeleton, chain: Chain) -> Short | None:
    if skeleton.unit is None or skeleton.valve_leg is None:
        return None
    lean = abs(math.asin(max(-1.0, min(1.0, chain.directions[skeleton.valve_leg][2]))))
    most = skeleton.unit.tilt
    if lean <= most + 1e-9:
        return None
    label = skeleton.label
    return Short("TILT", "valve", lean, most, lean - most, "rad", "valve_on_level_leg", label)
