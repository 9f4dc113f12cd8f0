"""Several zones of one pit: the options that go together, in which order they are worked, and when
water returns to all.

Two options clash where their new work would stand in each other, or where neither can be pushed in
once the other stands. Where only one can, its zone waits until the other is done. Hands work one
zone after the other; cement cures meanwhile: so the time until water returns is no sum over zones.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import permutations
from math import inf

from pitwright.choice import NoChoice, choose
from pitwright.geometry.clearance import between
from pitwright.ranking import Merits, points
from pitwright.renewal.option import Option, overlap
from pitwright.renewal.way import RECLAIM
from pitwright.sequence import Sequenced, Spell, sequence
from pitwright.survey.weights import Weights
from pitwright.trains.room import TOUCH

__all__ = ["Together", "merits_of", "side_by_side", "stands_in_the_way"]

_NO_THRUST = ("compression", "push-fit", "telescoping")
_UNLISTED = 1e6
"""What no standard lists is taken only where nothing else goes together. [-]"""
_HOUR = 3600.0


@dataclass(frozen=True, slots=True)
class Together:
    """The option picked for each zone, the zones in the order they are worked, and when water may
    return to all, after work begins [s]; ``proved`` that no combination has fewer points.
    """

    picks: tuple[int, ...]
    order: tuple[int, ...]
    water: float
    proved: bool
    nodes: int


def merits_of(option: Option) -> Merits:
    """What an option is ranked by. [s, m] Source: its own proofs."""
    train = option.train
    sure = option.doubt.advised if option.doubt else None
    return Merits(
        time=option.assembly.water_on if option.assembly else 0.0,
        parts=train.parts,
        chance=1.0 - max(sure.eighth, sure.flex) if sure else 1.0,
        springing=option.bending.judged.upper,
        next_time=sum(s.cut for s in option.works),
        digging=option.digging,
        no_thrust=sum(n for name, n in option.parts if any(g in name for g in _NO_THRUST)),
        unlisted=option.way == RECLAIM,
        name=option.key,
    )


def stands_in_the_way(standing: Option, coming: Option) -> bool:
    """Whether what is pushed in for one zone would hit the new work that stands in another. [m]

    Source: textbook geometry; straight pushes, as they are planned.
    """
    if coming.assembly is None:
        return False
    return any(between(a, b) < -TOUCH for a in coming.assembly.swept for b in standing.solids)


def side_by_side(options: Sequence[Sequence[Option]], weights: Weights) -> Together | NoChoice:
    """The options, one a zone, that go together at the fewest points. [-]

    The time counted is when water may return to all zones, worked in the best order. Source:
    branch and bound; docs/decisions/0004.
    """
    spells = [[_spell(o) for o in own] for own in options]
    quickest = [Spell(min(s.hands for s in own), 0.0) for own in spells]

    @cache
    def blocks(i: int, a: int, j: int, b: int) -> bool:
        return stands_in_the_way(options[i][a], options[j][b])

    def conflict(i: int, a: int, j: int, b: int) -> bool:
        if overlap(options[i][a], options[j][b]) > 0.0:
            return True
        return blocks(i, a, j, b) and blocks(j, b, i, a)

    def sequenced(picks: Mapping[int, int]) -> Sequenced | None:
        # a zone that is open yet takes its quickest hands at least, and may wait for nothing
        work = [own[picks[z]] if z in picks else quickest[z] for z, own in enumerate(spells)]
        before = {(j, i) for i, j in permutations(picks, 2) if blocks(i, picks[i], j, picks[j])}
        return sequence(work, before)

    def together(picks: Mapping[int, int]) -> float:
        got = sequenced(picks)
        return inf if got is None else weights.time * got.water / _HOUR

    costs = [[_alone(o, weights) for o in own] for own in options]
    got = choose(costs, conflict, together=together)
    if isinstance(got, NoChoice):
        return got
    done = sequenced(dict(enumerate(got.picks)))
    assert done is not None  # its cost was finite
    return Together(got.picks, done.order, done.water, got.proved, got.nodes)


def _spell(option: Option) -> Spell:
    made = option.assembly
    return Spell(made.hands, made.water_on - made.hands) if made else Spell(0.0, 0.0)


def _alone(option: Option, weights: Weights) -> float:
    """The points of all merits but time, which the zones share. [-]"""
    merits = merits_of(option)
    unlisted = _UNLISTED if merits.unlisted else 0.0
    return unlisted + sum(p.points for p in points(merits, weights) if p.merit != "time")
