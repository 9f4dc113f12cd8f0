"""Each rule of the shelf catches the part that breaks it, and only that."""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.catalogue.building import least_takeout
from pitwright.catalogue.parts import Dim, Fitting
from pitwright.catalogue.rules import breaches_of_fitting, breaches_of_pipe, outsides
from pitwright.catalogue.shelf import derived_tables, load_shelf
from pitwright.units.kinds import INCH

SHELF = load_shelf()
ELBOW = SHELF.part("elbow90-sch40-1")
THIN = SHELF.pipe("pvc-sdr26-1")


def dim(value: float, half: float = 0.001) -> Dim:
    return Dim(value * INCH, (value - half) * INCH, (value + half) * INCH, ELBOW_SOURCE, "user")


ELBOW_SOURCE = ELBOW.outside.source


def codes(fitting: Fitting) -> set[str]:
    return {b.code for b in breaches_of_fitting(fitting, outsides(SHELF.pipes), derived_tables())}


def with_port(takeout: float | None = None, depth: float | None = None) -> Fitting:
    port = ELBOW.ports[0]
    if takeout is not None:
        port = replace(port, takeout=dim(takeout))
    if depth is not None:
        port = replace(port, depth=dim(depth))
    return replace(ELBOW, ports=(port, ELBOW.ports[1]))


def test_a_sound_elbow_breaks_nothing() -> None:
    assert codes(ELBOW) == set()


@pytest.mark.parametrize(
    ("fitting", "code"),
    [
        (with_port(depth=0.86), "socket-too-shallow"),
        (with_port(takeout=0.65), "takeout-too-short"),
        (replace(ELBOW, outside=dim(1.30)), "outside-too-small"),
        (
            replace(
                ELBOW,
                ports=(replace(ELBOW.ports[0], depth=replace(dim(1.1), low=1.2 * INCH)),),
            ),
            "limits-out-of-order",
        ),
    ],
)
def test_each_rule_for_fittings_catches_its_part(fitting: Fitting, code: str) -> None:
    assert codes(fitting) == {code}


def test_the_rules_stand_at_their_limits() -> None:
    """A socket of the very least depth, and a take-out a hair over OD/2, are still allowed."""
    assert codes(with_port(depth=0.875)) == set()
    assert codes(with_port(takeout=0.6576)) == set()
    assert codes(with_port(takeout=0.6574)) == {"takeout-too-short"}


@pytest.mark.parametrize(
    ("wall", "code"),
    [(0.0585, "wall-too-thin"), (0.05, "wall-too-thin"), (0.70, "no-bore")],
)
def test_each_rule_for_walls_catches_its_pipe(wall: float, code: str) -> None:
    assert {b.code for b in breaches_of_pipe(replace(THIN, wall=dim(wall, 0.0)))} == {code}


def test_a_diameter_without_a_tolerance_is_caught_unless_it_was_measured() -> None:
    bare = dim(1.315, 0.0)
    assert [b.code for b in breaches_of_pipe(replace(THIN, od=bare))] == ["no-tolerance"]
    assert [*breaches_of_pipe(replace(THIN, od=replace(bare, measured=True)))] == []


@given(st.floats(0.01, 0.1), st.floats(5, 90))
def test_the_least_takeout_is_where_the_inner_edges_of_two_pipes_meet(
    od: float, angle: float
) -> None:
    """Independent: the corner of two strips, by the half-angle of the bend."""
    corner = (od / 2) / tan(radians(180 - angle) / 2)
    assert least_takeout(od, angle) == pytest.approx(corner)
