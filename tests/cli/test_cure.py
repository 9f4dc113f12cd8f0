"""``pitwright cure`` at the terminal: F10, JSON, refusals, and each kind of bad input."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.cli.main import run

F10 = ("--size", "1", "--air", "60F", "--at", "12:00")
JSON_PAGE = Path(__file__).parents[2] / "docs" / "json.md"


def said(capsys: pytest.CaptureFixture[str], *args: str, code: int = 0) -> str:
    assert run(["cure", *args]) == code
    return capsys.readouterr().out


def machine(capsys: pytest.CaptureFixture[str], *args: str, code: int = 0) -> dict[str, Any]:
    got: dict[str, Any] = json.loads(said(capsys, *args, "--json", code=code))
    return got


def test_f10_in_humid_air_is_set_at_half_past_one_and_filled_at_three(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = said(capsys, *F10, "--humid")
    assert re.search(r"set, braces stay +90 min, until 13:30", text)
    assert re.search(r"cure, no water +180 min \(3 h\), until 15:00", text)


def test_f10_in_dry_air_is_60_and_120_minutes(capsys: pytest.CaptureFixture[str]) -> None:
    got = machine(capsys, *F10)
    assert (got["set"]["time_s"], got["cure"]["time_s"]) == (3600.0, 7200.0)
    assert got["clock"]["water_on"] == "14:00"


def test_f10_a_wet_socket_is_refused_with_the_ways_that_need_no_cure(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = said(capsys, *F10, "--humid", "--wet", "--pressure", "80", code=3)
    assert "not cemented" in text
    assert "threaded: cap" in text
    assert "compression coupling or cap" in text
    assert "blocked against thrust" in text
    assert "109 lb" in text
    assert "until" not in text
    got = machine(capsys, *F10, "--wet", code=3)
    assert [m["method"] for m in got["instead"]] == ["thread", "union", "compression", "push-fit"]
    assert got["refused"]["because"][0]["code"] == "WET_SOCKET"
    assert got["cure"] is None
    assert got["clock"] is None


def test_a_seep_before_the_set_is_refused_and_after_it_is_warned_about(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = said(capsys, *F10, "--wet-after", "4 s", code=3)
    assert "wet after 4 s, set after 60 min" in text
    assert "leave a lower end open" in said(capsys, *F10, "--wet-after", "2 h")
    assert "not cemented" in said(capsys, *F10, "--wet-after", "50-70", code=3)


def test_both_sources_and_how_far_they_differ_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    got = machine(capsys, *F10, "--humid")
    assert got["set"]["ratio"] == 12.0
    assert {t["source"] for t in got["cure"]["tables"]} == {"maker-J1", "maker-J2", "maker-J3"}
    assert got["cure"]["factor"] == 1.5
    text = said(capsys, *F10)
    assert "maker-J1" in text
    assert "maker-J2" in text


def test_the_coldest_counts_and_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    got = machine(capsys, "--size", "3/4", "--air", "75", "--ground", "50-58 F", "--pipe", "20C")
    assert got["coldest"] == "ground"
    assert got["cure"]["time_s"] == 7200.0
    assert machine(capsys, "--size", "3/4", "--air", "75")["cure"]["time_s"] == 3600.0


def test_a_fast_cement_is_faster_only_by_name(capsys: pytest.CaptureFixture[str]) -> None:
    fast = said(capsys, *F10, "--cement", "fast")
    assert "20 min, until 12:20" in fast
    assert "The can must say so" in fast
    assert "120 min (2 h), until 14:00" in said(capsys, *F10, "--cement", "fast", "--loose")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("12:00", "12:00"),
        ("noon", "12:00"),
        ("3:30 pm", "15:30"),
        ("15.30", "15:30"),
        ("12 am", "0:00"),
        ("7am", "7:00"),
        ("12:05 p.m.", "12:05"),
    ],
)
def test_a_clock_is_read_as_people_write_it(
    capsys: pytest.CaptureFixture[str], typed: str, meant: str
) -> None:
    got = machine(capsys, "--size", "1", "--air", "70", "--at", typed)
    assert got["clock"]["made_at"] == meant


@pytest.mark.parametrize(
    ("args", "message"),
    [
        (("--air", "60"), "--size is missing"),
        (("--size", "1"), "--air, --pipe or --ground is missing"),
        (("--size", "1.315", "--air", "60"), "the nearest are 1-1/4 and 1"),
        (("--size", "1", "--air", "60 psi"), "--air must be in a unit of temperature"),
        (("--size", "1", "--air", "600"), "--air must be"),
        (("--size", "1", "--air", "60", "--pressure", "60 ft"), "--pressure must be in a unit"),
        (("--size", "1", "--air", "60", "--pressure=-3"), "pressure must be 0"),
        (("--size", "1", "--air", "60", "--cement", "quick"), "cement is not a known cement"),
        (("--size", "1", "--air", "60", "--wet-after", "3 psi"), "--wet-after must be in a unit"),
        (("--size", "1", "--air", "60", "--at", "25:00"), "--at must be a clock time"),
        (("--size", "1", "--air", "60", "--at", "13 pm"), "--at must be a clock time"),
        (("--size", "1", "--air", "60", "--at", "12"), "--at must be a clock time"),
    ],
)
def test_bad_input_is_one_message_and_exit_2(
    capsys: pytest.CaptureFixture[str], args: tuple[str, ...], message: str
) -> None:
    assert run(["cure", *args]) == 2
    err = capsys.readouterr().err
    assert message in err
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    "args",
    [
        ("--size", "1", "--air=-10F"),
        ("--size", "12", "--air", "60", "--pressure", "150"),
        ("--size", "1", "--air", "60", "--pressure", "400"),
    ],
)
def test_what_no_table_reaches_is_refused(
    capsys: pytest.CaptureFixture[str], args: tuple[str, ...]
) -> None:
    assert "table" in said(capsys, *args, code=3)


def keys(document: Any) -> Iterator[str]:
    if isinstance(document, dict):
        for key, value in document.items():
            if key not in ("numbers", "names"):
                yield key
                yield from keys(value)
            else:
                yield key
    elif isinstance(document, list):
        for value in document:
            yield from keys(value)


def test_every_key_is_on_its_page_and_every_key_of_the_page_is_printed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    page = JSON_PAGE.read_text("utf-8").partition("## pitwright-cure-1")[2].partition("\n## ")[0]
    told = set(re.findall(r"`([A-Za-z_]+)`", page))
    documents = [
        machine(capsys, *F10, "--humid", "--cement", "fast"),
        machine(capsys, "--size", "4", "--air", "60", "--at", "noon"),
        machine(capsys, *F10, "--wet", code=3),
    ]
    printed = {key for document in documents for key in keys(document)}
    assert printed - told == set()
    assert told - printed == {"null"}


words = st.one_of(st.text(max_size=10), st.from_regex(r"-?\d{0,3}[ :./-]?\d{0,2} ?(F|C|psi|pm)?"))


@given(st.sampled_from(["size", "air", "pipe", "ground", "pressure", "cement", "at"]), words)
def test_any_words_give_an_answer_a_refusal_or_one_message(name: str, text: str) -> None:
    given_args = {"size": "1", "air": "60"} | {name: text}
    assert run(["cure", *(f"--{k}={v}" for k, v in given_args.items())]) in (0, 2, 3)


def test_the_example_of_the_docs_is_what_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    page = (JSON_PAGE.parent / "commands.md").read_text("utf-8")
    shown = page.partition("$ pitwright cure ")[2].partition("```")[0]
    line, _, printed = shown.partition("\n")
    assert printed == said(capsys, *line.split())
