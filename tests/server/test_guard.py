"""Who may ask, and what every answer carries."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import httpx
import pytest

from pitwright.errors import Contradiction
from pitwright.server.guard import MOST_BODY, POLICY
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


def test_every_answer_says_what_may_run(tmp_path: Path) -> None:
    for path in ("/", "/nowhere", "/openapi.json"):
        head = got(tmp_path, "GET", path).headers
        assert head["content-security-policy"] == POLICY
        assert head["x-content-type-options"] == "nosniff"
    assert "unsafe" not in POLICY


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
