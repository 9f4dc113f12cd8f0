"""The person's own weights, from a file or the pit: read, or refused in one message."""

from __future__ import annotations

from pathlib import Path

import pytest

from pitwright.errors import BadInput
from pitwright.survey.weights import WEIGHTS, Weights, load_weights
from tests.survey.pits import small


def written(folder: Path, text: str) -> Path:
    path = folder / "mine.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_file_changes_what_it_names_and_nothing_else(tmp_path: Path) -> None:
    got = load_weights(written(tmp_path, "[weights]\ntime = 3\nparts = 0\n"))
    assert got == Weights(time=3.0, parts=0.0)
    assert got.chance == WEIGHTS.chance


def test_the_pit_may_have_its_own() -> None:
    got = small("[preferences]\nweights = { digging = 2.5 }\n").preferences
    assert got.weights == Weights(digging=2.5)
    assert small().preferences.weights == WEIGHTS


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("[weights]\nhaste = 1\n", "haste"),
        ("[weights]\ntime = -1\n", "0.0 to 1000.0"),
        ("[weights]\ntime = 'much'\n", "must be a number"),
        ("[weights]\ntime = nan\n", "0.0 to 1000.0"),
        ("[wishes]\ntime = 1\n", "wishes"),
        ("weights = 3\n", "must be a table"),
        ("", "must not be empty"),
        ("# nothing yet\n", "one table, [weights]"),
    ],
)
def test_a_bad_weight_is_one_clear_message(tmp_path: Path, text: str, part: str) -> None:
    with pytest.raises(BadInput) as told:
        load_weights(written(tmp_path, text))
    assert part in str(told.value)
    assert "mine.toml" in str(told.value)
