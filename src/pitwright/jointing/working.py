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

    ``bottom_by`` [s] from the last coat to bottomed, the shorter of the rule and of the open
    time; ``open_time`` None where nothing is printed for the size; ``hand_hold`` [s] is the
    longest that a sheet asks for, ``hold`` what the sheets say. ``hotter``: it is hotter than any
    figure, so that open time and ``bottom_by`` are only bounds from above.
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
    open_time, found = _open_time(hot, inches, cement.open_row if cement else "")
    hold = _hold(cold)
    bottom = rule("bottom_by")
    by = bottom.value if open_time is None else min(bottom.value, open_time.low)
    hotter = any(f.code == "hot-open-time" for f in found)
    return Working(by, open_time, hold.high, _range(hold), hotter, found)


def _open_time(hot: float, inches: float, own: str) -> tuple[Range | None, tuple[Finding, ...]]:
    plain = [s for s in spans("open") if not s.cement and inches <= s.largest]
    chosen = [s for s in spans("open") if own and s.cement == own]
    found: list[Finding] = []
    if plain:
        top = max(s.temperature[1] for s in plain)
        bottom = min(s.temperature[0] for s in plain)
        at = min(max(hot, bottom), top)
        fits = [
            s
            for s in plain
            if s.temperature[0] - _SAME_KELVIN <= at <= s.temperature[1] + _SAME_KELVIN
        ]
        chosen.append(min(fits, key=lambda s: s.low))
        if hot > top + _SAME_KELVIN:
            numbers = {"hottest_K": hot, "top_K": top, "open_s": min(s.low for s in chosen)}
            found.append(finding("hot-open-time", Weight.CHECK, numbers=numbers))
    if not chosen:
        rows = [s.largest for s in spans("open") if not s.cement]
        numbers = {"largest_in": max(rows)}
        found.append(finding("open-time-not-printed", Weight.CHECK, numbers=numbers))
        return None, tuple(found)
    return _range(min(chosen, key=lambda s: s.low)), tuple(found)


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
