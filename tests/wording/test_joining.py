from __future__ import annotations

import ast
from pathlib import Path

import pytest

from pitwright.findings import Short, finding
from pitwright.wording import joining
from pitwright.wording.findings import finding_words, short_words

ROOM = Path(joining.__file__).resolve().parents[1] / "joining"
TEXTS = {
    node.value
    for path in ROOM.glob("*.py")
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    if isinstance(node, ast.Constant) and isinstance(node.value, str)
}


@pytest.mark.parametrize("code", joining.SHORTS)
def test_every_limit_in_words_is_one_that_the_room_can_say(code: str) -> None:
    assert code in TEXTS
    said = short_words(Short(code, "stub left", 0.01, 0.03, 0.02, "m", "bring_tool", "straight"))
    assert code not in said and "{" not in said


@pytest.mark.parametrize("lift", joining.LIFTS)
def test_every_remedy_in_words_is_one_that_the_room_can_say(lift: str) -> None:
    assert lift in TEXTS


@pytest.mark.parametrize("code", joining.FINDINGS)
def test_every_finding_is_told_with_its_numbers(code: str) -> None:
    assert code in TEXTS
    found = finding(
        code,
        numbers={"have": 0.0762, "need": 0.1016},
        names={"where": "the gravel", "valve": "valve 4"},
    )
    said = finding_words(found)
    assert code not in said and ("4" in said or "the gravel" in said)
