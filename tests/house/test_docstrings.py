"""What is public says what comes back, in which unit, from which source, and what it raises."""

from __future__ import annotations

import ast
import re

import pitwright.errors
from tests.house.floors import STDLIB_ONLY_UP_TO
from tests.house.reading import Function, Public, called, floor_of, publics, tree

SPELT_OUT = (
    "(milli|micro)?met(re|er)s?|mm|inch(es)?|points?|radians?|degrees?|seconds?|newtons?"
    "|ohms?|volts?|amp(ere)?s?|nanofarads?|bits?|nats?|chances?|probabilit(y|ies)|shares?"
)
UNIT = re.compile(rf"\[[^\]\n]{{1,40}}\]|\b(SI|units?|{SPELT_OUT})\b", re.IGNORECASE)
"""``[m]``, ``[a spelling of kind]``, "SI", "in the unit of the limit", "in millimetres"."""
SOURCE = re.compile(r"\[[A-Z0-9][A-Z0-9.]*[-, ][^\]]+\]|\bsources?\b", re.IGNORECASE)
"""``[ASTM-B258]``, ``[GUM, 4.3.7]``, "Source: arithmetic", "source by key"."""
FLOATS = re.compile(r"\bfloat\b|\bVec\b|\bcomplex\b")


def hints(node: Function) -> str:
    """All type hints of a signature, as text."""
    every = (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)
    found = [a.annotation for a in every] + [node.returns]
    return " ".join(ast.unparse(hint) for hint in found if hint is not None)


def around(p: Public) -> str:
    """What a definition may lean on: its class, and above the engine its module as well."""
    module = "" if floor_of(p.path) <= STDLIB_ONLY_UP_TO else ast.get_docstring(tree(p.path)) or ""
    return f"{p.class_doc}\n{module}"


def float_functions() -> list[Public]:
    return [p for p in publics() if isinstance(p.node, Function) and FLOATS.search(hints(p.node))]


def test_everything_public_has_a_docstring() -> None:
    assert [str(p) for p in publics() if not p.doc.strip()] == []


def test_functions_of_bare_floats_name_their_units() -> None:
    """A method may lean on its class, a drawing or a page on its module."""
    assert len(float_functions()) >= 5
    wrong = [str(p) for p in float_functions() if not UNIT.search(p.doc + around(p))]
    assert wrong == []


def test_functions_of_bare_floats_on_the_engine_floors_name_their_source() -> None:
    """Handbook, standard, judgement or plain arithmetic: it is said, if not by the function then
    by its module for all of them."""
    wrong = [
        str(p)
        for p in float_functions()
        if p.inside is None
        and floor_of(p.path) <= STDLIB_ONLY_UP_TO
        and not SOURCE.search(p.doc + (ast.get_docstring(tree(p.path)) or ""))
    ]
    assert wrong == []


def test_classes_that_hold_bare_floats_name_their_units() -> None:
    """In the class docstring, in a string under the field, or in a comment beside it."""
    wrong = []
    for p in publics():
        if not isinstance(p.node, ast.ClassDef):
            continue
        lines = p.path.read_text(encoding="utf-8").splitlines()
        body = p.node.body
        for field, below in zip(body, [*body[1:], None], strict=True):
            if not isinstance(field, ast.AnnAssign) or not FLOATS.search(
                ast.unparse(field.annotation)
            ):
                continue
            said = p.doc + around(p) + lines[field.lineno - 1].partition("#")[2]
            if isinstance(below, ast.Expr) and isinstance(below.value, ast.Constant):
                said += str(below.value.value)
            if not UNIT.search(said):
                wrong.append(f"{p} field {ast.unparse(field.target)}")
    assert wrong == []


OURS = {
    name
    for name, thing in vars(pitwright.errors).items()
    if isinstance(thing, type) and issubclass(thing, pitwright.errors.PitwrightError)
}


def test_functions_that_raise_say_so() -> None:
    """Each of our own errors raised in the body is named in the docstring (or its class's)."""
    wrong = []
    for p in publics():
        if not isinstance(p.node, Function):
            continue
        for node in ast.walk(p.node):
            if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
                name = called(node.exc)
                if name in OURS and name not in p.doc + p.class_doc:
                    wrong.append(f"{p} raises {name}")
    assert wrong == []
