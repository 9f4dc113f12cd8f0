"""A resumed plan in a browser: gone on with, restarted at every step, broken once more, taken back.

The pit is the chapel lawn from its file; the lawn's pipe breaks twice.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest

from tests.browser.conftest import PICTURES, Eye, Server, opened, when_planned
from tests.house.reading import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Browser

LAWN = (ROOT / "examples" / "chapel-lawn.pit.toml").read_text("utf-8")
WAY = "45-45 bends, valve on the first leg; inlet: straight on the stub; outlet: straight"
FIRST = {"tip.0": "3 1/4", "tip.1": "27", "tip.2": "-2", "cut_back": "4", "bare": "10"}
SECOND = {"tip.0": "3 1/4", "tip.1": "27 3/4", "tip.2": "-2", "cut_back": "3", "bare": "9"}


class Resuming:
    """One person's way; everything dies at its turns, or ``always`` after each check as well."""

    def __init__(self, eye: Eye, server: Server, *, always: bool = False) -> None:
        self.eye, self.page, self.server = eye, eye.page, server
        self.always = always
        self.looked = bool(os.environ.get(PICTURES))
        self.home = ""

    def see(self, name: str) -> None:
        if self.looked:
            self.eye.look(name)

    def die(self) -> None:
        here = self.page.url.partition("?")[0].partition("#")[0]
        self.server.again()
        self.page.goto(self.server.entry)
        self.page.goto(here)
        when_planned(self.page)

    def begin(self) -> None:
        self.page.goto(self.server.entry)
        self.eye.set("name", "Chapel")
        self.eye.press("Add the property")
        self.eye.set("label", "lawn box")
        self.eye.press("Add the pit")
        self.eye.says("The day's work")
        self.home = self.page.url.partition("?")[0]
        self.page.goto(f"{self.home}/measure")
        self.eye.set("survey", LAWN)
        self.page.locator("[data-keep=file] button.main").click()
        self.eye.says("Nothing is missing")
        self.page.goto(f"{self.home}/choose")
        when_planned(self.page)
        way = self.page.locator("article.option").filter(has_text=WAY).first
        way.get_by_role("button", name="Choose this way").click()
        self.eye.says("✓ chosen")

    def at(self, step: str) -> None:
        self.page.goto(f"{self.home}/{step}")
        when_planned(self.page)

    def do(self, count: int) -> None:
        """Check the next open steps, one after the other."""
        for _ in range(count):
            before = self.page.locator("li.done").count()
            self.page.locator("li.open button.main").first.click()
            self.page.wait_for_function(
                "n => document.querySelectorAll('li.done').length > n", arg=before
            )
            if self.always:
                self.die()
                assert self.page.locator("li.done").count() > before

    def breaks(self, what: str, left: dict[str, str]) -> None:
        self.at("resume")
        self.page.locator("#again summary").first.click()
        self.eye.set("stub", "lawn", "#again")
        self.eye.set("broken", what, "#again")
        for name, typed in left.items():
            self.eye.set(name, typed, "#again")
        self.eye.press("Save, and go on from here", "#again")
        self.eye.says(f"Stub lawn broke ({what})")

    def goes_on(self, times: str) -> None:
        self.eye.press("Go on this way")
        self.eye.says(f"Resumed {times}")


def test_a_resumed_plan_has_steps_and_clocks_of_its_own_that_outlive_everything(
    browser: Browser, server: Server
) -> None:
    twice(browser, server, always=False)


@pytest.mark.nightly
def test_a_resumed_plan_outlives_a_death_after_every_single_check(
    browser: Browser, server: Server
) -> None:
    twice(browser, server, always=True)


def twice(browser: Browser, server: Server, *, always: bool) -> None:
    """Broken, gone on with, broken again, gone on with, taken back, put back."""
    eye = opened(browser, server.base, "phone")
    way = Resuming(eye, server, always=always)
    way.begin()
    way.at("build")
    way.do(8)
    assert way.page.locator("time").count() > 0
    way.breaks("split at the elbow", FIRST)
    way.see("1-resume")
    way.die()
    eye.says("Stub lawn broke (split at the elbow)")
    way.goes_on("once")
    assert "do not go on by them yet" not in way.page.inner_text("main")
    way.die()
    eye.says("Resumed once")
    way.see("2-build-resumed")
    stood = way.page.locator("li.done").count()
    way.do(2)
    way.die()
    assert way.page.locator("li.done").count() == stood + 2
    way.breaks("split once more", SECOND)
    way.die()
    eye.says("Stub lawn broke (split once more)")
    way.see("3-resume-again")
    way.goes_on("twice")
    way.die()
    eye.says("Resumed twice")
    way.see("4-build-twice")
    eye.press("Take the resumed plan back")
    eye.says("Resumed once")
    eye.says("Something broke at lawn: split once more")
    assert way.page.locator("li.done").count() == stood + 2
    eye.press("Put back")
    eye.says("Resumed twice")
    assert eye.wrong == []
