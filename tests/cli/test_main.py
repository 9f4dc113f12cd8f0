"""The command itself: version, help, exit codes, nothing imported that is not asked for."""

from __future__ import annotations

import subprocess
import sys

import pytest

from pitwright import __version__
from pitwright.cli import main
from tests.cli.test_plan import GARDEN, command


def test_version_and_help_are_exit_0() -> None:
    got = command("--version")
    assert (got.returncode, got.stdout, got.stderr) == (0, f"pitwright {__version__}\n", "")
    helped = command("--help")
    assert helped.returncode == 0
    assert all(name in helped.stdout for name in main.COMMANDS)
    assert "3 something asked for is refused" in helped.stdout


@pytest.mark.parametrize("args", [[], ["nonsense"], ["--wrong"], ["plan"]])
def test_a_wrong_command_line_is_exit_2_without_a_traceback(args: list[str]) -> None:
    got = command(*args)
    assert got.returncode == 2
    assert "Traceback" not in got.stderr
    assert "usage: pitwright" in got.stderr


def test_version_imports_no_engine_and_plan_no_drawing() -> None:
    """What keeps the command quick: modules are imported when they are asked for."""
    script = (
        "import sys\n"
        "from pitwright.cli.main import run\n"
        "try:\n    run(sys.argv[1:])\nexcept SystemExit:\n    pass\n"
        "sys.stderr.write(' '.join(m for m in sys.modules if m.startswith(('pitwright', 'rep'))))"
    )

    def loaded(*args: str) -> set[str]:
        got = subprocess.run(
            [sys.executable, "-c", script, *args], capture_output=True, text=True, check=True
        )
        return set(got.stderr.split())

    assert {m for m in loaded("--version") if m.count(".") > 1} <= {"pitwright.cli.main"}
    planned = loaded("plan", str(GARDEN), "--json")
    assert not [m for m in planned if m.startswith(("pitwright.paper", "reportlab"))]


def test_a_reader_that_leaves_early_is_no_mistake() -> None:
    """``pitwright plan ... | head -1``"""
    got = subprocess.run(
        f"{sys.executable} -m pitwright plan {GARDEN} | head -1",
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert got.stderr == ""
    assert got.stdout == "School garden, north gate\n"


def test_ctrl_c_is_exit_130_and_one_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(_: object) -> int:
        raise KeyboardInterrupt

    module = main.command_module("plan")
    monkeypatch.setattr(module, "run", stopped)
    assert main.run(["plan", "x"]) == main.STOPPED
    assert capsys.readouterr().err == "pitwright: stopped; nothing was written\n"
