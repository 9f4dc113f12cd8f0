"""``pitwright flex`` at the terminal: exit codes, one document, and the numbers it promises."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from pitwright.cli.main import run

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
LAWN, GARDEN = (str(EXAMPLES / f"{n}.pit.toml") for n in ("chapel-lawn", "school-garden"))


def test_a_pit_with_a_train_for_each_zone_is_exit_0_and_another_exit_3(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["flex", LAWN]) == 0
    told = capsys.readouterr().out
    assert "its tip goes sideways by hand" in told
    assert "never by digging" in told and "elbow box" in told
    assert run(["flex", GARDEN]) == 3
    assert "no train closes" in capsys.readouterr().out


def test_json_is_one_document_whose_numbers_the_text_repeats(
    capsys: pytest.CaptureFixture[str],
) -> None:
    run(["flex", LAWN])
    text = capsys.readouterr().out
    run(["flex", LAWN, "--json"])
    data = json.loads(capsys.readouterr().out)
    assert data["schema"] == "pitwright-flex-1"
    assert [s["stub"] for s in data["stubs"]] == ["feed", "lawn"]
    for stub in data["stubs"]:
        limits = stub["strain_limits"]
        assert 0.0 < limits["staying"] < limits["momentary"]
        for far in stub["reaches"]:
            assert far["text"] in text
            assert 0.0 < far["least_m"] <= far["most_m"]
            cap = limits["staying" if far["how_long"] == "staying" else "momentary"]
            assert far["strain"] <= cap * (1 + 1e-9)
            assert 0.0 <= far["peak"]["from_tip_m"] <= stub["bare_m"] + 1e-9
            assert math.hypot(*far["least_way"]) == pytest.approx(1.0)
    (zone,) = data["zones"]
    assert zone["as_it_lies"]["bending"]["closes_as_it_lies"] is True
    assert all(line["never_by_digging"] and line["text"] in text for line in zone["into_line"])


def test_a_mistake_in_the_survey_is_one_message(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.pit.toml"
    path.write_text("[pit]\nname = 3\n", encoding="utf-8")
    assert run(["flex", str(path)]) == 2
    got = capsys.readouterr()
    assert got.out == "" and got.err.startswith("pitwright: ") and "Traceback" not in got.err
