"""What people met in the field, as the tool would have seen it."""

from __future__ import annotations

from pitwright.survey.harness import CONTROLLER, Box, Coil, Common, Harness, Station
from pitwright.wiring.answer import answer, desk
from pitwright.wiring.faults import Place
from pitwright.wiring.readings import parse_line


def row(count: int, boxes: int, ohm: float = 26.0) -> Harness:
    laid = tuple(Box(f"B{i + 1}", CONTROLLER if i == 0 else f"B{i}", 25.0) for i in range(boxes))
    stations = tuple(
        Station(f"S{i + 1}", f"B{1 + i * boxes // count}", "C1", 18, Coil(ohm))
        for i in range(count)
    )
    return Harness("row", laid, (Common("C1"),), stations)


def places(harness: Harness, *lines: str) -> dict[Place, float]:
    got = answer(desk(harness), [parse_line(line, harness) for line in lines])
    return {p.place: p.chance for p in got.places}


def test_f4_volts_unloaded_and_none_loaded_is_high_ohms_in_the_line_not_the_coil() -> None:
    """Coil 26 ohm; 27.8 V at its wires unloaded; 0 V with the coil attached."""
    harness = row(3, 2)
    got = answer(
        desk(harness),
        [
            parse_line(line, harness)
            for line in ("coil S3: 26", "S3 at valve: 27.3 V no load", "S3 at B2: 0.1 V")
        ],
    )
    top = got.places[0]
    assert top.fault.kind == "series"
    assert top.fault.part in ("wire", "hot", "return")
    assert sum(p.chance for p in got.places if p.fault.kind == "series") > 0.95


def test_f4_unloaded_volts_alone_prove_nothing() -> None:
    """The same reading without a load leaves every high-ohm splice as likely as it was."""
    harness = row(3, 2)
    before = places(harness)
    after = places(harness, "S3 at valve: 27.3 V no load")
    place = Place("valve", "S3")
    assert after[place] > 0.5 * before[place]


def test_f5_many_dead_beyond_a_point_is_the_common_not_each_wire() -> None:
    """A cut cable: all the dead ones lie on one stretch; volts unloaded at the controller."""
    harness = row(6, 3)
    chances = places(
        harness,
        "S1 to C1: 26.6",
        "S3 to C1: OL",
        "S4 to C1: OL",
        "S5 to C1: OL",
        "S3 to S5: 54",
        "S4 on: 27.4",
    )
    assert max(chances, key=lambda p: chances[p]) == Place("wire", "C1", "B2")


def test_f5_fourteen_zones_need_fifteen_conductors() -> None:
    assert len(row(14, 4).conductors()) >= 15


def test_f6_two_zones_that_run_together_with_a_low_reading_between_are_joined() -> None:
    harness = row(8, 3)
    chances = places(
        harness, "S7 on: runs 7 and 8", "S7 to S8: 2.4", "S7 to C1: 15.6", "S8 to C1: 15.7"
    )
    top = max(chances, key=lambda p: chances[p])
    assert (top.kind, {top.on, top.other}) == ("between", {"S7", "S8"})


def test_f6_a_weak_leak_reads_clearly_less_than_the_sum() -> None:
    """54 ohm expected between them; a leak of some 60 ohm halves it."""
    harness = row(8, 3)
    chances = places(harness, "S7 to S8: 33", "S7 to C1: 22.5", "S8 to C1: 22.6")
    top = max(chances, key=lambda p: chances[p])
    assert (top.kind, {top.on, top.other}) == ("between", {"S7", "S8"})
