"""Run lengths of makers' charts and worked answers, by the scalar rule."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from pitwright.survey.harness import Source
from pitwright.wiring.copper import FOOT, ohm_per_metre
from pitwright.wiring.under_load import coil_volts, longest_run, run_within, splice_sag

DATA = Path(__file__).parent / "wiring_data"


def rows(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()))


AWG_CELLS = [r for r in rows("run_length") if r["chart"] == "awg"]
MM2_CELLS = [r for r in rows("run_length") if r["chart"] == "mm2"]


@pytest.mark.published("maker-sheet", "longest run by gauge, 24 V AC, 4 V drop, 0.37 A")
@pytest.mark.parametrize("cell", AWG_CELLS, ids=lambda c: f"{c['common']}-{c['station']}")
def test_every_cell_of_the_gauge_chart_within_its_own_scatter(cell: dict[str, str]) -> None:
    """The chart rounds down to 10 ft and was made with 0.37 A: within 1.3 %."""
    metres = longest_run(int(cell["station"]), int(cell["common"]), 0.37)
    assert abs(metres / FOOT / float(cell["printed"]) - 1.0) <= 0.013


PER_METRE = {
    c["common"]: 4.0 / (0.34 * 2.0 * float(c["printed"]))
    for c in MM2_CELLS
    if c["common"] == c["station"]
}
"""Ohms per metre the chart itself implies where both wires are alike. [Ω/m]"""


@pytest.mark.published("another maker's sheet", "longest run by area, 24 V AC, 0.34 A, 4 V")
@pytest.mark.parametrize(
    "cell",
    [c for c in MM2_CELLS if c["common"] != c["station"]],
    ids=lambda c: f"{c['common']}-{c['station']}",
)
def test_unlike_wires_of_the_metric_chart_follow_from_like_ones(cell: dict[str, str]) -> None:
    """The chart's ohms are not ours (it holds stranded cable): its own diagonal gives them."""
    both = PER_METRE[cell["common"]] + PER_METRE[cell["station"]]
    metres = run_within(both, 0.34, 24.0, 20.0)
    assert abs(metres - float(cell["printed"])) <= max(0.5, 0.003 * metres)


@pytest.mark.published("university worked answers", "18 AWG, 0.6 A, 26 V to 21 V: 612 ft")
def test_a_worked_run_of_612_feet() -> None:
    """They use 6.78 ohm per 1000 ft: copper at about 36 °C."""
    metres = longest_run(18, 18, 0.6, 26.0, 21.0, celsius=35.7)
    assert abs(metres / FOOT - 612.0) < 4.0


@pytest.mark.published("university worked answers", "18 + 14 AWG, 0.5 A, 1000 ft: 4.72 V")
def test_a_worked_drop_of_4_72_volts() -> None:
    """They use 9.46 ohm for both wires: copper at about 35 °C."""
    drop = 0.5 * 1000 * FOOT * (ohm_per_metre(18, 35.5) + ohm_per_metre(14, 35.5))
    assert abs(drop - 4.72) < 0.02


@pytest.mark.parametrize(
    "row", rows("splice_sag"), ids=lambda r: f"{r['state']}-{r['splice_R_ohm']}"
)
def test_what_a_bad_splice_leaves_of_the_volts(row: dict[str, str]) -> None:
    """Design study, phasors: printed to 0.01 V and 0.001 A."""
    coil = complex(float(row["coil_R_ohm"]), float(row["coil_X_ohm"]))
    amps, volts = splice_sag(coil, float(row["wire_loop_R_ohm"]), float(row["splice_R_ohm"]))
    assert abs(volts - float(row["V_at_coil_phasor"])) <= 0.0051
    assert abs(amps - float(row["current_A"])) <= 0.00051


@pytest.mark.parametrize(
    "row", rows("common_wire"), ids=lambda r: r["N_valves_on_same_common_(last_one_inrush)"]
)
def test_volts_left_when_several_valves_share_a_common(row: dict[str, str]) -> None:
    """Design study, scalar: one inrush of 0.35 A, others holding at 0.23 A, 500 ft of 18 AWG."""
    amps = float(row["common_current_A"])
    ohm = 500 * FOOT * ohm_per_metre(18)
    drop = 0.35 * ohm + amps * ohm
    assert abs(drop - float(row["drop_V"])) <= 0.0051


@pytest.mark.parametrize(
    ("coils", "volts", "amps"), [(1, 25.5, 0.43), (2, 24.4, 0.81), (3, 23.3, 1.16), (4, 22.3, 1.48)]
)
def test_several_coils_at_inrush_as_the_study_has_them(
    coils: int, volts: float, amps: float
) -> None:
    """Design study: 18/18 AWG, 500 ft, 27.5 V, 1.4 ohm, 60 ohm at power factor 0.55."""
    ohm = 500 * FOOT * ohm_per_metre(18)
    got = coil_volts(60.0 * complex(0.55, 0.835), ohm, ohm, Source(27.5, 1.4), coils)
    assert abs(got.volts - volts) <= 0.06
    assert abs(got.amps - amps) <= 0.0075
