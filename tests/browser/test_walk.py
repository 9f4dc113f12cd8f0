"""The walk of docs/app.md, done in a browser; its pictures are made here.

With PITWRIGHT_PICTURES=docs/pictures they are put where the docs show them.
"""

from __future__ import annotations

import io
import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from tests.browser.conftest import PICTURES, Eye, Server, opened, when_planned
from tests.house.reading import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Browser

COLOURS = 24
"""Enough for flat pages; keeps a picture at a few kB. [-]"""
LARGEST = 40_000
"""One picture of the docs. [bytes]"""


def kept(eye: Eye, folder: Path, name: str, at: str = "") -> None:
    """What the phone shows, from the element named ``at`` on, as a small picture."""
    if at:
        eye.page.locator(at).first.evaluate("e => e.scrollIntoView({block: 'start'})")
    shot = eye.page.screenshot(animations="disabled")
    picture = Image.open(io.BytesIO(shot)).convert("RGB").quantize(COLOURS)
    path = folder / f"app-{name}.png"
    picture.save(path, optimize=True)
    assert path.stat().st_size < LARGEST, name


def walk(eye: Eye, demo: Server, folder: Path) -> None:
    page = eye.page
    page.goto(demo.entry)
    eye.says("Chapel lawn")
    kept(eye, folder, "properties")
    page.get_by_role("link", name="Chapel lawn", exact=True).click()
    page.get_by_role("link", name="by the tower", exact=True).click()
    home = page.url
    kept(eye, folder, "pit")
    page.goto(f"{home}/look")
    eye.press("It weeps")
    eye.says("✓ noted")
    kept(eye, folder, "look")
    page.goto(f"{home}/measure?part=stub&name=feed#form")
    page.locator(".field:has([name='cut_back']) button.rule").tap()
    page.locator(".wheel button", has_text="1").first.tap()
    eye.says("= 1 in (25 mm)")
    kept(eye, folder, "measure", ".field:has([name='cut_back'])")
    page.goto(f"{home}/choose")
    when_planned(page)
    eye.press("Choose this way")
    eye.says("✓ chosen")
    kept(eye, folder, "choose", "section.zone")
    page.goto(f"{home}/build")
    when_planned(page)
    page.locator("li.open button.main").first.click()
    page.wait_for_selector("li.done")
    kept(eye, folder, "build", "ol.steps-list")
    page.goto(f"{home}/prove#wiring")
    kept(eye, folder, "prove", "#wiring")
    page.goto(f"{home}/close")
    when_planned(page)
    kept(eye, folder, "close")


@pytest.mark.nightly
def test_the_walk_of_the_docs_goes_as_it_is_written(
    browser: Browser, server: Server, tmp_path: Path
) -> None:
    server.kill()
    server.demo = True
    server.start()
    folder = Path(os.environ.get(PICTURES) or tmp_path)
    eye = opened(browser, server.base, "phone")
    walk(eye, server, folder)
    assert eye.wrong == []
    shown = re.findall(r"pictures/(app-\w+\.png)", (ROOT / "docs" / "app.md").read_text("utf-8"))
    assert len(shown) == 8
    assert [name for name in shown if not (folder / name).is_file()] == []
