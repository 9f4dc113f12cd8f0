"""How a route answers: a page, a way on after saving, or the form again with what is wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.exceptions import HTTPException

from pitwright.errors import BadInput, NotWritable
from pitwright.pages.asked import Asked, Page, Taken
from pitwright.pages.frame import document, is_told, notice, saved_notice, shell
from pitwright.pages.html import Child, h, tidy
from pitwright.records.pits import Place
from pitwright.server.assets import ADDRESSES
from pitwright.server.desk import Desk, Stale
from pitwright.server.forms import Form

__all__ = [
    "MOST_AT_ONCE",
    "asked_of",
    "gone",
    "html",
    "not_here",
    "notices",
    "plain",
    "saved",
    "written",
]

MOST_AT_ONCE = 1000
"""Entries that one form may write, and one undo take back. [-]"""
SPELT_OUT, LETTERS = 8, 14
"""So many ids stand whole in an address; of more, the first letters, which no two share. [-]"""
CHANGED = (
    "Changed since this page was made, in another tab or by someone else: {words}. Yours is still "
    "below: save again to let yours stand."
)
KEPT = "What you typed is kept in this browser, and stands in its form again."
HOME = ("/", "Properties")
CHANGED_FIELD = "This one was changed meanwhile; here is what you typed."


def not_here(what: object) -> HTTPException:
    """What is raised for a thing that is not in the record."""
    return HTTPException(404, f"{what} is not here")


def plain(title: str, words: str, status: int, up: tuple[str, str] = HOME) -> Page:
    """A page that says one thing; ``up`` is the way back (address, words)."""
    return shell(title, notice(h("p", words), kind="check"), up=up, status=status)


def html(page: Page) -> HTMLResponse:
    """A page as the answer it is."""
    return HTMLResponse(document(page, ADDRESSES), page.status)


def gone(address: str) -> RedirectResponse:
    """Go on at another address, by a plain request."""
    return RedirectResponse(address, 303)


def asked_of(desk: Desk, request: Request, form: Form | None = None) -> Asked:
    """What a request brings, as the pages take it."""
    return Asked(
        request.url.path,
        desk.clock(),
        desk.chance(9).hex(),
        {tidy(k): tidy(v)[:2000] for k, v in request.query_params.items()},
        form.values if form else {},
        (),
        form.trouble if form else {},
    )


def notices(desk: Desk, asked: Asked) -> tuple[Child, ...]:
    """What was just saved, or taken back."""
    for name, word in (("saved", "Saved: "), ("undone", "Taken back: ")):
        ids = asked.query.get(name, "")
        if ids:
            said = desk.said(ids.split(",")[:MOST_AT_ONCE])
            if said:
                again = name == "undone"
                return (
                    saved_notice("Taken back." if again else f"{word}{said}", ids, asked, again),
                )
    return ()


def saved(go: str, ids: list[str], name: str = "saved") -> RedirectResponse:
    """Go on, and say what was saved."""
    path, hash_, anchor = go.partition("#")
    mark = "&" if "?" in path else "?"
    told = [id[3 : 3 + LETTERS] for id in ids] if len(ids) > SPELT_OUT else ids
    said = f"{path}{mark}{name}={','.join(told[:MOST_AT_ONCE])}" if told else path
    return gone(f"{said}{hash_}{anchor}")


def written(
    desk: Desk, taken: Taken, asked: Asked, place: Place, again: Callable[[Asked], Page]
) -> Response:
    """Write what the form wants and go on; or the form again, with what is wrong."""
    trouble: Mapping[str, str] = {**taken.trouble, **asked.trouble}
    status = 422
    if not trouble:
        try:
            ids = desk.write(taken.wants, place, asked.said("token")[:80], _seen(asked))
            return saved(taken.go, ids)
        except Stale as stale:
            words = "; ".join(stale.said)
            trouble = {"": CHANGED.format(words=words)}
            trouble |= dict.fromkeys(stale.fields, CHANGED_FIELD)
            asked = replace(asked, form={**asked.form, "seen": str(stale.count)})
        except BadInput as mistake:
            trouble = {_about(mistake.where): f"{mistake.rule}: {mistake.hint}."}
        except NotWritable as full:
            trouble, status = {"": f"{full}."}, 507
    page = again(replace(asked, trouble=trouble))
    if not is_told(page):  # none of its forms is the one that came
        words = f"{' '.join(trouble.values())} {KEPT}"
        page = plain("Not saved yet", words, status, (asked.path, "Back to the form"))
    return html(replace(page, status=status))


def _about(where: str) -> str:
    """The field a mistake of the record is about: "tie.a" is about a."""
    return where.partition(".")[2]


def _seen(asked: Asked) -> int | None:
    text = asked.said("seen")
    return int(text) if text.isdecimal() and len(text) < 16 else None
