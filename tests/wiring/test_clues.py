"""Clues multiply what they speak of, nothing else, and never beyond the cap."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pitwright.errors import Missing, UnknownName
from pitwright.survey.harness import Clue, ThroughSplice
from pitwright.wiring.answer import answer, desk
from pitwright.wiring.clues import CAP, clue_factors
from pitwright.wiring.faults import Fault, Place
from pitwright.wiring.readings import parse_line
from pitwright.wiring.tables import clue_kinds
from tests.wiring.harnesses import three


def factors(*clues: Clue) -> dict[Fault, float]:
    return clue_factors(replace(three(), clues=clues))


def test_digging_over_a_segment_touches_open_and_shorted_wires_there_alone() -> None:
    found = factors(Clue("digging", "B2"))
    assert found[Fault("open", "S2", "wire", "B2")] == 10.0
    assert found[Fault("leak", "C1", "wire", "B2", "S2")] == 10.0
    assert Fault("open", "S2", "wire", "B1") not in found
    assert Fault("open", "S2", "hot") not in found


def test_a_flooded_box_touches_the_splices_in_it_and_the_wire_ends_beside_it() -> None:
    found = factors(Clue("flood", "B2"))
    assert found[Fault("series", "S3", "return")] == 3.0
    assert found[Fault("earth", "S3", "wire", "B2")] == 3.0
    assert Fault("series", "S1", "return") not in found


def test_a_taped_splice_of_one_station_touches_no_other() -> None:
    harness = three()
    stations = (replace(harness.stations[0], hot_splice="taped"), *harness.stations[1:])
    found = clue_factors(replace(harness, stations=stations))
    assert found[Fault("open", "S1", "hot")] == 5.0
    assert {f.on for f in found} == {"S1"}


def test_a_splice_on_the_way_makes_its_segment_likelier() -> None:
    found = clue_factors(replace(three(), throughs=(ThroughSplice("B1", "S2", "taped"),)))
    assert found[Fault("series", "S2", "wire", "B1")] == 6.0


def test_all_clues_together_are_capped() -> None:
    found = factors(*(Clue("digging", "B2") for _ in range(4)), Clue("shallow", "B2"))
    assert found[Fault("open", "S2", "wire", "B2")] == CAP


def test_a_clue_nobody_knows_or_without_its_spot_is_named() -> None:
    with pytest.raises(UnknownName):
        factors(Clue("moles", "B1"))
    with pytest.raises(UnknownName):
        factors(Clue("flood", "B9"))
    with pytest.raises(Missing):
        factors(Clue("flood"))


@pytest.mark.parametrize("kind", sorted(clue_kinds()))
def test_every_clue_of_the_table_touches_something(kind: str) -> None:
    at = {"segment": "B2", "box": "B2", "station": "S2"}.get(clue_kinds()[kind][2], "")
    assert factors(Clue(kind, at)) or kind in ("one-dead", "many-dead", "manifold")
    if kind in ("one-dead", "many-dead"):
        assert all(f.on == "C1" for f in factors(Clue(kind, at)))


def test_the_answer_without_clues_is_the_answer_of_a_harness_that_has_none() -> None:
    lines = ("S1 to C1: 29.5", "S2 to C1: OL", "S3 to C1: 31.7")
    readings = [parse_line(line, three()) for line in lines]
    bare = {p.place: p.chance for p in answer(desk(three()), readings).places}
    clued = answer(desk(replace(three(), clues=(Clue("digging", "B2"),))), readings).places
    for one in clued[:4]:
        assert one.without_clues == pytest.approx(bare[one.place], abs=1e-9)
    assert clued[0].place == Place("wire", "S2", "B2") or clued[0].chance != clued[0].without_clues
