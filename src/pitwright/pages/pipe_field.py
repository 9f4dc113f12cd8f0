"""The pipe of a stub: in the words of the trade, from what it may be, or from the whole list."""

from __future__ import annotations

from collections.abc import Iterable

from pitwright.catalogue.naming import likely
from pitwright.catalogue.shelf import Shelf
from pitwright.pages import fields
from pitwright.pages.asked import Asked
from pitwright.pages.html import Child, Html, h

__all__ = ["SIZES", "pipe_field", "pipe_said"]

SIZES = ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2")
"""Sizes of valves and headers, by the tables of the shelf."""
_MOST = 12
"""So many are offered to be tapped; more are left to the list. [-]"""
_KINDS = ("PVC", "polyethylene", "copper", "galvanised", "asbestos")


def pipe_said(asked: Asked, name: str) -> str:
    """The pipe that was tapped, or chosen from the list, else what was typed."""
    return asked.said(f"{name}.tapped").strip() or asked.said(name).strip()


def pipe_field(
    shelf: Shelf, asked: Asked, name: str, label: str, value: str = "", *, hint: str = ""
) -> Html:
    """A pipe to be named; what a name may mean is offered to be tapped."""
    typed = asked.said(name, value)
    wrong = bool(asked.trouble.get(name))
    meant = likely(shelf.pipes, typed).pipes if wrong else ()
    more: list[Child] = []
    if meant:
        buttons = [(p.name, p.name) for p in meant[:_MOST]]
        more.append(fields.pick(asked, f"{name}.tapped", "Tap the one it is", buttons))
    chosen = asked.said(f"{name}.tapped") if not meant else ""
    more.append(
        h(
            "details",
            h("summary", "Choose from the list"),
            h(
                "select",
                h("option", "none of these", value=""),
                *_grouped((p.name for p in shelf.pipes), chosen),
                name=f"{name}.tapped",
                aria_label=f"{label}, from the list",
            ),
            open=(wrong and not meant) or None,
        )
    )
    return fields.text(asked, name, label, value, hint=hint, more=more)


def _grouped(names: Iterable[str], chosen: str) -> list[Html]:
    """The names by kind, the kinds in the order of the trade."""
    groups: dict[str, list[str]] = {"unknown": ["unknown"], **{k: [] for k in _KINDS}}
    for name in names:
        kind = next((k for k in _KINDS if k in name), "other")
        groups.setdefault(kind, []).append(name)
    return [
        h(
            "optgroup",
            *(h("option", n, value=n, selected=n == chosen) for n in found),
            label=kind,
        )
        for kind, found in groups.items()
        if found
    ]
