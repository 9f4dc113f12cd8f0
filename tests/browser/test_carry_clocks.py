"""The clocks of the carry file: they run on a locked phone, and come home with the step."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from pitwright.carry.page import carry_page
from pitwright.joining.assembly import Step
from pitwright.records.progress import step_label
from tests.browser.carrying import (
    exported,
    notes_in,
    picture,
    unfolded,
)
from tests.browser.phone import Phone, phone, violations
from tests.carry.stepped import stepped

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

STARTED = datetime(2026, 5, 4, 14, 0, tzinfo=UTC)
"""10:00 on the phone, which stands in New York."""


def glued(tmp_path: Path) -> tuple[Path, str, Step]:
    """A page with steps, and the first of them that is cemented."""
    carries, assembly = stepped()
    path = tmp_path / "stepped.html"
    path.write_text(carry_page(carries), "utf-8")
    number, step = next((n, s) for n, s in enumerate(assembly.steps, 1) if s.waits.hold)
    return path, f"[data-step='{step_label('lawn', 0, number, step.code)}']", step


def at_ten(hand: Phone, path: Path) -> Page:
    """The page on a phone whose clock was set to ten just now."""
    hand.context.clock.install(time=STARTED)
    return hand.open(path)


def says(text: str, words: str, seconds: float) -> bool:
    """Whether a clock ends so long after ten, or the little later that the test itself took."""
    ends = [STARTED - timedelta(hours=4) + timedelta(seconds=round(seconds) + d) for d in range(30)]
    return any(f"{words} {end:%H:%M:%S}" in text for end in ends)


def test_a_tick_starts_the_clocks_and_a_locked_phone_does_not_stop_them(
    hand: Phone, tmp_path: Path
) -> None:
    path, place, step = glued(tmp_path)
    page = at_ten(hand, path)
    clock = page.locator(f"div:has(> {place}) > .clock")
    assert not clock.is_visible()
    page.locator(f"{place} button").tap()
    told = clock.inner_text()
    assert says(told, "hold it by hand until", step.waits.hold) and "left)" in told
    assert says(told, "set, braces stay until", step.waits.set)
    hand.context.clock.run_for(round(step.waits.hold * 1000) + 1000)
    assert "(over)" in clock.inner_text().splitlines()[0]
    assert "hold it by hand: over" in page.locator("#rung").inner_text()
    page.close()  # locked, thrown out of the phone's memory, opened again long after
    hand.context.clock.fast_forward("30:00")
    again = hand.open(path)
    clock = again.locator(f"div:has(> {place}) > .clock")
    assert says(clock.inner_text(), "set, braces stay until", step.waits.set)
    assert again.locator("#rung").inner_text() == ""
    again.locator(f"{place} button").tap()
    assert not clock.is_visible()
    again.locator(f"{place} button").tap()
    assert not says(clock.inner_text(), "hold it by hand until", step.waits.hold)


def test_water_waits_for_the_last_joint_of_all(hand: Phone, tmp_path: Path) -> None:
    path, _, _ = glued(tmp_path)
    _, assembly = stepped()
    page = at_ten(hand, path)
    water = page.locator("[data-water=lawn]")
    cemented = [s for s in assembly.steps if s.waits.cure]
    for n, step in enumerate(cemented, 1):
        assert "after the last joint" in water.inner_text()
        number = assembly.steps.index(step) + 1
        page.locator(f"[data-step='{step_label('lawn', 0, number, step.code)}'] button").tap()
        if n < len(cemented):
            hand.context.clock.run_for(60_000)
    ends = max(60 * n + s.waits.cure for n, s in enumerate(cemented))
    told = water.inner_text()
    assert says(told, "Water on not before", ends), told
    picture(unfolded(page), "carry-clocks")
    assert violations(page) == []


def test_where_nothing_is_kept_a_clock_says_to_write_it_down(
    browser: Browser, tmp_path: Path
) -> None:
    path, place, _ = glued(tmp_path)
    with phone(browser) as one:
        denied = "Object.defineProperty(window, 'localStorage', {get() { throw new Error('no'); }})"
        one.context.add_init_script(denied)
        page = one.open(path)
        page.locator(f"{place} button").tap()
        said = page.locator(f"div:has(> {place}) > .clock").inner_text()
        assert "hold it by hand until" in said and "write this time down" in said
        assert one.wrong == []


def test_a_ticked_step_comes_home_with_its_time(
    hand: Phone, folder: Path, tmp_path: Path, record: Callable[..., str]
) -> None:
    """The app's own clocks go on from it: the step has the name that the app looks for."""
    path, place, step = glued(tmp_path)
    page = hand.open(path)
    page.locator(f"{place} button").tap()
    notes = notes_in(exported(page, tmp_path))
    kinds = [n["kind"] for n in notes]
    assert kinds == ["step", *["joint"] * len(step.joints)]
    assert {n["at"] for n in notes} == {notes[0]["at"]}
    assert notes[0]["body"]["hold"] == f"{step.waits.hold:.0f}"
    said = record("record", "import", str(tmp_path / "chapel-lawn.notes.json"), "--pit", "lawn")
    assert said.startswith(f"{len(notes)} notes taken in")
    assert step.code.replace("_", " ") in record("record", "show", "lawn")
