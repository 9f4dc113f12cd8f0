"""Every form of every page, found as a browser does: nothing lost, nothing twice, a clear word."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import httpx
import pytest

from pitwright.errors import NotWritable
from pitwright.pages.keys import FORMS
from pitwright.pages.steps import STEP_PAGES
from pitwright.records.store import Draft, Hand, Store
from pitwright.server.example import fill
from pitwright.server.forms import MOST_TEXT
from pitwright.server.guard import MOST_BODY
from tests.house.reading import ROOT
from tests.server.forms_seen import SeenForm, forms_of
from tests.server.ground import BASE, Ground, client, ground
from tests.server.test_app import asked, made
from tests.server.waiting import waited

NASTY = "<img src=x onerror=alert(1)>\"'&"
BROKEN = ("p.jpg", b"\xff\xd8\xff\xe0broken")
FORMS_AT_LEAST = 25
"""Forms with something to type that the pages are known to have. [-]"""


def chunk(kind: bytes, data: bytes) -> bytes:
    return len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")


PICTURE = (
    b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", b"\0\0\0\1\0\0\0\1\x08\0\0\0\0")
    + chunk(b"IDAT", zlib.compress(b"\0\0")) + chunk(b"IEND", b"")
)  # fmt: skip


@dataclass(frozen=True)
class Firm:
    """The example firm: its ground, and the addresses of one property and its pit."""

    ground: Ground
    land: str
    pit: str


@pytest.fixture(scope="module")
def firm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firm]:
    """A record that several tests write in: none counts on being the first."""
    with firm_in(tmp_path_factory.mktemp("firm")) as one:
        yield one


@contextmanager
def firm_in(folder: Path) -> Iterator[Firm]:
    data = ROOT / "src/pitwright/cli/data"
    with ground(folder) as land:
        fill(land.desk, {p.name: p.read_text("utf-8") for p in data.glob("*.toml")})
        site = next(p.site for p in land.desk.shop("", 0).shown if p.name == "Chapel lawn")
        place = land.desk.land(site)
        assert place is not None
        yield Firm(land, f"/property/{site}", f"/pit/{place.pits[0].subject}")


async def addresses(one: httpx.AsyncClient, firm: Firm) -> list[str]:
    """The pages of a new pit and of the example's, with every form that can be unfolded."""
    home = await made(one)
    found = ["/", firm.land, home, f"{home}/measure", f"{home}/prove", firm.pit]
    found += [f"{home}/measure?part={part}" for part in FORMS]
    await one.get(f"{firm.pit}/close")  # waits until the plan is there
    pick = next(f for f in await seen(one, f"{firm.pit}/choose") if "way" in f.hidden)
    await one.post(pick.action, data=pick.hidden)
    return found + [f"{firm.pit}/{step}" for step in STEP_PAGES]


async def seen(one: httpx.AsyncClient, address: str) -> list[SeenForm]:
    for _ in range(100):
        page = (await one.get(address)).text
        if "zones worked out" not in page:
            return forms_of(page)
    raise AssertionError(f"{address} is never ready")


def filled(form: SeenForm, words: str) -> dict[str, str]:
    """The form with these words in every line, and the last of every list."""
    values = form.hidden
    for control in form.typed:
        if control.kind in ("select", "radio"):
            values[control.name] = control.offered[-1] if control.offered else control.value
        else:
            values[control.name] = f"{words} {control.name}"
    return values


async def sent(one: httpx.AsyncClient, form: SeenForm, values: dict[str, str]) -> httpx.Response:
    """Sent so that it cannot be saved: with a broken photo, or without its first line."""
    steps = form.action.rpartition("/")[2] in STEP_PAGES
    if not steps:
        first = next(c.name for c in form.typed if c.kind == "text")
        values[first] = ""
    return await one.post(form.action, data=values, files={"photo": BROKEN} if steps else None)


def test_every_form_of_every_page_keeps_what_was_typed_when_it_cannot_be_saved(
    firm: Firm,
) -> None:
    async def ask(one: httpx.AsyncClient) -> tuple[list[str], int]:
        wrong, names = [], set()
        for address in await addresses(one, firm):
            for form in await seen(one, address):
                if not any(c.kind in ("text", "textarea") for c in form.typed):
                    continue
                names.add((address.rpartition("/")[2], form.keep))
                values = filled(form, "kept")
                got = await sent(one, form, values)
                back = [f for f in forms_of(got.text) if f.keep == form.keep]
                said = "Not saved yet" in got.text and "data-focus" in got.text
                lost = {
                    k: back[0].holds().get(k) if back else None
                    for k, v in values.items()
                    if not back or back[0].holds().get(k) != v
                }
                if got.status_code != 422 or not said or lost:
                    wrong.append(f"{address} {form.keep}: {got.status_code} {said} lost {lost}")
        return wrong, len(names)

    wrong, count = asked(firm.ground, ask)
    assert wrong == []
    assert count >= FORMS_AT_LEAST


