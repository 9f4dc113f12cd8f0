"""The turning drawing's data says what the paper's scene says, and nothing that could run."""

from __future__ import annotations

import json
from functools import cache
from math import cos, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import StubId
from pitwright.geometry.clearance import segment_distance
from pitwright.geometry.vector import Vec, norm, sub
from pitwright.paper.pit_sheet import plan_scene
from pitwright.paper.scene import Scene
from pitwright.paper.turning import asset, nearest, plan_turning, stills, turning, turning_html
from pitwright.paper.view import VIEWS
from pitwright.planning import Plan, plan
from pitwright.renewal.bending import Bowed
from pitwright.survey.pit import read_survey
from pitwright.units.inches import Rounding, inches_text
from tests.house.reading import ROOT

points = st.tuples(*[st.floats(-1, 1, width=16)] * 3)


@cache
def chapel() -> Plan:
    path = ROOT / "examples" / "chapel-lawn.pit.toml"
    return plan(read_survey(path.read_text("utf-8"), path.name, load_shelf()))


def test_every_piece_of_the_cut_list_is_there_under_its_letter() -> None:
    data = plan_turning(chapel())
    option = chapel().zones[0].best
    assert option is not None
    letters = [p["letter"] for p in data["pipes"] if p["letter"]]
    assert letters == [p.letter for p in option.cuts.pieces]


@pytest.mark.parametrize("name", ["plan", "elevation", "isometric"])
def test_a_view_looks_from_where_the_paper_looks(name: str) -> None:
    """Heading and height give the paper's own axes."""
    scene = plan_scene(chapel())
    camera = VIEWS[name](scene)
    heading, high = (radians(v) for v in turning(scene, "x")["views"][name])
    right = (cos(heading), sin(heading), 0.0)
    toward = (sin(heading) * cos(high), -cos(heading) * cos(high), sin(high))
    assert norm(sub(right, camera.right)) < 1e-3
    assert norm(sub(toward, camera.toward)) < 1e-3


def test_bent_pipe_says_how_much_too_far_it_is_drawn() -> None:
    line = Bowed(
        StubId("lawn"), (((0.0, 0.0, 0.0), (0.0, 0.0, 0.0)), ((0.3, 0.0, 0.0), (0.0, 0.002, 0.0)))
    )
    data = turning(Scene(), "x", bowed=[("lawn", line)], thick=0.0334)
    assert data["bent"] == [{"path": [[0, 0, 0], [0.3, 0.04, 0]], "zone": "lawn"}]
    assert "drawn 20 times" in data["bent_words"]
    assert (
        turning(Scene(), "x", bowed=[("lawn", line)], thick=0.0)["bent"][0]["path"][1][1] == 0.002
    )


def test_the_room_told_is_the_room_there_is() -> None:
    """The two points of a clearance lie as far apart as its words say, to a sixteenth."""
    told = plan_turning(chapel())["clear"]
    assert any("root" in c["words"] for c in told)
    for clear in told:
        apart = norm(sub(tuple(clear["a"]), tuple(clear["b"])))
        said = [inches_text(apart + d, Rounding.NOT_LONGER) for d in (-2e-4, 0.0, 2e-4)]
        assert clear["words"].partition(" to ")[0] in said


@given(points, points, points, points)
def test_nearest_points_lie_as_far_apart_as_the_segments(a: Vec, b: Vec, c: Vec, d: Vec) -> None:
    p, q = nearest(a, b, c, d)
    assert norm(sub(q, p)) == pytest.approx(segment_distance(a, b, c, d), abs=1e-5)


def test_what_a_person_typed_cannot_end_the_script() -> None:
    data = turning(plan_scene(chapel()), '</script><img src=x> "quoted"')
    html = turning_html(data, "")
    assert "<img" not in html
    assert html.count("</script>") == 1
    inside = html.partition('json">')[2].partition("</script>")[0]
    assert json.loads(inside)["title"] == '</script><img src=x> "quoted"'


def test_it_stays_small() -> None:
    data = json.dumps(plan_turning(chapel()), separators=(",", ":"))
    assert len(data) < 20_000
    assert len(asset("turning.js")) < 32_000


def test_without_a_script_plan_and_elevation_are_there() -> None:
    still = stills(plan_scene(chapel()))
    assert still.count("<svg") == 2
    assert "The pit from above" in still


def test_the_script_asks_nobody_and_styles_nothing_inline() -> None:
    """It runs under a strict policy: no request, no evaluated text, no style attribute."""
    script = asset("turning.js")
    for word in ("fetch(", "XMLHttp", "import(", "eval(", "innerHTML", ".style", "new Function"):
        assert word not in script
