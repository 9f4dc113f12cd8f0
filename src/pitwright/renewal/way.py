"""The ways to renew a zone by a train between two stubs, and what one of them answers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pitwright.findings import Refusal, Short, nearest_first
from pitwright.renewal.option import Option

__all__ = [
    "BOX_AROUND",
    "CUT_IN",
    "KEEP_ADAPTER",
    "MOVE_CUT",
    "RECLAIM",
    "SHUT_FIRST",
    "SLIP_IN",
    "WAYS",
    "WayAnswer",
    "answered",
]

KEEP_ADAPTER = "spin off, keep one adapter"
CUT_IN = "cut in"
SLIP_IN = "slip in"
BOX_AROUND = "box around"
MOVE_CUT = "move the cut"
SHUT_FIRST = "shut-off first"
RECLAIM = "reclaim a socket"
WAYS = (KEEP_ADAPTER, CUT_IN, SLIP_IN, BOX_AROUND, MOVE_CUT, SHUT_FIRST, RECLAIM)
"""In the order in which they are told; the last is listed by no standard."""


@dataclass(frozen=True, slots=True)
class WayAnswer:
    """What one way comes to: its options in order, or what stopped it and what would lift it.

    ``keeps`` names what stays in the ground by it.
    """

    way: str
    keeps: tuple[str, ...]
    answer: tuple[Option, ...] | Refusal

    @property
    def options(self) -> tuple[Option, ...]:
        """Its options, none when it is refused."""
        return () if isinstance(self.answer, Refusal) else self.answer


def answered(
    way: str,
    keeps: tuple[str, ...],
    options: Iterable[Option],
    shorts: Iterable[Short],
    *,
    cut_short: bool = False,
) -> WayAnswer:
    """The answer of a way: its options, or a refusal made of its limits. Source: none needed."""
    found = tuple(options)
    if found:
        return WayAnswer(way, keeps, found)
    return WayAnswer(way, keeps, Refusal(nearest_first(shorts), 0, cut_short))
