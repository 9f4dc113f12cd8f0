"""Markup as text: whatever is text is escaped, only what was made here is markup."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterable, Sequence
from html import escape
from typing import Any

__all__ = ["Markup", "bullets", "el", "json_block", "policy", "section", "table"]

_VOID = frozenset({"br", "input", "link", "meta"})


class Markup(str):
    """Text that is markup already."""

    __slots__ = ()


Child = Markup | str | Iterable["Child"]


def _plain(text: str) -> str:
    """The text without what no page may hold: control characters, lone surrogates."""
    return "".join(c for c in text if c in "\n\t" or (c >= " " and not "\ud800" <= c <= "\udfff"))


def _inside(child: Child) -> str:
    if isinstance(child, Markup):
        return child
    if isinstance(child, str):
        return escape(_plain(child))
    return "".join(_inside(c) for c in child)


def el(tag: str, *children: Child, **attributes: str | bool) -> Markup:
    """One element. ``class_`` is class, ``data_x`` is data-x; False leaves an attribute out."""
    said = [tag]
    for name, value in attributes.items():
        key = name.rstrip("_").replace("_", "-")
        if value is True:
            said.append(key)
        elif value is not False:
            said.append(f'{key}="{escape(_plain(value))}"')
    start = f"<{' '.join(said)}>"
    return Markup(start if tag in _VOID else f"{start}{_inside(children)}</{tag}>")


def bullets(lines: Sequence[Child], tag: str = "ul") -> Markup:
    """A list; nothing where there is nothing to list."""
    return el(tag, *(el("li", line) for line in lines)) if lines else Markup("")


def table(head: Sequence[str], rows: Sequence[Sequence[Child]], name: str) -> Markup:
    """A table that a narrow screen shows as one card a row; ``name`` is said aloud."""
    cells = [
        el(
            "tr",
            *(
                el("td", cell, data_head=word, role="cell")
                for word, cell in zip(head, row, strict=True)
            ),
            role="row",
        )
        for row in rows
    ]
    top = el("tr", *(el("th", word, scope="col", role="columnheader") for word in head), role="row")
    return el(
        "table",
        el("caption", name, class_="said"),
        el("thead", top, role="rowgroup"),
        el("tbody", *cells, role="rowgroup"),
        role="table",
    )


def section(id: str, title: str, *children: Child, open: bool = False) -> Markup:
    """A part of the page that folds."""
    head = el("summary", el("h2", title))
    return el("details", head, el("div", *children, class_="part"), id=id, open=open)


def json_block(data: Any, id: str) -> Markup:
    """Data for a script, so written that nothing in it can end the element."""
    text = json.dumps(data, separators=(",", ":"))
    safe = text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")
    return Markup(f'<script type="application/json" id="{id}">{safe}</script>')


def _hash(text: str) -> str:
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"


def policy(scripts: Sequence[str], styles: Sequence[str]) -> str:
    """A content security policy that runs these very texts and asks nobody for anything."""
    return "; ".join(
        [
            "default-src 'none'",
            f"script-src {' '.join(map(_hash, scripts))}",
            f"style-src {' '.join(map(_hash, styles))}",
            "img-src data:",
            "base-uri 'none'",
            "form-action 'none'",
        ]
    )
