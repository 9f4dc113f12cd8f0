"""What was read, said back."""

from __future__ import annotations

import ast
import math
import re
from pathlib import Path

import pytest

import pitwright.survey
from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Weight, finding
from pitwright.survey.checks import readings_within
from pitwright.survey.pit import load_survey
from pitwright.units.kinds import INCH
from pitwright.wording.survey import (
    FINDINGS,
    doubt_lines,
    facing_text,
    finding_text,
    place_text,
    reading_row,
    survey_text,
)
from tests.survey.pits import EXAMPLES, read, small, swapped


def test_a_place_is_said_in_the_words_it_may_be_typed_in() -> None:
    assert place_text((0.5 * INCH, -3 * INCH, -INCH / 4)) == (
        "1/2 in right, 3 in upstream, 1/4 in down"
    )


def test_a_direction_is_said_in_the_words_it_may_be_typed_in() -> None:
    lean = (math.tan(math.radians(2.0)), 1.0, -math.tan(math.radians(0.5)))
    size = math.sqrt(sum(c * c for c in lean))
    got = facing_text((lean[0] / size, lean[1] / size, lean[2] / size))
    assert got == "downstream, 2.0 deg right, 0.5 deg down"


@pytest.mark.parametrize(
    ("typed", "cells"),
    [
        ("4 3/8", ("4 3/8 in", "111.1 mm", "0.062 in", "tape")),
        ("4.4", ("4.400 in", "111.8 mm", "0.062 in", "tape")),
        ("4 3/8 +- 1/8", ("4 3/8 in", "111.1 mm", "0.072 in", "as given")),
    ],
)
def test_a_reading_is_said_as_typed_and_in_both_units(typed: str, cells: tuple[str, ...]) -> None:
    survey = read(swapped('body = "4 3/4"', f'body = "{typed}"'))
    row = reading_row(survey.valves[0].length)
    assert row == ("valve.new.body", typed, *cells)


@pytest.mark.parametrize(
    ("section", "row"),
    [
        ('[water]\nstatic = "4 bar"', ("4 bar", "58.0 psi", "4.00 bar", "1.5 psi", "gauge")),
        ('[water]\nflow = "12 gpm"', ("12 gpm", "12 gpm", "45.4 L/min", "0.5 gpm", "flow meter")),
        ('[conditions]\nair = "60 F"', ("60 F", "60 °F", "16 °C", "1.8 °F", "thermometer")),
        (
            '[water]\nbucket = { volume = "20 L", time = "1 min" }',
            ("20 L", "5.28 gal", "20 L", "0.1 gal", "bucket"),
        ),
    ],
)  # fmt: skip
def test_other_kinds_are_said_in_both_units(section: str, row: tuple[str, ...]) -> None:
    survey = small(section + "\n")
    rows = [reading_row(r)[1:] for r in readings_within(survey)]
    assert row in rows


@pytest.mark.parametrize("name", ["school-garden", "chapel-lawn", "allotment"])
def test_a_survey_said_back_holds_every_reading_as_typed(name: str) -> None:
    survey = load_survey(EXAMPLES / f"{name}.pit.toml", load_shelf())
    text = survey_text(survey)
    for reading in readings_within(survey):
        assert re.search(rf"(?m)^  {re.escape(reading.id)} .*{re.escape(reading.text)}", text)
    assert all(len(line) == len(line.rstrip()) for line in text.splitlines())
    assert "nothing checks" in text


def codes_of_the_room() -> set[str]:
    """Every finding code made anywhere in the survey room."""
    home = Path(pitwright.survey.__file__).parent
    found = set()
    for path in home.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "finding":
                code = node.args[0]
                if isinstance(code, ast.Constant):
                    found.add(str(code.value))
    return found | {"pipe-cracked", "pipe-chalky", "pipe-unknown", "pipe-fits-nothing"}


def test_every_finding_has_its_sentence_and_no_sentence_is_idle() -> None:
    assert codes_of_the_room() == {*FINDINGS}


def test_stops_come_first_and_stubs_with_one_doubt_share_a_line() -> None:
    code, numbers = "direction-by-eye", {"sigma": 0.0349066}
    lines = doubt_lines(
        (
            finding(code, Weight.CHECK, numbers=numbers, names={"stub": "a"}),
            finding("pipe-cracked", Weight.STOP, names={"stub": "b"}),
            finding(code, Weight.CHECK, numbers=numbers, names={"stub": "c"}),
            finding("nothing-checks", names={"readings": "stub.a.tip"}),
        )
    )
    assert [line.split(":")[0] for line in lines[:2]] == ["STOP", "check"]
    assert lines[1].startswith("check: stub a, c: its direction is known to 2.0 deg")
    assert lines[2].endswith("read them twice: stub.a.tip")
    assert len(lines) == 3


def test_a_diameter_is_said_in_thousandths() -> None:
    line = 'cut_back = "1"\n'
    survey = read(swapped(line, f'{line}measured = {{ calliper = "1.125" }}\n'))
    (found,) = [f for f in survey.findings if f.code == "pipe-measures-otherwise"]
    assert "it measures 1.125 in, and 1 in schedule 40 PVC is 1.310 in to 1.320 in" in (
        finding_text(found)
    )
