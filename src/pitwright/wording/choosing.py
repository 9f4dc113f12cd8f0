"""The words by which a way is chosen: what it keeps, costs and asks, what stands against it."""

from __future__ import annotations

from pitwright.renewal.option import Option
from pitwright.renewal.way import WayAnswer
from pitwright.units.inches import Rounding, both_text
from pitwright.wording.chances import chance_words, holding_words

__all__ = [
    "AGAINST",
    "GONE",
    "NONE_ASKED",
    "REFUSED",
    "SIGNS",
    "came_words",
    "chance_cell",
    "digging_words",
    "doubt_summary",
    "not_yet",
    "parts_words",
    "stays_words",
    "way_words",
]

REFUSED = "Refused. "
AGAINST = "What stands against it, nearest first, and what would lift it:"
GONE = "The way chosen before is no longer among these: a reading changed. Choose again."
NONE_ASKED = "No zone asks for a new valve or to be joined: say so under Measure."
SIGNS = (
    "Letters: pieces of the cut list. Ring: a joint made on the bench. Full dot: one made in the "
    "pit. Bar across old pipe: a cut. Turn it with a finger or the arrow keys."
)
"""How the drawing is read."""


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'s' * (number != 1)}"


def doubt_summary(number: int) -> str:
    """How many readings are guessed or in doubt. [-]"""
    return f"{_count(number, 'reading')} in doubt or not taken: other ways may come first"


def not_yet(number: int) -> str:
    """Why there is no plan yet. [-]"""
    return f"The pit cannot be planned yet: {_count(number, 'reading')} still missing."


def way_words(way: WayAnswer) -> str:
    """A way that was asked, by what it keeps."""
    keeps = f" (keeps {', '.join(way.keeps)})" if way.keeps else ""
    return f"{way.way}{keeps}: "


def came_words(way: WayAnswer) -> str:
    """How many options it came to. [-]"""
    return _count(len(way.options), "option")


def parts_words(option: Option) -> str:
    """How many parts and joints it takes. [-]"""
    return f"{option.train.parts} parts, {len(option.cuts.joints)} joints"


def digging_words(option: Option) -> str:
    """How much is to be dug for it. [in, mm]"""
    return both_text(option.digging, Rounding.NOT_SHORTER) if option.digging else "none"


def chance_cell(option: Option) -> str:
    """The chance that it closes, the way it is advised."""
    if option.doubt is None:
        return "not worked out"
    held = option.doubt.advised
    said = holding_words(held)
    return f"{chance_words(held)}; {said}" if said else chance_words(held)


def stays_words(option: Option) -> str:
    """What is left for the next time. [in, mm]"""
    told = [*option.keeps]
    told += [
        f"{both_text(w.left, Rounding.NOT_LONGER)} of straight pipe at {w.stub}"
        for w in option.works
        if w.left is not None
    ]
    return "; ".join(told) or "nothing that was measured"
