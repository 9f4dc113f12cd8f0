"""Every figure on the shelf has its source beside it."""

from __future__ import annotations

import ast
import csv
import re
from pathlib import Path

from tests.house.reading import SRC, sources, tree

DATA = Path(__file__).resolve().parents[2] / "src" / "pitwright" / "catalogue" / "data"


def with_source() -> list[tuple[str, int, str]]:
    found = []
    for path in sorted(DATA.glob("*.csv")):
        for number, row in enumerate(csv.DictReader(path.read_text("utf-8").splitlines()), 2):
            if "source" in row:
                found.append((path.name, number, row["source"]))
    return found


def test_every_catalogue_rows_source_exists() -> None:
    known = {
        r["key"] for r in csv.DictReader((DATA / "sources.csv").read_text("utf-8").splitlines())
    }
    rows = with_source()
    assert len(rows) > 1000
    assert [r for r in rows if r[2] not in known] == []


def test_every_number_in_the_data_says_its_unit_and_how_surely_it_is_known() -> None:
    statuses = {"sourced", "memory", "derived", "judgement", "suspect"}
    wrong = []
    for path in sorted(DATA.glob("*.csv")):
        for number, row in enumerate(csv.DictReader(path.read_text("utf-8").splitlines()), 2):
            if "value" in row and not (row["unit"] and row["status"] in statuses):
                wrong.append(f"{path.name}:{number}")
    assert wrong == []


def test_no_table_names_an_address() -> None:
    wrong = [p.name for p in DATA.glob("*.csv") if "http" in p.read_text("utf-8")]
    assert wrong == []


def test_every_table_has_a_source_for_each_of_its_numbers() -> None:
    """A table of numbers cannot slip past by having no such column."""
    wrong = []
    for path in sorted(DATA.glob("*.csv")):
        header = next(csv.reader([path.read_text("utf-8").partition("\n")[0]]))
        if "value" in header and "source" not in header:
            wrong.append(path.name)
    assert wrong == []


def test_no_source_is_listed_twice_or_left_without_words() -> None:
    listed = list(csv.DictReader((DATA / "sources.csv").read_text("utf-8").splitlines()))
    keys = [row["key"] for row in listed]
    assert [key for key in keys if keys.count(key) > 1] == []
    assert [row["key"] for row in listed if len(row["what"] or "") < 8] == []


KEY = re.compile(r"\[([A-Z][A-Z0-9.]*(?:-[A-Z0-9.]+)+|[A-Z]{3,})[,\]]")
UNITS_IN_CAPITALS = {"AWG", "PSI", "GPM", "SDR"}


def docstrings(module: ast.Module) -> list[str]:
    """Every docstring of a module, its own included."""
    kinds = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    return [ast.get_docstring(n) or "" for n in ast.walk(module) if isinstance(n, kinds)]


def test_every_source_named_in_a_docstring_is_listed() -> None:
    """``[ASTM-B258]`` and its like lead to a line of ``sources.csv``."""
    listed = csv.DictReader((DATA / "sources.csv").read_text("utf-8").splitlines())
    known = {row["key"] for row in listed} | UNITS_IN_CAPITALS
    named = {
        (key, str(path.relative_to(SRC)))
        for path in sources()
        for doc in docstrings(tree(path))
        for key in KEY.findall(doc)
    }
    assert len(named) > 5
    assert sorted(pair for pair in named if pair[0] not in known) == []