def test_html_in_every_field_of_every_form_is_text_on_every_page(tmp_path: Path) -> None:
    async def ask(one: httpx.AsyncClient, own: Firm) -> tuple[list[str], int]:
        every = await addresses(one, own)
        wrong, kept = [], 0
        for address in every:
            for form in await seen(one, address):
                values = filled(form, NASTY)
                got = await one.post(form.action, data=values)
                kept += got.status_code == 303 and "saved=" in got.headers["location"]
                if "<img src=x" in got.text:
                    wrong.append(f"{address} {form.keep} says it back")
        home = every[2]
        for address in [*every, f"/?q={NASTY}", f"/echo?a={NASTY}", f"{home}/harness.svg"]:
            if "<img src=x" in (await one.get(address)).text:
                wrong.append(address)
        return wrong, kept

    with firm_in(tmp_path) as own:
        wrong, kept = asked(own.ground, lambda one: ask(one, own))
    assert wrong == []
    assert kept >= 15  # so many took the words in


def test_every_button_without_a_field_answers_and_two_taps_write_no_more_than_one(
    firm: Firm,
) -> None:
    async def ask(one: httpx.AsyncClient) -> list[str]:
        wrong = []
        for address in await addresses(one, firm):
            for form in await seen(one, address):
                if form.typed or form.keep in ("stop", "again"):
                    continue
                first = await one.post(form.action, data=form.hidden)
                before = firm.ground.desk.store.count()
                second = await one.post(form.action, data=form.hidden)
                told = first.status_code == 303 or "Changed since this page" in first.text
                if not told or second.status_code >= 500:
                    wrong.append(f"{address} {form.keep} {first.status_code}")
                if firm.ground.desk.store.count() != before:
                    wrong.append(f"{address} {form.keep} wrote twice")
        return wrong

    assert asked(firm.ground, ask) == []


@pytest.mark.parametrize("step", sorted(STEP_PAGES))
def test_a_form_that_no_page_knows_any_more_is_told_so(tmp_path: Path, step: str) -> None:
    async def ask(one: httpx.AsyncClient) -> httpx.Response:
        pit = await made(one)
        return await one.post(f"{pit}/{step}", data={"form": "of-last-year", "what": "thin wall"})

    with ground(tmp_path) as land:
        got = asked(land, ask)
        assert got.status_code == 422
        assert "Not saved yet" in got.text


def test_a_photo_that_was_fine_goes_along_when_the_form_is_mended(tmp_path: Path) -> None:
    async def ask(one: httpx.AsyncClient) -> tuple[str, str]:
        pit = await made(one)
        form = {"form": "finding", "token": "a", "place": "behind the tee"}
        got = await one.post(f"{pit}/look", data=form, files={"photo": ("p.png", PICTURE)})
        assert got.status_code == 422 and "Your photo is kept" in got.text
        back = next(f for f in forms_of(got.text) if f.keep == "finding")
        last = await one.post(f"{pit}/look", data={**back.holds(), "what": "thin wall"})
        assert last.status_code == 303
        return (await one.get(f"{pit}/look")).text, back.hidden["photos_kept"]

    with ground(tmp_path) as land:
        page, hash = asked(land, ask)
        assert f"/photo/{hash}" in page


@pytest.mark.parametrize("kept", ["../../etc/passwd", "0" * 64, "x", "0" * 63])
def test_a_photo_that_was_never_kept_is_asked_for_again(tmp_path: Path, kept: str) -> None:
    async def ask(one: httpx.AsyncClient) -> httpx.Response:
        pit = await made(one)
        form = {"form": "finding", "what": "thin wall", "photos_kept": kept}
        return await one.post(f"{pit}/look", data=form)

    with ground(tmp_path) as land:
        got = asked(land, ask)
        assert got.status_code == 422 and "choose it again" in got.text


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "is empty"),
        (b"\xff\xd8\xff" + bytes(40 * 1024 * 1024), "must be 0 to 42 MB"),
        (PICTURE[:40], "no good"),
    ],
)
def test_an_empty_a_huge_and_a_half_photo_get_a_clear_word(
    tmp_path: Path, data: bytes, said: str
) -> None:
    async def ask(one: httpx.AsyncClient) -> httpx.Response:
        pit = await made(one)
        form = {"form": "finding", "what": "thin wall"}
        return await one.post(f"{pit}/look", data=form, files={"photo": ("p.png", data)})

    with ground(tmp_path) as land:
        got = asked(land, ask)
        assert got.status_code == 422 and "thin wall" in got.text
        assert said in got.text or said == "no good"
        assert 'class="wrong"' in got.text


