"""What is committed: nothing of one machine, nothing of a registry, nothing too long."""

from __future__ import annotations

import re

import pytest

from tests.house.reading import ROOT, committed
from tests.house.sizes import LONGEST_FUNCTION, LONGEST_MODULE, functions, modules

# Spelt in parts, so that this file may be searched too.
HOSTS = "|".join(
    (
        "py" + r"pi\.(org|python)",
        "python" + r"hosted\.org",
        "npm" + r"js\.(com|org)",
        "jsde" + "livr",
    )
)
FORBIDDEN = re.compile(
    rf"{HOSTS}"
    r"|--(extra-)?index-url|\bindex[-_]url\s*=|\bfind-links\b"  # where packages come from
    r"|https?://[^\s\"']+/simple\b"
    r"|(?<![\w.~/-])/(?:work|tmp|home|root|Users)/\w"  # one machine's folders
)


def forbidden(text: str) -> list[str]:
    return [found[0] for found in FORBIDDEN.finditer(text)]


def test_no_file_names_a_registry_or_a_folder_of_one_machine() -> None:
    wrong = []
    for path in committed():
        data = path.read_bytes()
        if b"\0" in data:  # a font, a picture
            continue
        for number, line in enumerate(data.decode("utf-8", "replace").splitlines(), start=1):
            wrong += [f"{path.relative_to(ROOT)}:{number} {f}" for f in forbidden(line)]
    assert wrong == []


def test_one_lock_serves_every_installer() -> None:
    names = {path.name for path in committed()}
    assert "requirements.lock" in names
    assert names & {"uv.lock", "poetry.lock", "Pipfile.lock", "pdm.lock"} == set()


@pytest.mark.parametrize(
    "line",
    [
        "https://" + "py" + "pi.org/simple",
        "--index" + "-url x",
        "index" + "-url = 'x'",
        "open('/" + "tmp/x')",
        "cd /" + "work/main",
    ],
)
def test_what_is_forbidden_is_seen(line: str) -> None:
    assert forbidden(line)


@pytest.mark.parametrize("line", ["--no-emit-index-url", "a/tmp/b", "docs/work/x.md", "3/4 in"])
def test_what_is_harmless_is_let_through(line: str) -> None:
    assert not forbidden(line)


def test_no_module_is_too_long() -> None:
    """Aim at 150 lines, think at 400 (`python -m tests.house.sizes` lists them)."""
    assert [f"{where} {lines}" for where, lines in modules() if lines > LONGEST_MODULE] == []


def test_no_function_is_too_long() -> None:
    """Aim below 40 lines without the docstring."""
    assert [f"{where} {lines}" for where, lines in functions() if lines > LONGEST_FUNCTION] == []
