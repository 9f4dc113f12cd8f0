"""``pitwright identify`` at the terminal: text, JSON, and each kind of bad input."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.cli.main import run


def said(capsys: pytest.CaptureFixture[str], *args: str) -> str:
    assert run(["identify", *args]) == 0
    return capsys.readouterr().out


def test_a_string_of_2_75_names_three_quarter_copper_tube_size(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert "1. 3/4 in copper tube size" in said(capsys, "--around", "2.75 in")


def test_a_calliper_of_1_660_names_inch_and_a_quarter_and_not_inch_and_a_half(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = said(capsys, "--calliper", "1.660 in")
    assert "1. 1-1/4 in iron pipe size" in text
    assert "1-1/2" not in text


@pytest.mark.parametrize(
    "args",
    [
        ("--across", "1-5/16 +- 1/32"),
        ("--calliper", "33.4 mm", "--wall", "3.6 mm"),
        ("--calliper", "1.315", "--bore", "1.03"),
        ("--calliper", "33.4", "--unit", "mm"),
    ],
)
def test_inch_iron_pipe_size_comes_first_however_it_is_read(
    capsys: pytest.CaptureFixture[str], args: tuple[str, ...]
) -> None:
    assert "1. 1 in iron pipe size" in said(capsys, *args)


def test_json_says_what_the_text_says(capsys: pytest.CaptureFixture[str]) -> None:
    got = json.loads(said(capsys, "--calliper", "1.660", "--json"))
    assert got["schema"] == "pitwright-identify-1"
    assert got["groups"][0]["name"] == "1-1/4 in iron pipe size"
    assert got["groups"][0]["candidates"][0]["id"] == "pvc40-1-1/4"
    assert got["outside"]["value_m"] == pytest.approx(0.042164)
    assert got["questions"][0]["what"] == "wall"
    assert got["nearest"] == []


def test_what_fits_nothing_is_said_and_is_not_an_error(
    capsys: pytest.CaptureFixture[str],
) -> None:
    text = said(capsys, "--calliper", "3 in")
    assert "nothing on the shelf fits" in text
    assert "2 in insert polyethylene SIDR 7" in text


@pytest.mark.parametrize(
    ("args", "message"),
    [
        ((), "a measurement of the pipe is missing"),
        (("--calliper", "1 lb"), "--calliper must be in a unit of length"),
        (("--calliper", "one"), "--calliper"),
        (("--calliper", "1", "--across", "1"), "one tool at a time"),
        (("--across", "1", "--string", "1/16"), "--string goes with --around"),
        (("--calliper", "1", "--material", "wood"), "--material is not a known material"),
        (("--calliper", "1", "--colour", "mauve"), "--colour is not a known colour"),
        (("--calliper", "40"), "must be"),
        (("--calliper", "1", "--wall", "0"), "the wall must be"),
    ],
)
def test_bad_input_is_one_message_and_exit_2(
    capsys: pytest.CaptureFixture[str], args: tuple[str, ...], message: str
) -> None:
    assert run(["identify", *args]) == 2
    err = capsys.readouterr().err
    assert message in err
    assert err.count("\n") == 1


def test_a_pipe_of_ones_own_is_named_too(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_text(
        '[[pipe]]\nid = "old-header"\nlike = "pvc40-2"\nname = "old header"\n'
        'od = "3.0 +- 0.01"\nwall = "0.2"\n',
        encoding="utf-8",
    )
    got = json.loads(said(capsys, "--calliper", "3.0", "--shelf", str(mine), "--json"))
    assert [c["id"] for g in got["groups"] for c in g["candidates"]] == ["old-header"]


def test_a_shelf_file_that_is_not_there_is_one_message(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["identify", "--calliper", "1", "--shelf", "nowhere.toml"]) == 2
    assert "nowhere.toml" in capsys.readouterr().err


@given(
    st.sampled_from(["calliper", "across", "around"]),
    st.one_of(st.text(max_size=12), st.from_regex(r"\d{0,2}[ .-]\d{1,2}/?\d{0,2} ?(in|mm)?")),
    st.sampled_from(["wall", "bore", "material", "string", "colour"]),
    st.text(max_size=8),
)
def test_any_words_give_an_answer_or_one_message(
    tool: str, length: str, other: str, text: str
) -> None:
    assert run(["identify", f"--{tool}={length}"]) in (0, 2)
    assert run(["identify", f"--{tool}=1.3", f"--{other}={text}"]) in (0, 2)
