"""``pitwright demo``: the example planned, written, exit 0 although a zone is refused."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

import pytest

from pitwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
WANTED = ["pit-sheet.pdf", "plan.json", "plan.svg", "plan.txt", "school-garden.pit.toml"]


def test_the_demo_leaves_its_files_and_says_where_they_lie(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "out"
    assert run(["demo", "--out", str(out)]) == 0
    assert sorted(p.name for p in out.iterdir()) == WANTED
    said = capsys.readouterr().out
    assert all(str(out / name) in said for name in WANTED)
    zones = json.loads((out / "plan.json").read_text())["zones"]
    assert [bool(z["options"]) for z in zones] == [True, True, True, False]
    assert (out / "plan.txt").read_text().strip() in said


def test_what_the_demo_wrote_is_planned_alike_from_its_own_survey(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(["demo"]) == 0
    out = tmp_path / "pitwright-out"
    monkeypatch.chdir(out)
    capsys.readouterr()
    assert run(["plan", "school-garden.pit.toml", "--json"]) == 3
    assert capsys.readouterr().out == (out / "plan.json").read_text()


def test_a_folder_that_cannot_be_written_is_exit_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "plain").write_bytes(b"")
    assert run(["demo", "--out", str(tmp_path / "plain")]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_the_shipped_example_is_the_one_in_the_examples() -> None:
    shipped = files("pitwright.cli").joinpath("data/school-garden.pit.toml").read_bytes()
    assert shipped == (ROOT / "examples" / "school-garden.pit.toml").read_bytes()
