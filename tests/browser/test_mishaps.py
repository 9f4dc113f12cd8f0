"""What goes wrong in a hole: lost lines, double taps, two tabs, huge files, a restart."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.browser.conftest import Eye, Server, opened

if TYPE_CHECKING:
    from playwright.sync_api import Browser


def begun(browser: Browser, server: Server, name: str = "Quince lane") -> tuple[Eye, str]:
    """A property and a pit, and the pit's address."""
    eye = opened(browser, server.base, "phone")
    eye.page.goto(server.entry)
    eye.set("name", name)
    eye.press("Add the property")
    eye.set("label", "gate")
    eye.press("Add the pit")
    eye.says("The day's work")
    return eye, eye.page.url.partition("?")[0]


def test_a_script_in_a_name_is_only_a_name(browser: Browser, shared: Server) -> None:
    name = '<script>alert(1)</script><img src=x onerror="alert(2)">'
    eye, home = begun(browser, shared, name)
    eye.page.on("dialog", lambda d: eye.wrong.append(f"dialog {d.message}"))
    eye.page.goto(shared.base)
    assert eye.page.get_by_role("link", name=name).count() == 1
    eye.page.goto(home)
    assert eye.wrong == []


def test_a_double_tap_saves_once(browser: Browser, shared: Server) -> None:
    eye, home = begun(browser, shared)
    eye.page.goto(f"{home}/look")
    eye.fill(what="thin wall", depth="8 1/2")
    eye.page.locator("[data-keep=finding] button.main").dblclick()
    eye.says("thin wall: ")
    eye.page.goto(f"{home}/look")
    assert eye.page.locator(".found li", has_text="thin wall").count() == 1


def test_a_line_lost_in_the_middle_of_a_save_loses_nothing(
    browser: Browser, server: Server
) -> None:
    """The server dies under the form; what was typed stands in it again, and saves once."""
    eye, home = begun(browser, server)
    eye.expected = ("Failed to load resource", "ERR_CONNECTION", "htmx:")
    eye.page.goto(f"{home}/look")
    eye.fill(what="thin wall behind the tee", depth="8 1/2")
    server.kill()
    eye.page.locator("[data-keep=finding] button.main").click()
    eye.page.wait_for_timeout(300)
    server.start()
    eye.page.goto(server.entry)
    eye.page.goto(f"{home}/look")
    eye.says("What you had typed here is back")
    assert eye.page.locator("[name=what]").input_value() == "thin wall behind the tee"
    eye.press("Save what was found")
    eye.says("thin wall behind the tee: ")
    eye.page.goto(f"{home}/look")
    assert eye.page.locator(".found li", has_text="thin wall").count() == 1
    assert "What you had typed" not in eye.page.content()
    assert eye.wrong == []


def test_what_was_saved_does_not_come_back_as_if_it_were_not(
    browser: Browser, shared: Server
) -> None:
    """Forms that lead on to another page: their words are saved, and wait nowhere any more."""
    eye, home = begun(browser, shared)
    eye.page.goto(shared.base)
    assert "What you had typed" not in eye.page.content()
    assert eye.page.locator("form[data-keep=property] [name=name]").input_value() == ""
    eye.page.goto(f"{home}/measure?part=stub")
    eye.set("name", "feed", "#form")
    eye.set("cut_back", "1", "#form")
    eye.press("Save the readings", "#form")
    eye.says("Saved")
    eye.page.goto(f"{home}/measure?part=stub")
    assert "What you had typed" not in eye.page.content()
    eye.set("name", "lawn", "#form")
    eye.page.goto(f"{home}/measure?part=stub")
    eye.says("What you had typed here is back")
    assert eye.page.locator("#form [name=name]").input_value() == "lawn"
    assert eye.wrong == []


def test_what_was_saved_is_no_draft_any_more_and_what_was_not_still_is(
    browser: Browser, shared: Server
) -> None:
    """The next pit, the next thing in the way, begins empty; the other form of a page does not."""
    eye, home = begun(browser, shared)
    eye.expected = ("422",)
    land = eye.page.locator("a.up").get_attribute("href")
    eye.page.goto(f"{shared.base}{land}")
    eye.set("zones", "3")
    eye.set("depth", "14")
    eye.press("Add the pit")
    eye.says("Not saved yet")
    eye.set("label", "side yard")
    eye.press("Add the pit")
    eye.says("The day's work")
    eye.page.goto(f"{shared.base}{land}")
    eye.page.wait_for_load_state("load")
    assert [eye.page.locator(f"[name={n}]").input_value() for n in ("label", "zones", "depth")] == [
        "", "", ""
    ]  # fmt: skip
    assert "What you had typed" not in eye.page.content()
    eye.page.goto(f"{home}/look")
    eye.fill(what="thin wall", quantity="flow", typed="9 gpm")
    eye.press("Save the reading")
    eye.says("Saved: ")
    assert eye.page.locator("[name=what]").input_value() == "thin wall"
    assert eye.page.locator("[name=typed]").input_value() == ""
    eye.page.goto(f"{home}/measure?part=obstacle")
    for name, typed in {
        "name": "rock", "kind": "rock", "start.0": "9", "start.1": "9", "start.2": "0", "thick": "3"
    }.items():  # fmt: skip
        eye.set(name, typed, "#form")
    eye.press("Save the readings", "#form")
    eye.says("Saved: ")
    eye.page.goto(f"{home}/measure?part=obstacle")
    eye.page.wait_for_load_state("load")
    assert eye.page.locator("#form [name=name]").input_value() == ""
    assert eye.wrong == []


