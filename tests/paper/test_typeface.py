"""The outlines the SVG writer draws are those of the font the PDF embeds."""

from __future__ import annotations

from io import BytesIO

import pytest
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.recordingPen import RecordingPen
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from pitwright.paper.typeface import CAP_HEIGHT, SUBSTITUTE, face, font_file, tidy

BOTH = pytest.mark.parametrize("bold", [False, True])


@BOTH
def test_every_advance_is_the_fonts_own(bold: bool) -> None:
    """Independent: another library reads the TrueType file."""
    font = TTFont(BytesIO(font_file(bold)))
    cmap = font.getBestCmap()
    assert {chr(code): font["hmtx"][name][0] for code, name in cmap.items()} == {
        c: advance for c, (advance, _) in face(bold).glyphs.items()
    }


@BOTH
def test_every_outline_is_the_fonts_own(bold: bool) -> None:
    """Independent: area and bounds of each glyph, as another library works them out."""
    font = TTFont(BytesIO(font_file(bold)))
    cmap, glyphs = font.getBestCmap(), font.getGlyphSet()
    one = face(bold)
    for code, name in cmap.items():
        ours = RecordingPen()
        for op, numbers in one.path(chr(code)):
            xy = [v * one.units_per_em for v in numbers]
            points = list(zip(xy[0::2], xy[1::2], strict=True))
            step = {"M": "moveTo", "L": "lineTo", "Q": "qCurveTo", "Z": "closePath"}[op]
            getattr(ours, step)(*points)
        for pen in (AreaPen, BoundsPen):
            mine, theirs = pen(glyphs), pen(glyphs)
            ours.replay(mine)
            glyphs[name].draw(theirs)
            if pen is AreaPen:
                # whole font units: composed glyphs are rounded, by half a unit a point
                assert mine.value == pytest.approx(theirs.value, abs=2000), chr(code)
            else:
                assert mine.bounds == (
                    None if theirs.bounds is None else pytest.approx(theirs.bounds, abs=1)
                ), chr(code)


def test_capitals_and_digits_are_as_high_as_the_layout_believes() -> None:
    glyphs = TTFont(BytesIO(font_file())).getGlyphSet()
    pen = BoundsPen(glyphs)
    glyphs["H"].draw(pen)
    assert pen.bounds[3] / 2048 == pytest.approx(CAP_HEIGHT, abs=0.001)


@BOTH
def test_each_file_is_small_and_its_licence_lies_beside_it(bold: bool) -> None:
    from importlib.resources import files

    assert len(font_file(bold)) < 150_000
    licence = (files("pitwright.paper") / "font" / "LICENSE.txt").read_text(encoding="utf-8")
    assert "Permission is hereby granted, free of charge" in licence


@pytest.mark.parametrize("character", "°×±−–—…≤≥Ωµμσ²³→←↑↓✓□■•’“”éñçßŁșαЖ")
def test_the_letters_of_the_trade_are_all_there(character: str) -> None:
    assert tidy(character) == character
    assert face(True).outline(character)


@given(st.text())
def test_nothing_is_dropped_silently(text: str) -> None:
    """Law: every character of the composed text is drawn as itself, a space, or the substitute."""
    import unicodedata

    composed = unicodedata.normalize("NFC", text)
    drawn = tidy(text)
    assert len(drawn) == len(composed)
    for wanted, got in zip(composed, drawn, strict=True):
        assert got in face().glyphs and got in face(True).glyphs
        assert got in (wanted, SUBSTITUTE) or (wanted.isspace() and got in (" ", "\xa0"))


@pytest.mark.parametrize("character", ["漢", "\x00", "\u202e", "\U0001f6b0", "\ud800", "\u0301"])
def test_what_the_font_lacks_is_replaced_by_something_seen(character: str) -> None:
    assert tidy(f"x{character}b") == f"x{SUBSTITUTE}b"
    assert face().outline(SUBSTITUTE)
