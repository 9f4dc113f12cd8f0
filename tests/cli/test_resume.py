"""``pitwright resume`` at the terminal, from files and from the record."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from pitwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
LAWN = str(ROOT / "examples" / "chapel-lawn.pit.toml")
HALF = str(ROOT / "examples" / "chapel-lawn.progress.toml")


def test_the_example_goes_on_with_the_same_train_and_another_cut(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["resume", LAWN, HALF]) == 0
    said = capsys.readouterr().out
    assert "go on with the same train, with the cuts below changed" in said
    assert "cut now: piece B 5 1/16 in" in said


def test_json_and_files_say_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out"
    assert run(["resume", LAWN, HALF, "--json", "--out", str(out)]) == 0
    printed = capsys.readouterr().out
    document = json.loads(printed)
    assert document["schema"] == "pitwright-resume-1"
    assert document["zones"][0]["verdict"] == "recut"
    assert (out / "resume.json").read_text(encoding="utf-8") == printed
    assert (out / "resume.txt").exists()


def test_a_zone_that_must_stop_is_exit_3(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "p.progress.toml"
    path.write_text(
        '[zone.lawn]\njoints = [1, 2, 3, 4, 5]\n[stub.lawn]\ntip = ["4 1/8", "24", "-1"]\n'
        'cut_back = "0"\nbare = []\n',
        encoding="utf-8",
    )
    assert run(["resume", LAWN, str(path)]) == 3
    assert "stop: nothing on the shelf closes from here" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("args", "match"),
    [
        ([LAWN], "name the survey, then the file"),
        ([LAWN, "nowhere.progress.toml"], "is not there"),
        ([HALF, HALF], "begin with \\[pit\\]"),
    ],
)
def test_bad_input_is_one_message(
    args: list[str], match: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["resume", *args]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.count("\n") == 1
    assert re.search(match, said.err)


def test_from_the_record_the_noted_joints_and_pieces_count(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    where = ["--record", str(tmp_path / "r.db")]
    add = ["record", "add"]
    assert run([*add, "property", "Chapel", *where]) == 0
    assert run([*add, "pit", "lawn box", "--property", "chapel", *where]) == 0
    assert run(["plan", LAWN, "--save", "lawn box", *where]) == 0
    for n in ("lawn 1", "lawn 2", "tee by the wall"):
        assert run([*add, "joint", n, "--pit", "lawn box", *where]) == 0
    assert run([*add, "piece", "A", "cut=17 5/8", "--pit", "lawn box", *where]) == 0
    capsys.readouterr()
    again = tmp_path / "again.progress.toml"
    text = Path(HALF).read_text(encoding="utf-8")
    begun = '[zone.lawn]\noption = "cut in: 45-45, direct-direct, valve on leg 1"\n'
    again.write_text(begun + text[text.index("[stub.lawn]") :], encoding="utf-8")
    assert run(["resume", "--from", "lawn box", str(again), "--json", *where]) == 0
    said = capsys.readouterr()
    recorded = json.loads(said.out)["zones"]
    assert '"tee by the wall" names no joint' in said.err
    assert run(["resume", LAWN, HALF, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["zones"] == recorded


def test_from_the_record_the_work_goes_on_from_where_it_was_resumed_last(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The stage that the app would enter, entered by hand: what is noted after it is of it."""
    monkeypatch.chdir(tmp_path)
    where = ["--record", str(tmp_path / "r.db")]
    add = ["record", "add"]
    assert run([*add, "property", "Chapel", *where]) == 0
    assert run([*add, "pit", "lawn box", "--property", "chapel", *where]) == 0
    assert run(["plan", LAWN, "--save", "lawn box", *where]) == 0
    square, far = "cut in: 90-90, direct-direct, valve on leg 1", ["3 1/4", "26 5/8", "-2"]
    assert run([*add, "choice", "lawn", f"way={square}", "--pit", "lawn box", *where]) == 0
    noted = {"zone": {"lawn": {"joints": [1, 2]}}, "stub": {"lawn": {"tip": far}}}
    progress = tmp_path / "p.progress.toml"
    tip = json.dumps(far)
    text = f'[zone.lawn]\noption = "{square}"\njoints = [1, 2]\n[stub.lawn]\ntip = {tip}\n'
    progress.write_text(text, encoding="utf-8")
    capsys.readouterr()
    assert run(["resume", LAWN, str(progress), "--json"]) == 0
    first = json.loads(capsys.readouterr().out)["zones"][0]
    option = first["options"][0]
    way = f"{option['way']}: {option['skeleton']}"
    stage = ["lawn 1", "zone=lawn", f"way={way}", f"progress={json.dumps(noted)}"]
    assert run([*add, "stage", *stage, "--pit", "lawn box", *where]) == 0
    for label in ("lawn resumed 1 1", "lawn 3"):
        assert run([*add, "joint", label, "--pit", "lawn box", *where]) == 0
    capsys.readouterr()
    assert run(["resume", "--from", "lawn box", "--json", *where]) == 0
    said = capsys.readouterr()
    second = json.loads(said.out)["zones"][0]
    assert (second["verdict"], second["begun"]) == ("as planned", option["skeleton"])
    assert second["joints_made"] == [1]
    assert '"lawn 3" names no joint' in said.err  # of the plan, noted when that was past
