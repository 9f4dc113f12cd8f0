"""The words of the pit sheet: its headings, and the short lines that only paper has. [in, mm]"""

from __future__ import annotations

from collections.abc import Container, Sequence
from datetime import datetime

from pitwright.load.pick_list import PickLine, consumables
from pitwright.renewal.option import Option, StubWork
from pitwright.survey.pit import Survey
from pitwright.trains.cut_list import Bend, Piece
from pitwright.units.inches import Rounding, both_text, inches_text
from pitwright.units.kinds import DEGREE
from pitwright.wording.chances import short_chance
from pitwright.wording.findings import within_words
from pitwright.wording.plan import bend_words, closing_words, ends_words, left_over, train_words
from pitwright.wording.steps import LEFT_LONG, giver_words, water_words

__all__ = [
    "BEFORE",
    "CAUTIONS",
    "CUT_HEAD",
    "FOOT",
    "LOAD",
    "LOAD_HEAD",
    "OPTIONS",
    "OPTIONS_HEAD",
    "PAGE",
    "REFUSED",
    "STEPS",
    "STOP",
    "STOPS",
    "bend_line",
    "caption",
    "cut_line",
    "depth_line",
    "first_long",
    "load_rows",
    "option_line",
    "option_row",
    "parts_line",
    "piece_row",
    "pit_line",
    "steps_title",
    "stub_line",
    "title",
    "tools_line",
    "zone_title",
]

FOOT = (
    "Planned from readings: measure again before a cut. "
    "Local codes, the maker's sheet and licensed trades come first."
)
PAGE = "page {page} of {pages}"
BEFORE = "Before anything is cut"
REFUSED = "Refused"
LOAD = "To load, for the option shown of each zone"
CAUTIONS = "Cautions"
STEPS = "Steps"
OPTIONS = "Other ways, side by side"
OPTIONS_HEAD = ("", "what stays, and the train", "parts", "bends old pipe", "closes", "water on")
CUT_HEAD = ("piece", "cut to", "between", "done")
LOAD_HEAD = ("item", "need", "spare", "on truck", "to load")
STOP = "STOP. "
"""What stands before a finding that stops the work."""
STOPS = "STOP"
"""How a line about a stop begins, whoever wrote it."""
_VIEWS = {"plan": "plan view", "elevation": "elevation", "isometric": "isometric"}


def title(survey: Survey) -> str:
    """The head of the first page."""
    return f"Pit sheet: {survey.name}"


def pit_line(survey: Survey) -> str:
    """Where coordinates start, which way is downstream, when it was opened."""
    said = []
    if survey.datum:
        said.append(f"Datum: {survey.datum}.")
    if survey.downstream:
        said.append(f"Downstream: {survey.downstream}.")
    if survey.opened:
        said.append(f"Opened {survey.opened}.")
    return " ".join(said)


def caption(view: str, one_to: float, bent: int = 0) -> str:
    """What is seen, one to how much, and how many times too far pipe is drawn bent. [-]"""
    said = f"{_VIEWS[view]}, 1:{one_to:g}"
    return f"{said}; bent pipe (dashed) drawn {bent} times" if bent else said


def zone_title(name: str, option: Option) -> str:
    """The zone, and its train in a few words."""
    return f"{name}: {train_words(option)}"


def piece_row(piece: Piece, held: Sequence[str] = ()) -> tuple[str, str, str, str]:
    """One row of the cut list; the last cell is to be ticked. [in, mm]

    ``held`` are the letters of the pieces that are trimmed last.
    """
    between = f"{piece.before} to {piece.after}".replace("bend ", "bend\xa0")
    cell = [both_text(piece.length), first_long(piece, held)]
    if piece.within > 0.0:
        cell.insert(1, within_words(piece.within))
    return (piece.letter, "\n".join(filter(None, cell)), between, "□")


