"""What draws the truth never imports what is judged by it."""

from __future__ import annotations

import ast

from tests.house.reading import ROOT, tree

TRUTH = ROOT / "bench" / "truth"
ALLOWED = ("pitwright.catalogue", "pitwright.geometry", "bench.truth")


def imported(source: ast.Module) -> set[str]:
    """Every module a source names in an import, wherever it stands."""
    found = set()
    for node in ast.walk(source):
        if isinstance(node, ast.Import):
            found |= {a.name for a in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add("." * node.level + (node.module or ""))
    return found


def strangers(names: set[str]) -> list[str]:
    """Our own modules, or relative ones, that truth may not know."""
    ours = {n for n in names if n.split(".")[0] in ("", "pitwright", "bench", "tests")}
    return sorted(n for n in ours if not any(n == a or n.startswith(a + ".") for a in ALLOWED))


def test_truth_imports_only_the_catalogue_and_geometry() -> None:
    files = sorted(TRUTH.glob("**/*.py"))
    assert len(files) > 6
    wrong = {p.name: strangers(imported(tree(p))) for p in files}
    assert {name: found for name, found in wrong.items() if found} == {}


def test_a_stranger_is_seen() -> None:
    source = ast.parse("def f():\n    from pitwright.flex.path import x\nimport pitwright.geometry")
    assert strangers(imported(source)) == ["pitwright.flex.path"]
