"""A harness file is read whole, or one clear message says where it is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import BadInput
from pitwright.survey.harness_file import load_harness, read_harness

EXAMPLES = Path(__file__).parents[2] / "examples"
GOOD = (EXAMPLES / "chapel-lawn.harness.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["chapel-lawn", "allotment"])
def test_the_examples_are_read(name: str) -> None:
    file = load_harness(EXAMPLES / f"{name}.harness.toml")
    assert file.readings
    assert file.harness.stations


def test_lengths_limits_colours_and_clues_arrive_in_si() -> None:
    file = read_harness(GOOD)
    box = file.harness.box("B2")
    assert box.length == pytest.approx(200 * 0.3048)
    assert box.length_sd == pytest.approx(10 * 0.3048)
    assert file.harness.colour("S2", "B1") == "blue"
    assert file.harness.colour("S2", "B2") == "blue then brown"
    assert [(c.kind, c.at) for c in file.harness.clues] == [("digging", "B2")]
    assert file.harness.cap_per_m == pytest.approx(0.025e-9 / 0.3048)
    assert file.harness.stations[0].coil.inrush == pytest.approx(complex(30.0, 51.96), abs=0.01)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('box = "B1"\ncolour = "red"', 'box = "B7"', "did you mean B2, B1"),
        ('after = "B1"', 'after = "B3"', "box named before it"),
        ('id = "S3"', 'id = "S2"', "is there twice"),
        ('length = "150 ft +- 10 ft"', 'length = "150 psi"', "length"),
        ('length = "150 ft +- 10 ft"', "", "is missing"),
        ("gauge = 16", "gauge = 160", "must be"),
        ('control = "24 V AC"', 'control = "24 VAC"', "did you mean"),
        ('kind = "digging"', "kind = 3", "must be text"),
        ("volts = 27.5", 'volts = "lots"', "must be a number"),
        ('name = "chapel lawn"', 'nmae = "chapel lawn"', "did you mean name"),
        ("readings = [", "readings = [3,", "list of texts"),
    ],
)
def test_what_is_wrong_is_one_message_with_the_file(old: str, new: str, words: str) -> None:
    assert old in GOOD
    with pytest.raises(BadInput) as caught:
        read_harness(GOOD.replace(old, new, 1), "lawn.harness.toml")
    text = str(caught.value)
    assert text.startswith("lawn.harness.toml")
    assert words in text
    assert "\n" not in text


def test_an_empty_or_foreign_file_is_refused() -> None:
    for text in ("", "name = 'x'", "[[box", "station = 3\nbox = 4"):
        with pytest.raises(BadInput):
            read_harness(text)


@given(
    st.integers(0, len(GOOD) - 1),
    st.integers(0, 30),
    st.sampled_from(["", "0", '"', "[", "x", "-1", "\n"]),
)
def test_any_spoilt_file_is_a_harness_or_one_clear_message(at: int, cut: int, put: str) -> None:
    try:
        read_harness(GOOD[:at] + put + GOOD[at + cut :])
    except BadInput as mistake:
        assert "\n" not in str(mistake)
