"""A fresh clone: how long ``make demo`` takes, then again, and how much it installs.

Not among the benchmarks of ``python -m bench``, since it needs a network; run it by itself:
``python -m bench.fresh``.
"""

from __future__ import annotations

import os
import subprocess
import tempfile
import time
from pathlib import Path

from bench.timing import processor

ROOT = Path(__file__).resolve().parents[1]


def made(folder: Path, *words: str) -> tuple[float, float]:
    """How long one make takes by the clock, and its processor time. [s]"""
    kept = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "VIRTUAL_ENV")}
    start, before = time.perf_counter(), processor()
    subprocess.run(["make", *words], cwd=folder, check=True, capture_output=True, env=kept)
    return time.perf_counter() - start, processor() - before


def size(folder: Path) -> float:
    """What a folder holds. [MB]"""
    return sum(p.lstat().st_size for p in folder.rglob("*") if p.is_file()) / 1e6


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as temporary:
        clone = Path(temporary) / "clone"
        subprocess.run(["git", "clone", "-q", str(ROOT), str(clone)], check=True)
        fresh, again = made(clone, "demo"), made(clone, "demo")
        installed = size(clone / ".venv")
        left = sorted(p.name for p in (clone / "pitwright-out").iterdir())
    print("| what | by the clock | processor | target |\n|---|---|---|---|")
    print(f"| `make demo` in a fresh clone | {fresh[0]:.1f} s | {fresh[1]:.1f} s | 60 s |")
    print(f"| `make demo` again | {again[0]:.1f} s | {again[1]:.1f} s | 2 s |")
    print(f"| what it installs | {installed:.0f} MB | - | 200 MB |")
    print(f"\nIt leaves {', '.join(left)}.")


if __name__ == "__main__":
    main()
