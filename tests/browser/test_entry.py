"""A typical pit is entered from a layout in under two minutes, by a published model of the hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from bench.bench_entry import LENGTHS, LIMIT, entered
from tests.browser.conftest import Server, when_planned
from tests.browser.test_mishaps import begun

if TYPE_CHECKING:
    from playwright.sync_api import Browser


@pytest.mark.parametrize("touched", [False, pytest.param(True, marks=pytest.mark.nightly)])
def test_a_typical_pit_takes_less_than_two_minutes_to_enter_and_can_be_planned(
    browser: Browser, shared: Server, touched: bool
) -> None:
    """Counted, not timed: taps, swipes and letters, with the operator times of the model."""
    eye, home = begun(browser, shared)
    thumb = entered(eye.page, home, touched=touched)
    eye.says("Nothing is missing")
    assert thumb.done["tape"] == len(LENGTHS)
    assert thumb.done["letter"] > 0 and thumb.done["tap"] > len(LENGTHS)
    assert thumb.seconds() < LIMIT
    eye.page.goto(f"{home}/choose")
    when_planned(eye.page)
    eye.says("Cut list")
    assert eye.wrong == []


def test_the_form_of_all_that_is_missing_keeps_what_was_typed_and_asks_again_for_the_rest(
    browser: Browser, shared: Server
) -> None:
    eye, home = begun(browser, shared)
    eye.expected = ("422",)
    eye.page.goto(f"{home}/measure")
    eye.press("Lay it out")
    eye.says("All that is missing")
    eye.look("9-missing")
    for name, typed in (("box.grade", "10"), ("stub.out-1.tip.1", "14 3/x")):
        eye.page.locator(f'[name="{name}"]').fill(typed)
    eye.press("Save the readings", "#form")
    eye.says("Not saved yet")
    assert eye.page.locator('[name="box.grade"]').input_value() == "10"
    assert eye.page.locator('.field.bad:has([name="stub.out-1.tip.0"])').count() > 0
    assert eye.page.locator('[name="stub.out-1.tip.1"]').input_value() == "14 3/x"
    for n, typed in enumerate(("0", "14 3/8", "0")):
        eye.page.locator(f'[name="stub.out-1.tip.{n}"]').fill(typed)
    eye.press("Save the readings", "#form")
    eye.says("Enter all of it on one page")
    eye.page.get_by_role("link", name="Enter all of it on one page").click()
    assert eye.page.locator('[name="box.floor"]').count() == 1
    assert eye.page.locator('[name="box.grade"]').count() == 0
    assert eye.wrong == []
