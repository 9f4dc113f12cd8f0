"""Every figure on the shelf has its source beside it."""

from __future__ import annotations

import csv
from pathlib import Path

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
