"""The words of the turning drawing: its buttons, and what it says aloud. [in]"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from pitwright.units.inches import Rounding, inches_text

__all__ = ["TURNING", "bent_words", "clear_words", "still_words", "wall_words"]

TURNING: Mapping[str, str] = MappingProxyType(
    {
        "plan": "From above",
        "elevation": "From the side",
        "isometric": "From a corner",
        "left": "Turn left",
        "right": "Turn right",
        "up": "Look from higher",
        "down": "Look from lower",
        "close": "Closer",
        "box": "Box",
        "bent": "Bent pipe",
        "clear": "Clearances",
        "zones": "Which zone",
        "all": "Whole pit",
        "how": "Drag to turn; arrow keys turn it too.",
        "turned": "Turned by hand",
        "views": "Where to look from",
        "shown": "What is shown",
        "drawing": "Drawing of",
    }
)
"""By the name that the drawing's script asks for."""


def bent_words(by: int) -> str:
    """How far too far bent pipe is drawn. [-]"""
    if by == 1:
        return "Bent pipe (dashed) is drawn as far as it goes."
    return f"Bent pipe (dashed) is drawn {by} times as far as it really goes."


def clear_words(gap: float, what: str) -> str:
    """How much room there is between new work and something. [in]"""
    if gap < 0.0:
        return f"stands in {what} by {inches_text(-gap, Rounding.NOT_SHORTER)}"
    return f"{inches_text(gap, Rounding.NOT_LONGER)} to {what}"


def still_words(view: str) -> str:
    """What a drawing that does not turn is called."""
    return f"The pit {TURNING[view].lower()}"


def wall_words(name: str) -> str:
    """What bounds the free room: gravel, lid, or the soil as far as it is dug."""
    return {"floor": "the gravel", "lid": "the lid"}.get(name, "the edge of the dug soil")
