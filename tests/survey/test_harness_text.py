"""More readings in a harness file's text: they are there, and nothing else has changed."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import Malformed
from pitwright.survey.harness_text import with_readings

EXAMPLES = Path(__file__).parents[2] / "examples"
LAWN = (EXAMPLES / "chapel-lawn.harness.toml").read_text(encoding="utf-8")
HAD = tomllib.loads(LAWN)["readings"]
ARRAYS = [
    'readings = ["S1 to C1: 3"]  # taken\nname = "x"\n[[box]]\nid = "B1"\n',
    'readings = [\n  "S1 to C1: 3", # first ] one\n  # "no"\n]\n[coil]\nohm = 28\n',
    "name = 'readings = ['\nreadings = [ 'S1 to C1: 3' , ]\n",
    '"readings" = []\n',
    'name = "x"\n\n[[box]]\nid = "readings = []"\n',
    "sizes = [\n[1],\n[2]]\nreadings = [\n]\n",
    "\ufeffname = 'x'\r\n[coil]\r\nohm = 28\r\n",
]
lines = st.lists(
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1).map(str.strip).filter(bool),
    max_size=3,
)


def test_nothing_new_is_the_same_text() -> None:
    assert with_readings(LAWN, HAD) == LAWN


def test_one_more_stands_after_the_others_and_comments_stay() -> None:
    now = with_readings(LAWN, [*HAD, 'S2 capacitance: 6.1 nF "dry"'])
    assert now.replace('    "S2 capacitance: 6.1 nF \\"dry\\"",\n', "", 1) == LAWN
    assert "# measured on a sound wire" in now


@given(st.sampled_from(ARRAYS), lines)
def test_readings_are_added_to_whatever_stands_there(text: str, more: list[str]) -> None:
    before = tomllib.loads(text.removeprefix("\ufeff"))
    readings = [*before.get("readings", []), *more]
    now = tomllib.loads(with_readings(text, readings).removeprefix("\ufeff"))
    assert now.pop("readings", []) == readings
    before.pop("readings", None)
    assert now == before


@pytest.mark.parametrize("text", [LAWN, ARRAYS[1], ARRAYS[2]])
def test_readings_taken_away_are_gone(text: str) -> None:
    assert tomllib.loads(with_readings(text, ["S9: 1"]))["readings"] == ["S9: 1"]


def test_distances_are_tables_at_the_end() -> None:
    asked = {"method": "murray", "wire": "S2", "with": "P1", "near_arm": "20", "far_arm": "80"}
    once = with_readings(LAWN, HAD, [asked])
    assert once.startswith(LAWN)
    twice = with_readings(once, HAD, [asked])
    assert tomllib.loads(twice)["distance"] == [asked, asked]


@pytest.mark.parametrize("bad", ["half \udcff", "key"])
def test_what_cannot_be_written_is_named(bad: str) -> None:
    """A byte that is no text, and a list written where no edit reaches it."""
    text = LAWN if bad != "key" else '"read\\u0069ngs" = ["S1 to C1: 3"]\n'
    had = HAD if bad != "key" else ["S1 to C1: 3"]
    with pytest.raises(Malformed, match="write them into it yourself"):
        with_readings(text, [*had, bad])
