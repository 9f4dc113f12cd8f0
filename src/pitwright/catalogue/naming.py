"""Names of pipe as a technician says them and as they are printed on pipe.

``1" sch 40``, ``1 in class 200``, ``SDR21 CLASS 200 PVC 1"``: every fact that is read narrows the
pipes down; a word that nobody here knows means that none of them is sure.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from pitwright.catalogue.parts import Pipe
from pitwright.units.kinds import PSI

__all__ = ["Likely", "likely", "plain_size"]

_INCH_MARKS = re.compile(r"\s*(?:inches|inch|in\b\.?|[\"″”]|'')", re.IGNORECASE)
_MIXED = re.compile(r"(?<![\d/.])(\d+)[\s-]+(\d+/\d+)(?!\d)")
_SIZE = re.compile(r"(?<![\w/.-])(\d+-\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(\s*mm\b)?(?![\w/])")
_GLYPHS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⁄": "/"}
_DECIMALS = {"0.5": "1/2", ".5": "1/2", "0.75": "3/4", "1.25": "1-1/4", "1.5": "1-1/2"}
_NOISE = frozenset({
    "in", "inch", "inches", "mm", "pipe", "tube", "size", "the", "a", "of", "old", "new",
    "white", "grey", "gray", "rigid", "plastic", "pressure", "rated", "rating", "pr", "pw",
    "nsf", "nsf-pw", "astm", "iso", "uns", "ips", "od", "nominal", "irrigation", "water",
    "line", "psi", "at", "metric",
})  # fmt: skip
"""Words that are printed or said beside a name and tell no pipe from another."""
_PRINTED = re.compile(
    r"\bd\s?\d{4}\b|\b(?:pvc|cpvc|pe)\s?(?:1120|1220|2110|2406|3408|4710|4120)\b(?!\s*mm)"
    r"|@|\b\d{2,3}\s?°?\s?[fc]\b"
)
"""Standards and material codes as they stand on pipe; the material itself is kept."""


@dataclass(frozen=True, slots=True)
class Likely:
    """Pipes that answer to all that was read of a name; ``sure`` when no word was left over."""

    pipes: tuple[Pipe, ...]
    sure: bool


def plain_size(text: str) -> str:
    """A nominal size as the shelf writes it: ``1`` for ``1"`` and ``1 inch``, ``1-1/4`` for 1.25.

    Source: none needed.
    """
    said = text.strip()
    for glyph, plain in _GLYPHS.items():
        said = said.replace(glyph, plain)
    said = _MIXED.sub(r"\1-\2", _INCH_MARKS.sub("", said)).strip()
    return _DECIMALS.get(said, said)


def likely(pipes: Iterable[Pipe], typed: str) -> Likely:
    """Every pipe that a name can mean, in the order of the shelf; none when nothing was read.

    Source: the pipes' own names; a class is the pressure its standard gives them.
    """
    rest, tests = _facts(typed)
    found = tuple(p for p in pipes if tests and all(test(p) for test in tests))
    left = [w for w in re.findall(r"[^\s,.()]+", rest) if w not in _NOISE]
    return Likely(found, bool(found) and not left)


Test = Callable[[Pipe], bool]


def _facts(typed: str) -> tuple[str, list[Test]]:
    """What a name says, and the words of it that said nothing."""
    text = _PRINTED.sub(_material_only, _tidied(typed))
    tests: list[Test] = []
    for pattern, test in _PATTERNS:
        found = re.search(pattern, text)
        if found:
            tests.append(test(found))
            text = f"{text[: found.start()]} {text[found.end() :]}"
    size = _SIZE.search(_MIXED.sub(r"\1-\2", _INCH_MARKS.sub(" ", text)))
    if size:
        wanted = f"{size[1]} mm" if size[2] else _DECIMALS.get(size[1], size[1])
        tests.append(lambda pipe: pipe.size == wanted)
        text = _SIZE.sub(" ", _MIXED.sub(r"\1-\2", _INCH_MARKS.sub(" ", text)), count=1)
    return text, tests


def _tidied(typed: str) -> str:
    text = typed.casefold()
    for glyph, plain in _GLYPHS.items():
        text = text.replace(glyph, plain)
    return text.replace("-wall", " wall")


def _material_only(found: re.Match[str]) -> str:
    word = re.match(r"cpvc|pvc|pe", found[0])
    return f" {word[0]} " if word else " "


def _said(words: str) -> Callable[[re.Match[str]], Test]:
    return lambda _: lambda pipe: words in pipe.name.casefold()


def _numbered(word: str) -> Callable[[re.Match[str]], Test]:
    def made(found: re.Match[str]) -> Test:
        said = re.compile(rf"\b{word} {re.escape(found[1])}(?![\d.])")
        return lambda pipe: said.search(pipe.name.casefold()) is not None

    return made


def _class(found: re.Match[str]) -> Test:
    """A pressure class: of pipe that has one ratio of diameter to wall [ASTM-D2241]."""
    rated = _rated(found)
    return lambda pipe: "sdr" in pipe.name.casefold() and rated(pipe)


def _rated(found: re.Match[str]) -> Test:
    """A pressure as it is printed on pipe."""
    psi = float(found[1])
    return lambda pipe: pipe.pressure is not None and abs(pipe.pressure / PSI - psi) < 0.5


def _thin(pipe: Pipe) -> bool:
    """Thin wall is PVC by its ratio of diameter to wall; common practice, no source."""
    return "in SDR" in pipe.name and pipe.name.endswith("PVC")


_PATTERNS: tuple[tuple[str, Callable[[re.Match[str]], Test]], ...] = (
    (r"\bsch(?:ed(?:ule)?)?\.?\s*-?\s*(\d+)", _numbered("schedule")),
    (r"\bsidr\s*-?\s*(\d+(?:\.\d+)?)", _numbered("sidr")),
    (r"\b(?:sdr|dr)\s*-?\s*(\d+(?:\.\d+)?)", _numbered("sdr")),
    (r"\bcl(?:ass)?\.?\s*-?\s*(\d{3})\b", _class),
    (r"\b(\d{3})\s*psi\b", _rated),
    (r"\btype\s+([klm])\b", _numbered("type")),
    (r"\bthin\s+wall(?:ed)?\b", lambda _: _thin),
    (r"\binch[- ]series\b", _said("inch-series")),
    (r"\bcopper tube size\b|\bcts\b", _said("copper tube size")),
    (r"\bcpvc\b", _said("cpvc")),
    (r"\bu?pvc(?:-u)?\b", lambda _: lambda pipe: "pvc" in pipe.name.casefold().split()),
    (r"\b(?:black\s+|insert\s+)?poly(?:ethylene)?\b|\bh?d?pe\b", _said("polyethylene")),
    (r"\bcopper\b", _said("copper tube type")),
    (r"\bgalvani[sz]ed(?:\s+(?:steel|iron))?\b|\bsteel\b|\bgalv\b", _said("galvanised")),
    (r"\basbestos(?:[- ]cement)?\b|\btransite\b", _said("asbestos cement")),
)
"""What is looked for in a name, one after the other, each taken out of it once read."""
