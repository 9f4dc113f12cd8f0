"""Make the fonts of the sheets: a subset of two faces, and their outlines as a small JSON file.

Run by a maintainer, never by users::

    python tools/make_font.py DejaVuSansCondensed.ttf DejaVuSansCondensed-Bold.ttf

The two inputs are DejaVu 2.37, as Debian's package ``fonts-dejavu-extra`` ships them. Needs
``fontTools``. The outlines let the SVG writer draw letters without asking any system for a font.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

from fontTools import subset
from fontTools.pens.basePen import BasePen
from fontTools.ttLib import TTFont

OUT = Path(__file__).resolve().parents[1] / "src" / "pitwright" / "paper" / "font"
NAMES = {"regular": "sheet-regular", "bold": "sheet-bold"}

RANGES = (
    (0x20, 0x7E),  # basic Latin
    (0xA0, 0x17F),  # Latin-1 and Latin Extended-A
    (0x218, 0x21B),  # Ș ș Ț ț
    (0x384, 0x3CE),  # Greek
    (0x400, 0x45F),  # Cyrillic
    (0x490, 0x491),  # Ґ ґ
    (0x2010, 0x2015),  # hyphens and dashes
    (0x2018, 0x201E),  # quotes
)
SINGLES = "†‡•…‰′″‹›⁄ €№™Ω←↑→↓↔↕↗↘↙↖⇒∂∆∑−√∞∠≈≠≤≥⌀■□▢▪▫▲△▶▷▼▽◀◆◇○●◦◯☐☑☒⚠✓✗⟂�"


def characters() -> list[int]:
    """Code points to keep, in order."""
    kept = {code for low, high in RANGES for code in range(low, high + 1)}
    return sorted((kept | {ord(c) for c in SINGLES}) - {0xAD})


class Outline(BasePen):
    """Collects one glyph as the words of an SVG path, in font units, y up."""

    def __init__(self, glyphs: object) -> None:
        super().__init__(glyphs)
        self.words: list[str] = []

    def _put(self, letter: str, *points: tuple[float, float]) -> None:
        self.words.append(letter + " ".join(f"{round(x)} {round(y)}" for x, y in points))

    def _moveTo(self, pt: tuple[float, float]) -> None:
        self._put("M", pt)

    def _lineTo(self, pt: tuple[float, float]) -> None:
        self._put("L", pt)

    def _qCurveToOne(self, pt1: tuple[float, float], pt2: tuple[float, float]) -> None:
        self._put("Q", pt1, pt2)

    def _closePath(self) -> None:
        self.words.append("Z")


def subset_of(source: Path, target: Path) -> TTFont:
    """Keep only what a sheet may say; drop hints, kerning and every table a PDF does not need."""
    options = subset.Options()
    options.hinting = False
    options.layout_features = []
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]
    options.notdef_outline = True
    options.recalc_timestamp = False
    options.drop_tables += ["FFTM", "GDEF", "GSUB", "GPOS", "kern", "MATH"]
    font = TTFont(source, recalcTimestamp=False)
    worker = subset.Subsetter(options)
    worker.populate(unicodes=characters())
    worker.subset(font)
    font.save(target)
    return TTFont(target)


def outlines_of(font: TTFont) -> dict[str, list[object]]:
    """Character -> [advance, path], in font units."""
    cmap, glyphs = font.getBestCmap(), font.getGlyphSet()
    found: dict[str, list[object]] = {}
    for code in sorted(cmap):
        pen = Outline(glyphs)
        glyphs[cmap[code]].draw(pen)
        found[chr(code)] = [font["hmtx"][cmap[code]][0], "".join(pen.words)]
    return found


def main(arguments: list[str]) -> None:
    """Write both faces, their outlines and the licence that came inside the font."""
    OUT.mkdir(parents=True, exist_ok=True)
    for (face, name), source in zip(NAMES.items(), arguments, strict=True):
        font = subset_of(Path(source), OUT / f"{name}.ttf")
        missing = [f"U+{c:04X}" for c in characters() if c not in font.getBestCmap()]
        head, hhea = font["head"], font["hhea"]
        data = {
            "face": face,
            "units_per_em": head.unitsPerEm,
            "ascent": hhea.ascent,
            "descent": hhea.descent,
            "glyphs": outlines_of(font),
        }
        text = json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        (OUT / f"{name}.json").write_text(text + "\n", encoding="utf-8")
        print(name, len(font.getBestCmap()), "characters;", "not in the font:", missing)
        (OUT / "LICENSE.txt").write_text(
            str(font["name"].getDebugName(13)).strip() + "\n", encoding="utf-8"
        )


if __name__ == "__main__":
    main(sys.argv[1:])
