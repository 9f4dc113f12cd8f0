"""A typical pit entered from a layout on a phone: every tap, swipe and letter, turned into seconds.

The shortest way that a person can really go is walked in a browser of 390 x 844 with touch, and
what it takes is counted. The seconds come from the keystroke-level model [Card, Moran and Newell
1980], not from a watch: an expert's errorless time, which says nothing of a first try.
``python -m bench.bench_entry`` prints the table.
"""

from __future__ import annotations

import shutil
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from bench.bench_app import served

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

WIDTH, HEIGHT = 390, 844
KEYBOARD = 340
"""What the phone's keyboard covers while something is typed. Judgement. [px]"""
LIMIT = 120.0
"""Entering a typical pit. [s]"""
SECONDS = {"letter": 0.5, "tap": 1.1, "swipe": 1.1, "think": 1.35, "wait": 0.5, "tape": 5.0}
"""What each takes. [s]

letter
    K for typing random letters, 0.50 [Card, Moran and Newell 1980, status=memory]: fractions on a
    phone's keyboard are slower than words on a desk's (0.28 for most people, same source).
tap, swipe
    P, pointing with a mouse, 1.1 [same]: a thumb is taken to be no quicker. Judgement.
think
    M, 1.35 [same]: once for every value and once for every button.
wait
    R, the answer of the machine: the server's is under 0.05 here, half a second is allowed.
tape
    Reading one length off a tape that is already laid on. Judgement.
"""
LENGTHS: tuple[tuple[str, str, str], ...] = (
    ("box.mouth", "right", "7"),
    ("box.mouth", "left", "5 1/4"),
    ("box.mouth", "downstream", "16"),
    ("box.mouth", "upstream", "4 1/2"),
    ("box.grade", "", "10"),
    ("box.floor", "", "6"),
    ("stub.in-1.cut_back", "", "1"),
    ("stub.in-1.bare", "words", "6 1/4"),
    ("stub.out-1.tip", "0", "1/4"),
    ("stub.out-1.tip", "1", "14 3/8"),
    ("stub.out-1.tip", "2", "-1/8"),
    ("stub.out-1.cut_back", "", "2 1/2"),
    ("stub.out-1.bare", "words", "9"),
    ("valve.new.body", "", "4 3/4"),
)
"""A pit of one zone, its pipes straight across, as asked for after the layout. Invented. [in]"""


@dataclass
class Thumb:
    """One thumb on a page; counts what it does."""

    page: Page
    done: Counter[str] = field(default_factory=Counter)

    def _near(self, target: Locator, under: int) -> None:
        """Swipe until the target stands between the top and ``under``. [px]"""
        for _ in range(60):
            box = target.bounding_box()
            assert box is not None
            off = box["y"] + box["height"] - under if box["y"] > 0 else box["y"] - 20
            if box["y"] >= 0 and box["y"] + box["height"] <= under:
                return
            # a swipe carries over most of a screen; a flick farther, which is not counted on
            most = 0.7 * HEIGHT
            self.page.mouse.wheel(0, max(-most, min(most, off + (60 if off > 0 else -60))))
            self._settled()
            self.done["swipe"] += 1
        raise AssertionError("never comes into sight")

    def _settled(self) -> None:
        """Wait until the page has stopped under the thumb."""
        at = None
        while at != (at := self.page.evaluate("scrollY")):
            self.page.wait_for_timeout(120)

    def tap(self, target: Locator, *, thought: bool = True, under: int = HEIGHT) -> None:
        """Tap something, after making up one's mind where that is needed."""
        self._near(target, under)
        target.tap()
        self.done["tap"] += 1
        self.done["think"] += thought

    def send(self, target: Locator) -> None:
        """Tap what asks the machine, and wait for it."""
        with self.page.expect_navigation():
            self.tap(target)
        self.page.wait_for_load_state()
        self.done["wait"] += 1

    def type(self, target: Locator, words: str) -> None:
        """Tap a field, turn the keyboard to its digits, type."""
        self.tap(target, under=HEIGHT - KEYBOARD)
        self.page.wait_for_timeout(250)  # the browser is not yet ready for letters right away
        target.press_sequentially(words)
        assert target.input_value() == words, f"{words} was not taken"
        self.done["letter"] += len(words) + 1

    def touch(self, target: Locator, words: str) -> None:
        """Put a length in by wheel and ruler."""
        minus, whole, part = _split(words)
        self.tap(target.locator("xpath=following-sibling::button[@class='rule']"))
        ruler = self.page.locator(".ruler")
        if minus:
            self.tap(ruler.locator(".signs button[data-minus=true]"), thought=False)
        if whole:
            self._turn(ruler, whole)
        if part:
            svg = ruler.locator("svg")
            self._near(svg, HEIGHT)
            box = svg.bounding_box()
            assert box is not None
            at = box["x"] + box["width"] * (10 + 20 * part) / 330
            self.page.touchscreen.tap(at, box["y"] + box["height"] / 2)
            self.done["tap"] += 1

    def _turn(self, ruler: Locator, whole: int) -> None:
        """Turn the wheel of whole inches until the number is there, and tap it."""
        button = ruler.locator(f".wheel button[data-n='{whole}']")
        wheel = ruler.locator(".wheel")
        self._near(wheel, HEIGHT)
        for _ in range(20):
            place, shown = button.bounding_box(), wheel.bounding_box()
            assert place is not None and shown is not None
            if (
                shown["x"] <= place["x"]
                and place["x"] + place["width"] <= shown["x"] + shown["width"]
            ):
                break
            wheel.evaluate("(e, by) => { e.scrollLeft += by; }", shown["width"] * 0.8)
            self.done["swipe"] += 1
        button.tap()
        self.done["tap"] += 1

    def seconds(self, *, tape: bool = False) -> float:
        """What all of it takes, with or without reading the tape. [s]"""
        return sum(SECONDS[what] * n for what, n in self.done.items() if tape or what != "tape")


