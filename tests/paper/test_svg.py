"""SVG: well formed whatever people type, no font needed, the same bytes every time."""

from __future__ import annotations

import re
import subprocess
import sys
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.paper.blocks import Block
from pitwright.paper.flow import flow
from pitwright.paper.shapes import text
from pitwright.paper.sheet import A4, LETTER, Paper, Sheet
from pitwright.paper.svg import svg_drawing, svg_sheet
from pitwright.paper.typeface import tidy
from tests.paper.samples import blocks, papers, sample, words

SVG = "{http://www.w3.org/2000/svg}"
ALLOWED = {"svg", "title", "desc", "defs", "g", "path", "use", "rect"}
ATTRIBUTES = {
    "width", "height", "viewBox", "role", "aria-label", "id", "d", "x", "y", "fill", "stroke",
    "stroke-width", "stroke-dasharray", "stroke-linecap", "stroke-linejoin", "transform", "href",
    "data-name", "{http://www.w3.org/XML/1998/namespace}lang",
}  # fmt: skip


@given(st.lists(blocks, max_size=4), papers, words, words)
def test_no_text_becomes_markup(content: list[Block], paper: Paper, title: str, foot: str) -> None:
    """Law: only our own elements and attributes, links only to our own letters, ink only grey."""
    for page in svg_sheet(Sheet(title, flow(content, paper, head=title, foot=foot))):
        root = ElementTree.fromstring(page.encode("utf-8"))
        ids = {e.get("id") for e in root.iter() if e.get("id")}
        for element in root.iter():
            assert element.tag.removeprefix(SVG) in ALLOWED
            assert set(element.attrib) <= ATTRIBUTES
            if element.get("href"):
                assert (element.get("href") or "").removeprefix("#") in ids
            for ink in (element.get("fill"), element.get("stroke")):
                assert ink in (None, "none", "#fff", "#000") or re.fullmatch(
                    r"#(..)\1\1", ink or ""
                )
        assert root.findtext(f"{SVG}title") == tidy(title)


def test_letters_are_outlines_and_no_font_is_asked_for() -> None:
    page = svg_sheet(sample(LETTER))[0]
    assert "<text" not in page and "font" not in page and "@" not in page
    assert page.count("<use ") > 200


def test_a_fraction_is_two_numbers_and_a_line_between_them() -> None:
    """By structure: whole, line, numerator and denominator each their own group, aloud as one."""
    drawn = svg_drawing([text((10.0, 20.0), "4 3/16 in", 4.0)], (0, 0, 60, 40), "t")
    root = ElementTree.fromstring(drawn)
    phrase = next(g for g in root.iter(f"{SVG}g") if g.get("aria-label") == "4 3/16 in")
    assert phrase.findtext(f"{SVG}title") == "4 3/16 in"
    parts = [c for c in phrase if c.tag != f"{SVG}title"]
    said = [
        "".join(chr(int((u.get("href") or "")[2:], 16)) for u in p.iter(f"{SVG}use")) or "line"
        for p in parts
    ]
    assert said == ["4", "3", "line", "16", "in"]
    heights = [
        float(re.findall(r"translate\(\S+ (\S+)\)", p.get("transform") or "")[0])
        for p in parts
        if p.get("transform")
    ]
    assert heights[1] < heights[0] < heights[2] and heights[3] == heights[0]


@pytest.mark.parametrize("paper", [LETTER, A4])
def test_a_page_is_as_large_as_its_paper(paper: Paper) -> None:
    root = ElementTree.fromstring(svg_sheet(sample(paper))[0])
    assert root.get("width") == f"{paper.width:g}mm"
    assert root.get("height") == f"{paper.height:g}mm"


def test_same_sheet_same_bytes_in_another_process() -> None:
    code = (
        "import hashlib;from tests.paper.samples import *;from pitwright.paper.svg import *;"
        "from pitwright.paper.pdf import pdf;s=sample(A4);"
        "print(hashlib.sha256(''.join(svg_sheet(s)).encode()+pdf(s)).hexdigest())"
    )
    seen = set()
    for seed in ("1", "2"):
        done = subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        )
        seen.add(done.stdout)
    assert len(seen) == 1


def test_two_drawings_in_one_web_page_can_keep_their_letters_apart() -> None:
    drawn = svg_drawing([text((0, 5), "a")], (0, 0, 9, 9), "t", prefix="plan-")
    assert 'id="plan-r61"' in drawn and 'href="#plan-r61"' in drawn
