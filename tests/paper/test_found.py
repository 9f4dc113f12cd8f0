"""The pit as found, drawn from its survey."""

from __future__ import annotations

from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.paper.found import as_found, outside_diameter
from pitwright.paper.shapes import Group, Text, box_of
from pitwright.paper.view import view
from pitwright.paper.words import spoken
from pitwright.survey.pit import Survey, load_survey, read_survey
from pitwright.units.kinds import INCH

ROOT = Path(__file__).resolve().parents[2]

MEASURED = """
[pit]
name = "round box"
unit = "in"
[box]
shape = "round"
mouth = {{ centre = ["0", "6"], across = "10" }}
grade = "8"
floor = "-4"
[stub.a]
side = "inlet"
tip = ["0", "3", "0"]
faces = "downstream"
pipe = "unknown"
measured = {{ {measured} }}
cut_back = "1"
[stub.b]
side = "outlet"
tip = ["0", "9", "0"]
faces = "upstream"
pipe = "1 in schedule 40 PVC"
cut_back = "1"
[zone.z]
inlet = "a"
outlet = "b"
"""


@pytest.fixture(scope="module")
def garden() -> Survey:
    return load_survey(ROOT / "examples" / "school-garden.pit.toml", load_shelf())


def test_every_stub_is_old_pipe_that_begins_at_its_tip_and_goes_on(garden: Survey) -> None:
    scene = as_found(garden)
    assert len(scene.pipes) == len(garden.stubs)
    for pipe, stub in zip(scene.pipes, garden.stubs, strict=True):
        assert pipe.old and pipe.runs_on == (False, True)
        assert pipe.path[0] == stub.tip.mean
        assert pipe.words == stub.id
        back = [b - a for a, b in zip(pipe.path[0], pipe.path[1], strict=True)]
        assert sum(x * y for x, y in zip(back, stub.outward, strict=True)) < 0


def test_what_is_cut_off_a_stub_is_not_drawn(garden: Survey) -> None:
    stub = garden.stub(garden.zones[0].outlet)
    cut = as_found(garden, {stub.id: INCH}).pipes[garden.stubs.index(stub)]
    gone = [a - b for a, b in zip(stub.tip.mean, cut.path[0], strict=True)]
    assert gone == pytest.approx([INCH * o for o in stub.outward])


def test_the_box_stands_from_ground_to_gravel(garden: Survey) -> None:
    walls = as_found(garden).walls
    assert walls is not None
    assert {p[2] for p in walls.mouth} == {9 * INCH}
    assert {round(p[2] / INCH, 9) for p in walls.floor} == {-5.5}
    assert min(p[0] for p in walls.mouth) == pytest.approx(-1.75 * INCH)
    assert max(p[1] for p in walls.floor) == pytest.approx(17.5 * INCH)


@pytest.mark.parametrize("name", ["plan", "elevation", "isometric"])
def test_the_picture_stays_in_its_frame_and_names_the_stubs(garden: Survey, name: str) -> None:
    drawn = view(as_found(garden), name, 180.0, 140.0)
    box = box_of(drawn.shapes)
    assert box is not None and min(box[:2]) >= 0 and box[2] <= 180 and box[3] <= 140
    said = {spoken(s.runs) for s in drawn.shapes if isinstance(s, Text)}
    if name == "plan":
        assert {s.id for s in garden.stubs} <= said
    assert not {s.id for s in garden.stubs} & {
        spoken(s.runs)
        for s in view(as_found(garden, named=False), name, 180.0, 140.0).shapes
        if isinstance(s, Text)
    }


@pytest.mark.parametrize(
    ("measured", "od"),
    [
        ('calliper = "1.315"', 1.315),
        ('across = "1 5/16"', 1.3125),
        ('around = "4 1/8"', 4.125 / 3.141592653589793),
    ],
)
def test_an_unknown_pipe_is_drawn_as_thick_as_it_was_measured(measured: str, od: float) -> None:
    survey = read_survey(MEASURED.format(measured=measured), "round", load_shelf())
    assert outside_diameter(survey.stubs[0]) == pytest.approx(od * INCH, abs=0.08 * INCH)
    assert outside_diameter(survey.stubs[1]) == pytest.approx(1.315 * INCH, abs=1e-4)


def test_a_round_box_is_round() -> None:
    survey = read_survey(MEASURED.format(measured='calliper = "1.3"'), "round", load_shelf())
    walls = as_found(survey).walls
    assert walls is not None
    for x, y, _ in walls.mouth:
        assert (x**2 + (y - 6 * INCH) ** 2) ** 0.5 == pytest.approx(5 * INCH)
    for name in ("plan", "elevation", "isometric"):
        box = box_of(view(as_found(survey), name, 120.0, 100.0).shapes)
        assert box is not None and min(box[:2]) >= 0 and box[2] <= 120 and box[3] <= 100


def test_a_screen_finds_every_stub_by_its_name(garden: Survey) -> None:
    drawn = view(as_found(garden), "plan", 180.0, 140.0)
    names = {s.name for s in drawn.shapes if isinstance(s, Group)}
    assert names == {f"stub {s.id}" for s in garden.stubs}
