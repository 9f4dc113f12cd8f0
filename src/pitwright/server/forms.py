"""What comes with a form: its fields, its files, what is wrong with them."""

from __future__ import annotations

from dataclasses import dataclass, field

from fastapi import Request
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from pitwright.errors import BadInput
from pitwright.pages.html import tidy
from pitwright.server.desk import Desk

__all__ = ["Form", "form_of", "photos_of"]

MOST_FIELDS = 400
"""Fields of one form. [-]"""
MOST_PHOTOS = 8


@dataclass(slots=True)
class Form:
    """What came in a form: the first value of each name, and its files."""

    values: dict[str, str] = field(default_factory=dict)
    files: list[tuple[str, str, bytes]] = field(default_factory=list)
    trouble: dict[str, str] = field(default_factory=dict)


async def form_of(request: Request) -> Form:
    """The form of a request; one that came broken off says so in its trouble."""
    form = Form()
    try:
        async with request.form(max_files=MOST_PHOTOS, max_fields=MOST_FIELDS) as came:
            for name, value in came.multi_items():
                if isinstance(value, UploadFile):
                    data = await value.read()
                    if data:
                        form.files.append((tidy(name), value.filename or "photo", data))
                else:
                    form.values.setdefault(tidy(name), tidy(value)[:20_000])
    except HTTPException as broken:
        form.trouble[""] = f"The form came broken off ({broken.detail}): send it again."
    return form


def photos_of(desk: Desk, form: Form) -> tuple[tuple[tuple[str, str], ...], dict[str, str]]:
    """Keep what came with the form; what is wrong with a photo stands at its field."""
    kept: list[tuple[str, str]] = []
    wrong: dict[str, str] = {}
    for name, filename, data in form.files:
        try:
            one = desk.keep(data, filename)
        except BadInput as mistake:
            wrong[name] = f"{mistake.where} {mistake.rule}: {mistake.hint}."
            continue
        if one.inline:
            kept.append((one.hash, one.warning))
        else:
            wrong[name] = (
                f"{tidy(filename)[-60:]} is no JPEG or PNG picture: save it as one of these."
            )
    return tuple(kept), wrong
