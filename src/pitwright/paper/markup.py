"""HTML as nested calls: whatever is text is escaped, only what was made here is markup."""

from __future__ import annotations

import json
from collections.abc import Iterable
from html import escape
from typing import Any

__all__ = ["Child", "Html", "h", "joined", "json_block", "tidy"]

VOID = frozenset({"br", "hr", "img", "input", "link", "meta", "circle", "line", "path", "rect"})


class Html(str):
    """Text that is markup already."""

    __slots__ = ()


Child = Html | str | int | None | Iterable["Child"]
Value = str | int | float | bool | None


def tidy(text: str) -> str:
    """The text without what no HTML may hold: control characters and lone surrogates."""
    if text.isprintable():
        return text
    return "".join(
        c for c in text if (ord(c) >= 32 or c in "\n\t") and not 0xD800 <= ord(c) <= 0xDFFF
    )


def _inside(child: Child) -> str:
    if child is None:
        return ""
    if isinstance(child, Html):
        return child
    if isinstance(child, str):
        return escape(tidy(child))
    if isinstance(child, int):
        return str(child)
    return "".join(_inside(c) for c in child)


def h(tag: str, *children: Child, **attributes: Value) -> Html:
    """One element. ``class_`` is class, ``data_x`` is data-x; False and None leave one out."""
    said = [tag]
    for name, value in attributes.items():
        if value is None or value is False:
            continue
        name = name.rstrip("_").replace("_", "-")
        said.append(name if value is True else f'{name}="{escape(tidy(str(value)))}"')
    start = f"<{' '.join(said)}>"
    if tag in VOID:
        return Html(start if tag not in ("circle", "line", "path", "rect") else f"{start[:-1]}/>")
    return Html(f"{start}{''.join(_inside(c) for c in children)}</{tag}>")


def joined(*children: Child) -> Html:
    """Several one after the other."""
    return Html("".join(_inside(c) for c in children))


def json_block(data: Any, **attributes: Value) -> Html:
    """Data for a script, so written that nothing in it can end the element."""
    text = json.dumps(data, separators=(",", ":"))
    safe = text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e")
    return h("script", Html(safe), type="application/json", **attributes)
