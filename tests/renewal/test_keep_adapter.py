"""Spin off and keep one adapter: how long the valve with one adapter is."""

from __future__ import annotations

from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Short
from pitwright.renewal.cut_in import prepared
from pitwright.renewal.keep_adapter import spun_kit, spun_unit
from pitwright.survey.pit import Survey, load_survey
from pitwright.units.kinds import INCH

SHED = Path(__file__).resolve().parents[2] / "examples" / "potting-shed.pit.toml"


def shed() -> Survey:
    return load_survey(SHED, load_shelf())


@pytest.mark.published("design study", "P1: thread tip 4.10, pipe end 8.48, body 4.50")
def test_p1_the_unit_with_one_adapter_reaches_where_it_should() -> None:
    """Body less made-up thread, adapter's lay less its own: 8.48 - 4.10, within the shelf's lay."""
    survey = shed()
    stubs = (survey.stubs[0], survey.stubs[1])
    got = prepared(survey, survey.zones[0], stubs, 2)
    assert not hasattr(got, "because")
    unit = spun_unit(got.bench, survey.valves[0], 0)
    assert unit is not None
    assert unit.length / INCH == pytest.approx(8.48 - 4.10, abs=0.06)
    assert unit.depth_before == 0.0
    assert 0.04 < unit.scatter / INCH < 0.25


def test_without_a_kept_thread_it_is_refused() -> None:
    garden = load_survey(SHED.with_name("orchard-gate.pit.toml"), load_shelf())
    stubs = (garden.stubs[0], garden.stubs[1])
    got = prepared(garden, garden.zones[0], stubs, 2)
    assert not hasattr(got, "because")
    short = spun_kit(got.bench, got.kit, stubs, garden.valves[0])
    assert isinstance(short, Short)
    assert short.code == "NO_THREAD"
