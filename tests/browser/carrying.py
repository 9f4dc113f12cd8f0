"""A record with a carry file in it, and a phone to hold it in."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from pitwright.cli import main
from tests.browser.phone import Phone, phone
from tests.house.reading import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

EXAMPLES = ROOT / "examples"
PICTURES = os.environ.get("PITWRIGHT_PICTURES", "")
"""A folder for pictures of the pages, to be looked at; none are kept unless it is named."""


def command(*words: str) -> None:
    assert main.run(list(words)) == main.OK


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record with the chapel's pit, and two pages: one from the record, one from a file."""
    home = tmp_path_factory.mktemp("carry")
    record = str(home / "record")
    survey = str(EXAMPLES / "chapel-lawn.pit.toml")
    command("record", "add", "property", "Chapel", "--record", record)
    command("record", "add", "pit", "lawn", "--property", "Chapel", "--record", record)
    command("plan", survey, "--save", "lawn", "--record", record)
    harness = str(EXAMPLES / "chapel-lawn.harness.toml")
    command("wire", harness, "--save", "lawn", "--record", record)
    command("carry", "--from", "lawn", "--record", record, "-o", str(home / "lawn.html"))
    main.run(["carry", str(EXAMPLES / "school-garden.pit.toml"), "-o", str(home / "school.html")])
    return home


@pytest.fixture
def hand(browser: Browser) -> Iterator[Phone]:
    """A phone that is held to quiet: no error, no request to anywhere."""
    with phone(browser) as one:
        yield one
        assert one.wrong == []
        assert one.outside() == []


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


@pytest.fixture
def record(folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Callable[..., str]:
    """Commands on a copy of the record, giving what they print."""
    copy = tmp_path / "record"
    shutil.copytree(folder / "record", copy)

    def run(*words: str) -> str:
        capsys.readouterr()
        assert main.run([*words, "--record", str(copy)]) == main.OK
        return capsys.readouterr().out

    return run


def notes_in(path: Path) -> list[dict[str, Any]]:
    return [n for n in json.loads(path.read_text("utf-8"))["notes"] if not n["back"]]
