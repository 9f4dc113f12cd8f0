"""Every message names what came: the value is passed on, never only described."""

from __future__ import annotations

import ast

import pytest

from tests.house.reading import SRC, called, sources, tree

GOT: dict[str, int] = {
    "BadInput": 1,
    "Malformed": 1,
    "WrongUnit": 1,
    "OutOfRange": 1,
    "UnknownName": 1,
    "Duplicate": 1,
    "Contradiction": 1,
    "NotWritable": 0,
    "BrokenShelf": 2,
}
"""Which argument is the offending value (``got``; the path for NotWritable)."""
QUIET = {"Missing", "Unreadable", "SystemExit"}
"""These need no value: nothing came, the whole file is what came, or nothing is wrong."""


def constant(node: ast.expr | None) -> bool:
    return node is None or isinstance(node, ast.Constant)


def offending(call: ast.Call, position: int) -> ast.expr | None:
    for keyword in call.keywords:
        if keyword.arg in ("got", "path"):
            return keyword.value
    return call.args[position] if len(call.args) > position else None


def silent_calls(module: ast.Module) -> list[tuple[int, str]]:
    """Line and name of every error of ours made without the value that came."""
    return [
        (node.lineno, called(node))
        for node in ast.walk(module)
        if isinstance(node, ast.Call)
        and called(node) in GOT
        and not any(isinstance(a, ast.Starred) for a in node.args)
        and constant(offending(node, GOT[called(node)]))
    ]


def silent_raises(module: ast.Module) -> list[tuple[int, str]]:
    """Line and name of every raise of a class, ours or not, that passes constants alone.

    A method that makes the error (``raise self._malformed("...")``) is judged where it makes it.
    """
    found = []
    for node in ast.walk(module):
        if not isinstance(node, ast.Raise) or node.exc is None:
            continue
        exc = node.exc
        if isinstance(exc, ast.Call) and called(exc)[:1].isupper() and called(exc) not in QUIET:
            given = [*exc.args, *(keyword.value for keyword in exc.keywords)]
            if all(constant(value) for value in given):
                found.append((node.lineno, called(exc)))
        elif isinstance(exc, ast.Name) and exc.id[:1].isupper():
            found.append((node.lineno, exc.id))
    return found


def test_our_own_errors_carry_the_value_that_came() -> None:
    wrong = [
        f"{p.relative_to(SRC)}:{line} {name}"
        for p in sources()
        for line, name in silent_calls(tree(p))
    ]
    assert wrong == []


def test_no_raise_of_any_class_is_silent_about_the_value() -> None:
    wrong = [
        f"{p.relative_to(SRC)}:{line} {name}"
        for p in sources()
        for line, name in silent_raises(tree(p))
    ]
    assert wrong == []


@pytest.mark.parametrize(
    ("code", "silent"),
    [
        ("raise Malformed(where, text, 'must be a length', 'write 4 in')", False),
        ("raise Malformed(where, 'text', 'must be a length', 'write 4 in')", True),
        ("raise Malformed(where, got=None, rule='r', hint='h')", True),
        ("raise Missing('zone.beds', 'add it')", False),
        ("raise ValueError('no')", True),
        ("raise ValueError", True),
        ("raise ValueError(f'{x} is not 3')", False),
        ("raise", False),
    ],
)
def test_the_test_itself_can_tell_a_silent_raise(code: str, silent: bool) -> None:
    module = ast.parse(code)

    assert bool(silent_calls(module) or silent_raises(module)) is silent
