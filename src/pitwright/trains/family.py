"""The best train of each skeleton in a family: three bends or four, whose outer bends are free.

A grid of chains stands for the family. First every chain is scouted: a gate that all skeletons
share, then the shortest lengths of each skeleton, which no wall or obstacle can make shorter. Then
the skeletons are laid with the shortest first, and what cannot be shorter than a train already
laid is not laid at all. Where nothing is found the nearest misses are refined before the family
is refused.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from pitwright.findings import Short
from pitwright.geometry.vector import Vec, angle_between, minus, norm, sub, turned, unit, without
from pitwright.trains.chains import AZIMUTHS, Chain, neighbours, three
from pitwright.trains.kit import StubEnd
from pitwright.trains.laying import Allowance, Frame, Setting
from pitwright.trains.lengths import Lack, first_fit, nearest_lack, shortest, tableau
from pitwright.trains.room import Room
from pitwright.trains.train import Train, order
from pitwright.trains.trying import laid, tilted, too_short, too_steep, unreached

__all__ = ["MOST_LAID", "Family"]

NEAREST_KEPT = 6
"""So many of a family's nearest misses are refined before it is refused. [-]"""
_AGAIN = 2
"""Beside so many of its shortest chains a skeleton that found no room is looked for. [-]"""
_BESIDE = tuple(k / 4 for k in (1, -1, 2, -2, 3, -3, 4, -4))
"""Where beside a chain, in halves of the grid's step, the nearest first. [-]"""
_OF_THREE = 4
"""Legs of a train of three bends. [-]"""
_HALVINGS = 4
"""How often a refinement halves its step, which starts at half the grid's. [-]"""
MOST_LAID = 400
"""So many skeletons of one sequence of bends are laid before its family is left unfinished. [-]"""
_UNKNOWN = 1e6
"""What an unfinished family may miss by: it sorts behind everything that is known. [-]"""
_SAME_LENGTH = 2e-6
"""Trains whose lengths differ by less count as equally long. [m]"""

_FLAT = 1e-9
"""A leg that leans less goes straight on. [-]"""
_PARALLEL = math.radians(0.2)
"""Two open sockets this near to parallel take a U in one push. Judgement. [rad]"""


@dataclass(frozen=True, slots=True)
class _Gate:
    """The least demanding bounds of all skeletons together: where these fail, all do. [m]"""

    low: tuple[float, ...]
    high: tuple[float, ...]
    capped: bool


