"""How sure a train is to close, in words: chances, what to trim last, what would help. [in, mm]"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from pitwright.tolerance.doubt import Doubt, Held, Remedy
from pitwright.units.inches import Rounding, both_text

__all__ = [
    "cause_words",
    "chance_lines",
    "chance_words",
    "held_pieces",
    "held_rolls",
    "holding_words",
    "letters_words",
    "short_chance",
]

_SHOWN = 3
_LEAST = 0.05
"""A cause of less than this is not worth a word. [-]"""
_TIP = ("to the right", "downstream", "up")
_PATTERNS = (
    (r"stub\.(?P<a>.+)\.tip\.(?P<n>[012])", "where {a} lies, {n}"),
    (r"stub\.(?P<a>.+)\.tip", "where {a} lies"),
    (r"stub\.(?P<a>.+)\.(?:faces|through).*", "which way {a} faces"),
    (r"cut\.(?P<a>inlet|outlet)", "the cut at the {a} stub"),
    (r"cut\.(?P<a>.+)", "the cut of piece {a}"),
    (r"seats", "how deep the joints seat"),
    (r"take-out\.(?P<a>.+)", "the take-out of {a}"),
    (r"length\.(?P<a>.+)", "the length of the {a}"),
    (r"angle\.(?P<a>.+)", "the angle of {a}"),
    (r"clock\.(?P<a>.+)", "how {a} is clocked"),
)


def _in_hundred(chance: float) -> str:
    """``93 in 100``; never 0 and never all of them."""
    return f"{min(99, max(1, round(100 * chance)))} in 100"


def cause_words(name: str) -> str:
    """What an error is of, in words; one nobody knows is shown as it is. Source: none needed."""
    for pattern, said in _PATTERNS:
        found = re.fullmatch(pattern, name)
        if found:
            named = found.groupdict()
            if "n" in named:
                named["n"] = _TIP[int(named["n"])]
            return said.format(**{k: v.replace('"', "") for k, v in named.items()})
    return name


def held_pieces(doubt: Doubt | None) -> tuple[str, ...]:
    """Letters of the pieces that are advised to be trimmed last. Source: docs/chances.md."""
    return doubt.advised.pieces if doubt is not None else ()


def held_rolls(doubt: Doubt | None) -> tuple[str, ...]:
    """Names of the bends that are advised to stay dry and be rolled. Source: docs/chances.md."""
    return doubt.advised.rolls if doubt is not None else ()


def letters_words(letters: Sequence[str]) -> str:
    """``A, B and C``. Source: none needed."""
    first = ", ".join(letters[:-1])
    return f"{first} and {letters[-1]}" if first else "".join(letters)


def holding_words(held: Held) -> str:
    """What is held back: ``trim A and C last ...; every bend dry until then``; "" for nothing."""
    if not held.pieces and not held.rolls:
        return ""
    pieces = letters_words(held.pieces)
    said = ""
    if pieces:
        said = (
            f"trim {pieces} last: leave long, mark in place at the dry fit with every joint drawn "
        )
        said += "out 1/64 in, so that all comes out a hair short, cut"
    if held.rolls:
        rolls = "every bend dry until then, to be rolled"
        said = f"{said}; {rolls}" if said else f"leave {rolls}"
    return said


def chance_words(held: Held) -> str:
    """``93 in 100 within 1/8 in, 97 in 100 within what the old pipe bears``. [-]"""
    said = f"{_in_hundred(held.eighth)} within 1/8 in"
    return f"{said}, {_in_hundred(held.flex)} within what old pipe and joints take up"


def short_chance(doubt: Doubt) -> str:
    """The advised way in a few words. [-] Source: docs/chances.md."""
    held = doubt.advised
    better = max(held.eighth, held.flex)
    return f"closes {_in_hundred(better)}"


def chance_lines(doubt: Doubt) -> Iterator[str]:
    """Chances as cut and with pieces held, causes, help, and how well cuts must be made. [in, mm]

    Source: docs/chances.md.
    """
    yield f"all cut at once: {chance_words(doubt.plain)}"
    advised = holding_words(doubt.advised)
    if advised:
        yield f"{advised}: {chance_words(doubt.advised)}"
    big = [s for s in doubt.shares[:_SHOWN] if s.share >= _LEAST]
    if big:
        told = ", ".join(f"{cause_words(s.name)} {s.share:.0%}" for s in big)
        yield f"most of the doubt: {told}"
    if doubt.help is not None:
        yield f"{_help(doubt.help)}: then {_in_hundred(doubt.help.eighth)} within 1/8 in"
    if doubt.cut_within > 0.0:
        within = both_text(doubt.cut_within, Rounding.NOT_LONGER)
        yield f"19 in 20 close as long as every cut is within ±{within}"


def _help(remedy: Remedy) -> str:
    said = {
        "two_points": "measure a second point far back on {of}",
        "measure_part": "measure {of} in your hand",
        "read_again": "read {of} again",
    }.get(remedy.code, remedy.code + " {of}")
    return said.format(of=_of(remedy))


def _of(remedy: Remedy) -> str:
    """What is measured, without the words that say how it errs."""
    words = cause_words(remedy.of)
    return words.removeprefix("the take-out of ").removeprefix("the length of ")
