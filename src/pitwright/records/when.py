"""Times that people know only roughly, and clocks that may be wrong.

A thing *happened* within a span ("about noon" is half past eleven to half past twelve); an entry
was *written* at what the device's clock said, with what is known of that clock. Neither ever
decides which entry is later: the Lamport count does.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from pitwright.errors import Malformed

__all__ = ["Ready", "Span", "Written", "instant", "ready", "spoken", "stamp"]

ABOUT = timedelta(minutes=30)
"""Each way, for "about"; judgement. [time]"""
_PARTS = {
    "morning": (time(6), time(12)),
    "noon": (time(11, 45), time(12, 15)),
    "afternoon": (time(12), time(18)),
    "evening": (time(18), time(22)),
}
_CLOCK = re.compile(r"(\d{1,2})(?::(\d{2}))?\s*(am|pm)?")
_DAY = re.compile(r"(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?")


def stamp(moment: datetime) -> str:
    """ISO text of a moment to the second, with its zone; Malformed when it has none."""
    if moment.tzinfo is None:
        raise Malformed(
            "time", moment.isoformat(), "has no zone", "give the offset, such as -05:00"
        )
    text = moment.isoformat(timespec="seconds")
    return text.replace("+00:00", "Z")


def instant(text: Any) -> datetime:
    """The moment in such a text; Malformed when it is none or has no zone."""
    try:
        moment = datetime.fromisoformat(text)
        if moment.tzinfo is None or not 1800 <= moment.astimezone(UTC).year <= 2200:
            raise ValueError(text)
    except (TypeError, ValueError, OverflowError):
        raise Malformed(
            "time", text, "must be a moment with its zone",
            "write 2026-05-04T12:00:00-05:00, years 1800 to 2200",
        ) from None  # fmt: skip
    return moment


@dataclass(frozen=True, slots=True)
class Span:
    """From, to: ISO texts with their zone, verbatim. A known moment has both alike."""

    start: str
    end: str

    def as_json(self) -> list[str]:
        """Two texts."""
        return [self.start, self.end]

    @classmethod
    def from_json(cls, raw: Any) -> Span:
        """The span in two texts; Malformed when they are not two moments in order."""
        if not isinstance(raw, list) or len(raw) != 2:
            raise Malformed("happened", raw, "must be two moments", "send the entry again")
        if instant(raw[1]) < instant(raw[0]):
            raise Malformed("happened", raw, "ends before it begins", "give the earlier time first")
        return cls(raw[0], raw[1])

    @classmethod
    def at(cls, moment: datetime) -> Span:
        """The span that is one moment."""
        return cls(stamp(moment), stamp(moment))

    @property
    def first(self) -> datetime:
        """Its begin."""
        return instant(self.start)

    @property
    def last(self) -> datetime:
        """Its end."""
        return instant(self.end)

    @property
    def middle(self) -> datetime:
        """Half way: where it stands on a time line."""
        return self.first + (self.last - self.first) / 2


@dataclass(frozen=True, slots=True)
class Written:
    """What the device's clock said, and how far it was off when last checked (None: never)."""

    at: str
    offset: int | None
    """Seconds to add to the device's clock to be right. [s]"""

    def as_json(self) -> list[Any]:
        """The clock's text, and its offset or "never checked"."""
        return [self.at, "never checked" if self.offset is None else self.offset]

    @classmethod
    def from_json(cls, raw: Any) -> Written:
        """The reverse of :meth:`as_json`; Malformed otherwise."""
        if not isinstance(raw, list) or len(raw) != 2:
            raise Malformed("written", raw, "must be a clock time and its offset", "send it again")
        instant(raw[0])
        whole = isinstance(raw[1], int) and not isinstance(raw[1], bool)
        if raw[1] != "never checked" and not (whole and abs(raw[1]) < 10**9):
            raise Malformed("written", raw[1], "must be whole seconds", "or never checked")
        return cls(raw[0], raw[1] if whole else None)

    @property
    def corrected(self) -> datetime:
        """The moment, as far as the clock is known."""
        return instant(self.at) + timedelta(seconds=self.offset or 0)


