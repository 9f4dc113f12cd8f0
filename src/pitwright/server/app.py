"""The routes: an address and a form in, a page out. All work is done off the event loop."""

from __future__ import annotations

import base64
import hashlib
import hmac
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from pitwright import __version__
from pitwright.errors import BadInput, PitwrightError
from pitwright.pages.asked import Asked, Page, Taken
from pitwright.pages.frame import document, notice, saved_notice, shell
from pitwright.pages.html import Child, h, tidy
from pitwright.pages.pit import pit_page, take_tie
from pitwright.pages.properties import (
    land_page,
    shop_page,
    take_land,
    take_pit,
    take_property,
)
from pitwright.pages.standing import Land, Pit
from pitwright.pages.steps import STEP_PAGES, echo
from pitwright.records.pits import Place
from pitwright.records.store import SHOP
from pitwright.server.assets import ADDRESSES, asset
from pitwright.server.desk import Desk, Stale
from pitwright.server.guard import COOKIE
from pitwright.server.papers import PAPERS, carry_file, paper_of
from pitwright.server.planner import PATIENCE

__all__ = ["application"]

MOST_FIELDS = 400
"""Fields of one form. [-]"""
MOST_PHOTOS = 8
LONG = 30.0
"""A paper, or a form about a plan, waits so long for the plan to be worked out. [s]"""
CHANGED = (
    "Changed since this page was made, in another tab or by someone else: {words}. Yours is still "
    "below: save again to let yours stand."
)
_FORM = {
    "requestBody": {
        "content": {
            kind: {"schema": {"type": "object", "additionalProperties": {"type": "string"}}}
            for kind in ("application/x-www-form-urlencoded", "multipart/form-data")
        }
    }
}
_SAID: dict[int | str, dict[str, Any]] = {
    303: {"description": "Saved; go on at the address given."},
    403: {"description": "Another page, or not the key of this start."},
    404: {"description": "Nothing of that name."},
    413: {"description": "More than is taken at once."},
    422: {"description": "Not saved: the form again, with what was typed and what is wrong."},
}


@dataclass(slots=True)
class Form:
    """What came in a form: the first value of each name, and its files."""

    values: dict[str, str] = field(default_factory=dict)
    files: list[tuple[str, str, bytes]] = field(default_factory=list)
    trouble: dict[str, str] = field(default_factory=dict)


async def _form_of(request: Request) -> Form:
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


def application(desk: Desk, secret: str) -> FastAPI:
    """The app over a record; ``secret`` is the key of this start."""
    app = FastAPI(
        title="Pitwright",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        description="The app's pages on one's own machine. Every answer is a page or a paper.",
    )
    _open_routes(app, secret)
    _shop_routes(app, desk)
    _pit_routes(app, desk)

    @app.exception_handler(HTTPException)
    async def said(request: Request, broken: Exception) -> Response:
        status = broken.status_code if isinstance(broken, HTTPException) else 500
        words = {404: "Nothing of that name is here.", 405: "This address takes no such request."}
        return _html(_plain("Not here", words.get(status, "This cannot be done."), status))

    @app.exception_handler(PitwrightError)
    async def wrong(request: Request, mistake: Exception) -> Response:
        status = 422 if isinstance(mistake, BadInput) else 507
        return _html(_plain("That did not work", str(mistake), status))

    return app


def _not_here(what: object) -> HTTPException:
    return HTTPException(404, f"{what} is not here")


def _plain(title: str, words: str, status: int) -> Page:
    return shell(title, notice(h("p", words), kind="check"), up=("/", "Properties"), status=status)


def _html(page: Page) -> HTMLResponse:
    return HTMLResponse(document(page, ADDRESSES), page.status)


def _gone(address: str) -> RedirectResponse:
    return RedirectResponse(address, 303)


def _open_routes(app: FastAPI, secret: str) -> None:
    @app.get("/enter/{key}", include_in_schema=False)
    def enter(key: str) -> Response:
        """Take the key of this start."""
        if not hmac.compare_digest(key.encode("utf-8", "replace"), secret.encode()):
            return _html(
                _plain("Not the key of this start", "Open the newest address printed.", 403)
            )
        answer = _gone("/")
        answer.set_cookie(COOKIE, secret, httponly=True, samesite="strict", path="/")
        return answer

    @app.get("/assets/{mark}/{name}", include_in_schema=False)
    def assets(mark: str, name: str) -> Response:
        """A style or a script."""
        found = asset(mark, name)
        if found is None:
            raise _not_here(name)
        kept = {"cache-control": "public, max-age=31536000, immutable"}
        return Response(found[1], media_type=found[0], headers=kept)


def _asked(desk: Desk, request: Request, form: Form | None = None) -> Asked:
    return Asked(
        request.url.path,
        desk.clock(),
        desk.chance(9).hex(),
        {tidy(k): tidy(v)[:2000] for k, v in request.query_params.items()},
        form.values if form else {},
        (),
        form.trouble if form else {},
    )


