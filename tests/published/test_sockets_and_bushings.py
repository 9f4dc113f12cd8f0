"""Sockets as D2466 and D2467 print them; the bushings and take-outs of a maker's sheet."""

from __future__ import annotations

import pytest

from pitwright.catalogue.parts import Fitting
from pitwright.catalogue.shelf import derived_tables, load_shelf
from pitwright.units.kinds import INCH

SHELF = load_shelf()
TABLES = derived_tables()
SIZES = ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2")


def part(kind: str, size: str, angle: float | None = None, schedule: str = "40") -> Fitting:
    found = SHELF.fitting(kind, size, angle, schedule)
    assert found is not None
    return found


@pytest.mark.published("ASTM-D2466", "table 1: entrance and bottom of the tapered socket")
@pytest.mark.parametrize("size", SIZES)
def test_nominal_pipe_stops_at_two_thirds_of_a_nominal_dry_socket(size: str) -> None:
    """Where the taper has shrunk to the pipe's own diameter. Printed: 0.667."""
    entrance = TABLES.dims["socket_entrance", size].value
    bottom = TABLES.dims["socket_bottom", size].value
    od = SHELF.pipe(f"pvc40-{size}").od.value
    assert (entrance - od) / (entrance - bottom) == pytest.approx(float("0.667"), abs=5e-4)


@pytest.mark.published("ASTM-D2466", "least socket depths, schedule 40; D2467, schedule 80")
@pytest.mark.parametrize(
    ("size", "sch40", "sch80"),
    [
        ("1/2", "0.688", "0.875"),
        ("3/4", "0.719", "1.000"),
        ("1", "0.875", "1.125"),
        ("1-1/4", "0.938", "1.250"),
        ("1-1/2", "1.094", "1.375"),
        ("2", "1.156", "1.500"),
    ],
)
def test_a_standards_least_depth_is_a_floor_and_never_planned_with(
    size: str, sch40: str, sch80: str
) -> None:
    for schedule, printed in (("40", sch40), ("80", sch80)):
        floor = float(printed) * INCH
        assert TABLES.floors[f"socket_depth_sch{schedule}", size].value == pytest.approx(floor)
        for fitting in SHELF.find(size=size, schedule=schedule):
            for port in fitting.ports:
                if port.joint.value == "socket" and fitting.kind != "stopless coupling":
                    assert port.depth.value > floor
                    assert port.depth.low >= floor - 1e-4 * INCH


@pytest.mark.published("design study", "F1: four 90s need 4 take-outs + 2 sockets; by floors less")
@pytest.mark.parametrize(
    ("size", "printed", "by_floors"), [("3/4", "4.125", "3.69"), ("1", "5.00", "4.50")]
)
def test_the_elbow_box_of_field_case_f1_has_the_studys_least_gap(
    size: str, printed: str, by_floors: str
) -> None:
    """Faces touching. A plan made with the standard's least depths fails after the cut."""
    port = part("elbow", size, 90).ports[0]
    assert (4 * port.takeout.value + 2 * port.depth.value) / INCH == pytest.approx(float(printed))
    floor = TABLES.floors["socket_depth_sch40", size].value
    assert (4 * port.takeout.value + 2 * floor) / INCH == pytest.approx(float(by_floors), abs=6e-3)


@pytest.mark.published("maker-A", "centre to face = take-out + depth")
@pytest.mark.parametrize(
    ("kind", "angle", "faces"),
    [
        ("elbow", 90, ("1.2500", "1.5000", "1.8125", "2.1562", "2.3438", "2.6875")),
        ("tee", 90, ("1.2500", "1.5625", "1.7500", "2.1250", "2.3750", "2.7500")),
        ("elbow", 45, ("1.0000", "1.3750", "1.5000", "1.5938", "1.9062", "2.0625")),
    ],
)
def test_takeout_and_depth_add_up_to_the_printed_face(
    kind: str, angle: float, faces: tuple[str, ...]
) -> None:
    for size, printed in zip(SIZES, faces, strict=True):
        port = part(kind, size, angle).ports[0]
        assert (port.takeout.value + port.depth.value) / INCH == pytest.approx(
            float(printed), abs=6e-5
        )


@pytest.mark.published("maker-A", "bushings: overall less lay is the small socket's depth")
@pytest.mark.parametrize(
    ("size", "schedule", "lay", "overall"),
    [
        ("3/4 x 1/2", "40", "0.2812", "1.0625"),
        ("1 x 3/4", "40", "0.3125", "1.2500"),
        ("1-1/2 x 1", "40", "0.5000", "1.5312"),
        ("2 x 1-1/2", "40", "0.2500", "1.5625"),
        ("1 x 1/2", "80", "0.3438", "1.3438"),
    ],
)
def test_bushings_have_the_printed_lay_and_depth(
    size: str, schedule: str, lay: str, overall: str
) -> None:
    bushing = part("bushing", size, None, schedule)
    assert bushing.seat_to_seat / INCH == pytest.approx(float(lay), abs=6e-5)
    assert bushing.ports[1].depth.value / INCH == pytest.approx(
        float(overall) - float(lay), abs=1.2e-4
    )
    assert [p.joint.value for p in bushing.ports] == ["spigot", "socket"]


def test_every_bushing_socket_is_as_deep_as_its_standard_asks() -> None:
    """Independent: one maker's overall and lay against another document's least depths."""
    for bushing in SHELF.find(kind="bushing"):
        port = bushing.ports[1]
        floor = TABLES.floors[f"socket_depth_sch{bushing.schedule}", port.size].value
        assert port.depth.value >= floor - INCH / 1000
