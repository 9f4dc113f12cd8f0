"""The words of the owner's page and the box card."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = [
    "BUILT",
    "CARD",
    "DONE",
    "FOOT",
    "FOUND",
    "LEFT",
    "NEXT",
    "NOTHING",
    "PAGE",
    "PICTURE",
    "PICTURE_OPEN",
    "PROVED",
    "READ_HEAD",
    "WATCH",
    "WHERE",
    "card_title",
    "cut_line",
    "open_line",
    "owner_title",
    "resumed_line",
    "stands_line",
]

FOOT = "Old pipe that was not opened is not covered. Local codes and licensed trades come first."
PAGE = "page {page} of {pages}"
FOUND = "What was found"
DONE = "What was done"
PROVED = "How it was proved"
READ_HEAD = ("what was read", "before", "after")
NEXT = "What comes next"
WHERE = "Where it lies"
LEFT = "What is left for next time"
BUILT = "What was built in"
NOTHING = "Nothing was entered."
PICTURE = "the box as it was left, from a corner"
PICTURE_OPEN = "the box as it was found, from a corner: nothing of it is finished"
CARD = "Keep this card in the box."
_SHOWN = 6
"""So many steps not done are named. Judgement. [-]"""
WATCH = (
    "For a day, look where the ground is wet that was dry; stop the water and call if it is.",
    "Run each zone once and see that it closes within a few seconds of its end.",
    "Keep the lid level and free: no soil, roots or stones on it.",
    "Before frost, close the water, open every zone once, and let the box drain.",
)
"""What an owner is told. Common practice, no source."""


def resumed_line(zone: str, broke: Sequence[tuple[str, str]], summary: str) -> str:
    """That the work on a zone was resumed, and why; ``broke``: at which stub, and what."""
    why = "; ".join(f"{stub} broke ({what})" for stub, what in broke)
    why = why or "something differed from the plan"
    return f"Zone {zone}, while it was built: {why}; it went on so: {summary}."


def stands_line(zone: str, names: Sequence[str]) -> str:
    """What stands of the train that was begun first."""
    return f"Zone {zone}, of the train begun before there stand: {', '.join(names)}."


def cut_line(zone: str, lengths: Sequence[str]) -> str:
    """Lengths as they were cut."""
    return f"Zone {zone}, as cut: {'; '.join(lengths)}."


def open_line(zone: str, count: int, said: Sequence[str]) -> str:
    """That a zone is not finished, and what is still to be done in it; the first of many."""
    first = "; ".join(said[:_SHOWN])
    more = f"; and {len(said) - _SHOWN} more" if len(said) > _SHOWN else ""
    return f"Zone {zone} is not finished: {len(said)} of {count} steps not done: {first}{more}."


def owner_title(land: str, pit: str) -> str:
    """Over the owner's page."""
    return f"{land}: {pit}"


def card_title(pit: str) -> str:
    """Over the box card."""
    return f"Box card: {pit}"