def _notices(desk: Desk, asked: Asked) -> tuple[Child, ...]:
    """What was just saved, or taken back."""
    for name, word in (("saved", "Saved: "), ("undone", "Taken back: ")):
        ids = asked.query.get(name, "")
        if ids:
            said = desk.said(ids.split(",")[:40])
            if said:
                again = name == "undone"
                return (
                    saved_notice("Taken back." if again else f"{word}{said}", ids, asked, again),
                )
    return ()


def _saved(go: str, ids: list[str], name: str = "saved") -> RedirectResponse:
    """Go on, and say what was saved."""
    path, hash_, anchor = go.partition("#")
    mark = "&" if "?" in path else "?"
    said = f"{path}{mark}{name}={','.join(ids[:40])}" if ids else path
    return _gone(f"{said}{hash_}{anchor}")


def _written(
    desk: Desk, taken: Taken, asked: Asked, place: Place, again: Callable[[Asked], Page]
) -> Response:
    """Write what the form wants and go on; or the form again, with what is wrong."""
    trouble: Mapping[str, str] = taken.trouble
    if not trouble:
        try:
            ids = desk.write(taken.wants, place, asked.said("token")[:80], _seen(asked))
            return _saved(taken.go, ids)
        except Stale as stale:
            words = "; ".join(stale.said)
            trouble = {"": CHANGED.format(words=words)}
            asked = replace(asked, form={**asked.form, "seen": str(stale.count)})
        except BadInput as mistake:
            trouble = {_about(mistake.where): f"{mistake.rule}: {mistake.hint}."}
    page = again(replace(asked, trouble=trouble))
    return _html(replace(page, status=422))


def _about(where: str) -> str:
    """The field a mistake of the record is about: "tie.a" is about a."""
    return where.partition(".")[2]


def _seen(asked: Asked) -> int | None:
    text = asked.said("seen")
    return int(text) if text.isdecimal() and len(text) < 16 else None


def _shop_routes(app: FastAPI, desk: Desk) -> None:
    @app.get("/", response_class=HTMLResponse, responses=_SAID)
    def properties(request: Request, q: str = "", start: str = "0") -> Response:
        """All properties, or those searched for."""
        first = int(start) if start.isdecimal() and len(start) < 7 else 0
        asked = _asked(desk, request)
        return _html(shop_page(desk.shop(tidy(q)[:200], first), asked, _notices(desk, asked)))

    @app.post("/property", responses=_SAID, openapi_extra=_FORM)
    async def add_property(request: Request) -> Response:
        """A new property."""
        form = await _form_of(request)

        def work() -> Response:
            asked = _asked(desk, request, form)
            site = desk.new_id("s")
            place = Place(site, site, "property", "")
            # a second tap must find the property of the first, so its id comes from the token
            taken = _steady(desk, asked, "s", lambda id: take_property(asked, id))
            return _written(desk, taken, asked, place, lambda a: shop_page(desk.shop("", 0), a))

        return await run_in_threadpool(work)

    @app.get("/property/{site}", response_class=HTMLResponse, responses=_SAID)
    def property_page(request: Request, site: str) -> Response:
        """One property and its pits."""
        asked = _asked(desk, request)
        return _html(land_page(_land(desk, site), asked, _notices(desk, asked)))

    @app.post("/property/{site}", responses=_SAID, openapi_extra=_FORM)
    async def change_property(request: Request, site: str) -> Response:
        """Change what a property says of itself."""
        return await _land_form(desk, request, site, lambda land, asked: take_land(land, asked))

    @app.post("/property/{site}/pit", responses=_SAID, openapi_extra=_FORM)
    async def add_pit(request: Request, site: str) -> Response:
        """A new pit on a property."""
        return await _land_form(
            desk,
            request,
            site,
            lambda land, asked: _steady(desk, asked, "b", lambda id: take_pit(land, asked, id)),
        )

    @app.post("/undo", responses=_SAID, openapi_extra=_FORM)
    async def undo(request: Request) -> Response:
        """Take entries back."""
        form = await _form_of(request)

        def work() -> Response:
            back = form.values.get("back", "/")
            safe = back if back.startswith("/") and not back.startswith("//") else "/"
            ids = [i for i in form.values.get("ids", "").split(",") if i][:40]
            return _saved(safe.replace("\\", "/"), desk.undo(ids), "undone")

        return await run_in_threadpool(work)


def _steady(desk: Desk, asked: Asked, prefix: str, take: Callable[[str], Taken]) -> Taken:
    """What a form wants of a new thing, under an id that is the same for the same form."""
    token = asked.said("token")
    if not token:
        return take(desk.new_id(prefix))
    known = hashlib.sha256(
        f"{token}/{sorted(asked.form.items())}".encode("utf-8", "replace")
    ).digest()
    return take(prefix + base64.b32encode(known[:10]).decode().rstrip("=").lower())


