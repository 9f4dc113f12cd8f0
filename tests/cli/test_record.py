"""``pitwright record`` at the terminal: what it says, and what it refuses."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from importlib.resources import files
from pathlib import Path

import pytest

from pitwright.cli import main
from pitwright.cli.record_ground import FOLDER, PLACE
from tests.house.reading import ROOT
from tests.records.test_photo import jpeg

Run = Callable[..., str]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs one command line in an empty folder and gives what it printed."""
    monkeypatch.delenv(PLACE, raising=False)
    monkeypatch.chdir(tmp_path)

    def once(*words: str, code: int = main.OK) -> str:
        got = main.run(["record", *words])
        said = capsys.readouterr()
        assert got == code, said.err
        assert "Traceback" not in said.err
        return said.out if code == main.OK else said.err or said.out

    return once


@pytest.fixture
def gate(run: Run) -> Run:
    run("add", "property", "School garden", "owner=the parents")
    run("add", "pit", "north gate", "--property", "school")
    return run


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["show"], "holds no record"),
        (["search", "x"], "holds no record"),
        (["restore", "none.zip", "new"], "is not there"),
    ],
)
def test_reading_makes_no_record(run: Run, tmp_path: Path, words: list[str], said: str) -> None:
    assert said in run(*words, code=main.BAD_INPUT)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["add", "gossip", "x"], "not a known kind of entry"),
        (["add", "erase", "reason=x"], "not a known kind of entry"),
        (["add", "note", "x"], "--pit is missing"),
        (["add", "pit", "x"], "--property is missing"),
        (["add", "note", "x", "--pit", "well"], "not a known pit"),
        (["add", "note", "x", "y", "--pit", "north"], "came twice"),
        (["add", "tie", "x", "colour=red", "--pit", "north"], "not a known field of a tie"),
        (["add", "tie", "x", "--pit", "north"], "tie.mark_a is missing"),
        (["add", "note", "x", "--pit", "north", "--when", "soon"], "no time that is understood"),
        (["add", "note", "x", "--pit", "north", "--clock", "3.5"], "whole seconds"),
        (["add", "note", "x", "--pit", "north", "--clock", "9" * 30], "must be -100000000 to"),
        (["add", "note", "x", "--pit", "north", "--file", "none.jpg"], "cannot be read"),
        (["add", "pit", "depth=deep", "--pit", "north"], "pit.depth"),
        (["undo", "zzzzzzzz"], "not a known entry"),
        (["settle", "zzzzzzzz"], "not a known entry"),
        (["redate", "zzzzzzzz", "--when", "2019"], "not a known entry"),
        (["erase", "zzzzzzzz", "--reason", "x"], "not a known entry"),
        (["export", "x.doc"], "known ending"),
        (["export", "x.geojson"], "--places"),
        (["export", "x.pit.toml"], "--pit is missing"),
        (["export", "x.pit.toml", "--pit", "north"], "not a known plan of this pit"),
        (["export", "nowhere/x.csv"], "cannot be written"),
        (["import", "none.zip"], "is not there"),
        (["history", "north", "--out", "x.doc"], "must end in .pdf or .svg"),
        (["show", "well"], "not a known"),
        (["show", "--record", "postgresql://x", "--files", "f"], "incomplete"),
        (["show", "--record", "postgresql://u@localhost:1/x"], "folder of files is missing"),
        (["show", "--record", "postgresql://u@localhost:1/x", "--files", "f"], "line was lost"),
        (["exchange", "mailto://x", "--other-files", "f"], "incomplete"),
    ],
)
def test_what_cannot_be_used_is_one_clear_message_and_nothing_is_entered(
    gate: Run, words: list[str], said: str
) -> None:
    before = gate("export", "before.csv"), Path("before.csv").read_bytes()
    message = gate(*words, code=main.BAD_INPUT)

    assert said in message
    assert message.startswith("pitwright: ") and message.count("\n") == 1
    gate("export", "after.csv")
    assert Path("after.csv").read_bytes() == before[1]
    assert not Path("x.geojson").exists() and not Path("x.pit.toml").exists()


def test_a_damaged_record_is_said_and_left_alone(gate: Run) -> None:
    path = Path(FOLDER) / "record.sqlite"
    path.write_bytes(b"not a database at all" * 400)

    assert "is damaged or no record" in gate("show", code=main.BAD_INPUT)
    assert path.read_bytes().startswith(b"not a database")


def test_a_record_that_lost_a_byte_on_the_disk_is_found_out(gate: Run) -> None:
    gate("add", "note", "the word needle is here", "--pit", "north")
    gate("check")
    path = Path(FOLDER) / "record.sqlite"
    data = path.read_bytes()
    assert data.count(b'"the word needle is here"') == 1
    path.write_bytes(data.replace(b'"the word needle is here"', b'"the word noodle is here"'))

    said = gate("check", code=main.REFUSED)
    assert "is not the one its header names" in said and "something is wrong" in said