def first_long(piece: Piece, held: Sequence[str]) -> str:
    """How long a piece is cut at first that is trimmed last; nothing for another. [in]"""
    return f"first {inches_text(piece.length + LEFT_LONG)}" if piece.letter in held else ""


def depth_line(pieces: Sequence[Piece]) -> str:
    """How deep each piece goes in, for the depth marks. [in]"""
    each = [
        f"{p.letter} {inches_text(p.depth_before)} and {inches_text(p.depth_after)}" for p in pieces
    ]
    return f"Depth marks: {'; '.join(each)}." if each else ""


def stub_line(work: StubWork) -> str:
    """What comes off a stub, and what stays for next time. [in, mm]"""
    cut = f"Cut {both_text(work.cut)} off" if work.cut > 0.0 else "Only a clean end at"
    if work.left is None:
        return f"{cut} {work.stub}."
    left = both_text(work.left, Rounding.NOT_LONGER)
    return f"{cut} {work.stub}; straight pipe left for next time: {left}."


def cut_line(work: StubWork) -> str:
    """What stands beside a cut mark. [in, mm]"""
    return f"cut {both_text(work.cut)} off {work.stub}"


def bend_line(bend: Bend, number: int) -> str:
    """A bend's angle and clocking. [°]"""
    name = bend.name[:1].upper() + bend.name[1:]
    return f"{name} ({bend.angle / DEGREE:g}°): {bend_words(bend, number)}."


def parts_line(option: Option) -> str:
    """Every fitting with its count, and the pipe. [in, mm]"""
    parts = ", ".join(f"{count} × {name}" for name, count in option.parts)
    pipe = f"{both_text(option.pipe, Rounding.NOT_SHORTER)} of {option.pipe_name}"
    return f"Parts: {parts}; {pipe}." if option.pipe > 0.0 else f"Parts: {parts}."


def option_line(option: Option) -> str:
    """How it begins at each stub, by how much it misses, and what closing asks. [in, mm, °, lb]"""
    ends, asks = ends_words(option), closing_words(option)
    told = f"{asks[:1].upper()}{asks[1:]}"
    return f"{ends[:1].upper()}{ends[1:]}. As cut, {left_over(option)}. {told}."


def option_row(option: Option, number: int, began: datetime | None) -> tuple[str, ...]:
    """One option of the page where all stand side by side. [%, in]"""
    closed = option.bending.judged
    bends = f"{closed.upper:.0%}" if closed.bends else "no"
    if option.digging:
        bends += f"\ndig {both_text(option.digging, Rounding.NOT_SHORTER)}"
    sure = short_chance(option.doubt) if option.doubt is not None else "not worked out"
    done = "" if option.assembly is None else water_words(option.assembly, began)
    stays = f"keeps {' and '.join(option.keeps)}; " if option.keeps else ""
    return (
        f"{number}",
        f"{option.way}: {stays}{train_words(option)}",
        f"{option.train.parts}",
        bends,
        sure.removeprefix("closes "),
        done.removeprefix("water on "),
    )


def steps_title(option: Option, began: datetime | None) -> str:
    """The heading over a zone's steps: what closes it last, and when water may come."""
    assert option.assembly is not None  # the caller looked
    said = f"{giver_words(option.assembly)}; {water_words(option.assembly, began)}"
    return f"{STEPS}: {said}"


def load_rows(
    lines: Sequence[PickLine], pipes: Sequence[tuple[str, float]]
) -> tuple[tuple[str, ...], ...]:
    """The load list, fittings first, then pipe by length. [in, mm]"""
    rows = [
        (line.item, str(line.need), str(line.spare), str(line.on_truck), str(line.to_load))
        for line in lines
    ]
    for name, length in pipes:
        rows.append((name, "", "", "", both_text(length, Rounding.NOT_SHORTER)))
    return tuple(rows)


def tools_line(wants: Container[str]) -> str:
    """Consumables and tools in one line, for what the work is. Source: the table's own."""
    return "Also: " + "; ".join(f"{item} ({much})" for item, _, much in consumables(wants)) + "."
