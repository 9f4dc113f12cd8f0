"""How the house tests read the source: files, definitions, docstrings. No test here."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from tests.house.floors import FLOOR

ROOT = Path(__file__).resolve().parents[2]
SRC = ROOT / "src" / "pitwright"

Function = ast.FunctionDef | ast.AsyncFunctionDef


def room_of(path: Path) -> str:
    """The room a source file stands in."""
    return path.relative_to(SRC).parts[0].removesuffix(".py")


def floor_of(path: Path) -> float:
    return FLOOR.get(room_of(path), 0.0)


@cache
def tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def sources() -> list[Path]:
    return sorted(SRC.rglob("*.py"))


def committed() -> list[Path]:
    """Every file of the project: what git tracks, or all that lies here when git is not there."""
    try:
        listed = subprocess.run(
            ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True, text=True
        ).stdout
    except (OSError, subprocess.CalledProcessError):
        kept = [p for p in ROOT.rglob("*") if p.is_file()]
        return sorted(p for p in kept if not set(p.relative_to(ROOT).parts) & LEFT_BY_TOOLS)
    return sorted(p for name in listed.split("\0") if name and (p := ROOT / name).is_file())


LEFT_BY_TOOLS = {".venv", ".git", "__pycache__", ".mypy_cache", ".ruff_cache", ".hypothesis"}


@dataclass(frozen=True)
class Public:
    """One public class, function or method, and where it stands."""

    path: Path
    node: ast.ClassDef | Function
    inside: ast.ClassDef | None

    @property
    def doc(self) -> str:
        return ast.get_docstring(self.node) or ""

    @property
    def class_doc(self) -> str:
        return (ast.get_docstring(self.inside) or "") if self.inside else ""

    def __str__(self) -> str:
        owner = f"{self.inside.name}." if self.inside else ""
        return f"{self.path.relative_to(SRC)}:{self.node.lineno} {owner}{self.node.name}"


def publics() -> Iterator[Public]:
    """Public classes, functions and methods of the whole source, in order."""
    for path in sources():
        for node in tree(path).body:
            if not isinstance(node, ast.ClassDef | Function) or node.name.startswith("_"):
                continue
            yield Public(path, node, None)
            if isinstance(node, ast.ClassDef):
                for inner in node.body:
                    if isinstance(inner, Function) and not inner.name.startswith("_"):
                        yield Public(path, inner, node)


def called(call: ast.Call) -> str:
    """The bare name of what is called: ``errors.Missing(...)`` is ``Missing``."""
    if isinstance(call.func, ast.Attribute):
        return call.func.attr
    return call.func.id if isinstance(call.func, ast.Name) else ""
