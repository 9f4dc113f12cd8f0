"""Sheets: one or more pages of one paper size, ready for a writer. [mm]"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.paper.marks import Mark, Rect, marks_box
from pitwright.paper.shapes import Shape

__all__ = ["A4", "LETTER", "PAPERS", "Page", "Paper", "Sheet"]


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper size and the margin that printers need, all in mm."""

    name: str
    width: float
    height: float
    margin: float = 12.7

    @property
    def inside(self) -> Rect:
        """What may carry ink. [mm]"""
        m = self.margin
        return m, m, self.width - m, self.height - m


LETTER = Paper("Letter", 215.9, 279.4)
"""8 1/2 x 11 in."""
A4 = Paper("A4", 210.0, 297.0)
"""ISO 216."""
PAPERS = {"letter": LETTER, "a4": A4}


@dataclass(frozen=True, slots=True)
class Page:
    """Shapes on one side of paper; ``said`` is what a screen reader announces."""

    paper: Paper
    shapes: tuple[Shape, ...]
    said: str = ""

    def marks(self) -> tuple[Mark, ...]:
        """Every mark, in drawing order."""
        return tuple(m for s in self.shapes for m in s.marks())

    def overrun(self) -> float:
        """How far ink reaches beyond the margin, 0 when it does not. [mm]"""
        box = marks_box(self.marks())
        if box is None:
            return 0.0
        left, top, right, bottom = self.paper.inside
        return max(0.0, left - box[0], top - box[1], box[2] - right, box[3] - bottom)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A document: its pages, and its title and subject as a file carries them."""

    title: str
    pages: tuple[Page, ...]
    subject: str = ""
    language: str = "en"
