"""Times as people say them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import Malformed
from pitwright.records.when import Span, Written, instant, ready, spoken, stamp

NOW = datetime(2026, 5, 4, 9, 30, tzinfo=timezone(timedelta(hours=-5)))


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [
        ("now", "2026-05-04T09:30:00-05:00", "2026-05-04T09:30:00-05:00"),
        ("", "2026-05-04T09:30:00-05:00", "2026-05-04T09:30:00-05:00"),
        ("today", "2026-05-04T00:00:00-05:00", "2026-05-04T23:59:59-05:00"),
        ("yesterday", "2026-05-03T00:00:00-05:00", "2026-05-03T23:59:59-05:00"),
        ("yesterday afternoon", "2026-05-03T12:00:00-05:00", "2026-05-03T18:00:00-05:00"),
        ("noon", "2026-05-04T11:45:00-05:00", "2026-05-04T12:15:00-05:00"),
        ("about 14:10", "2026-05-04T13:40:00-05:00", "2026-05-04T14:40:00-05:00"),
        ("about 2 pm", "2026-05-04T13:30:00-05:00", "2026-05-04T14:30:00-05:00"),
        ("2019", "2019-01-01T00:00:00-05:00", "2019-12-31T23:59:59-05:00"),
        ("2024-02", "2024-02-01T00:00:00-05:00", "2024-02-29T23:59:59-05:00"),
        ("2019-12", "2019-12-01T00:00:00-05:00", "2019-12-31T23:59:59-05:00"),
        ("2019-06-04", "2019-06-04T00:00:00-05:00", "2019-06-04T23:59:59-05:00"),
        ("2019-06-04 14:10", "2019-06-04T14:10:00-05:00", "2019-06-04T14:10:00-05:00"),
        ("2019-06-04 about noon", "2019-06-04T11:15:00-05:00", "2019-06-04T12:45:00-05:00"),
        ("12 am", "2026-05-04T00:00:00-05:00", "2026-05-04T00:00:00-05:00"),
        ("12:30 pm", "2026-05-04T12:30:00-05:00", "2026-05-04T12:30:00-05:00"),
    ],
)
def test_a_time_is_understood(text: str, start: str, end: str) -> None:
    assert spoken(text, NOW) == Span(start, end)


@pytest.mark.parametrize(
    "text", ["soon", "2019-13", "2019-02-30", "25:00", "13 pm", "2019 14:10", "about", "0000"]
)
def test_a_time_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(Malformed, match="when"):
        spoken(text, NOW)


@given(st.text(max_size=20))
def test_any_text_is_a_time_or_one_clear_mistake(text: str) -> None:
    try:
        span = spoken(text, NOW)
    except Malformed:
        return
    assert Span.from_json(span.as_json()) == span
    assert span.first <= span.middle <= span.last


def test_moments_need_a_zone_and_a_sensible_year() -> None:
    assert stamp(datetime(2026, 5, 4, tzinfo=UTC)) == "2026-05-04T00:00:00Z"
    for bad in ("2026-05-04", "2026-05-04T12:00", "9999-01-01T00:00:00Z", 5, None):
        with pytest.raises(Malformed):
            instant(bad)
    with pytest.raises(Malformed, match="zone"):
        stamp(datetime(2026, 5, 4))


def test_a_wait_counts_from_the_latest_it_can_have_happened() -> None:
    span = spoken("about noon", NOW)
    checked, unchecked = Written(stamp(NOW), 60), Written(stamp(NOW), None)

    assert ready(span, checked, 7200).at == span.last + timedelta(seconds=7260)
    assert ready(span, unchecked, 7200).at is None
    assert ready(span, unchecked, 7200).seconds == 7200


@pytest.mark.parametrize("raw", [[], ["2026-05-04T12:00:00Z"], ["2026-05-04T12:00:00Z", 1.5], "x"])
def test_a_clock_that_is_none_is_refused(raw: object) -> None:
    with pytest.raises(Malformed):
        Written.from_json(raw)
