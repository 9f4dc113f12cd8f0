"""Where the branches stand along a new header: chosen exactly on a grid, then polished.

Both ask for the least sum of squared offsets between each branch and what it serves; no two tees
may stand nearer than the least spacing, none before the first place or after the last.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from pitwright.choice import Choice, NoChoice, choose
from pitwright.units.kinds import INCH

__all__ = ["GRID", "Span", "choose_places", "polish"]

GRID = INCH / 4
"""Places along a header are tried so far apart. [m]"""
_HAIR = 1e-9
Pick = tuple[int, int]
"""A zone and a place of the grid, both by number."""


@dataclass(frozen=True, slots=True)
class Span:
    """From the first to the last place of a tee's centre, and how near two may stand. [m]"""

    first: float
    last: float
    spacing: float

    @property
    def places(self) -> tuple[float, ...]:
        """The grid: from the first place on, a quarter inch apart. [m]"""
        count = math.floor((self.last - self.first) / GRID + _HAIR) + 1
        return tuple(self.first + n * GRID for n in range(max(0, count)))


def choose_places(
    targets: Sequence[float],
    span: Span,
    forbidden: Collection[Pick] = (),
    pairs: Collection[tuple[Pick, Pick]] = (),
) -> Choice | NoChoice:
    """A place of the grid for every branch, at the least sum of squared offsets. [m²]

    ``targets`` are where each branch would stand without offset [m]; ``forbidden`` places are
    left out, ``pairs`` never stand together. Source: :func:`~pitwright.choice.choose`.
    """
    places = span.places
    open_to = [
        [n for n in range(len(places)) if (zone, n) not in forbidden]
        for zone in range(len(targets))
    ]
    costs = [[(places[n] - t) ** 2 for n in mine] for t, mine in zip(targets, open_to, strict=True)]
    barred = {frozenset(pair) for pair in pairs}

    def conflict(one: int, a: int, other: int, b: int) -> bool:
        here, there = open_to[one][a], open_to[other][b]
        near = abs(places[here] - places[there]) < span.spacing - _HAIR
        return near or frozenset(((one, here), (other, there))) in barred

    got = choose(costs, conflict)
    if isinstance(got, NoChoice):
        return got
    picks = tuple(mine[n] for mine, n in zip(open_to, got.picks, strict=True))
    return Choice(picks, got.cost, got.proved, got.nodes)


def polish(targets: Sequence[float], chosen: Sequence[float], span: Span) -> tuple[float, ...]:
    """The same order of branches at the least sum of squared offsets, off the grid. [m]

    Isotonic regression of the targets less the spacing each one's rank takes, then held within
    the span: pooled neighbours share their mean. Source: pool-adjacent-violators, textbook.
    """
    order = sorted(range(len(chosen)), key=lambda n: (chosen[n], n))
    pools: list[tuple[float, int]] = []
    for rank, n in enumerate(order):
        pool = (targets[n] - rank * span.spacing, 1)
        while pools and pools[-1][0] > pool[0]:
            mean, count = pools.pop()
            total = count + pool[1]
            pool = ((mean * count + pool[0] * pool[1]) / total, total)
        pools.append(pool)
    least, most = span.first, span.last - (len(order) - 1) * span.spacing
    level = [min(max(mean, least), most) for mean, count in pools for _ in range(count)]
    found = [0.0] * len(order)
    for rank, n in enumerate(order):
        found[n] = level[rank] + rank * span.spacing
    return tuple(found)
