"""The whole job in a browser: from an empty record to the owner's page, restarted at every step.

The pit is field case P3, entered from its description as a new user would: a typical layout, then
the lengths that it asks for.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import pytest

from tests.browser.conftest import PICTURES, Eye, Server, opened, when_planned

if TYPE_CHECKING:
    from playwright.sync_api import Browser

PARTS: tuple[tuple[str, str, dict[str, str]], ...] = (
    ("box", "", {
        "mouth.left": "-6", "mouth.right": "8", "mouth.upstream": "-4", "mouth.downstream": "13",
        "soil.left": "-9", "soil.right": "9", "soil.upstream": "-7", "soil.downstream": "40",
        "grade": "10", "floor": "-8",
    }),
    ("stub", "in-1", {"cut_back": "1", "bare": "6; 18 down", "condition": "sound"}),
    ("stub", "out-1", {
        "tip.0": "3", "tip.1": "2 ft 2", "tip.2": "-2", "through.0": "3.42 in", "through.1": "38",
        "through.2": "-2", "cut_back": "203 mm", "bare": "12", "condition": "sound",
    }),
    ("valve", "new", {"body": "4 3/4", "made_up": "5.57"}),
    ("obstacle", "", {
        "name": "root", "kind": "root", "start.0": "-6", "start.1": "17", "start.2": "-2.6",
        "end.0": "6", "end.1": "17", "end.2": "-2.6", "thick": "1 1/2", "clear": "1/2",
    }),
)  # fmt: skip


BROKEN = {"tip.0": "3 1/16", "tip.1": "27", "tip.2": "-2", "cut_back": "7", "bare": "11"}
"""What is left of the outlet once an inch of it is off."""


class Job:
    """One person's way through the job. ``deaths``: how often everything dies on the way.

    0 never, 1 at the turns of the work, 2 after everything that is saved. ``looked``: whether
    every page is looked at as it comes.
    """

    def __init__(self, eye: Eye, server: Server, deaths: int, looked: bool) -> None:
        self.eye, self.page, self.server, self.deaths = eye, eye.page, server, deaths
        self.looked = looked or bool(os.environ.get(PICTURES))
        self.home = ""

    def see(self, name: str) -> None:
        if self.looked:
            self.eye.look(name)

    def die(self, least: int = 2) -> None:
        """Server and page gone, both begun again; the way back is the address of the page."""
        if self.deaths < least:
            return
        here = self.page.url.partition("?")[0]
        self.server.again()
        self.page.goto(self.server.entry)
        self.page.goto(here)

    def begin(self) -> None:
        self.page.goto(self.server.entry)
        self.see("1-empty")
        self.eye.set("name", "Quince lane")
        self.eye.press("Add the property")
        self.die()
        self.eye.set("label", "under the root")
        self.eye.set("depth", "1 ft 6")
        self.eye.press("Add the pit")
        self.eye.says("The day's work")
        self.home = self.page.url.partition("?")[0]
        self.die(1)

    def search(self) -> None:
        """Found again by a word of its name."""
        self.page.goto(self.server.base)
        self.page.fill("#q", "quin")
        self.eye.press("Search")
        assert self.page.get_by_role("link", name="Quince lane").count() == 1

    def look(self) -> None:
        self.page.goto(f"{self.home}/look")
        self.eye.press("It weeps")
        self.eye.fill(quantity="static pressure", typed="62 psi")
        self.eye.press("Save the reading")
        self.eye.says("before: static pressure")
        self.die()
        self.eye.says("may mean")
        self.see("2-look")

    def measure(self) -> None:
        self.page.goto(f"{self.home}/measure")
        self.eye.press("Lay it out")
        self.eye.says("Saved")
        self.see("3-measure")
        for part, name, values in PARTS:
            self.page.goto(f"{self.home}/measure?part={part}&name={name}")
            for field, value in values.items():
                self.eye.set(field, value, "#form")
            self.eye.press("Save the readings")
            self.eye.says("Saved")
            self.die()
        self.die(1)
        self.page.goto(f"{self.home}/measure")
        self.eye.says("Nothing is missing")
        self.see("4-measured")

    def choose(self) -> None:
        self.page.goto(f"{self.home}/choose")
        when_planned(self.page)
        self.see("5-choose")
        self.eye.press("Choose this way")
        self.eye.says("✓ chosen")
        self.die()
        when_planned(self.page)
        self.eye.says("✓ chosen")

    def build(self) -> None:
        self.page.goto(f"{self.home}/build")
        when_planned(self.page)
        self.see("6-build")
        self.eye.page.locator("li.open button.main").first.click()
        self.page.wait_for_selector("li.done")
        self.die(1)
        when_planned(self.page)
        assert self.page.locator("li.done").count() == 1
        piece = self.page.locator("[data-keep^='cut-']").first
        piece.evaluate("e => { e.closest('details').open = true; }")
        piece.locator("input[type=text]").first.fill("6 3/8")
        piece.get_by_role("button", name="Save its length").click()
        self.eye.says("Cut to 6 3/8")
        self.die()
        when_planned(self.page)
        self.eye.says("Cut to 6 3/8")

    def mend(self) -> None:
        """The pipe behind the outlet cracks: what is left is measured, and the plan resumed."""
        self.page.goto(f"{self.home}/build")
        when_planned(self.page)
        self.page.get_by_role("link", name="Something broke, or differs").click()
        self.page.locator("#again summary").first.click()
        self.eye.expected = ("422",)  # the form comes back once, with what is wrong
        self.eye.set("stub", "out-1", "#again")
        self.eye.set("broken", "cracked behind the saw cut", "#again")
        self.eye.press("Save, and go on from here", "#again")
        self.eye.says("Measure the middle of the new open end")
        assert (
            self.page.locator("#again [name=broken]").input_value() == "cracked behind the saw cut"
        )
        for name, typed in BROKEN.items():
            self.eye.set(name, typed, "#again")
        self.eye.press("Save, and go on from here", "#again")
        self.eye.says("Saved")
        self.eye.says("Stub out-1 broke (cracked behind the saw cut)")
        self.die(1)
        self.page.goto(f"{self.home}/resume")
        when_planned(self.page)
        self.eye.says("Stub out-1 broke (cracked behind the saw cut)")
        self.see("6b-resume")
        self.page.goto(f"{self.home}/build")
        when_planned(self.page)
        self.eye.says("do not go on by them yet")
        self.page.goto(f"{self.home}/resume")
        self.eye.press("Take out-1 away")
        self.eye.says("taken away")
        assert "Stub out-1 broke" not in self.page.inner_text("main")

    def prove(self) -> None:
        self.page.goto(f"{self.home}/prove")
        self.eye.fill(what="meter still for 15 minutes", result="pass")
        self.eye.press("Save the test")
        self.eye.says("minutes: pass")
        self.die()
        self.eye.set("quantity", "static pressure")
        self.eye.set("typed", "61 psi")
        self.eye.press("Save the reading", "[data-keep=after]")
        self.eye.says("61 psi")
        self.eye.fill(stations="3", far="90 ft", complaint="zone 2 dead")
        self.eye.press("Lay the wiring out")
        self.eye.says("Next:")
        self.die()
        self.eye.says("Next:")
        self.eye.set("shown", "S1 to C1: 26", "[data-keep=meter]")
        self.eye.press("Save the reading", "[data-keep=meter]")
        self.eye.says("S1 to C1: 26")
        self.die()
        self.eye.says("S1 to C1: 26")
        self.see("7-prove")

    def close(self) -> bytes:
        self.page.goto(f"{self.home}")
        self.eye.fill(
            mark_a="gate post", a="7 ft 3", mark_b="wall corner", b="5 ft 11 1/2", between="9 ft"
        )
        self.eye.press("Save the tie")
        self.eye.says("seen from above")
        self.die()
        self.see("8-pit")
        self.page.goto(f"{self.home}/close")
        when_planned(self.page)
        self.eye.fill(closed="yes", held="yes", cured="yes")
        self.eye.press("Save how it turned out")
        self.eye.says("closed yes")
        self.die(1)
        self.see("9-close")
        return self.eye.context.request.get(f"{self.home}/owner.pdf").body()


def whole(
    browser: Browser, server: Server, size: str, deaths: int, looked: bool, slow: float = 1.0
) -> None:
    eye = opened(browser, server.base, size, slow=slow)
    job = Job(eye, server, deaths, looked)
    job.begin()
    job.search()
    job.look()
    job.measure()
    job.choose()
    job.build()
    job.mend()
    job.prove()
    paper = job.close()
    assert paper.startswith(b"%PDF-")
    assert eye.wrong == []


def test_the_whole_job_on_a_phone_with_everything_killed_at_its_turns(
    browser: Browser, server: Server
) -> None:
    whole(browser, server, "phone", deaths=1, looked=False)


@pytest.mark.nightly
def test_the_whole_job_on_a_phone_with_everything_killed_after_each_saving(
    browser: Browser, server: Server
) -> None:
    whole(browser, server, "phone", deaths=2, looked=True)


@pytest.mark.nightly
def test_the_whole_job_on_a_desk(browser: Browser, server: Server) -> None:
    whole(browser, server, "desk", deaths=0, looked=True)


@pytest.mark.nightly
def test_the_whole_job_on_a_phone_four_times_slower(browser: Browser, server: Server) -> None:
    whole(browser, server, "phone", deaths=0, looked=False, slow=4.0)
