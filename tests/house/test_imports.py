"""Every module can be the first one imported: no import cycle hides behind a lucky order."""

from __future__ import annotations

import subprocess
import sys

from tests.house.reading import ROOT, SRC, sources

EACH_ALONE = """
import importlib, sys, traceback
failed = 0
for name in sys.argv[1:]:
    for loaded in [m for m in sys.modules if m == "pitwright" or m.startswith("pitwright.")]:
        del sys.modules[loaded]
    try:
        importlib.import_module(name)
    except Exception:
        failed += 1
        print(name, traceback.format_exc().splitlines()[-1])
sys.exit(bool(failed))
"""


def names() -> list[str]:
    dotted = [p.relative_to(SRC.parent).with_suffix("").parts for p in sources()]
    tidy = [parts[:-1] if parts[-1] == "__init__" else parts for parts in dotted]
    return [".".join(parts) for parts in tidy if parts[-1] != "__main__"]


def test_every_module_imports_alone() -> None:
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", EACH_ALONE, *names()],
        cwd=ROOT,
        env={"PYTHONPATH": str(SRC.parent), "PATH": "", "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout + done.stderr == ""
    assert done.returncode == 0