def test_a_text_that_is_too_long_is_told_so_and_not_cut_short(tmp_path: Path) -> None:
    text = "# long\n" * (MOST_TEXT // 7 + 1)

    async def ask(one: httpx.AsyncClient) -> httpx.Response:
        pit = await made(one)
        return await one.post(f"{pit}/measure", data={"form": "file", "survey": text})

    with ground(tmp_path) as land:
        got = asked(land, ask)
        assert got.status_code == 422 and f"at most {MOST_TEXT} are kept" in got.text
        back = next(f for f in forms_of(got.text) if f.keep == "file")
        assert back.holds()["survey"] == text


@pytest.mark.parametrize("address", ["/property", "tie", "look"])
def test_no_form_takes_a_text_that_is_too_long(tmp_path: Path, address: str) -> None:
    body = {"name": "Quince lane", "note": "x" * (MOST_TEXT + 1), "form": "finding", "what": "wall"}
    body |= {"thing": "box", "mark_a": "post", "a": "1", "mark_b": "wall", "b": "1"}

    async def ask(one: httpx.AsyncClient) -> tuple[int, int, str]:
        pit = await made(one)
        before = land.desk.store.count()
        to = address if address.startswith("/") else f"{pit}/{address}"
        got = await one.post(to, data=body)
        return got.status_code, land.desk.store.count() - before, got.text

    with ground(tmp_path) as land:
        status, more, words = asked(land, ask)
        assert status == 422 and more == 0 and "Not saved yet" in words


def test_a_form_that_cannot_be_read_is_told_so(tmp_path: Path) -> None:
    async def ask(one: httpx.AsyncClient) -> list[httpx.Response]:
        pit = await made(one)
        kind = {"content-type": "multipart/form-data; boundary=x"}
        half = b'--x\r\nContent-Disposition: form-data; name="what"\r\n\r\nthin wall on th'
        many = {f"f{n}": "1" for n in range(1000)}
        return [
            await one.post(f"{pit}/look", content=half, headers=kind),
            await one.post(f"{pit}/look", data=many),
        ]

    with ground(tmp_path) as land:
        for got in asked(land, ask):
            assert got.status_code == 422 and "Not saved yet" in got.text


def broken_off(land: Ground, pieces: list[bytes], size: int | None) -> tuple[int, str, int]:
    """What a request is answered whose line breaks behind these pieces; how many were not read."""

    async def ask() -> tuple[int, str, int]:
        async with client(land.desk) as one:
            pit = await made(one)
            app = one._transport.app  # type: ignore[attr-defined]
            jar = "; ".join(f"{k}={v}" for k, v in one.cookies.items())
        sending = [{"type": "http.request", "body": p, "more_body": True} for p in pieces]
        sending.append({"type": "http.disconnect"})
        told: list[dict[str, Any]] = []

        async def receive() -> dict[str, Any]:
            return sending.pop(0) if len(sending) > 1 else sending[0]

        async def send(message: dict[str, Any]) -> None:
            told.append(message)

        kind = b"multipart/form-data; boundary=x"
        host = BASE.partition("//")[2].encode()
        head = [(b"host", host), (b"origin", BASE.encode()), (b"cookie", jar.encode())]
        head += [(b"content-type", kind)]
        head += [(b"content-length", str(size).encode())] if size else []
        scope = {
            "type": "http", "method": "POST", "path": f"{pit}/look", "query_string": b"",
            "headers": head, "http_version": "1.1", "scheme": "http", "server": ("127.0.0.1", 80),
        }  # fmt: skip
        await app(scope, receive, send)
        said = b"".join(t.get("body", b"") for t in told[1:]).decode()
        return int(told[0]["status"]), said, len(sending) - 1

    return waited(ask())


PART = b'--x\r\nContent-Disposition: form-data; name="form"\r\n\r\nfinding\r\n'
WHAT = b'--x\r\nContent-Disposition: form-data; name="what"\r\n\r\nthin wall'


def test_a_line_that_breaks_in_the_middle_of_a_form_writes_nothing(tmp_path: Path) -> None:
    with ground(tmp_path) as land:
        status, words, _ = broken_off(land, [PART, WHAT], 4000)
        assert status == 400 and "Nothing of it was saved" in words
        assert land.desk.store.search("thin", most=5) == []


def test_a_body_without_a_length_is_ended_where_it_is_too_big(tmp_path: Path) -> None:
    piece = bytes(1024 * 1024)
    head = PART + WHAT + b'\r\n--x\r\nContent-Disposition: form-data; name="photo"; filename="p"'
    with ground(tmp_path) as land:
        pieces = [head + b"\r\n\r\n", *[piece] * (MOST_BODY // len(piece) + 8)]
        status, words, left = broken_off(land, pieces, None)
        assert left >= 6
        assert status == 400 and "more came than is taken at once" in words
        assert land.desk.store.search("thin", most=5) == []


def test_what_one_form_says_is_kept_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The program dies behind the fifth of sixty entries; the same form then writes all of them."""
    form = {"form": "layout", "token": "z", "zones": "8", "pipe_in": "unknown"}
    form |= {"pipe_out": "unknown", "layout": "riser", "size": "1"}
    whole, left = Store.compose, [5]

    def dying(store: Store, draft: Draft, hand: Hand) -> object:
        left[0] -= 1
        if left[0] == 0:
            raise KeyboardInterrupt
        return whole(store, draft, hand)

    async def ask(one: httpx.AsyncClient) -> tuple[int, int, int]:
        pit = await made(one)
        before = land.desk.store.count()
        monkeypatch.setattr(Store, "compose", dying)
        with pytest.raises(KeyboardInterrupt):
            await one.post(f"{pit}/measure", data=form)
        died = land.desk.store.count()
        monkeypatch.setattr(Store, "compose", whole)
        await one.post(f"{pit}/measure", data=form)
        return before, died, land.desk.store.count()

    with ground(tmp_path) as land:
        before, died, after = asked(land, ask)
        assert died == before and after > before + 60


def test_a_full_disk_is_told_and_the_form_keeps_what_was_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(store: Store, draft: Draft, hand: Hand) -> object:
        raise NotWritable("the record", "no space left", "free some room, do it again")

    async def ask(one: httpx.AsyncClient) -> httpx.Response:
        pit = await made(one)
        monkeypatch.setattr(Store, "compose", full)
        return await one.post(f"{pit}/look", data={"form": "finding", "what": "thin wall"})

    with ground(tmp_path) as land:
        got = asked(land, ask)
        assert got.status_code == 507 and "no space left" in got.text and "thin wall" in got.text


def test_a_mistake_of_ours_is_a_page_in_plain_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def wrong(*_: object) -> None:
        raise ZeroDivisionError("inside")

    async def ask() -> httpx.Response:
        async with client(land.desk, raised=False) as one:
            return await one.get("/")

    with ground(tmp_path) as land:
        monkeypatch.setattr(type(land.desk), "shop", wrong)
        got = waited(ask())
        assert got.status_code == 500
        assert "a mistake of the program" in got.text and "inside" not in got.text
        assert "content-security-policy" in got.headers


STALE = (
    ("choose", "way", "choose-"),
    ("close", "water", "stop-water"),
    ("build", "", "cut-"),
    ("property", "owner", "land"),
)


@pytest.mark.parametrize(("step", "field", "keep"), STALE)
def test_two_tabs_never_write_over_each_other_unseen(
    firm: Firm, step: str, field: str, keep: str
) -> None:
    """The same form open twice: the second is told what the first said, and keeps its own words."""

    async def ask(one: httpx.AsyncClient) -> httpx.Response:
        await addresses(one, firm)
        address = firm.land if step == "property" else f"{firm.pit}/{step}"
        forms = await seen(one, address)
        if step == "choose":
            mine = [f for f in forms if "way" in f.hidden][:2]
            bodies = [f.hidden for f in mine]
            if len(bodies) < 2:
                pytest.skip("one way only")
        else:
            form = next(f for f in forms if f.keep.startswith(keep))
            name = field or next(c.name for c in form.typed)
            words = (
                firm.ground.dice(2).hex() if step == "property" else f"{n} 1/8" for n in (5, 6)
            )
            bodies = [{**form.holds(), name: said} for said in words]
        to = next(f.action for f in forms if f.keep.startswith(keep))
        first = await one.post(to, data=bodies[0])
        assert first.status_code == 303 and "saved=" in first.headers["location"]
        return await one.post(to, data=bodies[1] | {"token": "another tab"})

    got = asked(firm.ground, ask)
    assert got.status_code == 422 and "Changed since this page was made" in got.text


OUTSIDE = ["//evil.example", "/\\evil.example", "http://evil.example", "", "\t//evil.example"]


@pytest.mark.parametrize("back", OUTSIDE)
def test_an_undo_goes_nowhere_else(tmp_path: Path, back: str) -> None:
    async def ask(one: httpx.AsyncClient) -> str:
        got = await one.post("/undo", data={"ids": "", "back": back})
        return str(got.headers["location"])

    with ground(tmp_path) as land:
        where = asked(land, ask)
        assert where.startswith("/") and not where.startswith("//")
