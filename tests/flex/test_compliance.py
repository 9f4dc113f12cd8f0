from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.flex.compliance import Vec6, stations, tip_compliance
from pitwright.flex.path import BarePath, bare_path
from pitwright.flex.section import beam
from pitwright.geometry.pose import Pose
from pitwright.geometry.vector import add, cross, norm, scale, sub, unit
from pitwright.units.kinds import INCH
from tests.flex import frame
from tests.flex.inch import path
from tests.flex.strategies import SIZES, paths
from tests.strategies import points, poses

forces = st.floats(-200.0, 200.0)
wrenches = st.tuples(forces, forces, forces, forces, forces, forces)


@pytest.mark.parametrize("seed", range(16))
def test_a_frame_library_finds_the_same_compliance_to_a_billionth(seed: int) -> None:
    """Random paths of one to four straights in space, by the library's own solver."""
    dice = np.random.default_rng(seed)
    od, wall = SIZES[seed % len(SIZES)]
    corners = [np.zeros(3)]
    for _ in range(1 + seed % 4):
        way = dice.standard_normal(3)
        corners.append(corners[-1] + way / np.linalg.norm(way) * dice.uniform(0.1, 1.2))
    path = bare_path(
        [(float(x), float(y), float(z)) for x, y, z in corners],
        beam(od * INCH, wall * INCH, 2.76e9, 0.38),
    )
    ours, theirs = np.array(tip_compliance(path)), frame.compliance(path)
    d = 1.0 / np.sqrt(np.diag(theirs))
    assert np.abs((ours - theirs) * d[:, None] * d[None, :]).max() <= 1e-9


@given(paths())
def test_compliance_is_symmetric_and_gives_way_to_every_push(path: BarePath) -> None:
    c = np.array(tip_compliance(path))
    assert (c == c.T).all()
    d = 1.0 / np.sqrt(np.diag(c))
    assert np.linalg.eigvalsh(c * d[:, None] * d[None, :])[0] > 0.0


@given(paths(), st.floats(0.001, 1.0), wrenches)
def test_compliance_never_falls_with_more_bare_pipe(
    path: BarePath, extra: float, wrench: Vec6
) -> None:
    w = np.array(wrench)
    before, after = np.array(tip_compliance(path)), np.array(tip_compliance(path.dug(extra)))
    assert w @ after @ w >= w @ before @ w * (1.0 - 1e-12)


@given(paths(soil=True), wrenches)
def test_yielding_soil_never_makes_a_path_stiffer(path: BarePath, wrench: Vec6) -> None:
    w = np.array(wrench)
    clamped = bare_path(path.points, path.beam)
    soft, hard = np.array(tip_compliance(path)), np.array(tip_compliance(clamped))
    assert w @ soft @ w >= w @ hard @ w * (1.0 - 1e-12)


@given(paths(), poses(), wrenches)
def test_a_turned_pit_bends_alike(path: BarePath, pose: Pose, wrench: Vec6) -> None:
    turned = bare_path([pose.point(p) for p in path.points], path.beam, path.soil)
    force, moment = (wrench[0], wrench[1], wrench[2]), (wrench[3], wrench[4], wrench[5])
    there = (*pose.direction(force), *pose.direction(moment))
    ours, theirs = np.array(tip_compliance(path)), np.array(tip_compliance(turned))
    energy = np.array(wrench) @ ours @ np.array(wrench)
    assert np.array(there) @ theirs @ np.array(there) == pytest.approx(energy, rel=1e-9)
    strains = [s.strain(wrench) for s in stations(path)]
    again = [s.strain(there) for s in stations(turned)]
    assert again == pytest.approx(strains, rel=1e-9, abs=1e-15)


@given(paths(), wrenches)
def test_a_mirrored_pit_bends_alike(path: BarePath, wrench: Vec6) -> None:
    """Mirrored in x = 0: forces flip in x, moments in y and z."""
    mirrored = bare_path([(-x, y, z) for x, y, z in path.points], path.beam, path.soil)
    fx, fy, fz, mx, my, mz = wrench
    there = (-fx, fy, fz, mx, -my, -mz)
    strains = [s.strain(wrench) for s in stations(path)]
    assert [s.strain(there) for s in stations(mirrored)] == pytest.approx(
        strains, rel=1e-9, abs=1e-15
    )


@given(paths(), points, wrenches)
def test_the_point_where_the_wrench_acts_does_not_matter(
    path: BarePath, at: tuple[float, float, float], wrench: Vec6
) -> None:
    """The same load told at another point strains alike and does the same work."""
    force, moment = (wrench[0], wrench[1], wrench[2]), (wrench[3], wrench[4], wrench[5])
    moved = add(moment, cross(sub(at, path.tip), force))
    there = np.array((*force, *moved))
    told = np.array((*force, *moment)) @ np.array(tip_compliance(path, at)) @ np.array(wrench)
    assert told == pytest.approx(there @ np.array(tip_compliance(path)) @ there, rel=1e-9)
    strains = [s.strain(wrench) for s in stations(path, at)]
    assert [s.strain((*force, *moved)) for s in stations(path)] == pytest.approx(
        strains, rel=1e-8, abs=1e-12
    )


@given(paths(soil=False), wrenches, st.floats(0.0, 1.0), st.integers(0, 3))
def test_no_spot_between_the_ends_of_a_straight_strains_more(
    path: BarePath, wrench: Vec6, share: float, pick: int
) -> None:
    i = pick % (len(path.points) - 1)
    a, b = path.points[i], path.points[i + 1]
    p = add(a, scale(sub(b, a), share))
    e = unit(sub(b, a))
    force, moment = (wrench[0], wrench[1], wrench[2]), (wrench[3], wrench[4], wrench[5])
    whole = add(moment, cross(sub(path.tip, p), force))
    bending = norm(cross(e, whole))
    worst = max(s.strain(wrench) for s in stations(path))
    assert bending * path.beam.strain_per_moment <= worst * (1.0 + 1e-9)


@given(paths(soil=True), wrenches)
def test_no_spot_in_the_soil_strains_noticeably_more_than_those_looked_at(
    path: BarePath, wrench: Vec6
) -> None:
    """The moment in a semi-infinite beam on an elastic foundation, every millimetre or so."""
    assert path.soil is not None
    beta = (path.soil / (4.0 * path.beam.ei)) ** 0.25
    e = unit(sub(path.points[1], path.points[0]))
    force, moment = (wrench[0], wrench[1], wrench[2]), (wrench[3], wrench[4], wrench[5])
    head = add(moment, cross(sub(path.tip, path.points[0]), force))
    worst = 0.0
    for i in range(400):
        bx = i * 0.01
        m = add(
            scale(head, math.exp(-bx) * (math.cos(bx) + math.sin(bx))),
            scale(cross(e, force), math.exp(-bx) * math.sin(bx) / beta),
        )
        worst = max(worst, norm(cross(e, m)) * path.beam.strain_per_moment)
    seen = max(s.strain(wrench) for s in stations(path))
    assert worst <= seen * 1.008 + 1e-15


def test_places_are_counted_from_the_tip() -> None:
    l_bend = path((0.0, 0.0, -24.0), (0.0, 0.0, 0.0), (6.0, 0.0, 0.0))
    far = [s.place for s in stations(l_bend)]
    assert [p.straight for p in far] == [0, 0, 1, 1]
    assert [p.from_tip / 0.0254 for p in far] == pytest.approx([0.0, 6.0, 6.0, 30.0])
    assert far[-1].point == l_bend.points[0] and not far[-1].in_soil
