"""Set and cure tables as four sheets print them, and the factors for damp air.

``cure_times.csv`` and ``time_factors.csv`` beside this file are the rows as they were gathered, in
the sheets' own units; M1 to M4 are makers' sheets. They are read here by plain csv and never by
the code that is tested.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import pytest

from pitwright.jointing.cells import Cell, Reading, read_table
from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.jointing.tables import cure_rows, factors, fahrenheit
from pitwright.jointing.times import JointTimes, joint_times
from pitwright.units.kinds import PSI

HERE = Path(__file__).parent
OURS = {"A": "conservative", "B": "fast", "C": "standard", "D": "vent"}
SOURCE = {"M1": "maker-J1", "M2": "maker-J2", "M3": "maker-J3", "M4": "maker-J4"}
Row = dict[str, str]


@cache
def gathered(name: str) -> tuple[Row, ...]:
    return tuple(csv.DictReader((HERE / name).read_text("utf-8").splitlines()))


def row_id(row: Row) -> str:
    where = f"{row['nps_min_in']}-{row['nps_max_in']}in {row['temp_min_F']}-{row['temp_max_F']}F"
    return f"{row['schedule'][0]} {row['kind']} {where} {row['test_psi_max'] or '-'}psi"


def middle(low: str, high: str) -> float:
    return (float(low) + float(high)) / 2


def asked_alone(row: Row) -> Reading:
    """What our reading of this row's own table says in the middle of the row's own cell."""
    kind = "cure" if row["kind"] == "cure" else "set"
    pressure = middle(row["test_psi_min"], row["test_psi_max"]) if row["test_psi_max"] else 0.0
    kelvin = fahrenheit(middle(row["temp_min_F"], row["temp_max_F"]))
    cell = Cell(float(row["nps_max_in"]), kelvin, pressure * PSI)
    got = read_table(OURS[row["schedule"][0]], kind, cell)
    assert isinstance(got, Reading)
    return got


@pytest.mark.published("makers' sheets M1 to M4, ASTM-D2855", "every row, its table asked alone")
@pytest.mark.parametrize("row", gathered("cure_times.csv"), ids=row_id)
def test_a_table_asked_alone_says_what_it_prints(row: Row) -> None:
    got = asked_alone(row)
    assert got.seconds / 60 == pytest.approx(float(row["minutes"]), abs=0, rel=1e-12)
    assert got.row.source == SOURCE.get(row["source"], "ASTM-D2855")
    assert (got.row.status == "sourced") == row["status"].startswith("sourced")


@pytest.mark.published("makers' sheets M1 to M4, ASTM-D2855", "the lower size of each row")
@pytest.mark.parametrize("row", gathered("cure_times.csv"), ids=row_id)
def test_the_smallest_size_of_a_row_says_the_same(row: Row) -> None:
    assert asked_alone({**row, "nps_max_in": row["nps_min_in"]}).row == asked_alone(row).row


def test_every_gathered_row_is_on_the_shelf_and_no_other() -> None:
    rows = gathered("cure_times.csv")
    assert len(rows) == len(cure_rows()) == 98
    assert {id(asked_alone(row).row) for row in rows} == {id(row) for row in cure_rows()}


def test_every_gathered_factor_is_on_the_shelf() -> None:
    ours = {f.factor: f for f in factors()}
    rows = {row["factor"]: row for row in gathered("time_factors.csv")}
    assert ours.keys() == rows.keys()
    for name, row in rows.items():
        try:
            printed = float(row["multiplier"])
        except ValueError:
            assert ours[name].multiplier is None
            continue
        assert ours[name].multiplier == printed
        assert " and ".join(ours[name].applies_to) == row["applied_to"]


def times(size: str, degrees: float, psi: float, cement: str) -> JointTimes:
    warmth = Warmth.of(fahrenheit(degrees))
    got = joint_times(
        CementedJoint(size, air=warmth, pressure=psi * PSI, humid=True, cement=cement)
    )
    assert isinstance(got, JointTimes)
    return got


@pytest.mark.published("makers' sheets M1 and M2", "worked: humid, 80 psi, table x 1.5")
@pytest.mark.parametrize(
    ("degrees", "cement", "printed"), [(50.0, "", "180"), (70.0, "fast", "22.5")]
)
def test_two_worked_examples_of_humid_air(degrees: float, cement: str, printed: str) -> None:
    assert times("1", degrees, 80.0, cement).cure.seconds / 60 == pytest.approx(float(printed))
