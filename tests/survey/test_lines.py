"""On which line of a TOML text a key stands."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.survey.lines import Lines, line_of, lines_of, path_of
from tests.survey.pits import EXAMPLES

TEXT = '''\
title = "x" # [not.here]
[stub.a]
tip = [
  "1",   # tip = 3
  "2",
]
"odd name".side = 'inlet'
[stub."b.c"]
note = """
[stub.d]
tip = 1
"""
note2 = \'\'\'
[stub.e] \'\'\'
faces = { x = 1, y = [1,
 2] }
[[heads]]
flow = 1
[[heads]]
flow = 2
[heads.deep]
up = 3
  [ zone . "l\\u0061wn" ]
  inlet.x . y = 4
last = "a \\" # b"
end = 1'''


@pytest.mark.parametrize(
    ("where", "line"),
    [
        ("title", 1),
        ("stub.a", 2),
        ("stub.a.tip", 3),
        ("stub.a.tip.1", 3),
        ('stub.a."odd name".side', 7),
        ('stub.a."odd name"', 7),
        ('stub."b.c"', 8),
        ('stub."b.c".note', 9),
        ('stub."b.c".note2', 13),
        ('stub."b.c".faces.y.1', 15),
        ("heads.0.flow", 18),
        ("heads.1.flow", 20),
        ("heads.1.deep.up", 22),
        ("zone.lawn", 23),
        ("zone.lawn.inlet.x.y", 24),
        ("zone.lawn.last", 25),
        ("zone.lawn.end", 26),
        ("stub", 2),
        ("zone", 23),
        ("stub.d", None),
        ("stub.d.tip", None),
        ("not.here", None),
        ("nothing", None),
        ("stub.a.missing", 2),
        ("", None),
        ("the text", None),
    ],
)
def test_every_key_stands_on_its_line(where: str, line: int | None) -> None:
    tomllib.loads(TEXT)  # the text itself is good
    assert line_of(where, lines_of(TEXT)) == line


def leaves(value: object, path: tuple[str, ...]) -> list[tuple[str, ...]]:
    if isinstance(value, dict):
        return [p for key, inner in value.items() for p in leaves(inner, (*path, key))]
    return [path]


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.pit.toml")), ids=lambda p: p.name)
def test_every_key_of_an_example_stands_on_a_line_that_holds_it(path: object) -> None:
    """Independent of the scan: the key's last name is on the line it is said to be on."""
    text = EXAMPLES.joinpath(str(path)).read_text(encoding="utf-8")
    lines = text.splitlines()
    found = lines_of(text)
    for key in leaves(tomllib.loads(text), ()):
        line = line_of(path_of(*key), found)
        assert line is not None
        assert key[-1] in lines[line - 1]


@given(st.text(max_size=200))
def test_any_text_can_be_scanned(text: str) -> None:
    for line in lines_of(text).stated.values():
        assert 1 <= line <= text.count("\n") + 1


@given(st.lists(st.text(min_size=1, max_size=8), min_size=1, max_size=4))
def test_a_path_in_words_finds_its_own_keys(keys: list[str]) -> None:
    """Whatever a name holds, its path is read back as it was made."""
    path = path_of(*keys)
    assert "\n" not in path
    assert line_of(path, Lines({tuple(keys): 7}, {})) == 7


def test_a_key_without_end_is_cut_short() -> None:
    assert len(path_of("x" * 5000)) < 50
