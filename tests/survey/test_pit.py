"""The whole survey: the examples read, and every mistake is told once, with its place."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.geometry.vector import angle_between, norm
from pitwright.survey.pit import load_survey
from pitwright.survey.stubs import Stub

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
AXES = [tuple(s if i == j else 0.0 for j in range(3)) for i in range(3) for s in (1.0, -1.0)]


def out_of_true(stub: Stub) -> float:
    """The angle between a stub and the nearest axis of the pit. [deg]"""
    return math.degrees(min(angle_between(stub.outward, (a[0], a[1], a[2])) for a in AXES))


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.pit.toml")), ids=lambda p: p.name)
def test_every_example_is_crooked_as_pits_are(path: Path) -> None:
    """Stubs are 1 to 5 degrees out of true, and every reading keeps its text and its key path."""
    survey = load_survey(path, load_shelf())
    for stub in survey.stubs:
        assert 1.0 <= out_of_true(stub) <= 5.0, stub.id
        assert norm(stub.outward) == pytest.approx(1.0, abs=1e-12)
        for reading in stub.tip.readings:
            assert reading.text.split()[0] in survey.text
            assert reading.id.startswith(f"stub.{stub.id}.tip.")


def test_the_school_garden_asks_for_four_valves_and_mixes_sizes() -> None:
    survey = load_survey(EXAMPLES / "school-garden.pit.toml", load_shelf())
    assert [z.id for z in survey.zones] == ["hedge", "beds", "drip", "gate"]
    assert {s.pipe.name for s in survey.stubs if s.pipe} == {
        "1 in schedule 40 PVC",
        "1 in SDR 21 PVC",
        "3/4 in SDR 21 PVC",
    }
    assert [s.cut_back for s in survey.stubs if s.id.startswith("gate")] == [0.0, 0.0]