def spoken(text: str, now: datetime) -> Span:
    """The span that a person means.

    ``now`` gives today and the zone. Understood: ``now``, ``2019``, ``2019-06``, ``2019-06-04``,
    ``today``, ``yesterday``, a day with ``morning``, ``noon``, ``afternoon``, ``evening`` or a
    clock time, and ``about`` before that. Raises Malformed for the rest.
    """
    words = text.strip().lower().split()
    if words in ([], ["now"]):
        return Span.at(now)
    about = words[0] == "about"
    if about:
        words = words[1:]
    if not words:
        words = ["about"]  # alone it means nothing
    days = _days(words[0], now)
    rest = " ".join(words[1:] if days else words)
    start, end = days or (now.date(), now.date())
    hours = _hours(rest)
    if hours is None or (rest and start != end):
        raise Malformed(
            "when", text, "is no time that is understood",
            "write now, 2019, 2019-06, 2019-06-04, yesterday, or a day with 14:10 or about noon",
        )  # fmt: skip
    return _span(start, end, hours, ABOUT if about else timedelta(), now)


def _span(
    start: date, end: date, hours: tuple[time, time], about: timedelta, now: datetime
) -> Span:
    first = datetime.combine(start, hours[0], now.tzinfo) - about
    last = datetime.combine(end, hours[1], now.tzinfo) + about
    return Span(stamp(first), stamp(last))


def _days(word: str, now: datetime) -> tuple[date, date] | None:
    today = now.date()
    if word == "today":
        return today, today
    if word == "yesterday":
        return today - timedelta(days=1), today - timedelta(days=1)
    found = _DAY.fullmatch(word)
    if not found:
        return None
    year, month, day = (None if part is None else int(part) for part in found.groups())
    try:
        first = date(year or 0, month or 1, day or 1)
    except ValueError:
        return None
    if day is not None:
        return first, first
    after = date(first.year + 1, 1, 1) if month is None else _next_month(first)
    return first, after - timedelta(days=1)


def _next_month(first: date) -> date:
    return date(first.year + first.month // 12, first.month % 12 + 1, 1)


def _hours(text: str) -> tuple[time, time] | None:
    if not text:
        return time(0), time(23, 59, 59)
    word = text.removeprefix("in the ").removeprefix("at ")
    if word.startswith("about "):
        inner = _hours(word.removeprefix("about "))
        if inner is None or inner[0] < time(0, 30) or inner[1] > time(23, 29):
            return inner
        base = date(2000, 1, 1)
        return (
            (datetime.combine(base, inner[0]) - ABOUT).time(),
            (datetime.combine(base, inner[1]) + ABOUT).time(),
        )
    if word in _PARTS:
        return _PARTS[word]
    found = _CLOCK.fullmatch(word)
    if not found:
        return None
    hour, minute = int(found[1]), int(found[2] or 0)
    if found[3] and not 1 <= hour <= 12:
        return None
    if found[3]:
        hour = hour % 12 + (12 if found[3] == "pm" else 0)
    return (time(hour, minute), time(hour, minute)) if hour < 24 and minute < 60 else None


@dataclass(frozen=True, slots=True)
class Ready:
    """When a wait is over: as a moment where the clock was checked, else only as a length."""

    at: datetime | None
    seconds: int
    """The whole wait, from the time it happened. [s]"""


def ready(happened: Span, written: Written, seconds: int) -> Ready:
    """When ``seconds`` after a joint are over, counted from the latest it can have happened.

    A clock that was never checked gives no moment: only the length is right then. [s]
    """
    if written.offset is None:
        return Ready(None, seconds)
    return Ready(happened.last + timedelta(seconds=written.offset + seconds), seconds)
