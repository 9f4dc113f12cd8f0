"""A browser, a server that can be started again, and an eye on everything that goes wrong."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from pitwright.cli import main
from tests.browser.carrying import EXAMPLES, command
from tests.conftest import require_or_skip
from tests.house.reading import ROOT

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

    from tests.browser.phone import Phone

AXE = Path(__file__).parent / "vendor" / "axe.min.js"
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 800}
SIZES = {"phone": PHONE, "desk": DESK}
PICTURES = "PITWRIGHT_PICTURES"
"""Names a folder: every page is kept there as a picture."""
SMALLEST = 47.5
"""A target of 48 px, as the browser rounds it. [px]"""

_SMALL = """least => [...document.querySelectorAll(
  'a, button, summary, select, textarea, input:not([type=hidden]):not([type=radio])')]
  .filter(e => { const r = e.getBoundingClientRect();
    return e.checkVisibility() && !e.closest('svg') && !e.matches('.skip') && r.width > 0
      && (r.height < least || r.width < least); })
  .map(e => e.outerHTML.slice(0, 120))"""

_UNFOLD = """e => { for (let d = e.closest('details'); d; d = d.parentElement.closest('details'))
  d.open = true; }"""


@dataclass
class Server:
    """``pitwright serve`` in a process of its own, on one record and one port."""

    record: Path
    demo: bool = False
    port: int = 0
    entry: str = ""
    process: subprocess.Popen[str] | None = None

    def start(self) -> None:
        code = "import sys; from pitwright.cli.main import run; sys.exit(run(sys.argv[1:]))"
        words = ["serve", "--port", str(self.port)]
        words += ["--demo"] if self.demo else ["--record", str(self.record)]
        self.process = subprocess.Popen(
            [sys.executable, "-c", code, *words], stdout=subprocess.PIPE, text=True, cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        )  # fmt: skip
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)/enter/\S+", line)
        assert found, line
        self.port, self.entry = int(found[1]), found[0]

    @property
    def base(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def kill(self) -> None:
        """As a dead battery would: no warning, no last word."""
        if self.process is not None:
            self.process.kill()
            self.process.wait()
            if self.process.stdout:
                self.process.stdout.close()
        self.process = None

    def again(self) -> None:
        self.kill()
        self.start()


@dataclass
class Eye:
    """A page, and what went wrong on it: console errors, exceptions, requests to elsewhere."""

    page: Page
    context: BrowserContext
    base: str
    name: str
    wrong: list[str] = field(default_factory=list)
    expected: tuple[str, ...] = ()

    def watch(self) -> None:
        self.page.on("console", lambda m: self._said(m.type, m.text))
        self.page.on("pageerror", lambda e: self.wrong.append(f"error: {e}"))
        self.page.on("request", lambda r: self._asked(r.url))

    def _said(self, kind: str, text: str) -> None:
        if kind in ("error", "warning") and not any(word in text for word in self.expected):
            self.wrong.append(f"console {kind}: {text}")

    def _asked(self, url: str) -> None:
        if not url.startswith((f"{self.base}/", "data:")):
            self.wrong.append(f"asked elsewhere: {url}")

    def axe(self) -> list[str]:
        """Violations that axe finds, each with the first element it names."""
        line = self.context.new_cdp_session(self.page)
        line.send("Runtime.evaluate", {"expression": AXE.read_text(encoding="utf-8")})
        got: dict[str, Any] = self.page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        return [f"{v['id']}: {v['help']}: {v['nodes'][0]['html'][:160]}" for v in got["violations"]]

    def look(self, name: str) -> None:
        """What must hold of every page, and its picture where pictures are wanted."""
        self.page.wait_for_load_state()
        width = self.page.viewport_size or PHONE
        wide = self.page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width["width"], f"{name} scrolls sideways: {wide}"
        assert self.page.evaluate(_SMALL, SMALLEST) == [], name
        assert self.axe() == [], name
        folder = os.environ.get(PICTURES)
        if folder:
            Path(folder).mkdir(parents=True, exist_ok=True)
            self.page.screenshot(path=f"{folder}/{self.name}-{name}.png", full_page=True)

    def says(self, words: str) -> None:
        """Wait until the page holds these words."""
        has = "w => document.body !== null && document.body.textContent.includes(w)"
        self.page.wait_for_function(has, arg=words)

    def fill(self, **values: str) -> None:
        """Fill fields by their names; a fold that hides one is opened first."""
        for name, value in values.items():
            self.set(name, value)

    def set(self, name: str, value: str, within: str = "") -> None:
        field_ = self.page.locator(f'{within} [name="{name}"]:not([type=hidden])').first
        if field_.get_attribute("type") == "radio":
            chosen = self.page.locator(f'{within} [name="{name}"][value="{value}"]').first
            chosen.evaluate(_UNFOLD)
            chosen.locator("xpath=..").click()
            return
        field_.evaluate(_UNFOLD)
        if field_.evaluate("e => e.localName") == "select":
            field_.select_option(value)
        else:
            field_.fill(value)

    def press(self, words: str, within: str = "") -> None:
        place = self.page.locator(within) if within else self.page
        place.get_by_role("button", name=words, exact=True).first.click()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    try:
        from playwright.sync_api import sync_playwright
    except ModuleNotFoundError:
        require_or_skip("playwright is not installed, so no browser can be driven")
    found = shutil.which("chromium")
    if found is None:
        require_or_skip("no chromium on this machine")
    with sync_playwright() as play:
        one = play.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield one
        one.close()


def opened(browser: Browser, base: str, size: str, *, dark: bool = False, slow: float = 1.0) -> Eye:
    """A fresh window of a size; ``slow``: how many times slower its processor is. [-]"""
    phone = size == "phone"
    context = browser.new_context(
        viewport={"width": SIZES[size]["width"], "height": SIZES[size]["height"]},
        has_touch=phone, is_mobile=phone, color_scheme="dark" if dark else "light",
    )  # fmt: skip
    page = context.new_page()
    page.set_default_timeout(30_000)
    if slow != 1.0:
        line = context.new_cdp_session(page)
        line.send("Emulation.setCPUThrottlingRate", {"rate": slow})
    eye = Eye(page, context, base, f"{size}{'-dark' if dark else ''}")
    eye.watch()
    return eye


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    """A server on an empty record."""
    one = Server(tmp_path / "record")
    one.start()
    yield one
    one.kill()


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server on a record that the tests of one module write in together."""
    if shutil.which("chromium") is None:
        require_or_skip("no chromium on this machine")
    one = Server(tmp_path_factory.mktemp("shared") / "record")
    one.start()
    yield one
    one.kill()


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server on the example firm, which tests only read."""
    if shutil.which("chromium") is None:
        require_or_skip("no chromium on this machine")
    one = Server(tmp_path_factory.mktemp("demo"), demo=True)
    one.start()
    yield one
    one.kill()


def when_planned(page: Page) -> None:
    """Wait until no zone is being worked out."""
    for _ in range(60):
        if page.locator("progress[aria-label='zones worked out']").count() == 0:
            return
        time.sleep(0.25)
    raise AssertionError(json.dumps(page.locator("main").inner_text()[:300]))


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
    from tests.browser.phone import phone  # it takes its sizes from here

    with phone(browser) as one:
        yield one
        assert one.wrong == []
        assert one.outside() == []


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
