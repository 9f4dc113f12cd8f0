"""The glossary is law: one meaning, one unit, in order."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest

GLOSSARY = Path(__file__).resolve().parents[2] / "docs" / "glossary.md"
UNITS = {"-", "m", "rad", "s", "N", "V", "Ω", "m³/s", "that of the value", "that of the limit"}
MUST_NOT_BLUR = """spread;box mouth;open end;least nipple;gap;misfit;offset travel;push;bend;turn
hand-hold time;set time;cure time;trim-last piece;holding volts;scatter;stroke;zone;station;leg
straight;bare path;property;pit;place;sigma;limit;take-out;made-up unit;stand-out;stub;train
closing;seat;roll;finding;refusal;short"""


def rows() -> list[tuple[str, ...]]:
    """The cells of every row of the table, the heading left out."""
    lines = GLOSSARY.read_text(encoding="utf-8").splitlines()
    table = [line for line in lines if line.startswith("|")]
    return [tuple(cell.strip() for cell in line[1:-1].split("|")) for line in table[2:]]


def alphabetical(word: str) -> str:
    return word.casefold().replace("-", " ")


def test_every_row_has_a_word_a_meaning_and_a_unit() -> None:
    assert len(rows()) > 100
    assert [row for row in rows() if len(row) != 4 or not row[0] or len(row[1]) < 12] == []
    assert [row[:3] for row in rows() if row[2] not in UNITS] == []


def test_no_word_stands_twice_and_all_are_in_order() -> None:
    words = [alphabetical(row[0]) for row in rows()]
    assert [pair for pair in pairwise(words) if pair[0] >= pair[1]] == []


def test_every_word_that_is_referred_to_is_there() -> None:
    words = {row[0] for row in rows()}
    plurals = {f"{word}s" for word in words}
    named = {word for row in rows() for word in re.findall(r"\*([^*]+)\*", " ".join(row))}
    assert named - words - plurals == set()


@pytest.mark.parametrize("word", MUST_NOT_BLUR.replace("\n", ";").split(";"))
def test_the_words_that_must_not_blur_are_settled(word: str) -> None:
    assert word in {row[0] for row in rows()}
