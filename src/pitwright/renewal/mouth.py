"""Whether what is put together on the bench goes through the mouth of the box."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitwright.findings import Finding, Weight, finding
from pitwright.geometry.clearance import Capsule
from pitwright.joining.assembly import Assembly
from pitwright.joining.layout import layout
from pitwright.joining.work import Work
from pitwright.survey.box import Box
from pitwright.trains.cut_list import Where

__all__ = ["Footprint", "footprint", "let_down", "passes_mouth", "spools"]

_TURNS = 36
"""So many ways round a spool is tried in the mouth of the box, a quarter turn in all. [-]"""
_HAIR = 1e-6


@dataclass(frozen=True, slots=True)
class Footprint:
    """A spool from above, level as it will lie: its size along its longest way and across it. [m]

    ``sizes`` are its sizes along and across at each way it may be turned, over half a turn.
    """

    length: float
    width: float
    sizes: tuple[tuple[float, float], ...]

    def passes(self, box: Box) -> bool:
        """Whether it can be let down level through the mouth, turned as it likes. [m]

        A round mouth is asked for the round about the smallest rectangle. Source: textbook
        geometry.
        """
        mouth = box.mouth
        if mouth.radius is not None:
            return min(math.hypot(*size) for size in self.sizes) <= 2 * mouth.radius + _HAIR
        sides = (mouth.most[0] - mouth.least[0], mouth.most[1] - mouth.least[1])
        return any(a <= sides[0] + _HAIR and b <= sides[1] + _HAIR for a, b in self.sizes)


def spools(work: Work, assembly: Assembly) -> Iterator[tuple[Capsule, ...]]:
    """What is put together on the bench, each with more than one part in it. [m]

    Source: the joints that are made in the pit part them.
    """
    laid = layout(work)
    pit = {j for step in assembly.steps if step.where is Where.PIT for j in step.joints}
    group: list[int] = []
    for item in range(len(laid.solids)):
        if item in pit and group:
            if len(group) > 1:
                yield tuple(c for n in group for c in laid.solids[n])
            group = []
        group.append(item)
    if len(group) > 1:
        yield tuple(c for n in group for c in laid.solids[n])


def footprint(solids: Sequence[Capsule]) -> Footprint:
    """A spool's sizes from above. [m] Source: textbook geometry."""
    sizes = tuple(_sizes(solids, math.pi * n / (2 * _TURNS)) for n in range(2 * _TURNS))
    length, width = max(sizes)
    return Footprint(length, width, sizes)


def _sizes(solids: Sequence[Capsule], turn: float) -> tuple[float, float]:
    c, s = math.cos(turn), math.sin(turn)
    return _size(solids, (c, s)), _size(solids, (-s, c))


def _size(solids: Sequence[Capsule], way: tuple[float, float]) -> float:
    ends = [(p[0] * way[0] + p[1] * way[1], c.radius) for c in solids for p in (c.a, c.b)]
    return max(at + r for at, r in ends) - min(at - r for at, r in ends)


def let_down(box: Box, work: Work, assembly: Assembly) -> tuple[Finding, ...]:
    """Whether every spool goes through the mouth level, or the longest that does not. [m]

    Source: textbook geometry.
    """
    found = sorted((footprint(s) for s in spools(work, assembly)), key=lambda f: f.length)
    if not found:
        return ()
    stuck = [f for f in found if not f.passes(box)]
    told = (stuck or found)[-1]
    numbers = {"length": told.length, "width": told.width}
    if stuck:
        return (finding("spool_past_mouth", Weight.CHECK, numbers=numbers),)
    return (finding("spool_passes", numbers=numbers),)


def passes_mouth(box: Box, length: float, width: float) -> bool:
    """Whether a flat rectangle can be let down level through the mouth, turned as it likes. [m]

    Source: a rectangle within a rectangle or a circle, textbook geometry.
    """
    turns = (math.pi * n / (2 * _TURNS) for n in range(2 * _TURNS))
    sizes = tuple(
        (
            length * abs(math.cos(t)) + width * abs(math.sin(t)),
            length * abs(math.sin(t)) + width * abs(math.cos(t)),
        )
        for t in turns
    )
    return Footprint(length, width, sizes).passes(box)
