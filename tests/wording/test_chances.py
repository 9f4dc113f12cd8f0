"""Chances in words: in hundreds, never sure, with what to hold and what to measure."""

from __future__ import annotations

import pytest

from pitwright.tolerance.doubt import Doubt, Held, Remedy, Share
from pitwright.tolerance.doubting import doubt_of
from pitwright.wording.chances import cause_words, chance_lines, holding_words, short_chance
from tests.tolerance.jobs import works

PLAIN = Held((), (), 0.0001, 0.4)
TRIM = Held(("A", "C"), ("bend 1", "bend 2"), 0.95, 0.999)


def doubt(**changes: object) -> Doubt:
    whole: dict[str, object] = {
        "plain": PLAIN, "ways": (TRIM,), "advised": TRIM,
        "shares": (Share("stub.feed.faces", 0.9), Share("seats", 0.02)),
        "help": Remedy("two_points", "feed", 0.97), "cut_within": 0.0254 / 16,
    } | changes  # fmt: skip
    return Doubt(**whole)  # type: ignore[arg-type]


def test_chances_are_told_in_hundreds_and_never_as_sure() -> None:
    lines = list(chance_lines(doubt()))
    assert lines[0].startswith("all cut at once: 1 in 100 within 1/8 in, 40 in 100")
    assert "99 in 100 within what old pipe" in lines[1]
    assert lines[1].startswith("trim A and C last: ")
    assert "every bend dry" in lines[1]


def test_small_causes_are_left_out_and_large_ones_named() -> None:
    told = next(line for line in chance_lines(doubt()) if line.startswith("most of the doubt"))
    assert told == "most of the doubt: which way feed faces 90%"


def test_help_and_cut_error_are_told_where_there_are() -> None:
    said = "\n".join(chance_lines(doubt()))
    assert "measure a second point far back on feed: then 97 in 100 within 1/8 in" in said
    assert "every cut is within ±1/16 in" in said
    bare = "\n".join(chance_lines(doubt(help=None, cut_within=0.0)))
    assert "then" not in bare.splitlines()[-1]
    assert "19 in 20" not in bare


def test_nothing_held_says_nothing() -> None:
    assert holding_words(PLAIN) == ""
    assert len(list(chance_lines(doubt(advised=PLAIN)))) == 4


def test_the_short_word_is_the_better_of_the_two() -> None:
    assert short_chance(doubt()) == "closes 99 in 100"


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("stub.feed.tip.1", "where feed lies, downstream"),
        ("stub.feed.tip", "where feed lies"),
        ('stub."beds in".through.0', "which way beds in faces"),
        ("cut.A", "the cut of piece A"),
        ("cut.inlet", "the cut at the inlet stub"),
        ("take-out.bend 1", "the take-out of bend 1"),
        ("something else", "something else"),
    ],
)
def test_causes_have_words(name: str, words: str) -> None:
    assert cause_words(name) == words


def test_every_cause_of_the_examples_has_words() -> None:
    names = set()
    for work in works()[:6]:
        got = doubt_of(work.train, work.cuts, work.stubs, work.bears)
        names |= {s.name for s in got.shares}
        assert list(chance_lines(got))
    assert len(names) > 10
    assert [n for n in names if cause_words(n) == n] == []
