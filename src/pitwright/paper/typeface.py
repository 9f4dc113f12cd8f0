"""The font of the sheets: two faces, known by their own files, so no system is asked for any.

The advances and outlines come from ``font/*.json``, made from the TrueType files beside them by
``tools/make_font.py``; a test compares the two.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pitwright.paper.marks import Path

__all__ = ["CAP_HEIGHT", "SUBSTITUTE", "Face", "face", "font_file", "tidy"]

SUBSTITUTE = "�"
"""Drawn in place of a character the font lacks: seen, never dropped."""
CAP_HEIGHT = 0.729
"""Height of capitals and digits above the baseline. [em]"""
_SPACES = dict.fromkeys(map(ord, "\t\n\r\v\f\x85\u2028\u2029"), " ") | dict.fromkeys(
    map(ord, "\u2007\u2009\u202f"), "\xa0"
)
_STEP = re.compile(r"([MLQZ])([^MLQZ]*)")


@dataclass(frozen=True, slots=True)
class Face:
    """One face: how far each character advances and what it looks like, in font units, y up."""

    name: str
    units_per_em: int
    ascent: int
    descent: int
    glyphs: Mapping[str, tuple[int, str]]

    def width(self, text: str, size: float) -> float:
        """Advance of a tidied text set at ``size`` [mm]. [mm]"""
        return sum(self.glyphs[c][0] for c in text) * size / self.units_per_em

    def outline(self, character: str) -> str:
        """The glyph as the words of a path (M, L, Q, Z), in font units, y up."""
        return self.glyphs[character][1]

    def path(self, character: str) -> Path:
        """The glyph as a path, in em, y up."""
        steps = []
        for op, numbers in _STEP.findall(self.outline(character)):
            steps.append((op, tuple(float(n) / self.units_per_em for n in numbers.split())))
        return tuple(steps)


@cache
def face(bold: bool = False) -> Face:
    """The regular or the bold face, read once."""
    data = json.loads(
        (files("pitwright.paper") / "font" / f"{_stem(bold)}.json").read_text(encoding="utf-8")
    )
    glyphs = {c: (int(advance), str(path)) for c, (advance, path) in data["glyphs"].items()}
    return Face(data["face"], data["units_per_em"], data["ascent"], data["descent"], glyphs)


def font_file(bold: bool = False) -> bytes:
    """The TrueType file of a face."""
    return (files("pitwright.paper") / "font" / f"{_stem(bold)}.ttf").read_bytes()


def _stem(bold: bool) -> str:
    return "sheet-bold" if bold else "sheet-regular"


def tidy(text: str) -> str:
    """The text in the font's characters, on one line, with a visible mark for what it lacks."""
    known = face().glyphs
    composed = unicodedata.normalize("NFC", text).translate(_SPACES)
    return "".join(c if c in known else SUBSTITUTE for c in composed)
