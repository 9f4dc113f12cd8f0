"""From the last coat to hands off: open time, the seconds to bottom it, and hand-hold time.

Here the short time is the careful one: open time goes by the hottest of air, pipe and ground, and
takes the shorter row at an edge. Hand-hold takes the longest.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.findings import Finding, SourceKey, Weight, finding
from pitwright.jointing.question import CementedJoint, cement_named, inches_of
from pitwright.jointing.tables import Span, rule, spans

__all__ = ["Range", "Working", "working"]

_SAME_KELVIN = 0.01


@dataclass(frozen=True, slots=True)
class Range:
    """A time printed as a range: least, usual, longest [s], and where it comes from."""

    low: float
    typical: float
    high: float
    source: SourceKey
    status: str


@dataclass(frozen=True, slots=True)
class Working:
    """How long a person has, and how long hands stay on.

    ``bottom_by`` [s] from the last coat to bottomed: the shorter of the rule and of the open time,
    which larger pipe than it is known for does not lengthen. ``open_time`` is None where nothing
    is printed for the size; ``hand_hold`` [s] is the longest that a sheet asks for, ``hold`` what
    the sheets say. ``hotter``: it is hotter than any figure, so that open time and ``bottom_by``
    are only bounds from above.
    """

    bottom_by: float
    open_time: Range | None
    hand_hold: float
    hold: Range
    hotter: bool
    findings: tuple[Finding, ...]


def working(joint: CementedJoint) -> Working:
    """Open time, time to bottom and hand-hold of one joint. [s]

    Raises Missing, OutOfRange, UnknownName. Source: the rows of ``working.csv``.
    """
    cement = cement_named(joint.cement)
    _, hot = joint.hottest()
    _, cold = joint.coldest()
    inches = inches_of(joint.size)
    own = cement.open_row if cement else ""
    rows, hotter = _open_rows(hot, own)
    shortest = min(rows, key=lambda s: s.low)
    known = [s for s in rows if inches <= s.largest]
    found: list[Finding] = []
    if hotter:
        numbers = {"hottest_K": hot, "top_K": _hottest(), "open_s": shortest.low}
        found.append(finding("hot-open-time", Weight.CHECK, numbers=numbers))
    if not known:
        numbers = {"largest_in": max(s.largest for s in rows)}
        found.append(finding("open-time-not-printed", Weight.CHECK, numbers=numbers))
    hold = _hold(cold)
    return Working(
        min(rule("bottom_by").value, shortest.low),
        _range(min(known, key=lambda s: s.low)) if known else None,
        hold.high,
        _range(hold),
        hotter,
        tuple(found),
    )


def _hottest() -> float:
    return max(s.temperature[1] for s in spans("open") if not s.cement)


def _open_rows(hot: float, own: str) -> tuple[list[Span], bool]:
    """The row for the heat, the shorter at an edge, and the cement's own; hotter than any?"""
    plain = [s for s in spans("open") if not s.cement]
    at = min(max(hot, min(s.temperature[0] for s in plain)), _hottest())
    fits = [
        s for s in plain if s.temperature[0] - _SAME_KELVIN <= at <= s.temperature[1] + _SAME_KELVIN
    ]
    ours = [s for s in spans("open") if own and s.cement == own]
    return [min(fits, key=lambda s: s.low), *ours], hot > _hottest() + _SAME_KELVIN


def _hold(cold: float) -> Span:
    """The slower row at the edge: hands stay longer on a cold joint."""
    fits = [
        s
        for s in spans("hold")
        if s.temperature[0] - _SAME_KELVIN <= cold <= s.temperature[1] + _SAME_KELVIN
    ]
    return max(fits, key=lambda s: s.high)


def _range(span: Span) -> Range:
    return Range(span.low, span.typical, span.high, span.source, span.status)
