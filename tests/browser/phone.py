"""A phone to open files with: small, touched, offline, watched."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tests.browser.conftest import AXE, PHONE

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, Page

OWN = ("file:", "data:", "blob:")


@dataclass
class Phone:
    """One phone: pages of it share what they keep. ``wrong`` gathers errors, ``asked`` requests."""

    context: BrowserContext
    wrong: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def open(self, path: Path) -> Page:
        page = self.context.new_page()
        page.on("console", lambda m: self.wrong.append(m.text) if m.type == "error" else None)
        page.on("pageerror", lambda e: self.wrong.append(str(e)))
        page.on("request", lambda r: self.asked.append(r.url))
        page.goto(path.as_uri())
        return page

    def outside(self) -> list[str]:
        """Requests to anywhere but the page itself."""
        return [url for url in self.asked if not url.startswith(OWN)]


@contextmanager
def phone(browser: Browser, **more: Any) -> Iterator[Phone]:
    """A phone without a line; ``more`` goes to the browser's context."""
    options: dict[str, Any] = {
        "viewport": PHONE, "has_touch": True, "offline": True, "accept_downloads": True,
        "reduced_motion": "reduce", "timezone_id": "America/New_York",
    }  # fmt: skip
    context = browser.new_context(**(options | more))
    try:
        yield Phone(context)
    finally:
        context.close()


def violations(page: Page) -> list[str]:
    """What axe finds, each with its first element."""
    page.evaluate(AXE.read_text("utf-8"))
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [
        f"{v['id']}: {json.dumps(v['nodes'][0]['target'])} {v['nodes'][0].get('failureSummary')}"
        for v in found["violations"]
    ]


def small_targets(page: Page, least: float = 48.0) -> list[str]:
    """Buttons, fields, summaries and links of lists that are smaller than a finger. [px]"""
    found = page.evaluate(
        """() => [...document.querySelectorAll('button, input, summary, nav a, textarea')]
        .filter(e => e.offsetParent !== null)
        .map(e => [e.textContent || e.id, e.getBoundingClientRect()])
        .map(([t, r]) => [t, r.width, r.height])"""
    )
    return [f"{text}: {w:.0f} x {h:.0f}" for text, w, h in found if min(w, h) < least - 0.01]
