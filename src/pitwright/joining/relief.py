"""A relief end opened so that a stub that seeps runs out there: whether it keeps a joint dry.

Water stands no higher than its lowest open end, as long as that end passes more than seeps in.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from pitwright.findings import Short
from pitwright.joining.assembly import CLOSE_RELIEF
from pitwright.joining.clock import Clock
from pitwright.joining.layout import CEMENTED, Layout
from pitwright.joining.numbers import handwork, limit
from pitwright.joining.work import Relief, StubSide, Work
from pitwright.trains.cut_list import Where

__all__ = [
    "close_reliefs",
    "drained",
    "lowest_glued",
    "open_reliefs",
    "relief_short",
    "reliefs",
    "watch",
]

_PASSES = 0.6
"""What a sharp round hole passes of the free jet's flow. [-] Textbook, from memory."""
_SPARE = 2.0
"""It must pass so many times what seeps: holes clog. [-] Judgement."""
_GRAVITY = 9.81


def relief_short(
    name: str, flow: float, relief: Relief | None, lowest: float, tried: str
) -> Short | None:
    """Why a relief end does not keep a joint dry whose ``lowest`` wet spot lies so high. [m, m³/s]

    Its mouth must lie lower by what ``limits.csv`` says, and pass twice what seeps. None when it
    does. Source: textbook hydraulics; the margins are judgement.
    """
    if relief is None:
        return Short("WET_SOCKET", name, 0.0, 1.0, 1.0, "1", "without_cement", tried)
    need = limit("relief_below")
    have = lowest - (relief.height + relief.bore / 2)
    if have < need:
        return Short("RELIEF_HIGH", name, have, need, need - have, "m", "lower_relief", tried)
    head = lowest - relief.height
    passes = _PASSES * math.pi / 4 * relief.bore**2 * math.sqrt(2 * _GRAVITY * head)
    wanted = _SPARE * flow
    if passes < wanted:
        missed = wanted - passes
        return Short("RELIEF_SMALL", name, passes, wanted, missed, "m3/s", "wider_relief", tried)
    return None


def lowest_glued(work: Work, laid: Layout) -> float:
    """How high the lowest spot of any joint lies that is glued, bench joints too. [m]

    Source: the train as laid.
    """
    heights = [p.at[2] for p in laid.places if p.kind in CEMENTED]
    return min(heights, default=math.inf) - work.outside / 2


def drained(work: Work, laid: Layout, side: StubSide) -> bool:
    """Whether a stub seeps and its relief end keeps every glued joint of the train dry."""
    if side.seeps <= 0.0 or side.relief is None:
        return False
    low = lowest_glued(work, laid)
    return relief_short(side.name, side.seeps, side.relief, low, "cement") is None


def reliefs(work: Work, laid: Layout) -> Iterator[tuple[str, float]]:
    """Every stub that is drained while the train goes in, and how far its relief end lies below
    the lowest glued joint. [m] Source: the survey."""
    low = lowest_glued(work, laid)
    for side in work.sides:
        if side.relief is not None and drained(work, laid, side) and math.isfinite(low):
            yield side.name, low - side.relief.height - side.relief.bore / 2


def open_reliefs(clock: Clock, found: Iterable[tuple[str, float]]) -> None:
    """Before the first cut: the relief end looked at, then opened. [m, s]

    Source: common practice, no source.
    """
    for name, below in found:
        names = (("stub", name),)
        clock.do("check_relief", Where.PIT, 0.0, numbers=(("below", below),), names=names)
        clock.do("open_relief", Where.PIT, handwork("open_relief"), names=names)


def watch(clock: Clock, name: str) -> None:
    """Before cement: a stop where the stub still runs."""
    names = (("stub", name),)
    clock.do("still_dry", Where.PIT, handwork("still_dry"), names=names, stop=True)


def close_reliefs(clock: Clock, found: Iterable[tuple[str, float]]) -> None:
    """After all is cured, before water. [s] Source: common practice, no source."""
    for name, _ in found:
        names = (("stub", name),)
        clock.do(CLOSE_RELIEF, Where.PIT, handwork(CLOSE_RELIEF), names=names)
