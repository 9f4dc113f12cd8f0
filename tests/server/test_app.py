"""The routes, asked as a browser asks them, without a line between."""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import TypeVar

import httpx
import pytest

from pitwright.server.example import fill
from tests.house.reading import ROOT
from tests.server.forms_seen import forms_of
from tests.server.ground import Ground, client, ground
from tests.server.waiting import waited

T = TypeVar("T")
PLACES = (
    *("", "/look", "/measure", "/choose", "/build", "/resume", "/prove", "/close"),
    *("/history.pdf", "/pit-sheet.pdf", "/owner.pdf", "/owner-a4.pdf", "/box-card.pdf"),
    "/carry.html",
)
Ask = Callable[[httpx.AsyncClient], Awaitable[T]]


def asked(land: Ground, ask: Ask[T]) -> T:
    async def whole() -> T:
        async with client(land.desk) as one:
            return await ask(one)

    return waited(whole())


async def made(one: httpx.AsyncClient, name: str = "Quince lane") -> str:
    """A property and a pit; the pit's address."""
    got = await one.post("/property", data={"token": f"t {name}", "name": name})
    land = got.headers["location"].partition("?")[0]
    got = await one.post(f"{land}/pit", data={"token": f"p {name}", "label": "gate"})
    assert got.status_code == 303
    return str(got.headers["location"]).partition("?")[0]


def test_html_in_a_name_is_text_on_every_page(tmp_path: Path) -> None:
    nasty = "<img src=x onerror=alert(1)>\"'&"

    async def ask(one: httpx.AsyncClient) -> list[str]:
        pit = await made(one, nasty)
        pages = ["/", pit, f"{pit}/measure", f"{pit}/look", f"{pit}/close", "/?q=img"]
        return [(await one.get(p)).text for p in pages]

    with ground(tmp_path) as land:
        for page in asked(land, ask):
            assert "<img src=x" not in page

        assert "&lt;img src=x onerror=alert(1)&gt;&quot;" in asked(land, _front)


async def _front(one: httpx.AsyncClient) -> str:
    return (await one.get("/")).text


def test_a_double_tap_is_one_entry(tmp_path: Path) -> None:
    body = {"token": "abc", "form": "finding", "what": "thin wall", "sure": "likely"}

    async def ask(one: httpx.AsyncClient) -> tuple[int, int]:
        pit = await made(one)
        before = land.desk.store.count()
        first = await one.post(f"{pit}/look", data=body)
        second = await one.post(f"{pit}/look", data=body)
        assert first.headers["location"] == second.headers["location"]
        return before, land.desk.store.count()

    with ground(tmp_path) as land:
        before, after = asked(land, ask)
        assert after == before + 1


def test_another_text_under_the_same_token_is_another_entry(tmp_path: Path) -> None:
    """Back, change what was typed, send again: it must not be lost."""

    async def ask(one: httpx.AsyncClient) -> str:
        pit = await made(one)
        for what in ("thin wall", "thick wall"):
            await one.post(f"{pit}/look", data={"token": "abc", "form": "finding", "what": what})
        return (await one.get(f"{pit}/look")).text

    with ground(tmp_path) as land:
        page = asked(land, ask)
        assert "thin wall" in page and "thick wall" in page


def test_a_property_tapped_twice_is_one_property(tmp_path: Path) -> None:
    async def ask(one: httpx.AsyncClient) -> list[str]:
        body = {"token": "abc", "name": "Quince lane"}
        return [(await one.post("/property", data=body)).headers["location"] for _ in range(2)]

    with ground(tmp_path) as land:
        first, second = asked(land, ask)
        assert first == second
        assert land.desk.shop("", 0).count == 1


