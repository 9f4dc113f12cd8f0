"""The shell of every page: heading, the steps of the work, notices, the ways back."""

from __future__ import annotations

from collections.abc import Sequence

from pitwright.pages.asked import Asked, Page
from pitwright.pages.html import Child, Html, h, joined

__all__ = [
    "STEPS",
    "caution",
    "document",
    "empty",
    "is_told",
    "notice",
    "saved_notice",
    "shell",
    "trouble_box",
]

STEPS = (
    ("look", "Look"),
    ("measure", "Measure"),
    ("choose", "Choose"),
    ("build", "Build"),
    ("prove", "Prove"),
    ("close", "Close"),
)
"""The order of the work: address and word of each step."""
_HTMX = '{"includeIndicatorStyles":false,"allowEval":false,"selfRequestsOnly":true}'


def document(page: Page, versions: dict[str, str]) -> str:
    """The whole HTML document; ``versions`` are the assets' addresses by name."""
    head = h(
        "head",
        h("meta", charset="utf-8"),
        h("meta", name="viewport", content="width=device-width, initial-scale=1"),
        h("meta", name="color-scheme", content="light dark"),
        h("meta", name="htmx-config", content=_HTMX),
        h("title", f"{page.title} · Pitwright"),
        h("link", rel="icon", href=versions["mark.svg"], type="image/svg+xml"),
        h("link", rel="stylesheet", href=versions["app.css"]),
        h("script", src=versions["htmx.min.js"], defer=True),
        h("script", src=versions["app.js"], defer=True, type="module"),
    )
    return f"<!doctype html>\n{h('html', head, page.body, lang='en')}\n"


def shell(
    title: str,
    *inside: Child,
    up: tuple[str, str] | None = None,
    pit: str = "",
    step: str = "",
    under: str = "",
    notices: Sequence[Child] = (),
    status: int = 200,
) -> Page:
    """A page: ``up`` is the way back (address, words), ``pit`` its subject if it is of one."""
    back = h("a", h("span", "‹ ", aria_hidden="true"), up[1], href=up[0], class_="up") if up else ""
    top = h(
        "header",
        h("a", "Skip to the page", href="#page", class_="skip"),
        back,
        h("h1", title),
        h("p", under, class_="under") if under else "",
    )
    main = h("main", *notices, *inside, id="page", tabindex="-1")
    return Page(title, h("body", top, main, _steps(pit, step) if pit else ""), status)


def _steps(pit: str, step: str) -> Html:
    links = [
        h(
            "a",
            word,
            href=f"/pit/{pit}/{name}",
            aria_current="page" if name == step else None,
        )
        for name, word in STEPS
    ]
    return h("nav", *links, class_="steps", aria_label="Steps of the work")


def notice(*inside: Child, kind: str = "note") -> Html:
    """A box that says something; ``kind``: note, check, stop, saved."""
    return h("div", *inside, class_=f"notice {kind}", role="status" if kind == "saved" else None)


def caution(text: str) -> Html:
    """One caution."""
    return h("p", h("b", "! ", aria_hidden="true"), text, class_="caution")


def saved_notice(said: str, ids: str, asked: Asked, again: bool = False) -> Html:
    """What was just saved, and the undo of it."""
    undo = h(
        "form",
        h("input", type="hidden", name="ids", value=ids),
        h("input", type="hidden", name="token", value=asked.token),
        h("input", type="hidden", name="back", value=asked.path),
        h("button", "Put back" if again else "Undo", type="submit", class_="quiet"),
        method="post",
        action="/undo",
    )
    return notice(h("p", said), undo, kind="saved")


def trouble_box(asked: Asked) -> Child:
    """What is wrong with the form that came, on top of it; what was typed is kept below."""
    if not asked.trouble:
        return ""
    first = asked.trouble.get("", "")
    others = [words for name, words in asked.trouble.items() if name]
    said = [first] if first else others
    return h(
        "div",
        h("h2", "Not saved yet"),
        h("p", "What you typed is still here."),
        h("ul", *(h("li", line) for line in said)),
        class_="notice stop",
        role="alert",
        tabindex="-1",
        data_focus=True,
    )


def is_told(page: Page) -> bool:
    """Whether a page says what is wrong with the form that came."""
    return "data-focus" in page.body


def empty(words: str) -> Html:
    """Where a list has nothing in it."""
    return joined(h("p", words, class_="empty"))