async def _land_form(
    desk: Desk, request: Request, site: str, take: Callable[[Land, Asked], Taken]
) -> Response:
    form = await _form_of(request)

    def work() -> Response:
        land = _land(desk, site)
        asked = _asked(desk, request, form)
        again = replace(asked, path=f"/property/{site}")
        return _written(desk, take(land, asked), again, land.place, lambda a: land_page(land, a))

    return await run_in_threadpool(work)


def _land(desk: Desk, site: str) -> Land:
    found = desk.land(site) if site != SHOP else None
    if found is None:
        raise _not_here(site)
    return found


def _pit(desk: Desk, subject: str, step: str = "", patience: float = PATIENCE) -> Pit:
    planned = step in ("choose", "build", "resume", "close", "plan")
    found = desk.pit(subject, planned=planned, wired=step in ("prove", "close"), patience=patience)
    if found is None:
        raise _not_here(subject)
    return found


def _pit_routes(app: FastAPI, desk: Desk) -> None:
    @app.get("/echo", response_class=HTMLResponse, responses=_SAID)
    def said_back(request: Request) -> Response:
        """What a typed length is understood as."""
        typed = next(iter(request.query_params.values()), "")
        return HTMLResponse(echo(tidy(typed)[:200]))

    @app.get("/photo/{hash}", responses=_SAID)
    def photo(hash: str) -> Response:
        """A kept picture."""
        media, data = desk.photo(hash)
        return Response(data, media_type=media, headers={"cache-control": "private, max-age=86400"})

    @app.get("/pit/{subject}", response_class=HTMLResponse, responses=_SAID)
    def one_pit(request: Request, subject: str) -> Response:
        """What lies in a pit and what was done."""
        asked = _asked(desk, request)
        return _html(pit_page(_pit(desk, subject), asked, _notices(desk, asked)))

    @app.post("/pit/{subject}/tie", responses=_SAID, openapi_extra=_FORM)
    async def add_tie(request: Request, subject: str) -> Response:
        """A tie of something in the pit."""
        form = await _form_of(request)

        def work() -> Response:
            pit = _pit(desk, subject)
            asked = replace(_asked(desk, request, form), path=pit.home)
            return _written(
                desk, take_tie(pit, asked), asked, pit.place, lambda a: pit_page(pit, a)
            )

        return await run_in_threadpool(work)

    @app.get("/pit/{subject}/{step}", responses=_SAID)
    def one_step(request: Request, subject: str, step: str) -> Response:
        """One step of the work, or a paper of the pit."""
        asked = _asked(desk, request)
        if step == "carry.html":
            return _carried(desk, _pit(desk, subject, "close", LONG))
        if step in PAPERS:
            name, media, data = paper_of(_pit(desk, subject, PAPERS[step], LONG), step, asked.now)
            said = {"content-disposition": f'inline; filename="{name}"'}
            return Response(data, media_type=media, headers=said)
        if step not in STEP_PAGES:
            raise _not_here(step)
        page = STEP_PAGES[step][0](_pit(desk, subject, step), asked, _notices(desk, asked))
        return _html(page)

    @app.post("/pit/{subject}/{step}", responses=_SAID, openapi_extra=_FORM)
    async def take_step(request: Request, subject: str, step: str) -> Response:
        """A form of one step of the work."""
        if step not in STEP_PAGES:
            raise _not_here(step)
        form = await _form_of(request)
        return await run_in_threadpool(lambda: _step_form(desk, request, form, subject, step))


def _carried(desk: Desk, pit: Pit) -> Response:
    """The carry file, to be saved: it brings scripts of its own and is not run from here."""
    page = carry_file(pit, desk.heads(pit), desk.clock()).encode("utf-8")
    said = {"content-disposition": 'attachment; filename="pit.html"'}
    return Response(page, media_type="text/html; charset=utf-8", headers=said)


def _is_stop(form: Form) -> bool:
    return form.values.get("form") == "stop"


def _step_form(desk: Desk, request: Request, form: Form, subject: str, step: str) -> Response:
    pit = _pit(desk, subject, step, PATIENCE if _is_stop(form) else LONG)
    view, take = STEP_PAGES[step]
    asked = _asked(desk, request, form)
    survey = pit.partly.survey
    if asked.said("form") == "stop" and survey is not None:
        desk.planner.stop(survey)
        return _gone(f"{pit.home}/{step}")
    if asked.said("form") == "again" and survey is not None:
        desk.planner.again(survey)
        return _gone(f"{pit.home}/{step}")
    photos, wrong = _photos(desk, form)
    asked = replace(asked, photos=photos)
    taken = take(pit, asked)
    if wrong or form.trouble:
        taken = replace(taken, trouble={**form.trouble, **wrong, **taken.trouble})
    if not taken.trouble and step == "choose":
        desk.save_plan(pit)
    return _written(desk, taken, asked, pit.place, lambda a: view(pit, a, ()))


def _photos(desk: Desk, form: Form) -> tuple[tuple[tuple[str, str], ...], dict[str, str]]:
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
