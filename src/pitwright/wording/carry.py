"""The words of the carry file, its form, and what becomes of its notes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from pitwright.wording.clocks import HOLD_UNTIL, LEFT, OVER, SET_UNTIL, WATER_ON

__all__ = ["NOTES", "PAGE", "made_line", "noted_lines", "refused_line"]

PAGE: Mapping[str, str] = MappingProxyType(
    {
        "kind": "Carry file",
        "drawing": "Drawing",
        "before": "Before anything is cut",
        "zones": "Plan",
        "readings": "Readings",
        "wiring": "Wiring",
        "known": "What the record knows",
        "card": "Box card",
        "load": "To load",
        "notes": "Notes",
        "cautions": "Cautions",
        "contents": "On this page",
        "joints": "Joints",
        "bench": "bench",
        "number": "way",
        "pit": "pit",
        "read_only": "This page is read-only and asks nobody for anything. "
        "What you note stays on this phone until you export it.",
        "places": "Where the fault may be",
        "next": "Next tests",
        "still": "Drawings that stand still",
        "no_script": "No script runs here: note on paper what you read and cut.",
    }
)
"""Headings and lines of the page."""

NOTES: Mapping[str, str] = MappingProxyType(
    {
        "as_cut": "As cut",
        "note": "Note",
        "made": "Made",
        "done": "Done",
        "undone": "done",
        "what": "What was read",
        "typed": "As read",
        "zone": "Zone, if it is of one",
        "more": "Anything else",
        "note_reading": "Note this reading",
        "note_words": "Note these words",
        "back": "Take back",
        "again": "Put back",
        "save": "Save the notes as a file",
        "copy": "Copy the notes as text",
        "text": "The notes as text: save it as a file, then import it",
        "copied": "Copied. Paste it into a message, save it as a file, then import it.",
        "not_copied": "Select the text below and copy it by hand.",
        "saved": "Saved as a file. Import it: pitwright record import FILE",
        "none": "Nothing is noted yet.",
        "kept": "Kept on this phone, also when it is locked.",
        "not_kept": "This browser keeps nothing when the page is closed: "
        "export before you lock the phone.",
        "full": "This phone keeps no more: export now.",
        "length": "must be a length, such as 4 3/8, 1 ft 2 1/2, 11 cm or 111 mm",
        "empty": "is empty: write what was read",
        "read_as": "read as",
        "longer": "longer than planned",
        "shorter": "shorter than planned",
        "as_planned": "as planned",
        "joint": "joint",
        "piece": "piece",
        "reading": "reading",
        "words": "words",
        "taken_back": "taken back",
        "noted": "noted",
        "hold_until": HOLD_UNTIL,
        "set_until": SET_UNTIL,
        "water_on": WATER_ON,
        "left": LEFT,
        "over": OVER,
        "write_down": "This browser keeps nothing: write this time down.",
        "set_back": "This phone's clock was set back: go by a watch.",
    }
)
"""What the page's script says, by the name it asks for."""


def made_line(made: str, program: str, recorded: bool) -> str:
    """When it was made and from what."""
    whence = "from the record" if recorded else "from a survey file"
    return f"Made {made} by {program}, {whence}. Newer readings make it stale: make it again."


def refused_line() -> str:
    """What stands under a zone that has no plan."""
    return "Refused: nothing on the shelf closes it. Nearest first:"


def noted_lines(taken: int, known: int, back: int, stale: bool, redated: int) -> list[str]:
    """What became of the notes of a phone."""
    lines = [f"{taken} note{'s' * (taken != 1)} taken in, {known} known already"]
    if back:
        lines.append(f"{back} taken back on the phone")
    if stale:
        lines.append(
            "! planned again since this carry file was made: "
            "what was noted of pieces and joints is of the older plan"
        )
    if redated:
        lines.append(f"! the phone's clock ran ahead: {redated} dated by this machine's instead")
    return lines
