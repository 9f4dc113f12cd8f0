"""The long tables: every row says its unit and how surely it is known; broken rows are named."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from pitwright.catalogue import tables
from pitwright.catalogue.tables import STATUSES, Tables, dims_of, load_tables
from pitwright.errors import BrokenShelf
from pitwright.units.kinds import INCH

DATA = Path(tables.__file__).parent / "data"
GOOD = ["takeout_x", "1", "0.5", "in", "typical", "maker-A", "sourced", ""]


def gathered(*lines: list[str]) -> Tables:
    into = Tables({}, {}, {})
    dims_of("takeout", list(lines), into)
    return into


def changed(place: int, to: str) -> list[str]:
    return [*GOOD[:place], to, *GOOD[place + 1 :]]


def test_every_number_in_the_data_says_its_unit_and_how_surely_it_is_known() -> None:
    wrong = []
    for path in sorted(DATA.glob("*.csv")):
        for number, row in enumerate(csv.DictReader(path.read_text("utf-8").splitlines()), 2):
            if "value" in row and not (row["unit"] and row["status"] in STATUSES):
                wrong.append(f"{path.name}:{number}")
    assert wrong == []


def test_no_table_names_an_address() -> None:
    assert [p.name for p in DATA.glob("*.csv") if "http" in p.read_text("utf-8")] == []


def test_within_gives_limits_about_the_typical_value() -> None:
    dim = gathered(GOOD, [*GOOD[:2], "0.1", "in", "within", *GOOD[5:]]).dims["takeout_x", "1"]
    assert (dim.low, dim.value, dim.high) == pytest.approx((0.4 * INCH, 0.5 * INCH, 0.6 * INCH))


def test_low_and_high_without_a_typical_value_plan_with_the_middle() -> None:
    dim = gathered(changed(4, "low"), [*GOOD[:2], "0.7", "in", "high", *GOOD[5:]]).dims[
        "takeout_x", "1"
    ]
    assert dim.value == pytest.approx(0.6 * INCH)
    assert dim.status == "derived"


def test_a_standards_least_is_never_a_value() -> None:
    made = gathered(changed(4, "floor"))
    assert made.dims == {}
    assert made.floors["takeout_x", "1"].value == 0.5 * INCH


@pytest.mark.parametrize(
    ("place", "to", "rule"),
    [
        (2, "half", "number"),
        (3, "cubit", "unit"),
        (4, "usual", "bound"),
        (5, "hearsay", "source"),
        (6, "sure", "status"),
    ],
)
def test_a_broken_row_is_named_with_its_table_and_line(place: int, to: str, rule: str) -> None:
    with pytest.raises(BrokenShelf, match=rf"takeout, row 2: .*{rule}"):
        gathered(changed(place, to))


def test_two_values_for_one_thing_are_refused() -> None:
    with pytest.raises(BrokenShelf, match="row 3: an item has one value"):
        gathered(GOOD, GOOD)


def test_a_typical_value_outside_its_limits_is_refused() -> None:
    with pytest.raises(BrokenShelf, match="must lie within low and high"):
        gathered(GOOD, [*GOOD[:2], "0.4", "in", "high", *GOOD[5:]])


def test_the_tables_load_alike_every_time() -> None:
    assert load_tables() == load_tables()