def test_a_stale_page_says_what_changed_and_loses_nothing(tmp_path: Path) -> None:
    async def ask(one: httpx.AsyncClient) -> tuple[httpx.Response, str, httpx.Response]:
        pit = await made(one)
        seen = str(land.desk.store.clock(land.desk.pit(pit[5:]).place.site))  # type: ignore[union-attr]
        stub = {"part": "stub", "name": "feed", "form": "stub-feed", "seen": seen}
        await one.post(f"{pit}/measure", data={**stub, "token": "a", "cut_back": "1"})
        late = await one.post(f"{pit}/measure", data={**stub, "token": "b", "cut_back": "2"})
        now = re.search(r'name="seen" value="(\d+)"', late.text)
        assert now
        again = {**stub, "token": "b", "cut_back": "2", "seen": now[1]}
        last = await one.post(f"{pit}/measure", data=again)
        return late, (await one.get(f"{pit}/measure?part=stub&name=feed")).text, last

    with ground(tmp_path) as land:
        late, page, last = asked(land, ask)
        assert late.status_code == 422
        assert "Changed since this page was made" in late.text and 'value="2"' in late.text
        assert last.status_code == 303
        form = next(f for f in forms_of(page) if f.keep == "stub-feed")
        assert form.holds()["cut_back"] == "2"


OBSTACLE = {
    "form": "obstacle-", "part": "obstacle", "name": "rock", "kind": "rock",
    "start.0": "9", "start.1": "9", "start.2": "0", "thick": "3", "seen": "9",
}  # fmt: skip


def test_a_part_is_taken_away_at_the_first_tap_and_another_tab_is_told_in_plain_words(
    tmp_path: Path,
) -> None:
    async def ask(one: httpx.AsyncClient) -> tuple[int, str]:
        pit = await made(one)
        await one.post(f"{pit}/measure", data={"token": "a", **OBSTACLE})
        page = (await one.get(f"{pit}/measure?part=obstacle&name=rock")).text
        form = page.partition('data-keep="away-obstacle-rock"')[0].rpartition("<form")[2]
        rest = page.partition('data-keep="away-obstacle-rock"')[2].partition("</form>")[0]
        fields = dict(re.findall(r'name="(\w+)" value="([^"]*)"', form + rest))
        gone = await one.post(f"{pit}/measure", data=fields)
        seen = {"seen": fields["seen"], "was": '{"thick": "3"}', "thick": "4"}
        late = await one.post(f"{pit}/measure", data={"token": "b", **OBSTACLE, **seen})
        return gone.status_code, late.text

    with ground(tmp_path) as land:
        status, late = asked(land, ask)
        assert status == 303
        assert "rock: thickness taken away" in late
        assert "obstacle/rock" not in late and "survey, taken away" not in late
        field = late.partition('id="f-thick"')[2].partition("</div>")[0]
        assert "changed meanwhile" in field


def test_every_form_error_keeps_what_was_typed(tmp_path: Path) -> None:
    forms = [
        ("", {"form": "property", "owner": "kept text"}, "/property"),
        ("tie", {"thing": "kept text", "a": "7 ft"}, None),
        (
            "tie",
            {"thing": "box", "mark_a": "kept text", "a": "seven", "mark_b": "b", "b": "1"},
            None,
        ),
        ("look", {"form": "finding", "place": "kept text"}, None),
        ("look", {"form": "finding", "what": "kept text", "depth": "four/x"}, None),
        ("look", {"form": "first", "quantity": "kept text"}, None),
        (
            "measure",
            {"form": "stub-", "part": "stub", "name": "kept text", "cut_back": "4 3/x"},
            None,
        ),
        ("measure", {"form": "box-", "part": "box", "grade": "kept text"}, None),
        ("measure", {"form": "file", "survey": "kept text = ["}, None),
        ("measure", {"form": "layout", "pipe_in": "kept text", "pipe_out": "unknown"}, None),
        ("prove", {"form": "test", "zone": "kept text"}, None),
        ("prove", {"form": "after", "quantity": "kept text"}, None),
        ("prove", {"form": "harness", "text": "kept text"}, None),
        ("prove", {"form": "lay", "stations": "many", "far": "kept text"}, None),
        ("close", {"form": "outcome", "zone": "kept text"}, None),
    ]

    async def ask(one: httpx.AsyncClient) -> list[str]:
        pit = await made(one)
        wrong = []
        for step, body, address in forms:
            got = await one.post(address or f"{pit}/{step}", data={"token": "x", **body})
            kept = "kept text" in got.text and "Not saved yet" in got.text
            if got.status_code != 422 or not kept:
                wrong.append(f"{step} {body}: {got.status_code}")
        return wrong

    with ground(tmp_path) as land:
        assert asked(land, ask) == []


