"""What goes with a new part that broke or leaks: what is made again, what is cut back, where.

Cement does not let go: what is glued to the part goes with it, as far as the next piece, which is
cut through, or the stub. What no joint holds yet is simply made again.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from pitwright.trains.cut_list import CutList, Piece

__all__ = ["CutOut", "cut_out"]


@dataclass(frozen=True, slots=True)
class CutOut:
    """Items (from 0) that are made again, pieces cut through, joints (from 1) that go, stubs.

    ``back`` are letters with the depth in the socket that each keeps [m]; ``stubs`` the sides
    (0 inlet, 1 outlet) on which the old pipe itself is cut back.
    """

    again: tuple[int, ...]
    back: tuple[tuple[str, float], ...] = ()
    joints: tuple[int, ...] = ()
    stubs: tuple[int, ...] = ()


def cut_out(
    cuts: CutList, made: Collection[int], *, item: int | None = None, joint: int | None = None
) -> CutOut:
    """What an item (from 0) or a joint (from 1) that broke takes with it; ``made`` from 1. [m]

    Of a joint the fittings it is made in are lost, for what is glued in them cannot be had out.
    Source: common practice, no source.
    """
    items, lost = cuts.items, _first(cuts, item, joint)
    gone: set[int] = set()
    back: dict[str, float] = {}
    stubs: list[int] = []
    for side, at, way in ((0, min(lost), -1), (1, max(lost), 1)):
        while (held := at + side) + 1 in made:
            gone.add(held + 1)
            at += way
            if not 0 <= at < len(items):
                stubs.append(side)
                break
            part = items[at]
            if isinstance(part, Piece) and at + side + 1 in made:
                back[part.letter] = (part.depth_before, part.depth_after)[side]
                break
            lost.add(at)
    gone |= {n + 1 for at in lost for n in (at, at + 1) if n + 1 in made}
    return CutOut(tuple(sorted(lost)), tuple(back.items()), tuple(sorted(gone)), tuple(stubs))


def _first(cuts: CutList, item: int | None, joint: int | None) -> set[int]:
    """The items that are lost before anything is cut."""
    if item is not None:
        return {item}
    assert joint is not None  # one of the two
    beside = [n for n in (joint - 2, joint - 1) if 0 <= n < len(cuts.items)]
    fittings = {n for n in beside if not isinstance(cuts.items[n], Piece)}
    return fittings or set(beside)
