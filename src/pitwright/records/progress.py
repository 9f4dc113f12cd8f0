"""What the record knows of work half done: joints made and pieces cut since a plan was kept.

Each time the work is resumed another stage of a zone begins. What is noted in a stage says so in
its label: ``beds 3`` is a joint of the plan, ``beds resumed 1 3`` one of the plan resumed once.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from pitwright.records.entry import Entry
from pitwright.records.fold import Fact, State

__all__ = [
    "AGAIN", "AGAIN_GONE", "Begun", "Noted", "labelled", "of_way", "progress_tables",
    "stage_of_path", "staged_path", "stages_of", "step_label",
]  # fmt: skip

Tables = dict[str, object]
AGAIN, AGAIN_GONE = "measured again", "measured again, taken away"
"""What marks a reading as one taken while the work was under way, of a stub as it is now."""
_RESUMED = "resumed"


@dataclass(frozen=True, slots=True)
class Begun:
    """A stage of a zone that was begun: its number from 1, the way gone on with and the one
    ``before``, and the progress it was worked out from, as a progress file has it. ``since`` is its
    place in the order. [-]
    """

    zone: str
    number: int
    way: str
    before: str
    tables: Tables
    since: int
    fact: Fact


@dataclass(frozen=True, slots=True)
class Noted:
    """A progress file's tables as the record tells them, and the entries it could not place.

    ``again`` are readings of stubs taken since, each with its path and as it was typed.
    """

    tables: Tables
    unplaced: tuple[str, ...]
    again: tuple[tuple[str, str], ...] = ()


def labelled(zone: str, stage: int, name: str | int) -> str:
    """The label of a joint, piece or step of a stage (0 is the plan). Source: docs/resume.md."""
    return f"{zone} {_RESUMED} {stage} {name}" if stage else f"{zone} {name}"


def step_label(zone: str, stage: int, number: int, code: str) -> str:
    """The label of a numbered step of a stage (0 is the plan). Source: docs/resume.md."""
    return labelled(zone, stage, f"step {number} {code}")


def staged_path(stage: int, path: tuple[str, ...]) -> tuple[str, ...]:
    """The path of a reading taken again in a stage."""
    return (f"{_RESUMED} {stage}", *path) if stage else path


def stage_of_path(path: tuple[str, ...]) -> tuple[int, tuple[str, ...]]:
    """The reverse of :func:`staged_path`."""
    found = re.fullmatch(rf"{_RESUMED} (\d{{1,3}})", path[0]) if path else None
    return (int(found[1]), path[1:]) if found else (0, path)


def stages_of(state: State, since: Entry) -> dict[str, tuple[Begun, ...]]:
    """The stages that were begun since a plan was kept, by zone, without a gap from the first.

    One that was begun before the stage it follows (which was taken back and begun anew) is left
    out. Raises nothing: what cannot be read is left out. Source: docs/resume.md.
    """
    by_zone: dict[str, list[Begun]] = {}
    for fact in state.of_kind("stage"):
        found = _begun(fact)
        if found is not None and found.since > since.header.lamport:
            by_zone.setdefault(found.zone, []).append(found)
    told: dict[str, tuple[Begun, ...]] = {}
    for zone, found_here in by_zone.items():
        kept: list[Begun] = []
        for one in sorted(found_here, key=lambda b: b.number):
            if one.number == len(kept) + 1 and (not kept or one.since > kept[-1].since):
                kept.append(one)
        told[zone] = tuple(kept)
    return told


def _begun(fact: Fact) -> Begun | None:
    zone, named = str(fact.value("zone")), str(fact.value("stage"))
    number = named.removeprefix(f"{zone} ")
    try:
        tables = json.loads(str(fact.value("progress")))
    except (ValueError, RecursionError):
        return None
    if not isinstance(tables, dict) or not (number.isdecimal() and len(number) < 3):
        return None
    since = fact.entry.header.lamport
    ways = str(fact.value("way")), str(fact.value("before"))
    return Begun(zone, int(number), *ways, tables, since, fact)


def of_way(fact: Fact, way: str) -> bool:
    """Whether an entry is of a way, as far as either is known: the same label may be of another."""
    return str(fact.value("way")) in ("", way) or not way


def progress_tables(
    state: State, since: Entry, zones: Sequence[str], ways: Mapping[str, str] | None = None
) -> Noted:
    """What was noted in the newest stage of each zone: joints, the newest cut and mark of each
    letter.

    A joint is labelled by its number and a piece by its letter as the plan has them, after the
    zone's id where the plan has several zones: ``beds 3``, ``beds A``. ``ways`` are those being
    built, by zone: what was noted of another one is left out. Raises nothing: what is
    labelled otherwise, or came late for a stage that is past, is told in ``unplaced``. Source:
    docs/resume.md.
    """
    stages = stages_of(state, since)
    tables: dict[str, dict[str, object]] = {}
    unplaced: list[str] = []
    when: dict[tuple[str, str, str], int] = {}
    for fact in (*state.of_kind("joint"), *state.of_kind("piece"), *state.of_kind("mark")):
        kind, at = fact.entry.header.kind, fact.entry.header.lamport
        if at <= since.header.lamport:
            continue
        label = str(fact.value("label" if kind == "joint" else "letter"))
        found = _placed(label, zones, joint=kind == "joint")
        if found is not None and not of_way(fact, (ways or {}).get(found[0], "")):
            continue
        begun = stages.get(found[0], ()) if found else ()
        if found is None or (found[1] < len(begun) and at > begun[-1].since):
            unplaced.append(label)
        elif found[1] == len(begun) and (not begun or at > begun[-1].since):
            _note(tables.setdefault(found[0], {}), kind, found[2], fact)
            when[found[0], kind, found[2]] = at
    _trimmed_since(tables, when)
    again = tuple(
        (str(f.value("reading")), str(f.value("typed")))
        for f in state.of_kind("reading")
        if f.value("quantity") == AGAIN and f.entry.header.lamport > since.header.lamport
    )
    return Noted({"zone": tables}, tuple(unplaced), again)


def _note(table: dict[str, object], kind: str, name: str, fact: Fact) -> None:
    """One entry into its table; a joint cut out since, or a piece to be made again, goes out."""
    gone = fact.value("made") == "no"
    if kind == "joint":
        made = table.setdefault("joints", [])
        assert isinstance(made, list)  # nothing else is put there
        table["joints"] = sorted({*made} - {int(name)} if gone else {*made, int(name)})
        return
    if gone:
        return
    key, slot = ("cut", "cut") if kind == "piece" else ("marked", "marked")
    lengths = table.setdefault(key, {})
    assert isinstance(lengths, dict)  # nothing else is put there
    typed = fact.value(slot, {})
    lengths[name] = typed.get("typed", "") if isinstance(typed, Mapping) else ""


def _trimmed_since(
    tables: Mapping[str, dict[str, object]], when: Mapping[tuple[str, str, str], int]
) -> None:
    """A piece marked at the dry fit after it was cut is trimmed to the mark: that cut is past."""
    for zone, table in tables.items():
        cut, marked = table.get("cut", {}), table.get("marked", {})
        assert isinstance(cut, dict) and isinstance(marked, dict)  # nothing else is put there
        for letter in [name for name in cut if name in marked]:
            if when[zone, "mark", letter] > when[zone, "piece", letter]:
                del cut[letter]
        if not cut:
            table.pop("cut", None)


_JOINT = re.compile(r"(?:joint )?(\d{1,2})")
_PIECE = re.compile(r"(?:piece )?([A-Z]|inlet|outlet)")
_STAGE = re.compile(rf"{_RESUMED} (\d{{1,2}}) (.*)")


def _placed(label: str, zones: Sequence[str], *, joint: bool) -> tuple[str, int, str] | None:
    """The zone, the stage and the number or letter of a label, None when it is no such label."""
    text = " ".join(label.split())
    zone = next((z for z in sorted(zones, key=len, reverse=True) if text.startswith(f"{z} ")), None)
    if zone is None and len(zones) != 1:
        return None
    rest = text if zone is None else text[len(zone) + 1 :]
    staged = _STAGE.fullmatch(rest)
    stage, rest = (int(staged[1]), staged[2]) if staged else (0, rest)
    found = (_JOINT if joint else _PIECE).fullmatch(rest)
    return None if found is None else (zone or zones[0], stage, found[1])
