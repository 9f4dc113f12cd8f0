"""``pitwright wire`` and the record: an answer kept with what made it, a harness taken thence."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from pitwright import __version__
from pitwright.cli import main
from pitwright.cli.record_ground import FOLDER, PLACE

LAWN = Path(__file__).parents[2] / "examples" / "chapel-lawn.harness.toml"


@pytest.fixture
def lawn(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> str:
    """A folder with a record of one pit, and the harness file in it."""
    monkeypatch.delenv(PLACE, raising=False)
    monkeypatch.chdir(tmp_path)
    assert main.run(["record", "add", "property", "Chapel"]) == main.OK
    assert main.run(["record", "add", "pit", "lawn box", "--property", "chapel"]) == main.OK
    (tmp_path / "lawn.harness.toml").write_bytes(LAWN.read_bytes())
    capsys.readouterr()
    return "lawn.harness.toml"


def told(capsys: pytest.CaptureFixture[str], *words: str, code: int = main.OK) -> str:
    got = main.run(list(words))
    said = capsys.readouterr()
    assert got == code, said.err
    return said.out if code != main.BAD_INPUT else said.err


def kept(capsys: pytest.CaptureFixture[str]) -> list[dict[str, str]]:
    fields = json.loads(told(capsys, "record", "show", "lawn", "--json"))["fields"]
    return [f["facts"][-1]["body"] for f in fields if f["field"].startswith("wiring/")]


def stored(name: str) -> bytes:
    return (Path(FOLDER) / "files" / name[:2] / name).read_bytes()


def test_the_harness_is_kept_to_the_byte_with_answer_and_version(
    lawn: str, capsys: pytest.CaptureFixture[str]
) -> None:
    first = told(capsys, "wire", lawn, "--save", "lawn", "--json")
    (body,) = kept(capsys)
    assert stored(body["survey"]) == LAWN.read_bytes()
    assert stored(body["result"]).decode() == first
    assert body["program"] == f"pitwright {__version__}"
    assert body["title"] == "chapel lawn"
    assert "valve end of S2" in body["summary"] and "4 readings" in body["summary"]
    assert told(capsys, "wire", "--from", "lawn", "--json") == first
    history = told(capsys, "record", "history", "lawn")
    assert "wiring: chapel lawn: " in history


def test_what_was_typed_for_one_run_is_kept_and_found_again(
    lawn: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Saved from the file, gone on from the record: the second run needs no file at all."""
    told(capsys, "wire", lawn, "--save", "lawn")
    Path(lawn).unlink()
    more = ["--read", "S2 capacitance: 6.1 nF", "--distance", "capacitance", "wire=S2"]
    more += ["with=S3", "bad=6.1 nF", "good=8.7"]
    second = told(capsys, "wire", "--from", "lawn", *more, "--save", "lawn", "--json")
    assert told(capsys, "wire", "--from", "lawn", "--json") == second
    got = json.loads(second)
    assert got["readings"][-1]["typed"] == "S2 capacitance: 6.1 nF"
    assert got["distances"][0]["segment"] == "B2"
    told(capsys, "record", "export", "again.harness.toml", "--pit", "lawn")
    assert told(capsys, "wire", "again.harness.toml", "--json") == second
    text = Path("again.harness.toml").read_text(encoding="utf-8")
    assert "# measured on a sound wire" in text


def test_readings_asked_for_are_kept_and_those_taken_back_are_not(
    lawn: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "sys.stdin", io.StringIO("back\nback\nS2 to C1: OL\nS2 capacitance: 6.1 nF\ndone\n")
    )
    told(capsys, "wire", lawn, "--ask", "--save", "lawn")
    got = json.loads(told(capsys, "wire", "--from", "lawn", "--json"))
    assert [r["typed"] for r in got["readings"]] == [
        "S2 on: runs none", "S1 to C1: 29.5", "S2 to C1: OL", "S2 capacitance: 6.1 nF",
    ]  # fmt: skip


def test_a_pit_nobody_knows_is_named_before_anything_is_asked(
    lawn: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("6.1 nF\ndone\n"))
    assert main.run(["wire", lawn, "--ask", "--save", "well"]) == main.BAD_INPUT
    said = capsys.readouterr()
    assert said.out == "" and "not a known pit" in said.err


def test_a_rewiring_plan_is_kept_too_and_an_entry_may_be_chosen(
    lawn: str, capsys: pytest.CaptureFixture[str]
) -> None:
    told(capsys, "wire", lawn, "--save", "lawn")
    told(capsys, "wire", lawn, "--box", "B2", "--save", "lawn")
    lines = told(capsys, "record", "show", "lawn").splitlines()
    ids = [line.split()[0] for line in lines if "wiring: " in line]
    assert "rewiring of box B2, 3 connectors" in "".join(lines)
    for one in ids:
        assert "chapel lawn" in told(capsys, "wire", "--from", "lawn", "--entry", one)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["wire", "--from", "well"], "not a known pit"),
        (["wire", "FILE", "--save", "well"], "not a known pit"),
        (["wire", "--from", "lawn"], "is not a known wiring of this pit"),
        (["wire", "--from", "lawn", "--record", "nowhere"], "holds no record"),
        (["plan", "--from", "lawn"], "is not a known plan of this pit"),
    ],
)
def test_mistakes_are_one_line_and_keep_nothing(
    words: list[str], said: str, lawn: str, capsys: pytest.CaptureFixture[str]
) -> None:
    err = told(capsys, *[lawn if w == "FILE" else w for w in words], code=main.BAD_INPUT)
    assert said in err and err.count("\n") == 1
    assert kept(capsys) == []


def test_a_wiring_is_no_plan_to_start_from(lawn: str, capsys: pytest.CaptureFixture[str]) -> None:
    told(capsys, "wire", lawn, "--save", "lawn")
    assert "plan of this pit" in told(capsys, "plan", "--from", "lawn", code=main.BAD_INPUT)


def test_a_file_or_a_pit_is_named_and_not_both(lawn: str) -> None:
    for wrong in (["wire"], ["wire", lawn, "--from", "lawn"]):
        with pytest.raises(SystemExit) as leaving:
            main.run(wrong)
        assert leaving.value.code == main.BAD_INPUT
