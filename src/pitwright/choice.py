"""One option for each zone, no two in each other's way, at the least total cost.

Depth first with a bound: what is chosen plus the cheapest that is still allowed in every open
zone, and what the chosen cost together. The zone with the fewest allowed options is settled next,
its options cheapest first. What conflicts with what is asked only when it matters, and once.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import inf

__all__ = ["NODES", "Choice", "NoChoice", "choose"]

Conflict = Callable[[int, int, int, int], bool]
"""conflict(zone, option, other zone, other option)."""
AsOne = Callable[[Mapping[int, int]], float]
"""What the options picked so far, by zone, cost together beside their own costs: never more than
with one more picked, infinite where they cannot be had together. [-]"""
NODES = 2_000_000
"""A choice is given up, or called the best found, after so many nodes. [-]"""


@dataclass(frozen=True, slots=True)
class Choice:
    """An option of each zone and their total cost [-]; ``proved`` that none costs less."""

    picks: tuple[int, ...]
    cost: float
    proved: bool
    nodes: int


@dataclass(frozen=True, slots=True)
class NoChoice:
    """No combination found; ``proved`` that there is none."""

    proved: bool
    nodes: int


@dataclass(slots=True)
class _Search:
    costs: Sequence[Sequence[float]]
    order: list[list[int]]
    conflict: Conflict
    together: AsOne
    most: int
    against: dict[tuple[int, int, int], int] = field(default_factory=dict)
    best: tuple[float, tuple[int, ...]] | None = None
    nodes: int = 0

    def cut_short(self) -> bool:
        return self.nodes >= self.most

    def cleared(self, zone: int, place: int, other: int) -> int:
        """Options of ``other`` that go with this pick, as bits in order of cost."""
        key = (zone, place, other)
        mask = self.against.get(key)
        if mask is None:
            option, mask = self.order[zone][place], 0
            for bit, theirs in enumerate(self.order[other]):
                if not self.conflict(zone, option, other, theirs):
                    mask |= 1 << bit
            self.against[key] = mask
        return mask

    def cheapest(self, zone: int, mask: int) -> float:
        return self.costs[zone][self.order[zone][(mask & -mask).bit_length() - 1]]

    def as_one(self, picked: dict[int, int]) -> float:
        """What the picks so far cost together."""
        return self.together({z: self.order[z][place] for z, place in picked.items()})

    def walk(
        self, allowed: dict[int, int], picked: dict[int, int], cost: float, joint: float
    ) -> None:
        self.nodes += 1
        if not allowed:
            picks = tuple(self.order[z][picked[z]] for z in sorted(picked))
            if self.best is None or (cost + joint, picks) < self.best:
                self.best = (cost + joint, picks)
            return
        bound = {z: self.cheapest(z, mask) for z, mask in allowed.items()}
        if self.best is not None and cost + joint + sum(bound.values()) >= self.best[0]:
            return
        zone = min(allowed, key=lambda z: (allowed[z].bit_count(), z))
        others = [z for z in allowed if z != zone]
        rest = sum(bound[z] for z in others)
        mask = allowed[zone]
        while mask and not self.cut_short():
            bit = mask & -mask
            mask ^= bit
            place = bit.bit_length() - 1
            here = cost + self.costs[zone][self.order[zone][place]]
            if self.best is not None and here + joint + rest >= self.best[0]:
                return
            now = {**picked, zone: place}
            mine = self.as_one(now)
            if mine == inf or (self.best is not None and here + mine + rest >= self.best[0]):
                continue
            left: dict[int, int] = {}
            for other in others:
                open_to = allowed[other] & self.cleared(zone, place, other)
                if not open_to:
                    break
                left[other] = open_to
            else:
                self.walk(left, now, here, mine)


def choose(
    costs: Sequence[Sequence[float]],
    conflict: Conflict,
    *,
    together: AsOne = lambda picks: 0.0,
    most_nodes: int = NODES,
) -> Choice | NoChoice:
    """The cheapest combination of one option a zone without a conflict.

    Parameters
    ----------
    costs : sequence of sequences
        The cost of each option of each zone, not negative. [-]
    conflict : callable
        conflict(zone, option, other zone, other option), symmetric.
    together : callable, optional
        What options cost together, beside their own costs, as :data:`AsOne` says. [-]
    most_nodes : int
        Where to stop; the answer then says it is not proved. [-]

    Equal costs fall to the smaller option numbers met first. Source: branch and bound, textbook.
    """
    if any(not zone for zone in costs):
        return NoChoice(True, 0)
    order = [sorted(range(len(c)), key=lambda i, c=c: (c[i], i)) for c in costs]  # type: ignore[misc]
    search = _Search(costs, order, conflict, together, most_nodes)
    search.walk({z: (1 << len(c)) - 1 for z, c in enumerate(costs)}, {}, 0.0, together({}))
    proved = not search.cut_short()
    if search.best is None:
        return NoChoice(proved, search.nodes)
    cost, picks = search.best
    return Choice(picks, cost, proved, search.nodes)
