"""Labels of the app's forms keep to the glossary's words; sentences about results are wording's."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.reading import SRC, tree
from tests.house.test_glossary import rows

LABELLED = {"text": 2, "length": 2, "area": 2, "choice": 2, "pick": 2, "group": 2, "pasted": 3}
"""Makers of fields, and which of their arguments is the label."""
HEADED = {"h1", "h2", "h3", "h4", "summary", "legend", "label", "button", "th", "dt"}
RESULTS = {"both_text", "inches_text"}
"""What turns a worked-out length into words."""
STILL_HERE = {
    "built.py": "lines of the owner's page",
    "as_cut.py": "says a typed length back beside the plan's",
    "doing.py": "steps of a way whose order was not worked out",
    "measure.py": "says a typed length back",
}
"""Pages that still put a length into words themselves, and of what."""
PLAIN = set(Path(__file__).with_name("plain_words.txt").read_text(encoding="utf-8").split())
"""Words of everyday, which mean in a label what they always mean."""
BLURRED = {
    "setback": "advance", "solenoid": "coil", "manifold": "header", "curing time": "cure time",
    "drying": "set time", "sprinkler": "heads", "diameter": "outside", "trench": "pit",
}  # fmt: skip
"""Words of other trades, and what ours is."""


def pages() -> list[Path]:
    return sorted((SRC / "pages").glob("*.py"))


def constants(node: ast.expr) -> Iterator[str]:
    """The plain text in an argument, the pieces of an f-string too."""
    for one in ast.walk(node):
        if isinstance(one, ast.Constant) and isinstance(one.value, str):
            yield one.value


def labels(path: Path) -> Iterator[str]:
    """Every label, heading and button of a module of pages."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Call):
            for label in _labels(node):
                yield from constants(label)


def _labels(node: ast.Call) -> Iterator[ast.expr]:
    called = node.func.attr if isinstance(node.func, ast.Attribute) else ""
    called = node.func.id if isinstance(node.func, ast.Name) else called
    args = node.args
    if called in LABELLED and len(args) > LABELLED[called]:
        yield args[LABELLED[called]]
    elif called in ("_key", "Key") and len(args) > 1:
        yield args[1]
    elif called == "shell" and args and isinstance(args[0], ast.Constant):
        yield args[0]
    elif called == "h" and len(args) > 1 and isinstance(args[0], ast.Constant):
        headed = args[0].value in HEADED and isinstance(args[1], ast.Constant)
        yield from args[1:2] if headed else []
    yield from (word.value for word in node.keywords if word.arg == "button")


def words_of(text: str) -> list[str]:
    return re.findall(r"[a-z]+", text.lower().replace("'s ", " "))


def glossary() -> set[str]:
    """Every word that stands in a term of the glossary, and its plural."""
    found = {word for row in rows() for word in words_of(row[0].replace("-", " "))}
    return found | {f"{word}s" for word in found}


def test_labels_are_found_at_all() -> None:
    found = [label for path in pages() for label in labels(path)]
    assert len(found) > 120
    assert "It may be cut back by" in found and "Save the readings" in found


def test_a_word_of_the_trade_in_a_label_is_one_of_the_glossary() -> None:
    """A new one is settled there first, or is plain enough to be listed here."""
    known = glossary() | PLAIN
    wrong = {
        word: f"{path.name}: {label}"
        for path in pages()
        for label in labels(path)
        for word in words_of(label)
        if word not in known
    }
    assert wrong == {}


@pytest.mark.parametrize("word", BLURRED)
def test_no_label_says_in_another_trade_what_ours_has_a_word_for(word: str) -> None:
    assert [label for path in pages() for label in labels(path) if word in label.lower()] == []


def test_pages_leave_results_to_wording() -> None:
    """Lengths that were worked out are put into words in wording; what is left is known."""
    found = {
        path.name
        for path in pages()
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in RESULTS
    }
    assert found <= set(STILL_HERE)
