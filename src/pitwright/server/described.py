"""How the routes are described: what each takes, and every answer that it gives."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pitwright.server.forms import MOST_TEXT

__all__ = ["FOUND", "PAGE", "PAPER", "PICTURE", "SENT", "SENT_TO", "form_like", "own_answers"]

Said = dict[int | str, dict[str, Any]]

_KINDS = ("application/x-www-form-urlencoded", "multipart/form-data")
_HTML = {"text/html": {"schema": {"type": "string"}}}


def _page(words: str) -> dict[str, Any]:
    return {"description": words, "content": _HTML}


def _files(words: str, kinds: Sequence[str]) -> dict[str, Any]:
    schema = {"schema": {"type": "string", "format": "binary"}}
    return {"description": words, "content": dict.fromkeys(kinds, schema)}


PAGE: Said = {
    200: _page("The page."),
    403: _page("Another page asks, or not with the key of this start."),
    421: _page("Asked under a name that is not this machine's."),
}
"""A page that is always there."""
FOUND: Said = {**PAGE, 404: _page("Nothing of that name.")}
"""A page of something in the record."""
PAPER: Said = {
    **FOUND,
    200: _files("The page, or the paper.", (*_HTML, "application/pdf", "image/svg+xml")),
    422: _page("There is nothing to draw yet: what is missing first."),
}
"""A page or a paper of a pit."""
PICTURE: Said = {**FOUND, 200: _files("The picture.", ("image/png", "image/jpeg"))}
"""A kept photo."""
SENT: Said = {
    303: {"description": "Saved; go on at the address given."},
    400: _page("The form came broken off: nothing of it was saved."),
    403: PAGE[403],
    413: _page("More than is taken at once."),
    421: PAGE[421],
    422: _page("Not saved: the form again, with what was typed and what is wrong."),
    507: _page("Not saved: this machine's disk took nothing more."),
}
"""A form that was sent."""
SENT_TO: Said = {**SENT, 404: FOUND[404]}
"""A form about something in the record."""


def form_like(fields: Sequence[str] = (), needed: Sequence[str] = ()) -> dict[str, Any]:
    """The body of a form: its fields by name, those ``needed`` with at least a letter or a digit.

    Any other field may come along, and is passed over.
    """
    known = {
        name: {
            "type": "string",
            "maxLength": MOST_TEXT,
            **({"pattern": r"\w"} if name in needed else {}),
        }
        for name in ("token", *fields)
    }
    schema: dict[str, Any] = {
        "type": "object",
        "properties": known,
        "additionalProperties": {"type": "string"},
    }
    if needed:
        schema["required"] = [*needed]
    return {
        "requestBody": {
            "required": bool(needed),
            "content": {k: {"schema": schema} for k in _KINDS},
        }
    }


def own_answers(document: dict[str, Any]) -> dict[str, Any]:
    """The description without the answer that the web framework adds and no route gives."""
    for ways in document["paths"].values():
        for said in ways.values():
            if "application/json" in said["responses"].get("422", {}).get("content", {}):
                del said["responses"]["422"]
    document.pop("components", None)
    return document
