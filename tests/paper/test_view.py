"""A scene on paper: inside its frame, the same every time, readable without colour."""

from __future__ import annotations

from itertools import combinations
from math import hypot, radians
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.geometry.vector import Vec
from pitwright.paper.camera import Camera, elevation, fitted, isometric, plan
from pitwright.paper.marks import Fill, Glyphs, Mark, Phrase, Stroke, Tagged, marks_box
from pitwright.paper.scene import (
    Cut,
    Dimension,
    Joint,
    Obstacle,
    Pipe,
    Scene,
    Walls,
    coupling,
    elbow,
    valve,
)
from pitwright.paper.shapes import Circle, Marker, Polygon, Shape, Text, box_of
from pitwright.paper.signs import JOINT_MARKERS, legend, scale_bar
from pitwright.paper.view import VIEWS, View, view
from pitwright.paper.words import LEAST_SIZE, spoken
from tests.paper.manifold import manifold

NAMES = sorted(VIEWS)
EVERY = pytest.mark.parametrize("name", NAMES)


def marks_of(shapes: tuple[Shape, ...]) -> list[Mark]:
    return [m for s in shapes for m in s.marks()]


def texts(v: View) -> list[str]:
    return [spoken(s.runs) for s in v.shapes if isinstance(s, Text)]


def flat(marks: list[Mark]) -> list[Stroke | Fill | Glyphs]:
    out: list[Stroke | Fill | Glyphs] = []
    for mark in marks:
        out += flat(list(mark.marks)) if isinstance(mark, Phrase | Tagged) else [mark]
    return out


@EVERY
@pytest.mark.parametrize("zone", [None, "lawn"])
def test_the_manifold_lies_inside_its_frame(name: str, zone: str | None) -> None:
    scene = manifold() if zone is None else manifold().only(zone)
    v = view(scene, name, 180.0, 110.0)
    box = box_of(v.shapes)
    assert box is not None
    assert box[0] >= 0 and box[1] >= 0 and box[2] <= 180 and box[3] <= 110


coordinate = st.floats(-0.5, 0.5).map(lambda x: round(x, 4))
points: st.SearchStrategy[Vec] = st.tuples(coordinate, coordinate, coordinate)
pairs = st.tuples(points, points).filter(
    lambda p: hypot(*(a - b for a, b in zip(*p, strict=True))) > 0.05
)


@st.composite
def scenes(draw: Any) -> Scene:
    """Parts anywhere in a cube of a metre, some of them one inside another."""
    pipes = tuple(
        Pipe(p, 0.033, draw(st.booleans()), draw(st.sampled_from(["A", "", "B2"])))
        for p in draw(st.lists(pairs, min_size=1, max_size=4))
    )
    fittings = tuple(
        coupling(a, b, 0.04, words="sleeve") for a, b in draw(st.lists(pairs, max_size=2))
    )
    fittings += tuple(
        elbow(a, (b, (a[0], a[1], a[2] + 0.05)), 0.04) for a, b in draw(st.lists(pairs, max_size=1))
    )
    fittings += tuple(
        valve(a, b, (0, 0.2, 1), diameter=0.05, height=0.09, bonnet=0.07, words="<valve> & co")
        for a, b in draw(st.lists(pairs, max_size=1))
    )
    return Scene(
        pipes,
        fittings,
        tuple(Joint(p, "bench") for p in draw(st.lists(points, max_size=3))),
        tuple(Cut(a, (1.0, 0.1, 0.0), 0.033) for a in draw(st.lists(points, max_size=2))),
        Walls(((-0.5, -0.5, 0.5), (0.5, -0.5, 0.5), (0.5, 0.5, 0.5), (-0.5, 0.5, 0.5)), 1.0),
        None,
        tuple(Obstacle("wire", p, 0.005, "wire") for p in draw(st.lists(pairs, max_size=1))),
        tuple(Dimension(a, b, "4 3/16 in") for a, b in draw(st.lists(pairs, max_size=3))),
        north=(1.0, 0.2, 0.0),
    )


@given(scenes(), st.sampled_from(NAMES), st.sampled_from([60.0, 90.0, 180.0]))
@settings(max_examples=60)
def test_nothing_of_any_scene_leaves_the_frame(scene: Scene, name: str, width: float) -> None:
    """Law: whatever is drawn, at whatever angle, stays on the paper it was given."""
    v = view(scene, name, width, 70.0)
    box = marks_box(marks_of(v.shapes))
    assert box is not None
    assert min(box[0], box[1]) >= -0.01 and box[2] <= width + 0.01 and box[3] <= 70.01


