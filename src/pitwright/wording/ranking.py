"""Why an option stands where it stands, in words: its points, largest first."""

from __future__ import annotations

from pitwright.ranking import Point, points
from pitwright.renewal.option import Option
from pitwright.side_by_side import merits_of
from pitwright.survey.weights import Weights
from pitwright.units.inches import both_text
from pitwright.units.kinds import INCH

__all__ = ["rank_data", "rank_words"]

_NOTHING = 0.005
"""Fewer points than this are not told. [-]"""
_WORDS = {
    "time": "{amount:.1f} h until water",
    "parts": "{amount:.0f} parts",
    "chance": "{amount:.0%} chance not to close",
    "springing": "{amount:.0%} of what old pipe may keep or hands can push",
    "next_time": "{length} of old pipe given up",
    "digging": "{length} to bare first",
    "no_thrust": "{amount:.0f} joints that hold no thrust",
}


def rank_words(option: Option, weights: Weights) -> str:
    """``7.3 points: 3.1 h until water 3.1, 9 parts 2.2``. [-] Source: the person's weights."""
    found = points(merits_of(option), weights)
    told = sorted((p for p in found if p.points >= _NOTHING), key=lambda p: -p.points)
    total = sum(p.points for p in found)
    return f"{total:.1f} points: " + ", ".join(f"{_what(p)} {p.points:.1f}" for p in told)


def _what(point: Point) -> str:
    return _WORDS[point.merit].format(
        amount=point.amount, length=both_text(point.amount * INCH) if point.unit == "in" else ""
    )


def rank_data(option: Option, weights: Weights) -> dict[str, object]:
    """The same for machines. Source: docs/json.md describes it."""
    found = points(merits_of(option), weights)
    return {
        "points": sum(p.points for p in found),
        "because": [
            {
                "merit": p.merit,
                "amount": p.amount,
                "unit": p.unit,
                "weight": p.weight,
                "points": p.points,
            }
            for p in found
        ],
        "text": rank_words(option, weights),
    }
