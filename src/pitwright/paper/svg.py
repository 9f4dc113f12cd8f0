"""SVG: our own writer. Letters are drawn as outlines, so no system is asked for a font.

Everything a person typed goes through one escape, and only into ``title`` elements and attribute
values; the letters themselves are numbers. Lengths in [mm]. Same page, same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from pitwright.paper.marks import Fill, Glyphs, Mark, Path, Phrase, Rect, Stroke, Tagged, joined
from pitwright.paper.shapes import Shape
from pitwright.paper.sheet import Page, Sheet
from pitwright.paper.typeface import face, tidy

__all__ = ["svg_drawing", "svg_page", "svg_sheet"]

_ENTITIES = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"}


def escaped(text: str) -> str:
    """Text for an element or an attribute: no markup, no character XML forbids."""
    return "".join(_ENTITIES.get(c, c) for c in tidy(text))


def number(value: float, places: int = 3) -> str:
    """A number as short as it goes, never in exponent form, never minus zero."""
    shown = f"{value:.{places}f}".rstrip("0").rstrip(".") if places else f"{value:.0f}"
    return "0" if shown in ("-0", "") else shown


def _grey(value: float) -> str:
    level = round(255 * min(1.0, max(0.0, value)))
    return f"#{level:02x}{level:02x}{level:02x}"


def _path(path: Path) -> str:
    return "".join(op + " ".join(number(v, 2) for v in numbers) for op, numbers in path)


def _glyph_id(character: str, bold: bool, prefix: str) -> str:
    return f"{prefix}{'b' if bold else 'r'}{ord(character):x}"


class _Writer:
    """Turns marks into elements and remembers which letters they need."""

    def __init__(self, prefix: str) -> None:
        self.prefix = prefix
        self.needed: dict[str, str] = {}

    def elements(self, marks: Iterable[Mark]) -> Iterator[str]:
        for mark in joined(marks):
            match mark:
                case Stroke():
                    yield self.stroke(mark)
                case Fill():
                    yield f'<path d="{_path(mark.path)}" fill="{_grey(mark.grey)}"/>'
                case Glyphs():
                    yield from self.glyphs(mark)
                case Phrase():
                    yield f'<g role="img" aria-label="{escaped(mark.text)}">'
                    yield f"<title>{escaped(mark.text)}</title>"
                    yield from self.elements(mark.marks)
                    yield "</g>"
                case Tagged():
                    yield f'<g data-name="{escaped(mark.name)}">'
                    if mark.text:
                        yield f"<title>{escaped(mark.text)}</title>"
                    yield from self.elements(mark.marks)
                    yield "</g>"

    def stroke(self, mark: Stroke) -> str:
        dash = ""
        if mark.dash:
            dash = f' stroke-dasharray="{" ".join(number(v) for v in mark.dash)}"'
            if mark.dash[0] > 1.0:
                dash += ' stroke-linecap="butt"'
        return (
            f'<path d="{_path(mark.path)}" fill="none" stroke="{_grey(mark.grey)}" '
            f'stroke-width="{number(mark.width)}"{dash}/>'
        )

    def glyphs(self, mark: Glyphs) -> Iterator[str]:
        one = face(mark.bold)
        if not mark.shown or not mark.text.strip(" \xa0"):
            return
        scale = number(mark.size / one.units_per_em, 7)
        turn = f" rotate({number(-mark.angle)})" if mark.angle else ""
        at = f"{number(mark.at[0])} {number(mark.at[1])}"
        ink = f' fill="{_grey(mark.grey)}"' if mark.grey else ""
        yield f'<g transform="translate({at}){turn} scale({scale} -{scale})"{ink}>'
        along = 0
        for character in mark.text:
            advance, outline = one.glyphs[character]
            if outline:
                name = _glyph_id(character, mark.bold, self.prefix)
                self.needed[name] = outline
                yield f'<use href="#{name}" x="{along}"/>'
            along += advance
        yield "</g>"


def _document(
    marks: Sequence[Mark], box: Rect, title: str, described: str, language: str, prefix: str
) -> str:
    writer = _Writer(prefix)
    body = list(writer.elements(marks))
    left, top, right, bottom = box
    wide, high = number(right - left), number(bottom - top)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" '
        f'viewBox="{number(left)} {number(top)} {wide} {high}" xml:lang="{escaped(language)}" '
        f'role="img" aria-label="{escaped(title)}">',
        f"<title>{escaped(title)}</title>",
    ]
    if described:
        lines.append(f"<desc>{escaped(described)}</desc>")
    lines.append("<defs>")
    lines += [f'<path id="{name}" d="{d}"/>' for name, d in sorted(writer.needed.items())]
    lines.append("</defs>")
    lines.append(
        f'<rect x="{number(left)}" y="{number(top)}" width="{wide}" height="{high}" fill="#fff"/>'
    )
    lines.append('<g stroke-linecap="round" stroke-linejoin="round" fill="#000">')
    return "\n".join([*lines, *body, "</g>", "</svg>"]) + "\n"


def svg_page(page: Page, title: str, *, language: str = "en", prefix: str = "") -> str:
    """One page as an SVG document at paper size.

    ``prefix`` (letters and digits) keeps the ids of several drawings in one web page apart.
    """
    box = (0.0, 0.0, page.paper.width, page.paper.height)
    return _document(page.marks(), box, title, page.said, language, prefix)


def svg_sheet(sheet: Sheet) -> tuple[str, ...]:
    """Every page of a sheet, one SVG document each."""
    return tuple(svg_page(p, sheet.title, language=sheet.language) for p in sheet.pages)


def svg_drawing(
    shapes: Sequence[Shape],
    box: Rect,
    title: str,
    *,
    described: str = "",
    language: str = "en",
    prefix: str = "",
) -> str:
    """Shapes as an SVG document that shows ``box`` [mm]."""
    marks = [m for s in shapes for m in s.marks()]
    return _document(marks, box, title, described, language, prefix)
