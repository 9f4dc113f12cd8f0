"""What the record knows of work half done: joints made and pieces cut since a plan was kept."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.records.entry import Entry
from pitwright.records.fold import State

__all__ = ["AGAIN", "AGAIN_GONE", "Noted", "progress_tables"]

Tables = dict[str, object]
AGAIN, AGAIN_GONE = "measured again", "measured again, taken away"
"""What marks a reading as one taken while the work was under way, of a stub as it is now."""


@dataclass(frozen=True, slots=True)
class Noted:
    """A progress file's tables as the record tells them, and the entries it could not place.

    ``again`` are readings of stubs taken since, each with its path and as it was typed.
    """

    tables: Tables
    unplaced: tuple[str, ...]
    again: tuple[tuple[str, str], ...] = ()


def progress_tables(state: State, since: Entry, zones: Sequence[str]) -> Noted:
    """Joints and pieces noted after the plan ``since``, by zone, the newest cut of each letter.

    A joint is labelled by its number and a piece by its letter as the plan has them, after the
    zone's id where the plan has several zones: ``beds 3``, ``beds A``. Raises nothing: what is
    labelled otherwise is told in ``unplaced``. Source: docs/resume.md.
    """
    joints: dict[str, set[int]] = {}
    cuts: dict[str, dict[str, object]] = {}
    unplaced: list[str] = []
    for fact in (*state.of_kind("joint"), *state.of_kind("piece")):
        if fact.entry.header.lamport <= since.header.lamport:
            continue
        joint = fact.entry.header.kind == "joint"
        label = str(fact.value("label" if joint else "letter"))
        found = _placed(label, zones, joint=joint)
        if found is None:
            unplaced.append(label)
        elif joint:
            joints.setdefault(found[0], set()).add(int(found[1]))
        else:
            cuts.setdefault(found[0], {})[found[1]] = fact.value("cut", {}).get("typed", "")
    tables: dict[str, dict[str, object]] = {}
    for zone, numbers in joints.items():
        tables.setdefault(zone, {})["joints"] = sorted(numbers)
    for zone, lengths in cuts.items():
        tables.setdefault(zone, {})["cut"] = lengths
    again = tuple(
        (str(f.value("reading")), str(f.value("typed")))
        for f in state.of_kind("reading")
        if f.value("quantity") == AGAIN and f.entry.header.lamport > since.header.lamport
    )
    return Noted({"zone": tables}, tuple(unplaced), again)


_JOINT, _PIECE = re.compile(r"(?:joint )?(\d{1,2})"), re.compile(r"(?:piece )?([A-Z]|inlet|outlet)")


def _placed(label: str, zones: Sequence[str], *, joint: bool) -> tuple[str, str] | None:
    """The zone and the number or letter of a label, None when it is no such label."""
    text = " ".join(label.split())
    zone = next((z for z in sorted(zones, key=len, reverse=True) if text.startswith(f"{z} ")), None)
    if zone is None and len(zones) != 1:
        return None
    rest = text if zone is None else text[len(zone) + 1 :]
    found = (_JOINT if joint else _PIECE).fullmatch(rest)
    return None if found is None else (zone or zones[0], found[1])
