"""What the carry file is built of: lists, tables, parts that fold, and its policy."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence

from pitwright.paper.markup import Child, Html, h

__all__ = ["bullets", "policy", "section", "table"]


def bullets(lines: Sequence[Child], tag: str = "ul") -> Html:
    """A list; nothing where there is nothing to list."""
    return h(tag, *(h("li", line) for line in lines)) if lines else Html("")


def table(head: Sequence[str], rows: Sequence[Sequence[Child]], name: str) -> Html:
    """A table that a narrow screen shows as one card a row; ``name`` is said aloud."""
    cells = [
        h(
            "tr",
            *(
                h("td", cell, data_head=word, role="cell")
                for word, cell in zip(head, row, strict=True)
            ),
            role="row",
        )
        for row in rows
    ]
    top = h("tr", *(h("th", word, scope="col", role="columnheader") for word in head), role="row")
    return h(
        "table",
        h("caption", name, class_="said"),
        h("thead", top, role="rowgroup"),
        h("tbody", *cells, role="rowgroup"),
        role="table",
    )


def section(id: str, title: str, *children: Child, open: bool = False) -> Html:
    """A part of the page that folds."""
    head = h("summary", h("h2", title))
    return h("details", head, h("div", *children, class_="part"), id=id, open=open)


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
