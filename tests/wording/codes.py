"""Every code the source can raise, read from its syntax tree. No test here."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

from tests.house.reading import called, sources, tree

CODE, LIFT = 0, 6
"""Places of the arguments of ``Short``."""


def calls(name: str) -> Iterator[tuple[Path, ast.Call]]:
    """Every call of a name in the source."""
    for path in sources():
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.Call) and called(node) == name:
                yield path, node


def codes(name: str, place: int, keyword: str) -> set[str]:
    """Every string that can stand at one place of a call. Fails where it cannot be followed."""
    found: set[str] = set()
    for path, call in calls(name):
        given = next((k.value for k in call.keywords if k.arg == keyword), None)
        if given is None:
            given = list(_arguments(path, call))[place]
        found |= _strings(path, given)
    return found


def _arguments(path: Path, call: ast.Call) -> Iterator[ast.expr]:
    """The arguments in order, a starred tuple taken apart."""
    for argument in call.args:
        if not isinstance(argument, ast.Starred):
            yield argument
            continue
        assert isinstance(argument.value, ast.Name), ast.unparse(call)
        tuples = [v for v in _assigned(path, argument.value.id, call) if isinstance(v, ast.Tuple)]
        yield from tuples[-1].elts


def _assigned(path: Path, name: str, near: ast.AST | None = None) -> list[ast.expr]:
    """What is assigned to a name anywhere in the function around ``near``, or the module."""
    found: list[ast.expr] = []
    for node in ast.walk(_around(path, near) if near is not None else tree(path)):
        if not isinstance(node, ast.Assign):
            continue
        for target in node.targets:
            if isinstance(target, ast.Name) and target.id == name:
                found.append(node.value)
            elif isinstance(target, ast.Tuple):
                for value in _either(node.value):
                    pairs = zip(target.elts, value.elts, strict=True)
                    found += [v for t, v in pairs if isinstance(t, ast.Name) and t.id == name]
    return found


def _either(value: ast.expr) -> list[ast.Tuple]:
    """The tuple, or the two that a condition chooses from."""
    both = [value.body, value.orelse] if isinstance(value, ast.IfExp) else [value]
    return [v for v in both if isinstance(v, ast.Tuple)]


def _around(path: Path, near: ast.AST) -> ast.AST:
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.FunctionDef) and any(n is near for n in ast.walk(node)):
            return node
    return tree(path)


def _strings(path: Path, value: ast.expr) -> set[str]:
    if isinstance(value, ast.Constant) and isinstance(value.value, str):
        return {value.value}
    if isinstance(value, ast.IfExp):
        return _strings(path, value.body) | _strings(path, value.orelse)
    if isinstance(value, ast.Name):
        found = _assigned(path, value.id, value)
        assert found, f"{path.name}: cannot follow {value.id}"
        return set().union(*(_strings(path, v) for v in found))
    if isinstance(value, ast.Attribute) and value.attr == "code":
        return codes("NoChain", 0, "code")
    if isinstance(value, ast.Call):
        returned: set[str] = set()
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.FunctionDef) and node.name == called(value):
                returned |= {
                    s
                    for n in ast.walk(node)
                    if isinstance(n, ast.Return) and n.value is not None
                    for s in _strings(path, n.value)
                }
        if returned:
            return returned
    raise AssertionError(f"{path.name}: cannot follow {ast.unparse(value)}")
