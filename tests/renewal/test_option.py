"""Options of neighbouring zones: how deep their new work stands in each other."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.geometry.clearance import Capsule
from pitwright.planning import plan
from pitwright.renewal.option import Option, overlap
from pitwright.survey.pit import read_survey

GARDEN = Path(__file__).resolve().parents[2] / "examples" / "school-garden.pit.toml"


@pytest.fixture(scope="module")
def option() -> Option:
    made = plan(read_survey(GARDEN.read_text("utf-8"), GARDEN.name, load_shelf()))
    return next(z.best for z in made.zones if z.best)


def bars(option: Option, *heights: float) -> Option:
    """The option as level bars a metre long and 2 cm thick at these heights. [m]"""
    solids = tuple(Capsule((0.0, 0.0, z), (1.0, 0.0, z), 0.01) for z in heights)
    return replace(option, solids=solids)


def test_one_pair_of_parts_in_each_other_is_enough(option: Option) -> None:
    """The rest may be a metre away: the worst pair counts."""
    assert overlap(bars(option, 0.0, 1.0), bars(option, 2.0, 0.015)) == pytest.approx(0.005)


def test_clear_options_are_told_by_their_nearest_parts(option: Option) -> None:
    assert overlap(bars(option, 0.0), bars(option, 0.5, 0.05)) == pytest.approx(-0.03)
