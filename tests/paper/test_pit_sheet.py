"""The pit sheet says what the plan says, on either paper, whatever the pit is called."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import pypdf
import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Finding, Refusal, Weight, finding
from pitwright.paper.marks import Glyphs, Mark, Phrase, Tagged
from pitwright.paper.pit_sheet import pit_sheet, pit_sheet_pdf, pit_sheet_svg, plan_scene
from pitwright.paper.sheet import A4, LETTER, PAPERS, Page, Paper
from pitwright.paper.words import LEAST_SIZE
from pitwright.planning import Plan, ZonePlan, plan
from pitwright.survey.pit import load_survey, read_survey
from pitwright.units.inches import both_text, inches_text
from pitwright.wording.cautions import cautions
from pitwright.wording.chances import held_pieces
from pitwright.wording.findings import finding_words, gathered_words, refusal_lines
from pitwright.wording.pit_sheet import parts_line, piece_row
from pitwright.wording.plan import closing_words
from pitwright.wording.survey import doubt_lines
from tests.paper.samples import NASTY

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.pit.toml"))
BOTH = pytest.mark.parametrize("paper", [LETTER, A4], ids=lambda p: p.name)


def planned(path: Path) -> Plan:
    return plan(read_survey(path.read_text(encoding="utf-8"), path.name, load_shelf()))


@pytest.fixture(scope="module")
def garden() -> Plan:
    return planned(ROOT / "examples" / "school-garden.pit.toml")


@cache
def copied(data: bytes) -> str:
    """All text of the file, line ends and runs of spaces made one space."""
    pages = pypdf.PdfReader(BytesIO(data)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def phrases(page: Page) -> list[str]:
    found: list[str] = []

    def walk(marks: tuple[Mark, ...]) -> None:
        for mark in marks:
            if isinstance(mark, Phrase):
                found.append(mark.text)
            elif isinstance(mark, Tagged):
                walk(mark.marks)

    walk(page.marks())
    return found


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_example_stays_inside_the_margin(path: Path) -> None:
    made = planned(path)
    for paper in (LETTER, A4):
        assert max(p.overrun() for p in pit_sheet(made, paper).pages) <= 0.05


@pytest.mark.parametrize("size", sorted(PAPERS))
def test_what_is_cut_copies_out_of_the_file_right(garden: Plan, size: str) -> None:
    """Every length of the cut list, read back by another library, fractions whole."""
    said = copied(pit_sheet_pdf(garden, size))
    for zone in garden.zones:
        assert zone.zone.name in said
        for piece in zone.best.cuts.pieces if zone.best else ():
            assert f"{piece.letter} {both_text(piece.length)}" in said


def test_the_sheet_says_what_closing_asks_of_the_old_pipe_and_what_to_dig_first() -> None:
    """The orchard's straight train closes only after digging; put first, the sheet must say so."""
    path = ROOT / "examples" / "orchard-gate.pit.toml"
    made = plan(read_survey(path.read_text("utf-8"), path.name, load_shelf()))
    (zone,) = made.zones
    assert not isinstance(zone.answer, Refusal)
    dug = next(o for o in zone.answer if not o.bending.closes)
    first = replace(made, zones=(replace(zone, answer=(dug, *zone.answer)),))

    said = copied(pit_sheet_pdf(first, "letter"))

    assert "Only after baring" in said
    assert closing_words(dug)[len("only after baring") :] in said


def test_nothing_the_plan_warns_of_is_left_out(garden: Plan) -> None:
    said = copied(pit_sheet_pdf(garden, "letter"))
    for line in doubt_lines(garden.survey.findings):
        assert line in said
    found = [*garden.findings]
    found += [f for z in garden.zones if z.best for f in z.best.findings]
    assert found
    checks = [f for f in found if f.weight is Weight.CHECK]
    others = [f for f in found if f.weight is not Weight.CHECK]
    for line in (*gathered_words(checks), *(finding_words(f) for f in others)):
        assert line in said
    for one in checks:
        for name in ("part", "stub"):
            assert dict(one.names).get(name, "") in said
    for caution in cautions():
        assert caution.words in said
    for zone in garden.refused:
        assert isinstance(zone.answer, Refusal)
        for line in refusal_lines(zone.answer, 3)[:3]:
            assert line in said


def _told(zone: ZonePlan, stop: Finding) -> ZonePlan:
    if isinstance(zone.answer, Refusal):
        return zone
    first, *rest = zone.answer
    return replace(zone, answer=(replace(first, findings=(stop, *first.findings)), *rest))


def test_every_stop_stands_on_the_first_page(garden: Plan) -> None:
    stop = finding("stub_seeps", Weight.STOP, numbers={"flow": 6e-7}, names={"stub": "beds-out"})
    garden = replace(garden, zones=tuple(_told(z, stop) for z in garden.zones))
    first = " ".join(phrases(pit_sheet(garden, LETTER).pages[0]))
    stops = [f for z in garden.zones if z.best for f in z.best.findings if f.weight is Weight.STOP]
    assert stops
    for stop in stops:
        assert f"STOP. {finding_words(stop)}" in first


