"""What a request brings, what a page answers, and what a form wants written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from pitwright.pages.html import Html

__all__ = ["PHOTOS_KEPT", "Asked", "Page", "Taken", "Want"]

PHOTOS_KEPT = "photos_kept"
"""The field that names the photos of a form that came and was not saved yet."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A request: where, with what in the address and in the form; ``token`` is fresh dice.

    ``form`` holds the first value of each name, ``lists`` all of them; ``photos`` are files that
    were kept already: hash and what stands for it.
    """

    path: str
    now: datetime
    token: str
    query: Mapping[str, str] = field(default_factory=dict)
    form: Mapping[str, str] = field(default_factory=dict)
    photos: tuple[tuple[str, str], ...] = ()
    trouble: Mapping[str, str] = field(default_factory=dict)
    """What is wrong, by the field it is about; "" for the whole form."""
    scope: str = ""
    """The form whose fields these are, where a page has several."""

    def own(self, form: str) -> Asked:
        """The request as one form sees it: what was typed in another one is not its own."""
        if self.trouble and self.form.get("form") == form:
            return replace(self, scope=form)
        return replace(self, scope=form, form={}, trouble={})

    def said(self, name: str, otherwise: str = "") -> str:
        """What was typed, else what stood there."""
        return self.form.get(name, otherwise)


@dataclass(frozen=True, slots=True)
class Page:
    """A whole page: its title, its body, the status it is answered with [-]."""

    title: str
    body: Html
    status: int = 200


@dataclass(frozen=True, slots=True)
class Want:
    """One entry that a form wants written; ``shown`` is how it is named in the notice."""

    kind: str
    body: Mapping[str, Any]
    field: str = ""
    files: tuple[str, ...] = ()
    site: str = ""
    subject: str = ""
    shown: str = ""


@dataclass(frozen=True, slots=True)
class Taken:
    """What a form comes to: entries to write and where to go on, or what is wrong with it."""

    wants: tuple[Want, ...] = ()
    go: str = ""
    trouble: Mapping[str, str] = field(default_factory=dict)