def _split(words: str) -> tuple[bool, int, int]:
    """A length as wheel and ruler have it: minus, whole inches, sixteenths."""
    plain = words.lstrip("-")
    whole, part = 0, 0
    for piece in plain.split():
        over, slash, under = piece.partition("/")
        if slash:
            part = int(over) * 16 // int(under)
        else:
            whole = int(piece)
    return words.startswith("-"), whole, part


def entered(page: Page, home: str, *, touched: bool) -> Thumb:
    """Enter the pit on its empty measure page; what it took. Ends where nothing is missing."""
    page.goto(f"{home}/measure")
    thumb = Thumb(page)
    thumb.send(page.get_by_role("button", name="Lay it out"))
    for where, more, words in LENGTHS:
        name = f"{where}.{more}" if more and more != "words" else where
        target = page.locator(f'#form [name="{name}"]')
        thumb.done["tape"] += 1
        if touched and more != "words":
            thumb.touch(target, words)
        else:
            thumb.type(target, words)
    thumb.send(page.get_by_role("button", name="Save the readings"))
    return thumb


def entered_by_parts(page: Page, home: str) -> Thumb:
    """The same, part by part: what it took before all of it was asked for on one page."""
    page.goto(f"{home}/measure")
    thumb = Thumb(page)
    thumb.send(page.get_by_role("button", name="Lay it out"))
    for part in dict.fromkeys(where.rpartition(".")[0] for where, _, _ in LENGTHS):
        section, _, name = part.partition(".")
        mine = f"part={section}&name={name}"
        thumb.send(page.locator(f'section a[href*="{mine}"]').first)
        for where, more, words in LENGTHS:
            before, _, key = where.rpartition(".")
            if before == part:
                named = f"{key}.{more}" if more and more != "words" else key
                thumb.done["tape"] += 1
                thumb.type(page.locator(f'#form [name="{named}"]'), words)
        thumb.send(page.get_by_role("button", name="Save the readings"))
    return thumb


@contextmanager
def phone(entry: str) -> Iterator[Page]:
    """A phone's browser on a server that was entered."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        size = {"width": WIDTH, "height": HEIGHT}
        page = browser.new_context(viewport=size, has_touch=True).new_page()  # type: ignore[arg-type]
        page.goto(entry)
        yield page
        browser.close()


def new_pit(page: Page, base: str, name: str) -> str:
    """A property with an empty pit; the pit's address."""
    page.goto(base)
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    page.fill('[name="name"]', name)
    page.get_by_role("button", name="Add the property").click()
    page.fill('[name="label"]', "gate")
    page.get_by_role("button", name="Add the pit").click()
    page.wait_for_selector("text=The day's work")
    return page.url.partition("?")[0]


def table(thumbs: Sequence[tuple[str, Thumb]]) -> list[str]:
    """The table in Markdown."""
    rows = [
        "| way | lengths | taps | swipes, wheel turns | letters | s to enter | with the tape, s |",
        "|---|---|---|---|---|---|---|",
    ]
    for name, thumb in thumbs:
        n = thumb.done
        rows.append(
            f"| {name} | {n['tape']} | {n['tap']} | {n['swipe']} | {n['letter']} "
            f"| {thumb.seconds():.0f} | {thumb.seconds(tape=True):.0f} |"
        )
    return rows


def main() -> None:
    with (
        tempfile.TemporaryDirectory() as folder,
        served(Path(folder)) as (client, entry, _),
        phone(entry) as page,
    ):
        base = str(client.base_url).rstrip("/")
        found = [
            ("typed", entered(page, new_pit(page, base, "typed"), touched=False)),
            (
                "whole inches and sixteenths touched",
                entered(page, new_pit(page, base, "touched"), touched=True),
            ),
            ("peer: typed, part by part", entered_by_parts(page, new_pit(page, base, "parts"))),
        ]
    print("\n".join(table(found)))
    print(f"\nLimit: {LIMIT:.0f} s to enter.")


if __name__ == "__main__":
    main()