@dataclass(slots=True)
class Family:
    """One sequence of bends between two stubs, and what its chains have come to so far. [m, rad]

    ``label`` names the bends. Not shared and not kept: one walk makes it and drops it.
    """

    frames: Sequence[Frame]
    stubs: tuple[StubEnd, StubEnd]
    allow: Allowance
    room: Room
    label: str
    _best: dict[tuple[int, bool], tuple[float, int, Train]] = field(default_factory=dict)
    _lengths: dict[int, list[tuple[float, int, Chain]]] = field(default_factory=dict)
    _misses: dict[int, tuple[float, Short, Chain]] = field(default_factory=dict)
    _laid: int = 0
    _seen: int = 0
    _unfinished: bool = False

    def walked(self, grid: Sequence[Chain]) -> Iterator[Train | Short]:
        """The best train of each skeleton, or the nearest miss of all. [m]

        Source: docs/decisions/0003.
        """
        bends = [angle_between(*pair) for pair in pairwise(grid[0].directions)]
        of_three = len(bends) == 3
        self._walk(grid)
        if not (self._lengths if of_three else self._best):
            near = sorted((missed, n) for n, (missed, _, _) in self._misses.items())
            for missed, n in near[:NEAREST_KEPT]:
                if self._refined(self._misses[n][2], bends, missed) == 0.0:
                    break
        if of_three:
            self._sought_again(bends)
            self._shortened(bends)
        if self._unfinished:
            # last of all misses: how much is missing here nobody knows
            laid_out = self._laid
            label = self.label
            yield Short(
                "CUT_SHORT", "search", laid_out, laid_out, _UNKNOWN, "1", "search_longer", label
            )
        if self._best:
            yield from self._of_each_name()
        elif self._misses:
            yield min((missed, n, short) for n, (missed, short, _) in self._misses.items())[2]

    def _sought_again(self, bends: Sequence[float]) -> None:
        """Look between the grid's chains for skeletons that have lengths but found no room. [rad]

        Where is looked depends on lengths alone, never on what is in the way: so nothing that is
        found goes missing when an obstacle does.
        """
        for number, near in sorted(self._lengths.items()):
            for _, _, chain in sorted(near, key=lambda n: n[:2])[:_AGAIN]:
                if any(known == number for known, _ in self._best):
                    break
                for between in _between_grid(chain, bends):
                    self._walk([between], number)

    def _shortened(self, bends: Sequence[float]) -> None:
        """Look beside the family's shortest train for a shorter one of its own skeleton. [rad]"""
        if not self._best:
            return
        (number, _), (_, _, train) = min(
            self._best.items(), key=lambda b: (round(b[1][0], 6), b[0])
        )
        for between in _between_grid(Chain(train.directions, 0.0, False), bends):
            self._walk([between], number)

    def _of_each_name(self) -> Iterator[Train]:
        """The best train of each skeleton's name, whose parts may differ, and the best that drops
        on two parallel sockets. [-]
        """
        best: dict[tuple[str, bool], Train] = {}
        for (_, dropped), (_, _, train) in self._best.items():
            key = train.skeleton.label, dropped
            if key not in best or order(train) < order(best[key]):
                best[key] = train
        yield from best.values()

    def _walk(self, grid: Sequence[Chain], only: int | None = None) -> float:
        """Scout all of these chains, then lay them, shortest first: the nearest miss. [m]

        ``only`` one skeleton, by its number, when it is looked for again.
        """
        gate = _gate(self.frames)
        way = sub(self.stubs[1].tip, self.stubs[0].tip)
        first = self._seen
        ready: list[tuple[float, int, int, Setting]] = []
        for chain in grid:
            self._seen += 1
            setting = self._scouted(chain, gate, way)
            if setting is not None:
                fits = self._fits(setting, self._seen)
                ready += fits if only is None else (f for f in fits if f[2] == only)
        if only is None:
            for length, seen, number, setting in ready:
                self._lengths.setdefault(number, []).append((length, seen, setting.chain))
        ready.sort(key=lambda r: r[:3])
        for length, seen, number, setting in ready:
            if self._laid >= MOST_LAID:
                self._unfinished = True
                break
            self._lay(length, seen, number, setting)
        if self._best or (self._lengths and len(self.frames[0].rows) == _OF_THREE):
            return 0.0
        new = [self._misses[n][0] for n in range(first + 1, self._seen + 1) if n in self._misses]
        return min(new, default=math.inf)

    def _missed(self, seen: int, chain: Chain, short: Short) -> None:
        if seen not in self._misses or short.missed < self._misses[seen][0]:
            self._misses[seen] = (short.missed, short, chain)

    def _scouted(self, chain: Chain, gate: _Gate, way: Vec) -> Setting | None:
        """The chain's tableau, or None where it carries no skeleton whatever."""
        last = len(chain.directions) - 1
        lack: Lack | None = nearest_lack(chain.directions, way, gate.low)
        if lack is not None:
            self._missed(self._seen, chain, too_short(lack, None, self.label, last))
            return None
        board = tableau(chain.directions, way)
        setting = Setting(self.stubs, self.allow, chain, board, self.room)
        short = unreached(setting, self.label)
        if short is None and gate.capped:
            capped = shortest(board, gate.low, gate.high)
            if isinstance(capped, Lack):
                short = too_short(capped, None, self.label, last)
        if short is not None:
            self._missed(self._seen, chain, short)
            return None
        return setting

    def _fits(self, setting: Setting, seen: int) -> Iterator[tuple[float, int, int, Setting]]:
        """Each skeleton's shortest length on a chain; where there is none, one miss is told."""
        board = setting.board
        leans = [abs(math.asin(max(-1.0, min(1.0, w[2])))) for w in setting.chain.directions]
        early: Short | None = None
        fits = False
        for number, frame in enumerate(self.frames):
            if not too_steep(frame.skeleton, leans):
                fit = first_fit(board, frame.low, frame.high)
                if fit is not None:
                    fits = True
                    yield sum(fit), seen, number, setting
                    continue
            if early is None and not fits:
                early = _early(setting, frame)
        if early is not None and not fits:
            self._missed(seen, setting.chain, early)

    def _lay(self, length: float, seen: int, number: int, setting: Setting) -> None:
        """Lay one skeleton, unless a train of it is there that this one cannot be shorter than."""
        key = number, _drops_in(setting.chain)
        known = self._best.get(key)
        if known is not None and length > known[0] + _SAME_LENGTH:
            return
        self._laid += 1
        answer = laid(replace(setting, brief=True) if self._best else setting, self.frames[number])
        if isinstance(answer, Short):
            self._missed(seen, setting.chain, answer)
            return
        mine = (round(answer.length, 6), seen)
        if known is None or mine < (round(known[0], 6), known[1]):
            self._best[key] = (answer.length, seen, answer)

    def _refined(self, chain: Chain, bends: Sequence[float], missed: float) -> float:
        """Turn a chain's first and last bend by ever smaller steps towards a smaller miss. [m]"""
        step = math.pi / AZIMUTHS
        for _ in range(_HALVINGS):
            for trial in neighbours(chain, bends, step):
                now = self._walk([trial])
                if now < missed:
                    chain, missed = trial, now
            if missed == 0.0 or self._unfinished:
                break
            step /= 2
        return missed


def _between_grid(chain: Chain, bends: Sequence[float]) -> Iterator[Chain]:
    """Chains of three bends beside one of the grid, up to half its step to either side. [rad]"""
    u, v = chain.directions[0], chain.directions[-1]
    side_u, side_v = without(chain.directions[1], u), without(chain.directions[-2], v)
    if norm(side_u) < _FLAT or norm(side_v) < _FLAT:
        return
    for share in _BESIDE:
        by = share * math.pi / AZIMUTHS
        yield from three(bends, u, v, [turned(side_u, u, by)], [unit(turned(side_v, v, by))])


def _drops_in(chain: Chain) -> bool:
    """Whether the first and the last of four bends open the same way, as parallel as sockets ask.

    Then what lies between them, a U, drops on both at once and asks no opening at all.
    """
    if len(chain.directions) < 5:
        return False
    return angle_between(chain.directions[1], minus(chain.directions[-2])) < _PARALLEL


def _early(setting: Setting, frame: Frame) -> Short:
    """Why a skeleton has no lengths on a chain at all."""
    short = tilted(frame.skeleton, setting.chain)
    if short is not None:
        return short
    lack = shortest(setting.board, frame.low, frame.high)
    assert isinstance(lack, Lack)  # asked only where nothing fits
    return too_short(lack, frame, frame.skeleton.label, setting.board.legs - 1)


def _gate(frames: Sequence[Frame]) -> _Gate:
    low = tuple(min(bounds) for bounds in zip(*(f.low for f in frames), strict=True))
    high = tuple(max(bounds) for bounds in zip(*(f.high for f in frames), strict=True))
    return _Gate(low, high, min(high) < math.inf)
