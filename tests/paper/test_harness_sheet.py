"""The harness drawing: every conductor by name and style, every likely place with its chance."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from pypdf import PdfReader

from pitwright.paper.harness_sheet import WIDTH, harness_drawing, harness_pdf, harness_svg
from pitwright.paper.harness_sheet import test_card_pdf as card_pdf
from pitwright.paper.shapes import Group, box_of
from pitwright.survey.harness_file import HarnessFile, load_harness
from pitwright.wiring.along import along
from pitwright.wiring.answer import Answer, answer, desk
from pitwright.wiring.readings import parse_line
from pitwright.wording.wiring import place_words

EXAMPLES = Path(__file__).parents[2] / "examples"


def solved(name: str) -> tuple[HarnessFile, Answer]:
    file = load_harness(EXAMPLES / f"{name}.harness.toml")
    readings = [parse_line(text, file.harness) for text, _ in file.readings]
    return file, answer(desk(file.harness), readings)


@pytest.mark.parametrize("name", ["chapel-lawn", "allotment"])
def test_every_conductor_and_every_likely_place_is_on_the_drawing(name: str) -> None:
    file, got = solved(name)
    svg = harness_svg(file.harness, got).decode()
    for wire in file.harness.conductors():
        assert f"wire {wire}" in svg
    for place in got.places:
        if place.chance >= 0.01:
            assert place_words(file.harness, place.place) in svg


@pytest.mark.parametrize("name", ["chapel-lawn", "allotment"])
def test_nothing_is_drawn_beyond_the_drawings_own_box(name: str) -> None:
    file, got = solved(name)
    shapes, height = harness_drawing(file.harness, got)
    box = box_of(shapes)
    assert box is not None
    assert box[0] >= 0.0 and box[1] >= 0.0 and box[2] <= WIDTH and box[3] <= height


def test_distances_are_drawn_under_their_wires_within_the_box() -> None:
    """An upper bound past the end draws nothing; two on one wire lie clear of each other."""
    file, got = solved("chapel-lawn")
    asked = (
        {"method": "murray", "wire": "S2", "with": "P1", "near_arm": "20", "far_arm": "80"},
        {"method": "loop-ohms", "wire": "S2", "ohm": "2.1"},
        {"method": "loop-ohms", "wire": "S3", "ohm": "9"},
        {"method": "capacitance-both-ends", "wire": "P1", "near": "8.6", "far": "0.1"},
    )
    far = [along(file.harness, one) for one in asked]
    shapes, height = harness_drawing(file.harness, got, far)
    box = box_of(shapes)
    assert box is not None
    assert box[0] >= 0.0 and box[1] >= 0.0 and box[2] <= WIDTH and box[3] <= height
    groups = [s for s in shapes if isinstance(s, Group) and s.name.startswith("distance on")]
    assert [g.name[12:14] for g in groups] == ["S2", "S2", "P1"]
    first, second = (box_of(g.parts[:1]) for g in groups[:2])
    assert first is not None and second is not None and first[3] < second[1]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_sheets_carry_chances_readings_and_cautions(paper: str) -> None:
    file, got = solved("chapel-lawn")
    sheet = PdfReader(io.BytesIO(harness_pdf(file.harness, got, paper)))
    text = "".join(p.extract_text() for p in sheet.pages)
    assert "valve end of S2, in B2" in text
    assert "55 %" in text
    card = PdfReader(io.BytesIO(card_pdf(file.harness, got, paper)))
    said = "".join(p.extract_text() for p in card.pages)
    assert "S2 capacitance" in said
    assert "have buried services located" in said
