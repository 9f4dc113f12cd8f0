"""The command ``survey``: a template out, a survey said back."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from pitwright.cli.main import run
from tests.survey.pits import EXAMPLES, SMALL

SCHOOL = str(EXAMPLES / "school-garden.pit.toml")


def test_a_new_survey_is_written_once_and_can_be_checked(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "my.pit.toml"
    assert run(["survey", "new", "--out", str(out)]) == 0
    assert f"pitwright survey check {out}" in capsys.readouterr().out
    assert run(["survey", "check", str(out)]) == 0
    assert "Name this pit" in capsys.readouterr().out

    out.write_text(SMALL, encoding="utf-8")
    assert run(["survey", "new", "--out", str(out)]) == 2
    told = capsys.readouterr()
    assert "a file of that name is there" in told.err
    assert told.out == ""
    assert out.read_text(encoding="utf-8") == SMALL
    assert sorted(p.name for p in tmp_path.iterdir()) == ["my.pit.toml"]


def test_a_new_survey_lies_where_one_stands_when_nothing_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["survey", "new"]) == 0
    assert [p.name for p in tmp_path.iterdir()] == ["new.pit.toml"]


def test_a_survey_is_said_back(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["survey", "check", SCHOOL]) == 0
    said = capsys.readouterr().out
    assert "School garden, north gate" in said
    assert "tip at 3/16 in left, 3 15/16 in downstream, 1/8 in up" in said
    assert "bends_22" not in said


def test_json_holds_the_same_survey(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["survey", "check", SCHOOL, "--json"]) == 0
    got = json.loads(capsys.readouterr().out)
    assert got["schema"] == "pitwright-survey-1"
    assert [z["id"] for z in got["zones"]] == ["hedge", "beds", "drip", "gate"]
    tip = next(r for r in got["readings"] if r["id"] == "stub.beds-in.tip.0")
    assert tip == {
        "id": "stub.beds-in.tip.0",
        "text": "4 3/16",
        "kind": "length",
        "value": pytest.approx(4.1875 * 0.0254),
        "sigma": pytest.approx(0.0254 / 16),
        "unit": "m",
        "tool": "tape",
        "given": False,
    }
    faces = next(r for r in got["readings"] if r["id"] == "stub.drip-in.faces.0")
    assert (faces["value"], faces["sigma"], faces["unit"]) == (
        pytest.approx(2.0), pytest.approx(0.5), "deg",
    )  # fmt: skip
    stub = next(s for s in got["stubs"] if s["id"] == "beds-in")
    assert stub["tip_m"][0] == pytest.approx(4.1875 * 0.0254)
    assert stub["pipe"] == "pvc40-1"
    assert all(f["text"] for f in got["findings"])


def test_every_key_of_the_json_is_in_the_docs(capsys: pytest.CaptureFixture[str]) -> None:
    run(["survey", "check", SCHOOL, "--json"])
    got = json.loads(capsys.readouterr().out)
    page = (EXAMPLES.parent / "docs" / "json.md").read_text(encoding="utf-8")
    part = page[page.index("## pitwright-survey-1") :]

    def keys(value: object) -> set[str]:
        if isinstance(value, dict):
            return set(value).union(*(keys(v) for v in value.values()))
        if isinstance(value, list):
            return set().union(*(keys(v) for v in value))
        return set()

    own = keys({k: v for k, v in got.items() if k != "findings"})
    own |= {"code", "weight", "numbers", "names", "source", "text"}
    assert sorted(k for k in own if f"`{k}`" not in part) == []


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda p: p.mkdir(), "it is a folder"),
        (lambda p: None, "is not there"),
        (lambda p: p.write_bytes(b"\xff\xfe"), "must be UTF-8"),
        (lambda p: p.write_bytes(b""), "must not be empty"),
        (lambda p: p.write_text(SMALL.replace('"4 3/4"', '"4 3/4 psi"')), ":30: valve.new.body"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_told_on_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], make: object, told: str
) -> None:
    path = tmp_path / "a.pit.toml"
    assert callable(make)
    make(path)
    assert run(["survey", "check", str(path)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(f"pitwright: {path}")
    assert told in said.err
    assert said.err.count("\n") == 1


def test_the_command_needs_a_job(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as leaving:
        run(["survey"])
    assert leaving.value.code == 2


def test_the_sample_in_the_docs_is_what_the_command_says(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(EXAMPLES.parent)
    page = (EXAMPLES.parent / "docs" / "commands.md").read_text(encoding="utf-8")
    sample = page.partition("$ pitwright survey check ")[2].partition("\n...\n")[0]
    name, _, said = sample.partition("\n")
    assert run(["survey", "check", name]) == 0
    assert capsys.readouterr().out.startswith(said + "\n")


def test_a_terminal_without_our_signs_gets_the_survey_all_the_same() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pitwright", "survey", "check", SCHOOL],
        capture_output=True,
        check=False,
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
    )
    assert done.returncode == 0
    assert done.stderr == b""
    assert b"\\u03a9" in done.stdout
