"""The walk in docs/record.md is what really happens."""

from __future__ import annotations

import os
import re
import shlex
import shutil
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta, timezone
from importlib.resources import files
from itertools import count
from pathlib import Path

import pytest

from pitwright.cli import main, record_ground, record_move, record_read, record_write
from tests.house.reading import ROOT
from tests.records.support import dice
from tests.records.test_photo import jpeg

PAGE = ROOT / "docs" / "record.md"
BLOCK = re.compile(r"(?ms)^```console\n(.*?)^```$")
BEGIN = datetime(2026, 5, 4, 9, 0, tzinfo=timezone(timedelta(hours=-5)))
REMEMBERED = (
    ("note", r"(?m)^(\w{8})  note: meter"),
    ("undo", r"(?m)^(\w{8})  taken back: \w{8} meter"),
    ("oak", r"(?m)^  (\w{8})  pit: north gate, by the oak"),
    ("robin", r"(?m)^(\w{8})  person: Robin"),
)
"""Ids that a later command needs: its ``{name}`` is filled with the first one printed."""
LONG = ("--json",)
"""What these commands print is not on the page."""


@pytest.fixture
def still(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[Path]:
    """A folder to stand in; a clock that goes on a minute at each look; counted dice."""
    minutes = count()
    chance = dice("walk")

    def now() -> datetime:
        return BEGIN + timedelta(minutes=next(minutes))

    for module in (record_ground, record_move, record_read, record_write):
        if hasattr(module, "now"):
            monkeypatch.setattr(module, "now", now)
        if hasattr(module, "chance"):
            monkeypatch.setattr(module, "chance", chance)
    monkeypatch.delenv(record_ground.PLACE, raising=False)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "feed.jpg").write_bytes(jpeg())
    survey = files("pitwright.cli").joinpath("data/school-garden.pit.toml").read_bytes()
    (tmp_path / "north-gate.pit.toml").write_bytes(survey)
    lawn = ROOT / "examples" / "chapel-lawn.harness.toml"
    (tmp_path / "lawn.harness.toml").write_bytes(lawn.read_bytes())
    yield tmp_path
    shutil.rmtree(tmp_path, ignore_errors=True)


def walked(text: str, run: Callable[[list[str]], str]) -> str:
    """The page with what its commands print now."""
    known: dict[str, str] = {}

    def block(found: re.Match[str]) -> str:
        lines = []
        for line in found[1].splitlines():
            if not line.startswith("$ "):
                continue
            command = line
            for name, id in known.items():
                command = command.replace("{" + name + "}", id)
            words = shlex.split(command.removeprefix("$ pitwright "))
            said = run(words)
            for name, pattern in REMEMBERED:
                match = re.search(pattern, said)
                if match and name not in known:
                    known[name] = match[1]
            shown = [] if any(w in LONG for w in words) else said.splitlines()
            lines += [line, *shown]
        return "```console\n" + "\n".join(lines) + "\n```"

    return BLOCK.sub(block, text)


def test_the_walk_is_what_really_happens(still: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Renew the page with ``PITWRIGHT_RENEW_DOCS=1`` after a change that is meant."""
    codes: list[int] = []

    def run(words: list[str]) -> str:
        codes.append(main.run(words))
        return capsys.readouterr().out

    text = PAGE.read_text(encoding="utf-8")
    now = walked(text, run)
    if os.environ.get("PITWRIGHT_RENEW_DOCS"):
        PAGE.write_text(now, encoding="utf-8")

    assert now == text
    assert [code for code in codes if code not in (main.OK, main.REFUSED)] == []
    again = (still / "again.pit.toml").read_bytes()
    assert again == (still / "north-gate.pit.toml").read_bytes()
    harness = (still / "again.harness.toml").read_text(encoding="utf-8")
    added = '    "S2 capacitance: 6.1 nF",\n'
    assert added in harness
    assert harness.replace(added, "") == (still / "lawn.harness.toml").read_text(encoding="utf-8")
