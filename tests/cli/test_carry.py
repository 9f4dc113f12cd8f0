"""``pitwright carry`` at the terminal, and its notes on their way back."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from pitwright.cli import main
from pitwright.cli.record_ground import PLACE
from tests.house.reading import ROOT

Run = Callable[..., str]
EXAMPLES = ROOT / "examples"


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs one command line in an empty folder and gives what it printed."""
    monkeypatch.delenv(PLACE, raising=False)
    monkeypatch.chdir(tmp_path)
    for name in ("chapel-lawn.pit.toml", "chapel-lawn.harness.toml"):
        shutil.copy(EXAMPLES / name, name)

    def once(*words: str, code: int = main.OK) -> str:
        got = main.run(list(words))
        said = capsys.readouterr()
        assert got == code, said.err
        return said.out if code == main.OK else said.err

    return once


def carried(page: str) -> dict[str, object]:
    """What the page's script is given."""
    found = re.findall(r'id="carried">(.*?)</script>', Path(page).read_text("utf-8"))
    data = json.loads(found[0])
    assert isinstance(data, dict)
    return data


def test_a_survey_becomes_a_page(run: Run) -> None:
    said = run("carry", "chapel-lawn.pit.toml", "--harness", "chapel-lawn.harness.toml")
    assert re.match(r"chapel-lawn\.html: \d+,\d+ bytes, for Chapel lawn", said)
    assert carried("chapel-lawn.html")["plan"] == ""


def test_from_the_record_it_knows_where_its_notes_belong(run: Run) -> None:
    run("record", "add", "property", "Chapel", "owner=the verger, of the old mill")
    run("record", "add", "pit", "lawn", "--property", "Chapel")
    run("record", "add", "tie", "--pit", "lawn", "riser", "mark_a=oak", "a=7 ft", "mark_b=gate",
        "b=5 ft")  # fmt: skip
    run("record", "add", "note", "Water stops at the meter", "--pit", "lawn")
    run("plan", "chapel-lawn.pit.toml", "--save", "lawn")
    run("wire", "chapel-lawn.harness.toml", "--save", "lawn")
    run("carry", "--from", "lawn", "-o", "lawn.html")
    page, data = Path("lawn.html").read_text("utf-8"), carried("lawn.html")

    assert "7 ft from oak" in page and "Where the fault may be" in page
    assert "verger" not in page
    assert "Box card 1" in page and page.count("Water stops at the meter") == 3
    assert str(data["plan"]).startswith("e1_")

    body = {"letter": "A", "cut": "18 3/4 in"}
    note = {"id": "a" * 32, "kind": "piece", "body": body, "at": "2026-05-04T10:00:00+00:00",
            "plan": data["plan"]}  # fmt: skip
    document = {"schema": "pitwright-notes-1", "pit": data["pit"], "notes": [note]}
    Path("notes.json").write_text(json.dumps(document), "utf-8")
    assert run("record", "import", "notes.json").startswith("1 note taken in, 0 known already")
    assert run("record", "import", "notes.json").startswith("0 notes taken in, 1 known already")
    assert "18 3/4 in" in run("record", "show", "lawn")
    run("plan", "chapel-lawn.pit.toml", "--save", "lawn")
    document["notes"] = [note | {"id": "b" * 32, "body": body | {"letter": "B"}}]
    Path("more.txt").write_text(json.dumps(document), "utf-8")
    assert "planned again since" in run("record", "import", "more.txt")


def test_notes_without_a_record_need_the_pit_named(run: Run) -> None:
    run("record", "add", "property", "Chapel")
    run("record", "add", "pit", "lawn", "--property", "Chapel")
    run("carry", "chapel-lawn.pit.toml")
    note = {"id": "a" * 32, "kind": "note", "body": {"text": "roots"}, "at": "2026-05-04T10:00:00Z"}
    document = {"schema": "pitwright-notes-1", "pit": carried("chapel-lawn.html")["pit"]}
    Path("n.json").write_text(json.dumps(document | {"notes": [note]}), "utf-8")

    assert "--pit is missing" in run("record", "import", "n.json", code=main.BAD_INPUT)
    assert "1 note taken in" in run("record", "import", "n.json", "--pit", "lawn")
    assert "roots" in run("record", "search", "roots")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["carry", "none.pit.toml"], "none.pit.toml"),
        (["carry", "chapel-lawn.pit.toml", "--out", "page.pdf"], "ending .html is missing"),
        (["carry", "chapel-lawn.pit.toml", "--out", "no/page.html"], "cannot be written"),
        (["carry", "chapel-lawn.pit.toml", "--harness", "none.toml"], "none.toml"),
        (["carry", "--from", "lawn"], "holds no record"),
        (["record", "import", "none.json"], "cannot be read"),
        (["record", "import", "chapel-lawn.pit.toml"], "chapel-lawn.pit.toml"),
    ],
)
def test_what_cannot_be_used_is_one_clear_message(run: Run, words: list[str], said: str) -> None:
    before = sorted(Path().iterdir())
    message = run(*words, code=main.BAD_INPUT)
    assert said in message and message.count("\n") == 1
    assert [p for p in sorted(Path().iterdir()) if p.name != "pitwright-record"] == before


def test_a_page_that_is_there_is_not_written_over(run: Run) -> None:
    run("carry", "chapel-lawn.pit.toml")
    before = Path("chapel-lawn.html").read_bytes()
    assert "a file of that name is there" in run(
        "carry", "chapel-lawn.pit.toml", code=main.BAD_INPUT
    )
    assert Path("chapel-lawn.html").read_bytes() == before
