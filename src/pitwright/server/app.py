"""The app: its routes put together, a page for whatever goes wrong; all work off the event loop."""

from __future__ import annotations

import hmac

from fastapi import FastAPI, Request
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from pitwright import __version__
from pitwright.errors import BadInput, PitwrightError
from pitwright.server.answers import gone, html, not_here, plain
from pitwright.server.assets import asset
from pitwright.server.described import own_answers
from pitwright.server.desk import Desk
from pitwright.server.guard import COOKIE
from pitwright.server.pit_routes import pit_routes
from pitwright.server.shop_routes import shop_routes

__all__ = ["application"]

_SAID = {
    400: (
        "It came broken off",
        "The line broke, or more came than is taken at once. Nothing of it was saved: go back, "
        "where what you typed still stands, and send it again.",
    ),
    404: ("Not here", "Nothing of that name is here."),
    405: ("Not here", "This address takes no such request."),
}
_OURS = (
    "This is a mistake of the program, not of yours. What was saved before is safe, and what you "
    "typed is kept in this browser: go back, and its form has it again."
)


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
    shop_routes(app, desk)
    pit_routes(app, desk)

    @app.exception_handler(HTTPException)
    async def said(request: Request, broken: Exception) -> Response:
        status = broken.status_code if isinstance(broken, HTTPException) else 500
        title, words = _SAID.get(status, ("Not here", "This cannot be done."))
        return html(plain(title, words, status))

    @app.exception_handler(PitwrightError)
    async def wrong(request: Request, mistake: Exception) -> Response:
        status = 422 if isinstance(mistake, BadInput) else 507
        return html(plain("That did not work", str(mistake), status))

    @app.exception_handler(Exception)
    async def broken(request: Request, mistake: Exception) -> Response:
        return html(plain("That did not work", _OURS, 500))

    whole = app.openapi
    app.openapi = lambda: own_answers(whole())  # type: ignore[method-assign]
    return app


def _open_routes(app: FastAPI, secret: str) -> None:
    @app.get("/enter/{key}", include_in_schema=False)
    def enter(request: Request, key: str) -> Response:
        """Take the key of this start."""
        if not hmac.compare_digest(key.encode("utf-8", "replace"), secret.encode()):
            return html(plain("Not the key of this start", "Open the newest address printed.", 403))
        answer = gone("/")
        cookie = COOKIE.format(port=request.url.port)
        answer.set_cookie(cookie, secret, httponly=True, samesite="strict", path="/")
        return answer

    @app.get("/assets/{mark}/{name}", include_in_schema=False)
    def assets(mark: str, name: str) -> Response:
        """A style or a script."""
        found = asset(mark, name)
        if found is None:
            raise not_here(name)
        kept = {"cache-control": "public, max-age=31536000, immutable"}
        return Response(found[1], media_type=found[0], headers=kept)