def test_undo_takes_back_and_puts_back_and_may_be_tapped_twice(tmp_path: Path) -> None:
    async def ask(one: httpx.AsyncClient) -> list[str]:
        pit = await made(one)
        body = {"token": "abc", "form": "finding", "what": "odd smell"}
        saved = (await one.post(f"{pit}/look", data=body)).headers["location"]
        ids = saved.partition("saved=")[2]
        pages = []
        for taken in (ids, ids):
            got = await one.post("/undo", data={"ids": taken, "back": f"{pit}/look"})
            pages.append((await one.get(f"{pit}/look")).text)
        undone = got.headers["location"].partition("undone=")[2]
        await one.post("/undo", data={"ids": undone, "back": f"{pit}/look"})
        pages.append((await one.get(f"{pit}/look")).text)
        return pages

    with ground(tmp_path) as land:
        once, twice, back = asked(land, ask)
        assert "odd smell" not in once and "odd smell" not in twice
        assert "odd smell" in back


def test_one_undo_takes_back_all_that_one_form_wrote_however_much(tmp_path: Path) -> None:
    async def ask(one: httpx.AsyncClient) -> tuple[int, int, int]:
        pit = await made(one)
        form = {"form": "layout", "token": "z", "zones": "8", "pipe_in": "unknown"}
        form |= {"pipe_out": "unknown", "layout": "riser", "size": "1"}
        got = await one.post(f"{pit}/measure", data=form)
        ids = got.headers["location"].partition("saved=")[2].partition("#")[0]

        def left() -> int:
            found = land.desk.pit(pit[5:])
            assert found is not None
            return len(found.readings)

        laid = left()
        got = await one.post("/undo", data={"ids": ids, "back": pit})
        gone = left()
        await one.post("/undo", data={"ids": got.headers["location"].partition("undone=")[2]})
        return laid, gone, left()

    with ground(tmp_path) as land:
        laid, gone, back = asked(land, ask)
        assert laid > 60 and gone == 0 and back == laid


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"\xff\xd8\xff\xe0broken", "beyond its end"),
        (b"MZ\x00\x01\x02 a program", "JPEG, PNG"),
        (b"plain words", "no JPEG or PNG picture"),
    ],
)
def test_a_broken_photo_gets_a_clear_word_and_keeps_the_rest(
    tmp_path: Path, data: bytes, said: str
) -> None:
    async def ask(one: httpx.AsyncClient) -> httpx.Response:
        pit = await made(one)
        body = {"token": "abc", "form": "finding", "what": "thin wall on the feed"}
        return await one.post(f"{pit}/look", data=body, files={"photo": ("p.jpg", data)})

    with ground(tmp_path) as land:
        got = asked(land, ask)
        assert got.status_code == 422
        assert said in got.text and "thin wall on the feed" in got.text


def test_the_example_firm_opens_on_every_page(tmp_path: Path) -> None:
    data = ROOT / "src/pitwright/cli/data"

    async def ask(one: httpx.AsyncClient) -> list[str]:
        wrong = []
        front = (await one.get("/")).text
        for site in re.findall(r"/property/(\w+)\"", front)[:2]:
            page = (await one.get(f"/property/{site}")).text
            for pit in re.findall(r"/pit/(\w+)\"", page):
                for step in PLACES:
                    got = await one.get(f"/pit/{pit}{step}")
                    if got.status_code != 200:
                        wrong.append(f"{pit}{step} {got.status_code}")
        return wrong

    with ground(tmp_path) as land:
        fill(land.desk, {p.name: p.read_text("utf-8") for p in data.glob("*.toml")})
        assert asked(land, ask) == []
