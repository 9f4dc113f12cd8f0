"""The words of the clocks that run once a joint is made: hold, set, water on."""

from __future__ import annotations

from pitwright.wording.steps import minutes_text

__all__ = ["HOLD_UNTIL", "LEFT", "OVER", "SET_UNTIL", "WATER_ON", "left_words", "water_after"]

HOLD_UNTIL = "hold it by hand until"
SET_UNTIL = "set, braces stay until"
WATER_ON = "Water on not before"
LEFT, OVER = "left", "over"


def left_words(seconds: float) -> str:
    """How long a clock still runs. [s]"""
    return OVER if seconds <= 0 else f"{minutes_text(seconds)} {LEFT}"


def water_after(seconds: float) -> str:
    """While a joint is not made yet: how long after the last one water may come. [s]"""
    return f"{WATER_ON} {minutes_text(seconds)} after the last joint."
