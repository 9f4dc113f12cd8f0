"""Dimensions that follow from others lie where the sheets and the standards leave room for them."""

from __future__ import annotations

from pitwright.catalogue.derived import INCH_SIZES
from pitwright.catalogue.shelf import derived_tables, load_shelf
from pitwright.units.kinds import INCH

TABLES = derived_tables()


def test_every_socket_depth_lies_within_what_is_seen_and_not_under_the_standard() -> None:
    for size in INCH_SIZES:
        seen = TABLES.dims["socket_depth_sch40_seen", size]
        floor = TABLES.floors["socket_depth_sch40", size].value
        for item in ("depth_90_sch40", "depth_45_sch40", "depth_tee_sch40", "depth_typical_sch40"):
            depth = TABLES.dims[item, size]
            assert floor <= depth.low <= depth.value <= depth.high
            assert depth.value <= seen.high + 1e-9
            assert depth.status == "derived"


def test_a_couplings_depth_is_the_middle_one_of_its_makers_bends_and_tee() -> None:
    depths = [TABLES.dims[f"depth_{b}_sch40", "1"].value for b in ("90", "45", "tee")]
    assert TABLES.dims["depth_typical_sch40", "1"].value == sorted(depths)[1]


def test_a_telescoping_coupling_pushed_together_is_as_long_as_it_says() -> None:
    for part in load_shelf().find(kind="telescoping coupling"):
        assert part.collapsed is not None
        whole = part.seat_to_seat + sum(p.depth.value for p in part.ports)
        assert abs(whole - part.collapsed.value) < 1e-9
        assert part.extended is not None
        assert part.extended.value > part.collapsed.value


def test_a_bushings_spigot_is_no_longer_than_the_bushing() -> None:
    for part in load_shelf().find(kind="bushing"):
        assert part.overall is not None
        assert part.ports[0].depth.value <= part.overall.value


def test_a_mechanical_couplings_pipe_ends_never_pass_its_middle() -> None:
    for part in load_shelf().find(kind="compression coupling"):
        assert all(p.takeout.low >= 0 for p in part.ports)
        assert part.seat_to_seat > INCH / 4
