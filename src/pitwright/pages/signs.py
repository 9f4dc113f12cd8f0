"""Lengths as they are typed in a hole: which need no minus sign, which are too far to be meant."""

from __future__ import annotations

import re

from pitwright.units.measure import opposite

__all__ = ["MOST_BARE", "as_kept", "as_typed", "last_word", "too_far"]

MOST_BARE = 72.0
"""A number without a unit that is larger than this is asked about. [in] Judgement."""
_LESS = ("left", "upstream", "floor")
"""What is measured the other way than the pit counts: kept with a minus, typed without."""
_DASHES = "-−–—"


def last_word(field: str) -> str:
    """What a field is about, whatever it is the field of: "floor" of "box.floor"."""
    return field.rpartition(".")[2]


def as_kept(name: str, typed: str) -> str:
    """A length as a reading keeps it: what lies behind the datum gets its minus, typed or not.

    A plus says that it lies on the other side after all.
    """
    said = typed.strip()
    if last_word(name) not in _LESS or not said:
        return said
    if said[0] == "+":
        return said[1:].lstrip()
    return f"-{said[1:].lstrip()}" if said[0] in _DASHES else opposite(said)


def as_typed(name: str, kept: str) -> str:
    """The reverse of :func:`as_kept`."""
    if last_word(name) not in _LESS or not kept:
        return kept
    if kept[0] in _DASHES:
        return opposite(kept)
    return kept if opposite(kept) == kept else f"+{kept}"


def too_far(said: str, unit: str) -> str:
    """What to ask of a bare number that no pit is wide enough for; empty where it may be."""
    bare = re.fullmatch(r"[-+−–—]?\s*(\d+(?:\.\d+)?)", said.strip())
    if bare is None or unit != "in" or float(bare[1]) <= MOST_BARE:
        return ""
    feet = float(bare[1]) / 12.0
    return (
        f"{bare[1]} inches would be {feet:.0f} feet: write {bare[1]} mm if that is meant, "
        f"or {bare[1]} in if it is as far as that."
    )