def test_a_zone_is_not_torn_over_two_pages(garden: Plan) -> None:
    """Its heading and its last line stand on one page."""
    pages = [" ".join(phrases(p)) for p in pit_sheet(garden, LETTER).pages]
    for zone in garden.zones:
        if zone.best is None:
            continue
        last = parts_line(zone.best).split(";")[0][-20:]
        assert any(f"{zone.zone.name}: " in p and last in p for p in pages)


def test_the_letters_on_the_drawing_are_those_of_the_cut_list(garden: Plan) -> None:
    scene = plan_scene(garden)
    for zone in garden.zones:
        drawn = [p.letter for p in scene.pipes if p.zone == zone.zone.id and not p.old]
        assert drawn == [p.letter for p in zone.best.cuts.pieces] if zone.best else not drawn


def test_old_pipe_is_drawn_from_where_it_is_cut(garden: Plan) -> None:
    scene = plan_scene(garden)
    old = {p.words: p for p in scene.pipes if p.old}
    for zone in garden.zones:
        for work in zone.best.stubs if zone.best else ():
            stub = garden.survey.stub(next(s.id for s in garden.survey.stubs if s.id == work.stub))
            end = old[work.stub].path[0]
            gone = [a - b for a, b in zip(stub.tip.mean, end, strict=True)]
            assert gone == pytest.approx([work.cut * o for o in stub.outward], abs=1e-12)


@BOTH
def test_no_letter_is_smaller_than_nine_points(garden: Plan, paper: Paper) -> None:
    def sizes(marks: tuple[Mark, ...]) -> list[float]:
        out: list[float] = []
        for mark in marks:
            if isinstance(mark, Glyphs) and mark.shown:
                out.append(mark.size)
            elif isinstance(mark, Phrase | Tagged):
                out += sizes(tuple(mark.marks))
        return out

    assert min(min(sizes(p.marks())) for p in pit_sheet(garden, paper).pages) >= LEAST_SIZE


def test_same_plan_same_bytes(garden: Plan) -> None:
    again = planned(ROOT / "examples" / "school-garden.pit.toml")
    assert pit_sheet_pdf(garden, "a4") == pit_sheet_pdf(again, "a4")
    assert pit_sheet_svg(garden) == pit_sheet_svg(again)


@pytest.mark.parametrize("name", [n for n in NASTY if n.isprintable()])
def test_a_hostile_name_stays_a_name(garden: Plan, name: str) -> None:
    """In SVG it is text of a title; in the PDF it is ink."""
    made = replace(garden, survey=replace(garden.survey, name=name))
    root = ElementTree.fromstring(pit_sheet_svg(made))
    assert root.findtext("{http://www.w3.org/2000/svg}title") == f"Pit sheet: {name}"
    kinds = {e.tag.rpartition("}")[2] for e in root.iter()}
    assert kinds <= {"svg", "title", "desc", "defs", "g", "path", "use", "rect"}
    assert all(p.overrun() <= 0.05 for p in pit_sheet(made, A4).pages)


def test_the_drawing_holds_every_zone_that_has_a_plan(garden: Plan) -> None:
    root = ElementTree.fromstring(pit_sheet_svg(garden))
    groups = [g.get("data-name") for g in root.iter("{http://www.w3.org/2000/svg}g")]
    best = [z for z in garden.zones if z.best]
    assert groups.count("elevation") == len(best)
    assert groups.count("plan") == groups.count("isometric") == 1


@BOTH
def test_names_as_long_as_a_page_stay_on_it(paper: Paper) -> None:
    text = (ROOT / "examples" / "school-garden.pit.toml").read_text(encoding="utf-8")
    for old, new in (("hedge-out", "h" * 60), ("lilac-root", "l" * 60), ("drip line", "W" * 60)):
        text = text.replace(old, new)
    text = text.replace("toward the shed", "W" * 60)
    made = plan(read_survey(text, "long", load_shelf()))
    sheet = pit_sheet(made, paper)
    assert max(p.overrun() for p in sheet.pages) <= 0.05
    assert "h" * 60 in copied(pit_sheet_pdf(made, paper.name.lower())).replace(" ", "")


def test_a_piece_that_is_trimmed_last_has_its_first_length_in_the_cut_list() -> None:
    """Half an inch longer than planned: as the step that cuts it says."""
    made = plan(load_survey(str(ROOT / "examples" / "chapel-lawn.pit.toml"), load_shelf()))
    best = made.zones[0].best
    assert best is not None
    held = held_pieces(best.doubt)
    assert held
    for piece in best.cuts.pieces:
        cell = piece_row(piece, held)[1]
        first = inches_text(piece.length + 0.0127)
        assert (f"first {first}" in cell) is (piece.letter in held)
        assert "first" not in piece_row(piece)[1]
