"""The docs are held to the code: links, commands, options, schemas."""

from __future__ import annotations

import argparse
import ast
import re
import tomllib
from pathlib import Path

import pytest

from pitwright.cli import main as cli
from tests.house.reading import ROOT, committed, sources, tree

COMMANDS_PAGE = ROOT / "docs" / "commands.md"
JSON_PAGE = ROOT / "docs" / "json.md"
LINK = re.compile(r"!?\[[^\]]*\]\(\s*<?([^)\s>]+)>?[^)]*\)")


def pages() -> list[Path]:
    return [p for p in committed() if p.suffix == ".md"]


def without_code(text: str) -> str:
    """The page without fenced blocks and inline code, which hold no links."""
    return re.sub(r"`[^`\n]*`", "", re.sub(r"(?ms)^```.*?^```", "", text))


def anchors(page: Path) -> set[str]:
    """The anchors that headings make: lower case, spaces to dashes, punctuation dropped."""
    heads = re.findall(r"(?m)^#+\s+(.+?)\s*$", page.read_text(encoding="utf-8"))
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}


def broken(page: Path) -> list[str]:
    """Relative links of a page that lead nowhere."""
    wrong = []
    for target in LINK.findall(without_code(page.read_text(encoding="utf-8"))):
        if re.match(r"[a-z]+:", target):
            continue
        name, _, anchor = target.partition("#")
        other = (page.parent / name) if name else page
        if not other.exists() or (
            anchor and other.suffix == ".md" and anchor not in anchors(other)
        ):
            wrong.append(target)
    return wrong


def test_every_relative_link_leads_somewhere() -> None:
    wrong = [f"{page.relative_to(ROOT)}: {link}" for page in pages() for link in broken(page)]
    assert wrong == []


def test_a_broken_link_is_seen(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("# A b\n[x](#a-b) [y](no.md) [z](#c) [w](https://x.org)", encoding="utf-8")

    assert broken(page) == ["no.md", "#c"]


def section(page: Path, name: str) -> str:
    """The text under the heading that names a command, up to the next heading of its rank."""
    text = page.read_text(encoding="utf-8")
    found = re.search(rf"(?ms)^## [^\n]*\b{re.escape(name)}\b.*?(?=^## |\Z)", text)
    return found[0] if found else ""


def long_options(parser: argparse.ArgumentParser) -> set[str]:
    """Every ``--option`` of a parser and of the parsers below it (``survey new``)."""
    found: set[str] = set()
    for action in parser._actions:
        found |= {name for name in action.option_strings if name.startswith("--")}
        if isinstance(action, argparse._SubParsersAction):
            for below in set(action.choices.values()):
                found |= long_options(below)
    return found - {"--help"}


def parser_of(command: str) -> argparse.ArgumentParser:
    whole = cli.parser_for([command])
    below = [a for a in whole._actions if isinstance(a, argparse._SubParsersAction)]
    parser = below[0].choices[command]
    assert isinstance(parser, argparse.ArgumentParser)
    return parser


@pytest.mark.parametrize("command", sorted(cli.COMMANDS))
def test_every_command_and_option_is_in_the_docs(command: str) -> None:
    text = section(COMMANDS_PAGE, command)
    assert text, f"docs/commands.md has no heading for {command}"
    options = long_options(parser_of(command))
    assert sorted(o for o in options if not re.search(rf"{o}(?![\w-])", text)) == []


@pytest.mark.parametrize("command", sorted(cli.COMMANDS))
def test_every_command_has_help_that_works(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as leaving:
        cli.run([command, "--help"])
    assert leaving.value.code == 0
    said = " ".join(capsys.readouterr().out.split())
    assert " ".join(cli.COMMANDS[command].split()) in said
    assert cli.COMMANDS[command] == cli.command_module(command).HELP


def test_every_json_schema_is_in_the_docs() -> None:
    """A schema is called ``pitwright-<command>-<version>``."""
    named = {
        schema
        for path in sources()
        for schema in re.findall(r'"(pitwright-[a-z-]+-\d+)"', path.read_text(encoding="utf-8"))
    }
    text = JSON_PAGE.read_text(encoding="utf-8") if JSON_PAGE.exists() else ""
    assert sorted(schema for schema in named if schema not in text) == []


def test_every_dependency_has_its_line() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = project.get("optional-dependencies", {})
    wanted = [*project["dependencies"], *(name for extra in extras.values() for name in extra)]
    names = {re.split(r"[\s<>=!~;\[]", line, maxsplit=1)[0] for line in wanted}
    text = (ROOT / "docs" / "decisions" / "dependencies.md").read_text(encoding="utf-8")
    assert sorted(name for name in names if f"| {name} |" not in text) == []


def test_every_decision_is_in_the_index() -> None:
    folder = ROOT / "docs" / "decisions"
    index = (folder / "README.md").read_text(encoding="utf-8")
    pages_there = sorted(p.name for p in folder.glob("*.md") if p.name != "README.md")
    assert [name for name in pages_there if f"({name})" not in index] == []


def test_every_row_of_the_evidence_names_a_test_that_exists() -> None:
    lines = (ROOT / "docs" / "evidence.md").read_text(encoding="utf-8").splitlines()
    rows = [line for line in lines if line.startswith("|")][2:]
    cells = [[cell.strip() for cell in row[1:-1].split("|")] for row in rows]
    kinds = {"published", "law", "independent", "pin", "negative"}
    assert [c[0] for c in cells if len(c) != 5 or not set(re.split(r", ?", c[1])) <= kinds] == []
    named = {name for c in cells for name in re.findall(r"`([^`]+)`", c[4])}
    assert len(named) > 3
    assert sorted(name for name in named if not (ROOT / name).exists()) == []


def keys_written(path: Path) -> set[str]:
    """Every constant key of the dict displays of a module."""
    return {
        key.value
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Dict)
        for key in node.keys
        if isinstance(key, ast.Constant) and isinstance(key.value, str)
    }


def test_every_key_of_a_document_is_in_the_docs() -> None:
    """Modules called ``*_data.py`` build the documents."""
    text = JSON_PAGE.read_text(encoding="utf-8")
    built = [path for path in sources() if path.stem.endswith("_data")]
    keys = {(path.name, key) for path in built for key in keys_written(path)}
    assert len(keys) > 20
    assert sorted(pair for pair in keys if f"`{pair[1]}`" not in text) == []
