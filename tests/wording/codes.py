"""Every code a plan can hold, read from the syntax tree of what makes it. No test here."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from tests.house.reading import ROOT, SRC, called, tree

CODE, LIFT = 0, 6
"""Places of the arguments of ``Short``."""


@cache
def reached(start: str) -> tuple[Path, ...]:
    """Every module that a module of ours imports, itself first, and what those import."""
    seen: list[Path] = []
    waiting = [SRC / start]
    while waiting:
        path = waiting.pop()
        if path in seen:
            continue
        seen.append(path)
        for node in ast.walk(tree(path)):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("pitwright."):
                file = ROOT / "src" / f"{(node.module or '').replace('.', '/')}.py"
                waiting += [file] if file.is_file() else []
    return tuple(seen)


def calls(name: str) -> Iterator[tuple[Path, ast.Call]]:
    """Every call of a name in what a plan is made by."""
    for path in reached("planning.py"):
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


def _yielded(path: Path, value: ast.Name) -> list[ast.expr]:
    """What a function of the same module yields at the name's place in ``for a, b in f():``."""
    found: list[ast.expr] = []
    for node in ast.walk(_around(path, value)):
        if not isinstance(node, ast.For) or not isinstance(node.target, ast.Tuple):
            continue
        names = [t.id if isinstance(t, ast.Name) else "" for t in node.target.elts]
        if value.id not in names or not isinstance(node.iter, ast.Call):
            continue
        for made in ast.walk(tree(path)):
            if isinstance(made, ast.FunctionDef) and made.name == called(node.iter):
                found += [
                    y.value.elts[names.index(value.id)]
                    for y in ast.walk(made)
                    if isinstance(y, ast.Yield) and isinstance(y.value, ast.Tuple)
                ]
    return found


def _passed(path: Path, value: ast.Name) -> list[tuple[Path, ast.expr]]:
    """What the callers of the function around a parameter give it."""
    around = _around(path, value)
    if not isinstance(around, ast.FunctionDef):
        return []
    names = [a.arg for a in around.args.args]
    if value.id not in names:
        return []
    place = names.index(value.id)
    return [(p, c.args[place]) for p, c in calls(around.name) if len(c.args) > place]


def _spelt_out(path: Path, value: ast.JoinedStr) -> set[str]:
    """An f-string, written out for every word that the ``if x in (...)`` around it lets in."""
    made = {""}
    for part in value.values:
        words = {ast.literal_eval(part)} if isinstance(part, ast.Constant) else set()
        if isinstance(part, ast.FormattedValue):
            for node in ast.walk(_around(path, value)):
                if isinstance(node, ast.If) and any(n is value for n in ast.walk(node)):
                    test = node.test
                    assert isinstance(test, ast.Compare), ast.unparse(value)
                    assert ast.unparse(test.left) == ast.unparse(part.value)
                    words |= set(ast.literal_eval(test.comparators[0]))
        assert words, ast.unparse(value)
        made = {m + word for m in made for word in words}
    return made


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
        found = [(path, v) for v in _assigned(path, value.id, value)]
        found = found or [(path, v) for v in _yielded(path, value)] or _passed(path, value)
        assert found, f"{path.name}: cannot follow {value.id}"
        return set().union(*(_strings(p, v) for p, v in found))
    if isinstance(value, ast.JoinedStr):
        return _spelt_out(path, value)
    if isinstance(value, ast.Attribute) and value.attr == "code":
        # handed on: the chains' own codes; a finding told again was raised elsewhere
        return codes("NoChain", 0, "code") if path.name == "search.py" else set()
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
