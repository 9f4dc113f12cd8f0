"""Who may ask, and what every answer carries."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import httpx
import pytest

from pitwright.errors import Contradiction
from pitwright.server.guard import MOST_BODY, Guard
from pitwright.server.run import bound
from tests.server.ground import SECRET, client, ground
from tests.server.waiting import waited


def got(folder: Path, method: str, path: str, secret: str = SECRET, **head: str) -> httpx.Response:
    async def ask() -> httpx.Response:
        with ground(folder) as land:
            async with client(land.desk, secret) as one:
                return await one.request(method, path, headers=head, content=b"")

    return waited(ask())


def test_the_key_of_this_start_opens_and_no_other(tmp_path: Path) -> None:
    assert got(tmp_path, "GET", "/").status_code == 200
    assert got(tmp_path, "GET", "/", secret="another").status_code == 403
    assert got(tmp_path, "GET", "/enter/another", secret="another").status_code == 403
    entered = got(tmp_path, "GET", f"/enter/{SECRET}", secret="another")
    assert entered.status_code == 303
    assert "HttpOnly" in entered.headers["set-cookie"]
    assert "SameSite=strict" in entered.headers["set-cookie"]


@pytest.mark.parametrize(
    "head",
    [
        {"host": "evil.example:8765"},
        {"host": "127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_another_host_or_page_is_turned_away(tmp_path: Path, head: dict[str, str]) -> None:
    assert got(tmp_path, "GET", "/", **head).status_code in (403, 421)


@pytest.mark.parametrize("origin", ["http://evil.example", "null", "", "http://127.0.0.1:1"])
def test_nothing_is_written_from_another_origin(tmp_path: Path, origin: str) -> None:
    assert got(tmp_path, "POST", "/property", origin=origin).status_code == 403


def policy_of(head: httpx.Headers) -> dict[str, list[str]]:
    said = [one.split() for one in head["content-security-policy"].split(";")]
    return {words[0]: words[1:] for words in said}


@pytest.mark.parametrize(
    ("path", "secret"), [("/", SECRET), ("/nowhere", SECRET), ("/openapi.json", SECRET), ("/", "x")]
)
def test_every_answer_lets_nothing_run_but_what_comes_from_here(
    tmp_path: Path, path: str, secret: str
) -> None:
    head = got(tmp_path, "GET", path, secret=secret).headers
    said = policy_of(head)
    assert said.pop("default-src") == ["'none'"]
    assert said.pop("img-src") == ["'self'", "data:"]
    for name in ("base-uri", "frame-ancestors"):
        assert said.pop(name) == ["'none'"]
    for name in ("script-src", "style-src", "connect-src", "form-action"):
        assert said.pop(name) == ["'self'"]
    assert said == {}
    assert head["x-content-type-options"] == "nosniff"
    assert head["referrer-policy"] == "same-origin"
    assert head["cache-control"] == "no-store"


def test_two_servers_on_one_machine_keep_their_keys_apart() -> None:
    async def nothing(*_: object) -> None: ...

    assert Guard(nothing, "a", 8765).cookie != Guard(nothing, "b", 8766).cookie


def test_a_line_that_stays_open_is_not_served(tmp_path: Path) -> None:
    """No web socket goes past the guard."""
    told: list[object] = []

    async def inner(*_: object) -> None:
        told.append("asked")

    async def ask() -> None:
        scope: dict[str, object] = {"type": "websocket", "headers": []}
        await Guard(inner, SECRET, 1)(scope, _nothing, _sent)

    waited(ask())
    assert told == []


async def _nothing() -> dict[str, object]:
    return {}


async def _sent(message: object) -> None: ...


def test_a_request_of_200_mb_gets_a_clear_word_and_is_not_kept(tmp_path: Path) -> None:
    async def pieces(count: int) -> AsyncIterator[bytes]:
        for _ in range(count):
            yield bytes(1024 * 1024)

    async def ask() -> httpx.Response:
        with ground(tmp_path) as land:
            async with client(land.desk) as one:
                head = {"content-length": str(200 * 1024 * 1024)}
                return await one.post("/property", headers=head, content=pieces(200))

    answer = waited(ask())
    assert answer.status_code == 413
    assert "210 MB" in answer.text and f"{MOST_BODY / 1e6:.0f} MB" in answer.text


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.4", "::", "my-machine"])
def test_it_refuses_to_listen_wider(host: str) -> None:
    with pytest.raises(Contradiction, match="this machine itself"):
        bound(host, 0)
