from __future__ import annotations

import socket
from pathlib import Path

import pytest

from pitwright.cli.main import BAD_INPUT, run
from tests.house.reading import ROOT


@pytest.mark.parametrize("port", ["70000", "-1", "eighty", "8.5"])
def test_a_port_that_is_none_is_told(port: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["serve", f"--port={port}"]) == BAD_INPUT
    assert "--port must be 0 to 65535" in capsys.readouterr().err


def test_a_port_that_is_taken_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        code = run(["serve", "--port", str(port), "--record", str(tmp_path / "record")])
    assert code == BAD_INPUT
    assert f"port {port} cannot be written" in capsys.readouterr().err


def test_the_example_firm_is_made_of_the_examples() -> None:
    packed = ROOT / "src" / "pitwright" / "cli" / "data"
    for path in packed.glob("*.toml"):
        assert path.read_bytes() == (ROOT / "examples" / path.name).read_bytes(), path.name
    assert len(list(packed.glob("*.toml"))) == 8
