"""Who may ask: this machine alone, by the address that this start printed, from our own pages."""

from __future__ import annotations

import hmac
from collections.abc import Awaitable, Callable, MutableMapping
from http.cookies import CookieError, SimpleCookie
from typing import Any

__all__ = ["COOKIE", "HEADERS", "MOST_BODY", "Guard"]

COOKIE = "pitwright-{port}"
"""Of each server on this machine one: browsers keep cookies by host alone."""
MOST_BODY = 45 * 1024 * 1024
"""One request at most: a photo at its largest, and its form. [bytes]"""
MOST_DRAINED = 1024 * 1024 * 1024
"""So much of a request that is too big is still read, so that its answer can be seen. [bytes]"""
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"x-frame-options", b"DENY"),
)
Scope = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[MutableMapping[str, Any]]]
Send = Callable[[MutableMapping[str, Any]], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

_OPEN = (
    "Open the address that pitwright printed when it was started: it holds the key of this start."
)
_PAGE = (
    '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title>'
    '<meta name="viewport" content="width=device-width, initial-scale=1"></head>'
    "<body><main><h1>{title}</h1><p>{words}</p><p>Nothing was lost: what you typed is kept in this "
    "browser, and stands in its form again.</p></main></body></html>"
)


class Guard:
    """Asks every request for the right host, origin and secret before the app sees it."""

    def __init__(self, app: App, secret: str, port: int) -> None:
        self.app, self.secret, self.cookie = app, secret, COOKIE.format(port=port)
        self.hosts = {f"{name}:{port}" for name in ("127.0.0.1", "localhost", "[::1]")}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass it on, or say why not."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        head = {k.lower(): v.decode("latin-1") for k, v in scope["headers"]}
        refused = self._refused(scope, head)
        if refused is not None:
            await _drained(receive, head)
            await _answer(send, *refused)
            return
        await self.app(scope, self._measured(receive), self._dressed(send))

    def _refused(self, scope: Scope, head: dict[bytes, str]) -> tuple[int, str, str] | None:
        host = head.get(b"host", "")
        if host not in self.hosts:
            return 421, "Wrong host", "This app answers on this machine alone."
        if scope["method"] not in ("GET", "HEAD"):
            origin = head.get(b"origin", "")
            if origin != f"http://{host}":
                return 403, "Wrong origin", "A form of another page cannot write here."
        if head.get(b"sec-fetch-site", "none") not in ("none", "same-origin"):
            return 403, "Wrong origin", "Another page cannot ask for this."
        path = str(scope["path"])
        if not path.startswith(("/assets/", "/enter/")) and not self._known(head):
            return 403, "A key is needed", _OPEN
        if _length(head) > MOST_BODY:
            return (
                413,
                "Too big",
                (
                    f"This is {_length(head) / 1e6:.0f} MB; at most {MOST_BODY / 1e6:.0f} MB are "
                    "taken at once. Save a smaller copy of the photo and go back."
                ),
            )
        return None

    def _known(self, head: dict[bytes, str]) -> bool:
        try:
            found = SimpleCookie(head.get(b"cookie", "")).get(self.cookie)
        except CookieError:
            return False
        return found is not None and hmac.compare_digest(
            found.value.encode("utf-8", "replace"), self.secret.encode()
        )

    def _measured(self, receive: Receive) -> Receive:
        """Ends a body that goes on past what is allowed, whatever its header said."""
        had = 0

        async def counted() -> MutableMapping[str, Any]:
            nonlocal had
            message = await receive()
            had += len(message.get("body", b""))
            if had > MOST_BODY:
                return {"type": "http.disconnect"}
            return message

        return counted

    def _dressed(self, send: Send) -> Send:
        async def dressed(message: MutableMapping[str, Any]) -> None:
            if message["type"] == "http.response.start":
                kept = [h for h in message["headers"] if h[0] != b"server"]
                said = {k for k, _ in kept}
                more = [] if b"cache-control" in said else [(b"cache-control", b"no-store")]
                message["headers"] = [*kept, *HEADERS, *more]
            await send(message)

        return dressed


def _length(head: dict[bytes, str]) -> int:
    text = head.get(b"content-length", "0")
    return int(text) if text.isdecimal() and len(text) < 16 else 0


async def _drained(receive: Receive, head: dict[bytes, str]) -> None:
    """Read what is on its way and keep none of it, so that the answer is seen."""
    left = min(_length(head), MOST_DRAINED)
    while left > 0:
        message = await receive()
        left -= len(message.get("body", b""))
        if message["type"] != "http.request" or not message.get("more_body"):
            return


async def _answer(send: Send, status: int, title: str, words: str) -> None:
    body = _PAGE.format(title=title, words=words).encode()
    headers = [
        (b"content-type", b"text/html; charset=utf-8"),
        (b"content-length", str(len(body)).encode()),
        (b"cache-control", b"no-store"),
        *HEADERS,
    ]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
