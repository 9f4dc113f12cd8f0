"""How long modules and functions are: ``python -m tests.house.sizes``."""

from __future__ import annotations

import ast

from tests.house.reading import ROOT, SRC, Function, sources, tree

LONGEST_MODULE = 500
LONGEST_FUNCTION = 60
"""Lines, docstring left out. The house aims at 40."""
WORTH_A_THOUGHT = {"module": 400, "function": 40}


def modules() -> list[tuple[str, int]]:
    """Every Python file of source, tests and bench with its number of lines, longest first."""
    paths = [p for top in ("src", "tests", "bench") for p in (ROOT / top).rglob("*.py")]
    sized = [
        (str(p.relative_to(ROOT)), len(p.read_text(encoding="utf-8").splitlines())) for p in paths
    ]
    return sorted(sized, key=lambda pair: (-pair[1], pair[0]))


def body_lines(node: Function) -> int:
    """Lines from ``def`` to the end, docstring left out."""
    whole = (node.end_lineno or node.lineno) - node.lineno + 1
    first = node.body[0]
    if ast.get_docstring(node) is not None:
        whole -= (first.end_lineno or first.lineno) - first.lineno + 1
    return whole


def functions() -> list[tuple[str, int]]:
    """Every function of the source with its number of lines, longest first."""
    sized = [
        (f"{p.relative_to(SRC)}:{node.lineno} {node.name}", body_lines(node))
        for p in sources()
        for node in ast.walk(tree(p))
        if isinstance(node, Function)
    ]
    return sorted(sized, key=lambda pair: (-pair[1], pair[0]))


def main() -> None:
    """Print what is worth a thought."""
    for what, sized in (("module", modules()), ("function", functions())):
        middle = sized[len(sized) // 2][1] if sized else 0
        print(f"{len(sized)} {what}s, median {middle} lines, longest {sized[0][1]}")
        for where, lines in sized:
            if lines > WORTH_A_THOUGHT[what]:
                print(f"  {lines:4d}  {where}")


if __name__ == "__main__":
    main()