def test_two_tabs_are_told_of_each_other(browser: Browser, shared: Server) -> None:
    eye, home = begun(browser, shared)
    eye.expected = ("422",)
    other = eye.context.new_page()
    for page in (eye.page, other):
        page.goto(f"{home}/measure?part=pit")
    eye.set("downstream", "toward the shed")
    eye.press("Save the readings", "#form")
    eye.says("Saved")
    other.locator("[name=downstream]").fill("toward the oak")
    other.locator("#form button.main").click()
    other.wait_for_selector("text=Changed since this page was made")
    assert other.locator("[name=downstream]").input_value() == "toward the oak"
    assert "toward the shed" in other.locator("[role=alert]").inner_text()
    other.locator("#form button.main").click()
    other.wait_for_selector("text=Saved")
    assert other.locator("[name=downstream]").input_value() == "toward the oak"


def test_a_file_of_200_mb_is_refused_before_it_is_sent(
    browser: Browser, shared: Server, tmp_path: Path
) -> None:
    huge = tmp_path / "huge.jpg"
    with huge.open("wb") as file:
        file.truncate(200 * 1024 * 1024)
    eye, home = begun(browser, shared)
    eye.page.goto(f"{home}/look")
    eye.fill(what="a very large picture")
    eye.page.locator("[name=photo]").evaluate("e => { e.closest('details').open = true; }")
    line = eye.context.new_cdp_session(eye.page)
    node = line.send("DOM.getDocument")["root"]["nodeId"]
    found = line.send("DOM.querySelector", {"nodeId": node, "selector": "[name=photo]"})
    line.send("DOM.setFileInputFiles", {"files": [str(huge)], "nodeId": found["nodeId"]})
    eye.press("Save what was found")
    eye.says("210 MB; at most 40 MB are kept")
    assert eye.page.locator("[name=what]").input_value() == "a very large picture"
    assert eye.wrong == []


def test_an_undo_is_there_after_every_saving(browser: Browser, shared: Server) -> None:
    eye, home = begun(browser, shared)
    eye.page.goto(f"{home}/look")
    eye.press("It weeps")
    eye.says("Saved: ")
    eye.press("Undo")
    eye.says("Taken back.")
    assert "✓ noted" not in eye.page.content()
    eye.press("Put back")
    eye.page.goto(f"{home}/look")
    eye.says("✓ noted")
    assert eye.wrong == []


@pytest.mark.parametrize(
    ("typed", "shown", "tapped"),
    [
        ("4 1/2", "4 1/2 in", "6 1/2"),
        ("114 mm", "4 1/2 in", "6 1/2"),
        ("1' 2 1/4\"", "14 1/4 in", "6 1/4"),
        ("-2.5", "-2 1/2 in", "-6 1/2"),
        ("4-5 in", "4-5 in stays until you touch the ruler", "6"),
    ],
)
def test_the_ruler_opens_at_what_is_typed(
    browser: Browser, shared: Server, typed: str, shown: str, tapped: str
) -> None:
    eye, home = begun(browser, shared)
    eye.page.goto(f"{home}/measure?part=valve")
    field = eye.page.locator("#form [name=made_up]")
    field.fill(typed)
    eye.page.get_by_role("button", name="Ruler for Made-up").click()
    assert eye.page.locator(".ruler output").inner_text() == shown
    eye.page.locator(".wheel [data-n='6']").click()
    assert field.input_value() == tapped
    assert eye.wrong == []


def test_after_a_save_what_was_saved_and_the_next_field_are_both_in_sight(
    browser: Browser, shared: Server
) -> None:
    eye, home = begun(browser, shared)
    eye.page.goto(f"{home}/measure")
    eye.press("Lay it out")
    eye.says("Saved")
    eye.page.goto(f"{home}/measure?part=box")
    for name in ("mouth.left", "mouth.right", "mouth.upstream", "mouth.downstream"):
        eye.set(name, "9", "#form")
    eye.set("grade", "9", "#form")
    eye.set("floor", "8", "#form")
    eye.press("Save the readings", "#form")
    eye.says("Saved: ")
    eye.says("Stub: in-1")
    for place in (".notice.saved button", "#form h2", "#form select"):
        box = eye.page.locator(place).first.bounding_box()
        assert box is not None and 0 <= box["y"] <= 844 - 60, place
