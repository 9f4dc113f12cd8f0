"""Flow: nothing leaves the page, nothing is lost, headings stay with what they head."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pitwright.paper.blocks import Block, Heading, Paragraph, Steps, Table
from pitwright.paper.flow import flow
from pitwright.paper.marks import Mark, Phrase, Tagged
from pitwright.paper.sheet import A4, LETTER, Page, Paper
from tests.paper.samples import blocks, papers, sample, words


def said(page: Page) -> list[str]:
    found: list[str] = []

    def walk(marks: tuple[Mark, ...]) -> None:
        for mark in marks:
            if isinstance(mark, Phrase):
                found.append(mark.text)
            elif isinstance(mark, Tagged):
                walk(mark.marks)

    walk(page.marks())
    return found


@given(st.lists(blocks, max_size=8), papers, words, words)
def test_nothing_is_drawn_outside_the_margin(
    content: list[Block], paper: Paper, head: str, foot: str
) -> None:
    for page in flow(content, paper, head=head, foot=foot):
        assert page.overrun() <= 0.01


def test_the_sample_keeps_inside_both_papers() -> None:
    for paper in (LETTER, A4):
        assert [p.overrun() for p in sample(paper).pages] == [0.0] * len(sample(paper).pages)


def test_every_line_is_on_some_page_in_order() -> None:
    content = [Paragraph(f"line {i}") for i in range(120)]
    pages = flow(content, LETTER)
    assert len(pages) > 1
    assert [w for p in pages for w in said(p) if w.startswith("line")] == [
        f"line {i}" for i in range(120)
    ]


@given(st.integers(0, 60))
def test_a_heading_never_ends_a_page(lines: int) -> None:
    content: list[Block] = [Paragraph(f"line {i}") for i in range(lines)]
    pages = flow([*content, Heading("Steps"), Steps(("Shut the water off.",))], A4)
    home = next(p for p in pages if "Steps" in said(p))
    assert "Shut the water off." in said(home)


def test_a_tables_first_row_is_on_every_page_it_reaches() -> None:
    rows = tuple((f"row {i}", "x") for i in range(150))
    pages = flow([Table(("piece", "length"), rows, (1, 1))], LETTER)
    assert len(pages) >= 3
    assert all(said(p).count("piece") == 1 for p in pages)


def test_pages_are_numbered() -> None:
    pages = flow([Paragraph(f"line {i}") for i in range(120)], LETTER)
    assert [p.said for p in pages] == [f"page {i + 1} of {len(pages)}" for i in range(len(pages))]
    assert "page 1 of" in " ".join(said(pages[0]))


def test_braces_in_what_people_type_mean_nothing() -> None:
    pages = flow([Paragraph("{page} {0.__class__}")], LETTER, foot="{pages}")
    assert "{page} {0.__class__}" in said(pages[0]) and "{pages}" in said(pages[0])


def test_a_row_and_a_step_longer_than_a_page_go_on_overleaf() -> None:
    long = "measure again before a cut " * 300
    pages = flow([Table(("a", "b"), ((long, "x"),), (1, 1)), Steps((long,))], LETTER)
    assert len(pages) >= 4
    assert max(p.overrun() for p in pages) <= 0.01
    assert sum(w.count("measure") for p in pages for w in said(p)) == 600


def test_a_column_is_widened_before_a_word_is_broken() -> None:
    rows = (("A", "4 3/16 in (106 mm)", "valve to outlet stub coupling"),)
    (page,) = flow([Table(("piece", "cut to", "between"), rows, (0.1, 0.1, 9.0))], LETTER)
    assert {"piece", "between", "cut to"} <= set(said(page))
    assert page.overrun() <= 0.01
