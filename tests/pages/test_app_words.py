"""The app's words for what a file's reader is told."""

from __future__ import annotations

import ast

from pitwright.pages.app_words import FILE_WORDS, in_app
from tests.house.reading import ROOT

PUT_TOGETHER = (' says side = "', "calliper, across or around, as in")
"""The beginnings of phrases that the source puts together from pieces."""


def test_every_phrase_that_is_said_otherwise_still_stands_somewhere_in_the_source() -> None:
    """A phrase that was changed at its root must be changed here too."""
    src = ROOT / "src" / "pitwright"
    files = [f for f in src.rglob("*.py") if f.name != "app_words.py"]
    texts: list[str] = []
    for file in files:
        nodes = ast.walk(ast.parse(file.read_text("utf-8")))
        texts += [
            n.value for n in nodes if isinstance(n, ast.Constant) and isinstance(n.value, str)
        ]
    whole = "\n".join(texts)
    assert [
        f for f in FILE_WORDS if f.rstrip() not in whole and not f.startswith(PUT_TOGETHER)
    ] == []
    assert all(start in whole for start in PUT_TOGETHER)


def test_a_sentence_for_a_file_names_a_field_instead() -> None:
    said = in_app("tie the joint or block the bends, and say blocks = true under [preferences]")
    assert "[" not in said and "=" not in said
    assert in_app("dig that much more away there") == "dig that much more away there"
