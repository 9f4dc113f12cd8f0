"""The history sheet: whole, inside its margins, read back from the PDF."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import pytest
from pypdf import PdfReader

from pitwright.paper.pit_history import (
    History,
    history_pdf,
    history_sheet,
    history_svg,
    tie_drawing,
)
from pitwright.paper.shapes import Marker
from pitwright.paper.sheet import A4, LETTER, Paper
from pitwright.records.history import Event, Standing
from pitwright.records.ties import Tie
from pitwright.records.when import Span

SPAN = Span("2024-06-04T00:00:00-05:00", "2024-06-04T23:59:59-05:00")


def tie(thing: str = "riser 2", between: float | None = 2.7, left: bool = True) -> Tie:
    return Tie("e1_x", thing, "gate post", "wall corner", 2.2, 1.8, between, left,
               ("7 ft 2 5/8", "71", "8 ft 10"))  # fmt: skip


def event(k: int, text: str = "thin wall") -> Event:
    body = {"what": f"{text} {k}"}
    return Event(f"e1_{k}", "finding", "finding/x", SPAN, "u-1", Standing.HOLDS, body, ())


def history(events: int = 3, ties: int = 2) -> History:
    return History(
        "School garden", "north gate", tuple(event(k) for k in range(events)),
        tuple(tie(f"thing {k}") for k in range(ties)), {"u-1": "Robin"},
    )  # fmt: skip


@pytest.mark.parametrize("paper", [LETTER, A4])
@pytest.mark.parametrize(("events", "ties"), [(0, 0), (3, 1), (90, 5), (3, 9)])
def test_nothing_reaches_beyond_the_margin(paper: Paper, events: int, ties: int) -> None:
    sheet = history_sheet(history(events, ties), paper)

    assert [page.overrun() for page in sheet.pages] == [0.0] * len(sheet.pages)


def test_every_entry_and_every_tie_is_on_the_paper() -> None:
    pages = PdfReader(io.BytesIO(history_pdf(history(40, 3), "letter"))).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())

    assert all(f"thin wall {k}" in text for k in range(40))
    assert all(f"thing {k}" in text for k in range(3))
    assert "Robin" in text and "2024-06-04" in text and "utilities" in text


def test_the_drawing_is_to_the_scale_it_names() -> None:
    drawn = tie_drawing(tie())
    marks = {s.kind: s.at for s in drawn.shapes if isinstance(s, Marker)}
    one_to = float(drawn.said.rsplit(":", 1)[1])
    (ax, ay), (bx, by), (tx, ty) = marks["square"], marks["triangle"], marks["cross"]

    assert math.isclose(math.hypot(bx - ax, by - ay) * one_to, 2700, rel_tol=1e-9)
    assert math.isclose(math.hypot(tx - ax, ty - ay) * one_to, 2200, rel_tol=1e-9)
    assert math.isclose(math.hypot(tx - bx, ty - by) * one_to, 1800, rel_tol=1e-9)
    assert ty < ay  # left of somebody who looks from the first mark to the second is up
    other = {s.kind: s.at for s in tie_drawing(tie(left=False)).shapes if isinstance(s, Marker)}
    assert other["cross"][1] > other["square"][1]


def test_a_drawing_that_is_not_to_scale_says_so() -> None:
    assert "not to scale" in tie_drawing(tie(between=None)).said
    assert "cannot meet" in tie_drawing(tie(between=9.0)).said


def test_what_is_erased_or_newer_is_said() -> None:
    events = (
        replace(event(1), body={}, standing=Standing.NOT_HERE),
        replace(event(2), body={}, standing=Standing.NEWER),
    )
    svg = history_svg(replace(history(0, 0), events=events)).decode()

    assert "erased, or not arrived yet" in svg and "no conclusion is drawn" in svg