@EVERY
def test_the_same_scene_gives_the_same_picture(name: str) -> None:
    assert view(manifold(), name, 180.0, 110.0) == view(manifold(), name, 180.0, 110.0)


@pytest.mark.parametrize("name", ["elevation", "isometric"])
@pytest.mark.parametrize("degrees", [37, 90, 180, 251])
def test_turning_the_pit_turns_nothing_on_paper(name: str, degrees: int) -> None:
    """Law: the reader stands where the run shows best, not where the pit's x axis points."""
    straight = view(manifold(), name, 180.0, 110.0)
    turned = view(manifold(radians(degrees)), name, 180.0, 110.0)
    assert straight.one_to == turned.one_to
    assert texts(straight) == texts(turned)
    ours = [s.at for s in straight.shapes if isinstance(s, Text | Marker)]
    theirs = [s.at for s in turned.shapes if isinstance(s, Text | Marker)]
    assert len(ours) == len(theirs)
    for a, b in zip(ours, theirs, strict=True):
        assert b == pytest.approx(a, abs=0.01)


@EVERY
def test_all_ink_is_black_grey_or_white(name: str) -> None:
    """Marks know no colour; greys used on drawings are the extremes alone."""
    assert {m.grey for m in flat(marks_of(view(manifold(), name, 180.0, 110.0).shapes))} <= {
        0.0,
        1.0,
    }


@EVERY
def test_no_word_is_set_smaller_than_nine_points(name: str) -> None:
    sizes = [
        m.size
        for m in flat(marks_of(view(manifold(), name, 180.0, 110.0).shapes))
        if isinstance(m, Glyphs) and m.shown
    ]
    assert sizes and min(sizes) >= LEAST_SIZE


@EVERY
def test_no_two_texts_stand_on_each_other(name: str) -> None:
    """On the example, whose words have room."""
    v = view(manifold().only("lawn"), name, 180.0, 110.0)
    fields = [s for s in v.shapes if isinstance(s, Text) and s.angle == 0.0]
    boxes = []
    for t in fields:
        corners = t.field(0.0)
        boxes.append((corners[0][0], corners[2][1], corners[2][0], corners[0][1]))
    for a, b in combinations(boxes, 2):
        assert not (
            min(a[2], b[2]) - max(a[0], b[0]) > 0.2 and min(a[3], b[3]) - max(a[1], b[1]) > 0.2
        )


def test_letters_follow_the_cut_list_and_all_are_there_in_the_elevations() -> None:
    for zone, letters in (("north beds", "ABCD"), ("lawn", "EFGH")):
        drawn = texts(view(manifold().only(zone), "elevation", 180.0, 90.0))
        assert sorted(t for t in drawn if len(t) == 1) == list(letters)


def test_bench_and_pit_joints_differ_in_shape() -> None:
    """A square filled black, a ring left white."""
    v = view(manifold().only("lawn"), "elevation", 180.0, 90.0)
    kinds = {s.kind for s in v.shapes if isinstance(s, Marker)}
    assert kinds == {"square", "ring"} == set(JOINT_MARKERS.values())
    square, ring = (flat(list(Marker((0, 0), k).marks())) for k in ("square", "ring"))
    assert isinstance(square[0], Fill) and square[0].grey == 0.0
    assert isinstance(ring[0], Fill) and ring[0].grey == 1.0


def test_old_pipe_is_hatched_and_new_pipe_is_not() -> None:
    def strokes(old: bool) -> int:
        v = view(Scene((Pipe(((0, 0, 0), (0.3, 0, 0)), 0.04, old),)), "plan", 120.0, 60.0)
        return sum(isinstance(m, Stroke) for m in flat(marks_of(v.shapes)))

    assert strokes(old=True) > 3 * strokes(old=False)


@pytest.mark.parametrize("degrees", range(0, 180, 15))
def test_no_hatch_runs_along_its_pipe(degrees: int) -> None:
    """At least 20 degrees between the hatch and the pipe, however the pipe lies."""
    from math import atan2, cos, sin
    from math import degrees as to_degrees

    a = radians(degrees)
    pipe = Pipe(((0, 0, 0), (0.3 * cos(a), 0.3 * sin(a), 0)), 0.04, True)
    v = view(Scene((pipe,)), "plan", 120.0, 120.0)
    slopes = set()
    for m in flat(marks_of(v.shapes)):
        if isinstance(m, Stroke) and m.width == 0.18 and len(m.path) == 2:
            (_, p), (_, q) = m.path
            slopes.add(round(to_degrees(atan2(p[1] - q[1], q[0] - p[0])) % 180))
    hatch = slopes & {45, 135}
    assert hatch
    for slope in hatch:
        off = abs((slope - degrees + 90) % 180 - 90)
        assert off >= 20 or len(hatch) > 1


