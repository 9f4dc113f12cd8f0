"""Every benchmark: ``python -m bench [NAME ...]``; each prints its table beside a peer."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path

HERE = Path(__file__).parent


def names() -> list[str]:
    """Modules of this folder called ``bench_*.py``, each with a ``main() -> None``."""
    return sorted(p.stem.removeprefix("bench_") for p in HERE.glob("bench_*.py"))


def main(asked: list[str]) -> int:
    unknown = set(asked) - set(names())
    if unknown:
        print(f"no benchmark called {', '.join(sorted(unknown))}; there are {', '.join(names())}")
        return 2
    for name in asked or names():
        print(f"\n## {name}\n")
        import_module(f"bench.bench_{name}").main()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
