"""The owner's page and the box card, read back from the PDF by another library."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pypdf
import pytest

from pitwright.paper.owner import Leaving, box_card_pdf, owner_pdf
from pitwright.records.ties import Tie

TIE = Tie(
    "e", "the box", "gate post", "wall corner", 2.2, 1.8, 2.7, True, ("7 ft 3", "6 ft", "9 ft")
)
LEFT = Leaving(
    "School garden", "north gate", "2026-05-04", ("it weeps",), ("Zone beds: cut in (done).",),
    ("meter still for 15 minutes: pass",), (("static pressure", "62 psi", "61 psi"),),
    ("beds-out: 12 in of straight pipe",), ("beds: from beds-in to beds-out",), (TIE,), None,
    "Water stops: ball valve at the meter",
)  # fmt: skip


def text_of(data: bytes) -> str:
    words = " ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(data)).pages)
    return " ".join(words.split())


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_owner_reads_what_was_found_done_proved_and_read(paper: str) -> None:
    said = text_of(owner_pdf(LEFT, paper))
    for words in ("it weeps", "cut in", "meter still", "62 psi", "61 psi", "gate post", "frost"):
        assert words in said
    assert "licensed trades come first" in said


def test_the_card_says_where_the_water_stops_and_how_to_find_the_box() -> None:
    said = text_of(box_card_pdf(LEFT, "letter"))
    for words in ("ball valve at the meter", "7 ft 3", "9 ft", "beds-in", "probe by hand"):
        assert words in said


def test_nothing_entered_is_said_and_not_left_blank() -> None:
    bare = replace(LEFT, found=(), done=(), proved=(), read=(), left=(), ties=())
    assert text_of(owner_pdf(bare, "letter")).count("Nothing was entered.") == 3