def test_a_nearer_pipe_covers_a_farther_one() -> None:
    """Plan: the upper pipe's white is painted after every stroke of the lower one."""
    low = Pipe(((-0.2, 0, 0), (0.2, 0, 0)), 0.04)
    high = Pipe(((0, -0.2, 0.1), (0, 0.2, 0.1)), 0.04)
    one = view(Scene((low, high)), "plan", 120.0, 120.0).shapes
    other = view(Scene((high, low)), "plan", 120.0, 120.0).shapes
    assert one == other
    whites = [s for s in one if isinstance(s, Polygon) and s.fill == 1.0]
    boxes = [
        (min(x), min(y), max(x), max(y)) for x, y in (zip(*s.points, strict=True) for s in whites)
    ]
    last = [b for b in boxes if b[0] < 60 < b[2] and b[1] < 60 < b[3]][-1]
    assert last[3] - last[1] > last[2] - last[0]


def test_a_dimension_stands_only_where_it_is_nearly_true() -> None:
    upright = Dimension((0, 0, 0), (0, 0, 0.2), "7 7/8 in")
    scene = Scene((Pipe(((0, 0, 0), (0.3, 0, 0)), 0.03),), dimensions=(upright,))
    assert "7 7/8 in" in texts(view(scene, "elevation", 150.0, 100.0))
    assert "7 7/8 in" not in texts(view(scene, "plan", 150.0, 100.0))
    assert "7 7/8 in" not in texts(view(scene, "isometric", 150.0, 100.0))


@pytest.mark.parametrize("look", [plan, elevation, isometric])
def test_a_camera_is_square_and_right_handed(look: Any) -> None:
    camera: Camera = look(manifold(0.3))
    axes = (camera.right, camera.up, camera.toward)
    for i, a in enumerate(axes):
        for j, b in enumerate(axes):
            dot = sum(x * y for x, y in zip(a, b, strict=True))
            assert dot == pytest.approx(1.0 if i == j else 0.0, abs=1e-12)
    u, v, w = axes
    assert (u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2]) == pytest.approx((w[0], w[1]))


def test_lengths_along_the_pits_axes_are_true_in_the_isometric() -> None:
    scene = Scene((Pipe(((0, 0, 0), (0.3, 0, 0)), 0.03),))
    camera = fitted(isometric(scene), scene, (0, 0, 100, 100))
    zero = camera.flat((0, 0, 0))
    for axis in ((0.1, 0, 0), (0, 0.1, 0), (0, 0, 0.1)):
        p = camera.flat(axis)
        assert hypot(p[0] - zero[0], p[1] - zero[1]) == pytest.approx(0.1 * camera.mm_per_metre)


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    for one_to in (1, 2, 5, 7.5, 12, 50, 200):
        bar = [s for s in scale_bar((0.0, 0.0), 1000 / one_to) if isinstance(s, Polygon)]
        box = box_of(bar)
        said = next(
            spoken(s.runs) for s in scale_bar((0.0, 0.0), 1000 / one_to) if isinstance(s, Text)
        )
        assert box is not None
        drawn = bar[1].points[1][0] - bar[0].points[0][0]
        assert drawn * one_to == pytest.approx(float(said.split(" in")[0]) * 25.4)
        assert drawn <= 45.0 or said.startswith("1 in")


def test_the_legend_shows_each_sign_once() -> None:
    shapes, width, height = legend({"cut": "saw <here>"})
    said = [spoken(s.runs) for s in shapes if isinstance(s, Text)]
    assert said == ["new pipe", "old pipe", "bench joint", "pit joint", "saw <here>", "box wall"]
    box = box_of(shapes)
    assert box is not None and box[0] >= 0 and box[2] <= width and box[3] <= height + 0.5


def test_an_empty_scene_is_an_empty_picture_and_no_crash() -> None:
    assert not any(isinstance(s, Circle) for s in view(Scene(), "plan", 100.0, 80.0).shapes)
