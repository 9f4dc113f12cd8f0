"""What comes with a form: its fields, its files, what is wrong with them."""

from __future__ import annotations

from dataclasses import dataclass, field

from fastapi import Request
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from pitwright.errors import BadInput, NotWritable
from pitwright.pages.asked import PHOTOS_KEPT
from pitwright.pages.html import tidy
from pitwright.server.desk import Desk

__all__ = ["Form", "form_of", "photos_of"]

MOST_FIELDS = 400
"""Fields of one form. [-]"""
MOST_PHOTOS = 8
MOST_TEXT = 20_000
"""One field of a form. [characters]"""


@dataclass(slots=True)
class Form:
    """What came in a form: the first value of each name, and its files."""

    values: dict[str, str] = field(default_factory=dict)
    files: list[tuple[str, str, bytes]] = field(default_factory=list)
    trouble: dict[str, str] = field(default_factory=dict)


async def form_of(request: Request) -> Form:
    """The form of a request; one that cannot be read says so in its trouble.

    Raises HTTPException when the line broke, or more came than is taken at once.
    """
    form = Form()
    try:
        async with request.form(max_files=MOST_PHOTOS, max_fields=MOST_FIELDS) as came:
            for name, value in came.multi_items():
                if isinstance(value, UploadFile):
                    if value.filename:
                        form.files.append((tidy(name), value.filename, await value.read()))
                else:
                    _take_value(form, tidy(name), value)
    except ClientDisconnect:
        raise HTTPException(400, f"broken off behind {len(form.values)} fields") from None
    except HTTPException as broken:
        form.trouble[""] = f"The form came broken off ({broken.detail}): send it again."
    return form


def _take_value(form: Form, name: str, value: str) -> None:
    """The first value of a name; one that is too long is said to be, and not cut short."""
    if name in form.values:
        return
    form.values[name] = tidy(value)
    if len(value) > MOST_TEXT:
        form.trouble[name] = (
            f"This has {len(value)} characters; at most {MOST_TEXT} are kept. Make it shorter."
        )


def photos_of(desk: Desk, form: Form) -> tuple[tuple[tuple[str, str], ...], dict[str, str]]:
    """Keep what came with the form; what is wrong with a photo stands at its field."""
    kept: list[tuple[str, str]] = []
    wrong: dict[str, str] = {}
    for hash in form.values.get(PHOTOS_KEPT, "").split(",")[:MOST_PHOTOS]:
        if hash and not form.files:
            try:
                desk.photo(hash)
                kept.append((hash, ""))
            except BadInput:
                wrong["photo"] = "The photo of before is not here any more: choose it again."
    for name, filename, data in form.files:
        if not data:
            wrong[name] = f"{tidy(filename)[-60:]} is empty: choose it again, or another."
            continue
        try:
            one = desk.keep(data, filename)
        except BadInput as mistake:
            wrong[name] = f"{mistake.where} {mistake.rule}: {mistake.hint}."
            continue
        except NotWritable as full:
            wrong[name] = f"{full}."
            continue
        if one.inline:
            kept.append((one.hash, one.warning))
        else:
            wrong[name] = (
                f"{tidy(filename)[-60:]} is no JPEG or PNG picture: save it as one of these."
            )
    return tuple(kept), wrong
