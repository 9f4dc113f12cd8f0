"""PDF: real text that copies out right, our own font inside, the same bytes every time."""

from __future__ import annotations

from io import BytesIO
from typing import cast

import numpy as np
import pypdf
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.paper.blocks import Block, Paragraph
from pitwright.paper.flow import flow
from pitwright.paper.pdf import pdf
from pitwright.paper.sheet import A4, LETTER, Paper, Sheet
from pitwright.paper.words import LEAST_SIZE
from tests.paper.samples import blocks, papers, sample, words


def lines_of(data: bytes) -> str:
    return "\n".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(data)).pages)


def one_line(words: str) -> bytes:
    return pdf(Sheet("t", flow([Paragraph(words)], LETTER)))


@given(st.integers(1, 99), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
@settings(max_examples=25)
def test_a_fraction_copies_out_as_it_is_said(whole: int, top: int, bottom: int) -> None:
    """Two independent readers; 4 3/16 must never come out as 43/16."""
    if top >= bottom:
        return
    said = f"cut {whole} {top}/{bottom} in (99 mm)"
    data = one_line(said)
    assert said in lines_of(data)
    reader = pypdfium2.PdfDocument(data)
    assert said in reader[0].get_textpage().get_text_bounded()
    reader.close()


def test_the_fraction_is_ink_of_its_own_and_not_the_fonts() -> None:
    """Remove every font from the file and the digits of the fraction are still on the page."""

    def look(words: str, blind: bool) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
        data = one_line(words)
        if blind:
            writer = pypdf.PdfWriter(clone_from=BytesIO(data))
            fonts = cast("dict[str, object]", writer.pages[0]["/Resources"]["/Font"])  # type: ignore[index]
            for name in list(fonts):
                del fonts[name]
            out = BytesIO()
            writer.write(out)
            data = out.getvalue()
        document = pypdfium2.PdfDocument(data)
        page = np.asarray(document[0].render(scale=3).to_pil().convert("L"))[:330, :]
        document.close()
        return page

    assert (look("3/16", blind=True) < 128).sum() > 50
    assert np.array_equal(look("3/16", blind=True), look("3/16", blind=False))
    assert not np.array_equal(look("words", blind=True), look("words", blind=False))


def test_only_our_own_fonts_and_both_embedded() -> None:
    reader = pypdf.PdfReader(BytesIO(pdf(sample(A4))))
    seen = set()
    for page in reader.pages:
        for entry in page["/Resources"]["/Font"].values():  # type: ignore[index]
            font = entry.get_object()
            seen.add(str(font["/BaseFont"]))
            if font["/Subtype"] == "/TrueType":
                assert "/FontFile2" in font["/FontDescriptor"]
    used = {name for name in seen if "DejaVu" in name}
    assert len(used) == 2


@pytest.mark.parametrize("paper", [LETTER, A4])
def test_same_sheet_same_bytes(paper: Paper) -> None:
    assert pdf(sample(paper)) == pdf(sample(paper))


@pytest.mark.parametrize("paper", [LETTER, A4])
def test_a_page_is_as_large_as_its_paper(paper: Paper) -> None:
    box = pypdf.PdfReader(BytesIO(pdf(sample(paper)))).pages[0].mediabox
    assert float(box.width) * 25.4 / 72 == pytest.approx(paper.width, abs=0.01)
    assert float(box.height) * 25.4 / 72 == pytest.approx(paper.height, abs=0.01)


@given(st.lists(blocks, max_size=3), papers, words)
@settings(max_examples=25)
def test_whatever_people_type_the_file_opens(
    content: list[Block], paper: Paper, title: str
) -> None:
    pages = flow(content, paper, head=title, foot=title)
    data = pdf(Sheet(title, pages, title))
    reader = pypdf.PdfReader(BytesIO(data))
    assert len(reader.pages) == len(pages)
    assert "/Names" not in dict(reader.root_object) and "/OpenAction" not in reader.root_object
    for page in reader.pages:
        page.extract_text()


def test_no_text_is_set_smaller_than_nine_points() -> None:
    sizes: list[float] = []

    def look(text: str, cm: object, tm: object, font: object, size: float) -> None:
        if text.strip():
            sizes.append(size)

    for page in pypdf.PdfReader(BytesIO(pdf(sample(LETTER)))).pages:
        page.extract_text(visitor_text=look)
    assert sizes and min(sizes) * 25.4 / 72 >= LEAST_SIZE - 1e-6
