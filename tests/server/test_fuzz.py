"""Whatever is sent to a described address, no answer is a failure of the server."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.pages.steps import STEP_PAGES
from pitwright.server.app import application
from tests.server.ground import BASE, Ground, client, ground
from tests.server.test_app import made
from tests.server.waiting import waited

NAMES = [
    "token",
    "seen",
    "form",
    "name",
    "label",
    "depth",
    "thing",
    "mark_a",
    "a",
    "b",
    "between",
    "side",
    "part",
    "away",
    "tip.0",
    "tip.1",
    "tip.2",
    "tip.words",
    "mouth.left",
    "cut_back",
    "pipe",
    "survey",
    "layout",
    "zones",
    "pipe_in",
    "zone",
    "way",
    "letter",
    "step",
    "symptom",
    "what",
    "place",
    "sure",
    "quantity",
    "typed",
    "shown",
    "stations",
    "far",
    "text",
    "result",
    "closed",
    "ids",
    "back",
    "cut-zone-1-a",
    "when",
    "water",
    "bare",
    "faces",
    "through.0",
]
SAID = (
    "",
    "0",
    "-1",
    "1/0",
    "4 3/8",
    "9999999999999999999999999999999999999999",
    "1e999",
    "nan",
    "inf",
    "[",
    "{",
    "]]",
    "\x00",
    "\ud800",
    "\u202e",
    "'; DROP TABLE entries; --",
    "../../etc/passwd",
    "stub",
    "box",
    "valve",
    "zone",
    "feed",
    "layout",
    "file",
    "meter",
    "finding",
    "test",
    "lay",
    "harness",
    "outcome",
    "pass",
    "yes",
    "[pit]\nname = 'x'",
    "[stub.a]\ntip = 3",
    "e1_aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa",
    "//evil.example",
    "S1 to C1: OL",
    "1 in schedule 40 PVC",
    "9" * 40,
    "a" * 3000,
    "e1_" + "a" * 52,
)
forms = st.dictionaries(
    st.sampled_from(NAMES), st.one_of(st.sampled_from(SAID), st.text(max_size=40)), max_size=9
)
paths = st.text(
    st.characters(exclude_characters="/?#%\\", min_codepoint=33, max_codepoint=300),
    min_size=1,
    max_size=30,
)


def encoded(form: dict[str, str]) -> dict[str, str]:
    return {k: v.encode("utf-8", "replace").decode() for k, v in form.items()}


def described(land: Ground) -> dict[str, Any]:
    found: dict[str, Any] = application(land.desk, "x").openapi()
    return found


def filled(path: str, pit: str, site: str, step: str, other: str) -> str:
    values = {"{subject}": pit, "{site}": site, "{step}": step, "{hash}": other}
    for name, value in values.items():
        path = path.replace(name, value)
    return path


def fuzz(folder: Path, examples: int) -> None:
    with ground(folder) as land:
        addresses = [(p, m.upper()) for p, ways in described(land)["paths"].items() for m in ways]
        assert len(addresses) >= 12
        pit_address = waited(_made(land))
        pit = pit_address.rpartition("/")[2]
        found = land.desk.pit(pit)
        assert found is not None
        site = found.place.site

        @settings(max_examples=examples)
        @given(
            st.sampled_from(addresses),
            forms,
            st.sampled_from(sorted(STEP_PAGES)),
            paths,
            st.booleans(),
        )
        def one(
            address: tuple[str, str], form: dict[str, str], step: str, other: str, known: bool
        ) -> None:
            where = (pit, site, step) if known else (other, other, other)
            path = filled(address[0], *where, other)
            status = waited(_sent(land, address[1], path, encoded(form)))
            assert status < 500, (address, path, form)

        one()


async def _made(land: Ground) -> str:
    async with client(land.desk) as asking:
        return await made(asking)


async def _sent(land: Ground, method: str, path: str, form: dict[str, str]) -> int:
    async with client(land.desk) as asking:
        if method == "GET":
            got = await asking.get(f"{BASE}{quote(path)}", params=form)
        else:
            got = await asking.request(method, f"{BASE}{quote(path)}", data=form)
        return got.status_code


def test_no_form_and_no_address_breaks_the_server(tmp_path: Path) -> None:
    fuzz(tmp_path, 80)


@pytest.mark.nightly
def test_no_form_and_no_address_breaks_the_server_all_night(tmp_path: Path) -> None:
    fuzz(tmp_path, 3000)
