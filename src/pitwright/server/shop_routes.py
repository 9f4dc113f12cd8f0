"""The routes of the shop and of one property: lists, new ones, undo."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable
from dataclasses import replace

from fastapi import FastAPI, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool

from pitwright.pages.asked import Asked, Taken
from pitwright.pages.html import tidy
from pitwright.pages.properties import (
    LAND_FIELDS,
    land_page,
    shop_page,
    take_land,
    take_pit,
    take_property,
)
from pitwright.pages.standing import Land
from pitwright.records.pits import Place
from pitwright.records.store import SHOP
from pitwright.server.answers import (
    MOST_AT_ONCE,
    asked_of,
    html,
    not_here,
    notices,
    saved,
    written,
)
from pitwright.server.described import FOUND, PAGE, SENT, SENT_TO, form_like
from pitwright.server.desk import Desk
from pitwright.server.forms import form_of

__all__ = ["shop_routes"]


def shop_routes(app: FastAPI, desk: Desk) -> None:
    """Add the routes of the shop and its properties."""
    _front_routes(app, desk)
    _land_routes(app, desk)


def _front_routes(app: FastAPI, desk: Desk) -> None:
    @app.get("/", response_class=HTMLResponse, responses=PAGE)
    def properties(request: Request, q: str = "", start: str = "0") -> Response:
        """All properties, or those searched for."""
        first = int(start) if start.isdecimal() and len(start) < 7 else 0
        asked = asked_of(desk, request)
        return html(shop_page(desk.shop(tidy(q)[:200], first), asked, notices(desk, asked)))

    @app.post(
        "/property",
        status_code=303,
        response_class=Response,
        responses=SENT,
        openapi_extra=form_like(LAND_FIELDS, ("name",)),
    )
    async def add_property(request: Request) -> Response:
        """A new property."""
        form = await form_of(request)

        def work() -> Response:
            asked = asked_of(desk, request, form)
            site = desk.new_id("s")
            place = Place(site, site, "property", "")
            # a second tap must find the property of the first, so its id comes from the token
            taken = _steady(desk, asked, "s", lambda id: take_property(asked, id))
            return written(desk, taken, asked, place, lambda a: shop_page(desk.shop("", 0), a))

        return await run_in_threadpool(work)

    @app.post(
        "/undo",
        status_code=303,
        response_class=Response,
        responses=SENT,
        openapi_extra=form_like(("ids", "back")),
    )
    async def undo(request: Request) -> Response:
        """Take entries back."""
        form = await form_of(request)

        def work() -> Response:
            back = form.values.get("back", "/")
            safe = back if back.startswith("/") and not back.startswith("//") else "/"
            ids = [i for i in form.values.get("ids", "").split(",") if i][:MOST_AT_ONCE]
            return saved(safe, desk.undo(ids), "undone")

        return await run_in_threadpool(work)


def _land_routes(app: FastAPI, desk: Desk) -> None:
    @app.get("/property/{site}", response_class=HTMLResponse, responses=FOUND)
    def property_page(request: Request, site: str) -> Response:
        """One property and its pits."""
        asked = asked_of(desk, request)
        return html(land_page(_land(desk, site), asked, notices(desk, asked)))

    @app.post(
        "/property/{site}",
        status_code=303,
        response_class=Response,
        responses=SENT_TO,
        openapi_extra=form_like(LAND_FIELDS),
    )
    async def change_property(request: Request, site: str) -> Response:
        """Change what a property says of itself."""
        return await _land_form(desk, request, site, lambda land, asked: take_land(land, asked))

    @app.post(
        "/property/{site}/pit",
        status_code=303,
        response_class=Response,
        responses=SENT_TO,
        openapi_extra=form_like(("label", "zones"), ("label",)),
    )
    async def add_pit(request: Request, site: str) -> Response:
        """A new pit on a property."""
        return await _land_form(
            desk,
            request,
            site,
            lambda land, asked: _steady(desk, asked, "b", lambda id: take_pit(land, asked, id)),
        )


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
    form = await form_of(request)

    def work() -> Response:
        land = _land(desk, site)
        asked = asked_of(desk, request, form)
        again = replace(asked, path=f"/property/{site}")
        return written(desk, take(land, asked), again, land.place, lambda a: land_page(land, a))

    return await run_in_threadpool(work)


def _land(desk: Desk, site: str) -> Land:
    found = desk.land(site) if site != SHOP else None
    if found is None:
        raise not_here(site)
    return found
