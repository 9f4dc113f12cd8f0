"""Every page of the example firm, in both sizes, by day and by night."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.browser.conftest import Eye, Server, opened, when_planned

if TYPE_CHECKING:
    from playwright.sync_api import Browser

STEPS = ("", "look", "measure", "choose", "build", "prove", "close")


def through(eye: Eye, demo: Server, land: str, pit: str, steps: tuple[str, ...] = STEPS) -> None:
    """Every step of one pit, folds opened on the way, and what must hold of it."""
    eye.page.goto(demo.entry)
    eye.page.get_by_role("link", name=land, exact=True).click()
    eye.page.get_by_role("link", name=pit, exact=True).click()
    home = eye.page.url
    for step in steps:
        eye.page.goto(f"{home}/{step}" if step else home)
        when_planned(eye.page)
        eye.look(f"demo-{land.split()[0].lower()}-{step or 'pit'}")


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_pages_fit_can_be_pressed_and_read(browser: Browser, demo: Server, size: str) -> None:
    eye = opened(browser, demo.base, size)
    through(eye, demo, "Chapel lawn", "by the tower")
    assert eye.wrong == []


@pytest.mark.nightly
@pytest.mark.parametrize("size", ["phone", "desk"])
@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize(
    ("land", "pit"), [("School garden", "north gate"), ("Allotment", "plot 12")]
)
def test_crowded_and_refused_pits_too_by_day_and_by_night(
    browser: Browser, demo: Server, size: str, dark: bool, land: str, pit: str
) -> None:
    eye = opened(browser, demo.base, size, dark=dark)
    through(eye, demo, land, pit)
    assert eye.wrong == []


def test_forms_opened_and_dark_pages_pass_too(browser: Browser, demo: Server) -> None:
    eye = opened(browser, demo.base, "phone", dark=True)
    through(eye, demo, "Chapel lawn", "by the tower", ("measure",))
    eye.page.locator("a.spot").first.evaluate("e => { location.href = e.href.baseVal; }")
    eye.page.wait_for_selector("#form")
    eye.page.locator("button.rule").first.click()
    eye.look("demo-stub")
    assert eye.wrong == []


def test_360_px_are_enough(browser: Browser, demo: Server) -> None:
    eye = opened(browser, demo.base, "phone")
    eye.page.set_viewport_size({"width": 360, "height": 740})
    eye.page.goto(demo.entry)
    eye.page.get_by_role("link", name="School garden", exact=True).click()
    eye.page.get_by_role("link", name="north gate", exact=True).click()
    home = eye.page.url
    for step in STEPS:
        eye.page.goto(f"{home}/{step}" if step else home)
        assert eye.page.evaluate("document.documentElement.scrollWidth") <= 360, step


def test_a_length_can_be_touched_and_is_said_back(browser: Browser, demo: Server) -> None:
    eye = opened(browser, demo.base, "phone")
    page = eye.page
    page.goto(demo.entry)
    page.get_by_role("link", name="Chapel lawn", exact=True).click()
    page.get_by_role("link", name="by the tower", exact=True).click()
    page.goto(f"{page.url}/measure?part=stub&name=feed")
    field = page.locator("[name='cut_back']")
    page.locator(".field:has([name='cut_back']) button.rule").tap()
    page.locator(".wheel button", has_text="4").first.tap()
    ruler = page.locator(".ruler svg")
    ruler.scroll_into_view_if_needed()
    box = ruler.bounding_box()
    assert box is not None
    page.touchscreen.tap(box["x"] + box["width"] * (10 + 6 * 20) / 330, box["y"] + 20)
    assert field.input_value() == "4 3/8"
    eye.says("= 4 3/8 in (111 mm)")
    field.fill("4 3/x")
    eye.says("must be")
    assert eye.wrong == []


def test_the_drawing_turns_under_a_finger_and_by_keys(browser: Browser, demo: Server) -> None:
    eye = opened(browser, demo.base, "desk")
    page = eye.page
    page.goto(demo.entry)
    page.get_by_role("link", name="Orchard", exact=True).click()
    page.get_by_role("link", name="gate", exact=True).click()
    drawing = page.locator("svg[data-turn]")
    before = drawing.inner_html()
    box = drawing.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 60, box["y"] + 60)
    page.mouse.down()
    page.mouse.move(box["x"] + 160, box["y"] + 90, steps=5)
    page.mouse.up()
    turned = drawing.inner_html()
    assert turned != before
    drawing.focus()
    page.keyboard.press("ArrowLeft")
    assert drawing.inner_html() != turned
    assert eye.wrong == []
