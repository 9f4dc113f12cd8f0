"""The rewiring plan of an opened box."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pitwright.errors import Missing, UnknownName
from pitwright.survey.harness import Station
from pitwright.survey.harness_file import load_harness
from pitwright.wiring.rewiring import Connector, connectors, rewiring
from tests.wiring.harnesses import three

FILE = load_harness(Path(__file__).parents[2] / "examples" / "chapel-lawn.harness.toml")


def test_every_wire_of_the_box_is_in_exactly_one_splice() -> None:
    plan = rewiring(FILE.harness, "B2", FILE.opened[0])
    wires = [w for job in plan.splices for w in job.wires]
    assert sorted(wires) == ["C1 run 1", "S2", "S2 coil", "S2 coil", "S3", "S3 coil", "S3 coil"]
    assert plan.connectors == 3


def test_a_common_that_runs_on_is_one_wire_more_in_its_splice() -> None:
    plan = rewiring(three(), "B1")
    common = next(job for job in plan.splices if job.kind == "common")
    assert common.wires == ("C1 run 1", "C1 run 2", "S1 coil")


def test_too_many_wires_for_any_connector_are_split_and_said_so() -> None:
    many = tuple(Station(f"S{i}", "B1", "C1", 18) for i in range(1, 13))
    plan = rewiring(replace(three(), stations=many), "B1")
    common = next(job for job in plan.splices if job.kind == "common")
    assert common.fits == () or common.split > 1
    assert plan.connectors > len(many) + 1


def test_the_users_own_connector_comes_first_and_counts() -> None:
    own = (Connector("own big one", 16, 2, 20, "user"),)
    assert connectors(own)[0].name == "own big one"
    plan = rewiring(three(), "B2", None, own)
    common = next(job for job in plan.splices if job.kind == "common")
    assert common.fits[0] == "own big one"


def test_odd_things_seen_are_findings_and_not_tidied_away() -> None:
    plan = rewiring(FILE.harness, "B2", FILE.opened[0])
    assert {f.code for f in plan.findings} == {
        "rewiring.spare",
        "rewiring.colour-changes",
        "rewiring.shallow",
        "rewiring.no-slack",
        "rewiring.odd",
    }


def test_the_test_before_cover_brackets_a_sound_pair() -> None:
    """The design study's healthy 31.7 ohm lies inside, an open and a short out."""
    plan = rewiring(three(), "B2")
    _, _, low, high = next(t for t in plan.tests if t[0] == "S2")
    assert low < 31.68 < high
    assert low > 10.0


def test_a_box_without_valves_or_an_unknown_one_is_named() -> None:
    with pytest.raises(UnknownName):
        rewiring(three(), "B9")
    bare = replace(three(), stations=three().stations[1:])
    with pytest.raises(Missing):
        rewiring(bare, "B1")
