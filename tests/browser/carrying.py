"""A record with a carry file in it, and a phone to hold it in."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pitwright.cli import main
from tests.house.reading import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Page

EXAMPLES = ROOT / "examples"
PICTURES = os.environ.get("PITWRIGHT_PICTURES", "")
"""A folder for pictures of the pages, to be looked at; none are kept unless it is named."""


def command(*words: str) -> None:
    assert main.run(list(words)) == main.OK


def picture(page: Page, name: str) -> None:
    if PICTURES:
        page.screenshot(path=str(Path(PICTURES) / f"{name}.png"), full_page=True)


def unfolded(page: Page) -> Page:
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    return page


def cut(page: Page, letter: str, typed: str) -> None:
    page.get_by_label(f"As cut, lawn {letter}", exact=True).fill(typed)
    page.get_by_role("button", name=f"Note: As cut, lawn {letter}").tap()


def exported(page: Page, into: Path) -> Path:
    with page.expect_download() as coming:
        page.locator("#save").tap()
    path = into / coming.value.suggested_filename
    coming.value.save_as(path)
    return path


def notes_in(path: Path) -> list[dict[str, Any]]:
    return [n for n in json.loads(path.read_text("utf-8"))["notes"] if not n["back"]]