def test_a_body_that_rotted_on_the_disk_is_said_not_thrown(gate: Run) -> None:
    gate("add", "note", "the word needle is here", "--pit", "north")
    path = Path(FOLDER) / "record.sqlite"
    data = path.read_bytes()
    path.write_bytes(data.replace(b'{"text":"the word needle', b'{"text"!"the word needle'))

    assert "was damaged on the disk" in gate("history", "north", code=main.BAD_INPUT)
    assert "something is wrong" in gate("check", code=main.REFUSED)


def test_html_in_a_name_is_plain_text_everywhere(gate: Run) -> None:
    gate("add", "pit", "<script>alert(1)</script> & co", "--pit", "north")
    gate("add", "tie", "<b>x</b>", "mark_a=<i>", "a=1", "mark_b=&amp;", "b=1", "--pit", "script")
    gate("history", "script", "--out", "h.svg")

    assert "<script>alert(1)</script> & co" in gate("show", "script")
    svg = Path("h.svg").read_text(encoding="utf-8")
    assert "<script" not in svg and "<b>" not in svg and "&lt;script&gt;" in svg


def test_json_is_json_with_its_schema(gate: Run) -> None:
    gate("add", "reading", "coil", "typed=24 ohm", "value=24", "unit=ohm", "--pit", "north")
    for words in (
        ["show"], ["show", "north"], ["search", "coil"], ["history", "north"], ["ties", "north"],
        ["trends", "north"], ["next"],
    ):  # fmt: skip
        document = json.loads(gate(*words, "--json"))
        assert document["schema"] == f"pitwright-record-{words[0]}-1"


def test_a_photo_offers_its_place_and_time_and_keeps_neither(gate: Run, tmp_path: Path) -> None:
    (tmp_path / "p.jpg").write_bytes(jpeg())
    said = gate("add", "finding", "crack", "--pit", "north", "--file", "p.jpg", "--photo-place",
                "--photo-time")  # fmt: skip
    fact = next(
        fact
        for field in json.loads(gate("show", "north", "--json"))["fields"]
        for fact in field["facts"]
        if fact["kind"] == "finding"
    )

    assert "taken 2026:05:04 12:00:01" in said
    assert fact["body"]["latitude"] == "-33.5100000"
    assert fact["happened"][0].startswith("2026-05-04T12:00:01")
    kept = Path(FOLDER) / "files" / fact["files"][0][:2] / fact["files"][0]
    assert b"Xanthippe" not in kept.read_bytes()
    said = gate("add", "note", "x", "--pit", "north", "--photo-place", code=main.BAD_INPUT)
    assert "has no place to give" in said


def test_a_change_of_a_pit_leaves_what_it_does_not_mention(gate: Run) -> None:
    gate("add", "pit", "--pit", "north", "latitude=51.5", "longitude=0.1", "depth=14")
    gate("add", "pit", "shed", "--pit", "north", "depth=")
    field = json.loads(gate("show", "shed", "--json"))["fields"][0]

    assert field["facts"][0]["body"] == {"label": "shed", "latitude": "51.5", "longitude": "0.1"}


def test_the_variable_names_the_record(gate: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(PLACE, "elsewhere")

    assert "holds no record" in gate("show", code=main.BAD_INPUT)


def test_plan_saves_to_the_record_and_starts_from_it(
    gate: Run, capsys: pytest.CaptureFixture[str]
) -> None:
    survey = files("pitwright.cli").joinpath("data/school-garden.pit.toml").read_bytes()
    Path("s.pit.toml").write_bytes(survey)
    main.run(["plan", "s.pit.toml", "--save", "north", "--json"])
    first = capsys.readouterr().out
    main.run(["plan", "--from", "north", "--json"])
    second = capsys.readouterr().out

    saved = json.loads(gate("show", "north", "--json"))["fields"]
    body = next(f["facts"][0]["body"] for f in saved if f["field"].startswith("plan/"))
    result = Path(FOLDER) / "files" / body["result"][:2] / body["result"]
    assert result.read_text(encoding="utf-8") == first
    old, new = json.loads(first), json.loads(second)
    assert old.pop("survey") != new.pop("survey")
    assert old == new
    for words, said in (
        (["plan", "--from", "well"], "not a known pit"),
        (["plan", "s.pit.toml", "--save", "well"], "not a known pit"),
    ):
        assert main.run(words) == main.BAD_INPUT
        assert said in capsys.readouterr().err
    for wrong in (["plan"], ["plan", "s.pit.toml", "--from", "north"]):
        with pytest.raises(SystemExit) as leaving:
            main.run(wrong)
        assert leaving.value.code == main.BAD_INPUT


def test_the_driver_of_the_server_and_the_drawing_stay_out_until_they_are_wanted(
    gate: Run,
) -> None:
    code = (
        "import sys\nfrom pitwright.cli import main\nmain.run(['record', 'show'])\n"
        "assert not {'pg8000', 'reportlab', 'ssl', 'pitwright.paper'} & set(sys.modules)"
    )
    env = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, env=env)
