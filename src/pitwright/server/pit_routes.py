"""The routes of one pit: what lies there, the steps of the work, its papers."""

from __future__ import annotations

from dataclasses import replace

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from pitwright.errors import BadInput
from pitwright.pages.html import tidy
from pitwright.pages.pit import TIE_FIELDS, pit_page, take_tie
from pitwright.pages.standing import Pit
from pitwright.pages.steps import STEP_PAGES, echo
from pitwright.server.answers import asked_of, gone, html, not_here, notices, plain, written
from pitwright.server.described import FOUND, PAGE, PAPER, PICTURE, SENT_TO, form_like
from pitwright.server.desk import Desk
from pitwright.server.forms import Form, form_of, photos_of
from pitwright.server.papers import PAPERS, carry_file, paper_of
from pitwright.server.planner import PATIENCE

__all__ = ["pit_routes"]

LONG = 30.0
"""A paper, or a form about a plan, waits so long for the plan to be worked out. [s]"""


def _pit(desk: Desk, subject: str, step: str = "", patience: float = PATIENCE) -> Pit:
    planned = step in ("choose", "build", "resume", "close", "plan")
    found = desk.pit(
        subject,
        planned=planned,
        wired=step in ("prove", "close"),
        going=step in ("build", "resume", "close", "plan"),
        ahead=step == "resume",
        patience=patience,
    )
    if found is None:
        raise not_here(subject)
    return found


def pit_routes(app: FastAPI, desk: Desk) -> None:
    """Add the routes of pits."""
    _kept_routes(app, desk)
    _step_routes(app, desk)


def _kept_routes(app: FastAPI, desk: Desk) -> None:
    @app.get("/echo", response_class=HTMLResponse, responses=PAGE)
    def said_back(request: Request) -> Response:
        """What a typed length is understood as."""
        asked = dict(request.query_params)
        unit = asked.pop("unit", "in")
        name, typed = next(iter(asked.items()), ("", ""))
        return HTMLResponse(echo(tidy(typed)[:200], tidy(name)[:80], unit))

    @app.get("/photo/{hash}", response_class=Response, responses=PICTURE)
    def photo(hash: str) -> Response:
        """A kept picture."""
        try:
            media, data = desk.photo(hash)
        except BadInput as mistake:
            return html(plain("Not here", f"{mistake}.", 404))
        return Response(data, media_type=media, headers={"cache-control": "private, max-age=86400"})

    @app.get("/pit/{subject}", response_class=HTMLResponse, responses=FOUND)
    def one_pit(request: Request, subject: str) -> Response:
        """What lies in a pit and what was done."""
        asked = asked_of(desk, request)
        return html(pit_page(_pit(desk, subject), asked, notices(desk, asked)))

    @app.post(
        "/pit/{subject}/tie",
        status_code=303,
        response_class=Response,
        responses=SENT_TO,
        openapi_extra=form_like(TIE_FIELDS),
    )
    async def add_tie(request: Request, subject: str) -> Response:
        """A tie of something in the pit."""
        form = await form_of(request)

        def work() -> Response:
            pit = _pit(desk, subject)
            asked = replace(asked_of(desk, request, form), path=pit.home)
            return written(desk, take_tie(pit, asked), asked, pit.place, lambda a: pit_page(pit, a))

        return await run_in_threadpool(work)


def _step_routes(app: FastAPI, desk: Desk) -> None:
    @app.get("/pit/{subject}/{step}", response_class=Response, responses=PAPER)
    def one_step(request: Request, subject: str, step: str) -> Response:
        """One step of the work, or a paper of the pit."""
        asked = asked_of(desk, request)
        if step == "carry.html":
            return _carried(desk, _pit(desk, subject, "close", LONG))
        if step in PAPERS:
            name, media, data = paper_of(_pit(desk, subject, PAPERS[step], LONG), step, asked.now)
            said = {"content-disposition": f'inline; filename="{name}"'}
            return Response(data, media_type=media, headers=said)
        if step not in STEP_PAGES:
            raise not_here(step)
        page = STEP_PAGES[step][0](_pit(desk, subject, step), asked, notices(desk, asked))
        return html(page)

    @app.post(
        "/pit/{subject}/{step}",
        status_code=303,
        response_class=Response,
        responses=SENT_TO,
        openapi_extra=form_like(("form", "seen")),
    )
    async def take_step(request: Request, subject: str, step: str) -> Response:
        """A form of one step of the work."""
        if step not in STEP_PAGES:
            raise not_here(step)
        form = await form_of(request)
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
    asked = asked_of(desk, request, form)
    if asked.said("form") == "stop":
        desk.stop(pit)
        return gone(f"{pit.home}/{step}")
    if asked.said("form") == "again":
        desk.again(pit)
        return gone(f"{pit.home}/{step}")
    photos, wrong = photos_of(desk, form)
    asked = replace(asked, photos=photos)
    taken = take(pit, asked)
    taken = replace(taken, trouble={**taken.trouble, **wrong})
    if not taken.trouble and step == "choose":
        desk.save_plan(pit)
    return written(desk, taken, asked, pit.place, lambda a: view(pit, a, ()))
