"""How much more of a stub must be bare before a train that cannot be put in can be."""

from __future__ import annotations

from dataclasses import replace

from pitwright.findings import Short
from pitwright.joining.assembly import Assembly
from pitwright.joining.putting_in import put_in
from pitwright.joining.work import Work
from pitwright.units.kinds import INCH

__all__ = ["bared", "to_bare"]

_STEP = 2 * INCH
"""Nobody digs finer. Judgement. [m]"""
_MOST = 60 * INCH
"""Nobody digs farther for one joint. Judgement. [m]"""


def bared(work: Work, side: int, extra: float) -> Work:
    """The same work with ``extra`` [m] more of one stub (0 inlet, 1 outlet) bare, straight on.

    Source: none needed.
    """
    stub = work.sides[side]
    if stub.path is None:
        return work
    dug = replace(stub, path=stub.path.dug(extra))
    sides = (dug, work.sides[1]) if side == 0 else (work.sides[0], dug)
    return replace(work, sides=sides)


def to_bare(work: Work) -> tuple[Short, ...]:
    """For each stub whose pipe runs on into the soil, the least digging at it alone that helps.

    A Short is what is bare and what must be [m]; no answer for a stub where even the most digging
    does not help. The length is halved down to steps of two inches and put in again, so what it
    says is proved; where more digging could make it worse, a shorter one may be missed. Slower than
    ``put_in`` by about seven times: ask it of the nearest misses only. Source: judgement.
    """
    found: list[Short] = []
    for side, stub in enumerate(work.sides):
        if stub.path is None or not stub.runs_on:
            continue
        low, high = 0, round(_MOST / _STEP)
        if not _goes_in(work, side, high):
            continue
        while high - low > 1:
            middle = (low + high) // 2
            if _goes_in(work, side, middle):
                high = middle
            else:
                low = middle
        have, extra = stub.path.length, high * _STEP
        found.append(
            Short(
                "BARE_TO_PUT_IN",
                stub.name,
                have,
                have + extra,
                extra,
                "m",
                "bare_and_ask",
                work.train.skeleton.label,
            )
        )
    return tuple(found)


def _goes_in(work: Work, side: int, steps: int) -> bool:
    return isinstance(put_in(bared(work, side, steps * _STEP)), Assembly)
