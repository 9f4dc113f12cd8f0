"""PDF: the one door to the PDF engine. Real text in the shipped font, the same bytes every time.

A fraction is drawn as outlines with its text, unseen, on the line: what is copied out of the file
reads ``4 3/16``, and no viewer can draw it otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from math import cos, radians, sin
from typing import Any

from pitwright.paper.marks import Fill, Glyphs, Mark, Path, Phrase, Point, Stroke, Tagged, joined
from pitwright.paper.sheet import Page, Sheet
from pitwright.paper.typeface import face, font_file, tidy

__all__ = ["pdf"]

_POINTS = 72 / 25.4
"""[pt/mm]"""
_FONTS = {False: "PitwrightSheet", True: "PitwrightSheet-Bold"}
_UNSEEN = 3
"""Text render mode: neither filled nor stroked."""


def pdf(sheet: Sheet) -> bytes:
    """The sheet as a PDF file. Same sheet, same bytes."""
    from reportlab.pdfgen.canvas import Canvas

    _register()
    out = BytesIO()
    first = sheet.pages[0].paper
    canvas = Canvas(
        out,
        pagesize=(first.width * _POINTS, first.height * _POINTS),
        invariant=1,
        pageCompression=1,
        lang=sheet.language,
    )
    canvas.setTitle(tidy(sheet.title))
    canvas.setSubject(tidy(sheet.subject))
    canvas.setAuthor("Pitwright")
    canvas.setCreator("Pitwright")
    for page in sheet.pages:
        canvas.setPageSize((page.paper.width * _POINTS, page.paper.height * _POINTS))
        _Writer(canvas, page).write(page.marks())
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _register() -> None:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    known = pdfmetrics.getRegisteredFontNames()
    for bold, name in _FONTS.items():
        if name not in known:
            pdfmetrics.registerFont(TTFont(name, BytesIO(font_file(bold))))


class _Writer:
    """Puts marks on one page; millimetres from the top left become points from the bottom left."""

    def __init__(self, canvas: Any, page: Page) -> None:
        self.canvas, self.high = canvas, page.paper.height

    def place(self, at: Point) -> Point:
        return at[0] * _POINTS, (self.high - at[1]) * _POINTS

    def write(self, marks: tuple[Mark, ...]) -> None:
        for mark in joined(marks):
            match mark:
                case Stroke():
                    self.stroke(mark)
                case Fill():
                    self.canvas.setFillGray(mark.grey)
                    self.canvas.drawPath(self.path(mark.path), stroke=0, fill=1)
                case Glyphs():
                    self.shapes(mark) if mark.as_shape else self.words([mark])
                case Phrase():
                    self.words([m for m in mark.marks if isinstance(m, Glyphs) and not m.as_shape])
                    self.write(
                        tuple(m for m in mark.marks if not isinstance(m, Glyphs) or m.as_shape)
                    )
                case Tagged():
                    self.write(mark.marks)

    def path(self, path: Path) -> Any:
        drawn = self.canvas.beginPath()
        here = (0.0, 0.0)
        for op, numbers in path:
            points = [self.place(p) for p in zip(numbers[0::2], numbers[1::2], strict=True)]
            match op:
                case "M":
                    drawn.moveTo(*points[0])
                case "L":
                    drawn.lineTo(*points[0])
                case "C":
                    drawn.curveTo(*points[0], *points[1], *points[2])
                case "Q":
                    drawn.curveTo(*_cubic(here, points[0], points[1]))
                case "Z":
                    drawn.close()
            here = points[-1] if points else here
        return drawn

    def stroke(self, mark: Stroke) -> None:
        c = self.canvas
        c.setStrokeGray(mark.grey)
        c.setLineWidth(mark.width * _POINTS)
        c.setLineJoin(1)
        c.setLineCap(0 if mark.dash and mark.dash[0] > 1.0 else 1)
        c.setDash([v * _POINTS for v in mark.dash])
        c.drawPath(self.path(mark.path), stroke=1, fill=0)

    def words(self, marks: Sequence[Glyphs]) -> None:
        """Runs of one baseline as one text object, so that a reader of the file gets one line."""
        if not marks:
            return
        c, s = cos(radians(marks[0].angle)), sin(radians(marks[0].angle))
        words = self.canvas.beginText()
        words.setTextTransform(c, s, -s, c, *self.place(marks[0].at))
        words.setFillGray(marks[0].grey)
        for mark in marks:
            natural = face(mark.bold).width(mark.text, mark.size)
            words.setFont(_FONTS[mark.bold], mark.size * _POINTS)
            words.setTextRenderMode(0 if mark.shown else _UNSEEN)
            words.setHorizScale(100 * mark.width / natural if natural else 100)
            words.textOut(mark.text.replace("\xa0", " "))
        words.setTextRenderMode(0)
        words.setHorizScale(100)
        self.canvas.drawText(words)

    def shapes(self, mark: Glyphs) -> None:
        """Letters as outlines: every point is turned and placed by ``at`` and ``angle``."""
        one, along = face(mark.bold), 0.0
        c, s = cos(radians(mark.angle)), sin(radians(mark.angle))
        self.canvas.setFillGray(mark.grey)
        for character in mark.text:
            steps = []
            for op, numbers in one.path(character):
                flat: list[float] = []
                for px, py in zip(numbers[0::2], numbers[1::2], strict=True):
                    a, u = along + px * mark.size, py * mark.size
                    flat += [mark.at[0] + a * c - u * s, mark.at[1] - a * s - u * c]
                steps.append((op, tuple(flat)))
            if steps:
                self.canvas.drawPath(self.path(tuple(steps)), stroke=0, fill=1, fillMode=1)
            along += one.width(character, mark.size)


def _cubic(start: Point, bend: Point, end: Point) -> tuple[float, ...]:
    """A quadratic curve as a cubic one: control points two thirds of the way to the bend."""
    return (
        start[0] + (bend[0] - start[0]) * 2 / 3,
        start[1] + (bend[1] - start[1]) * 2 / 3,
        end[0] + (bend[0] - end[0]) * 2 / 3,
        end[1] + (bend[1] - end[1]) * 2 / 3,
        *end,
    )
