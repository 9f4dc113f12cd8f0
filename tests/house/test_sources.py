"""No figure without a source: each row of the shelf names one that exists."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from pitwright.findings import COMMON_PRACTICE
from tests.house.reading import SRC

DATA = SRC / "catalogue" / "data"
NO_KEY_NEEDED = {COMMON_PRACTICE, "memory"}


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        kept = [line for line in file if not line.startswith("#")]
    return list(csv.DictReader(kept))


def unknown_sources(folder: Path) -> list[str]:
    """``table:row`` of each row whose source is empty or not listed in ``sources.csv``."""
    known = {row["key"] for row in rows(folder / "sources.csv")} | NO_KEY_NEEDED
    wrong = []
    for table in sorted(folder.glob("*.csv")):
        if table.name == "sources.csv":
            continue
        for number, row in enumerate(rows(table), start=2):
            cell = (row.get("source") or "").strip()
            keys = [cell] if cell in known else [key.strip() for key in cell.split(";")]
            wrong += [f"{table.name}:{number} {key!r}" for key in keys if key not in known]
    return wrong


def test_the_source_of_every_row_of_the_shelf_exists() -> None:
    if not DATA.is_dir():
        pytest.skip("the shelf has no data folder yet")
    assert unknown_sources(DATA) == []


def test_no_source_is_listed_twice_or_left_without_words() -> None:
    if not DATA.is_dir():
        pytest.skip("the shelf has no data folder yet")
    listed = rows(DATA / "sources.csv")
    keys = [row["key"] for row in listed]
    assert [key for key in keys if keys.count(key) > 1] == []
    assert [row["key"] for row in listed if sum(bool(cell) for cell in row.values()) < 2] == []


def test_a_row_without_a_known_source_is_found(tmp_path: Path) -> None:
    (tmp_path / "sources.csv").write_text("key,what\nD1785,a standard\n", encoding="utf-8")
    (tmp_path / "pipe.csv").write_text(
        "name,source\na,D1785\nb,\nc,memory\nd,D1785; D9999\n", encoding="utf-8"
    )

    assert unknown_sources(tmp_path) == ["pipe.csv:3 ''", "pipe.csv:5 'D9999'"]
