"""What many openings of one box say together: series of readings, their drift, which valve next.

Values are in the unit that was written down; time is years [yr].
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from pitwright.records.chances import Chance, chance_in_a_year, fleet_rate
from pitwright.records.entry import Entry
from pitwright.records.fold import Fact, State, folded
from pitwright.records.history import Event, Standing, timeline
from pitwright.records.kinds import KINDS, Kind

__all__ = ["Drift", "Outlook", "Point", "Series", "drift", "outlooks", "series_of", "troubles_of"]

YEAR = 365.25 * 86400
"""[s]"""
BAND = 0.25
"""A reading this far from its first one is worth a look: judgement, no source. [-]"""
LEAST_POINTS = 3
"""Fewer points give a slope without a sigma."""


@dataclass(frozen=True, slots=True)
class Point:
    """One value [in the unit of its series] at a time."""

    when: datetime
    value: float
    id: str


@dataclass(frozen=True, slots=True)
class Series:
    """Values of one quantity of one zone in one pit, oldest first."""

    site: str
    subject: str
    quantity: str
    zone: str
    unit: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Drift:
    """A straight line through a series: change a year, and its sigma (None: too few points).

    ``years_left`` is when the line leaves the band of a quarter around the first value, from the
    last point on; None when it does not, or the slope is no more than its sigma. [yr]
    """

    per_year: float
    sigma: float | None
    years_left: float | None
    left_band: bool
    """Whether the last value is outside already."""


@dataclass(frozen=True, slots=True)
class Outlook:
    """One zone's valve in one pit: what was seen [yr], the chance of trouble in the next year."""

    site: str
    subject: str
    zone: str
    troubles: int
    years: float
    chance: Chance
    drifting: tuple[Series, ...]
    withheld: bool
    """A newer version wrote something about this pit: conclude nothing."""


def _number(text: Any) -> float | None:
    try:
        value = float(text)
    except (TypeError, ValueError):
        return None
    return value if math.isfinite(value) else None


def series_of(
    site: str, subject: str, entries: Sequence[Entry], kinds: Mapping[str, Kind] = KINDS
) -> tuple[Series, ...]:
    """Every series of a pit.

    A reading that supersedes one of another time is its next point; one that supersedes a reading
    of the same time corrects it. What was taken back is left out.
    """
    events = timeline(site, subject, entries, kinds)
    found: dict[tuple[str, str, str], dict[tuple[str, datetime], Point]] = defaultdict(dict)
    for event in events:
        point = _point(event)
        if point is None or event.standing is Standing.TAKEN_BACK:
            continue
        body = event.body
        quantity = str(body.get("quantity") or body.get("reading") or body.get("what") or "")
        key = (quantity, str(body.get("zone", "")), str(body.get("unit", "")))
        field = event.field if event.kind == "reading" else event.id
        found[key][field, point.when] = point
    return tuple(
        Series(site, subject, *key, tuple(sorted(points.values(), key=lambda p: (p.when, p.id))))
        for key, points in sorted(found.items())
    )


def _point(event: Event) -> Point | None:
    value = _number(event.body.get("value")) if event.kind in ("reading", "test") else None
    return None if value is None else Point(event.happened.middle, value, event.id)


def drift(points: Sequence[Point]) -> Drift | None:
    """The least-squares line through the points; None for fewer than two times. [unit/yr]"""
    if len({p.when for p in points}) < 2:
        return None
    start = points[0].when
    x = [(p.when - start).total_seconds() / YEAR for p in points]
    y = [p.value for p in points]
    mx, my = math.fsum(x) / len(x), math.fsum(y) / len(y)
    sxx = math.fsum((a - mx) ** 2 for a in x)
    slope = math.fsum((a - mx) * (b - my) for a, b in zip(x, y, strict=True)) / sxx
    rest = math.fsum((b - my - slope * (a - mx)) ** 2 for a, b in zip(x, y, strict=True))
    sigma = math.sqrt(rest / (len(x) - 2) / sxx) if len(x) >= LEAST_POINTS else None
    out = abs(y[-1] - y[0]) > BAND * abs(y[0])
    return Drift(slope, sigma, _left(y[0], my + slope * (x[-1] - mx), slope, sigma), out)


def _left(first: float, now: float, slope: float, sigma: float | None) -> float | None:
    """Years until the line leaves the band around the first value."""
    if sigma is None or abs(slope) <= sigma:
        return None
    edge = first + math.copysign(BAND * abs(first), slope)
    years = (edge - now) / slope
    return years if years > 0 else 0.0


def troubles_of(state: State) -> dict[str, int]:
    """How often each zone's valve did not do its work: outcomes that say no, tests that failed."""
    found: dict[str, int] = defaultdict(int)
    for fact in (*state.of_kind("outcome"), *state.of_kind("test")):
        found[str(fact.value("zone"))] += _bad(fact)
    return dict(found)


def _bad(fact: Fact) -> int:
    answers = [fact.value(name) for name in ("closed", "held", "cured")]
    return int("no" in answers or fact.value("result") == "fail")


def _zones(state: State) -> set[str]:
    field = state.field("pit")
    zones = field.fact.value("zones", []) if field is not None and field.fact is not None else []
    told = {str(z) for z in zones} | {z for z in troubles_of(state) if z}
    return told or {""}


def outlooks(
    pits: Iterable[tuple[str, str, Sequence[Entry]]], now: datetime,
    kinds: Mapping[str, Kind] = KINDS,
) -> tuple[Outlook, ...]:  # fmt: skip
    """Every valve, the likeliest trouble first. ``pits`` are (site, subject, entries).

    A valve was seen from the first thing that happened in its pit until ``now`` [yr]. Valves of
    pits of which a newer version wrote stand last, withheld.
    """
    seen = []
    for site, subject, entries in pits:
        state = folded(site, subject, entries, kinds)
        series = series_of(site, subject, entries, kinds)
        first = min((e.header.happened.first for e in entries), default=now)
        years = max((now - first).total_seconds() / YEAR, 0.0)
        troubles = troubles_of(state)
        for zone in sorted(_zones(state)):
            drifting = tuple(s for s in series if s.zone == zone and _drifts(s))
            count = troubles.get(zone, 0)
            seen.append((site, subject, zone, count, years, drifting, bool(state.withheld)))
    rate = fleet_rate(sum(s[3] for s in seen), sum(s[4] for s in seen))
    found = [
        Outlook(site, subject, zone, n, years, chance_in_a_year(n, years, rate), drifting, kept)
        for site, subject, zone, n, years, drifting, kept in seen
    ]
    return tuple(
        sorted(
            found,
            key=lambda o: (o.withheld, -o.chance.likely, -len(o.drifting), o.subject, o.zone),
        )
    )


def _drifts(series: Series) -> bool:
    line = drift(series.points)
    return line is not None and (line.left_band or line.years_left is not None)
