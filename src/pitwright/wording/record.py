"""What an entry of the record says in one line, and what is said about the record itself.

A body comes as a plain mapping: lengths as typed, everything else as text.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

__all__ = [
    "CAUTIONS",
    "FORK",
    "KIND",
    "STANDING",
    "WITHHELD",
    "chance_text",
    "entry_text",
    "moment",
]

Body = Mapping[str, Any]

KIND = {
    "person": "person",
    "property": "property",
    "pit": "pit",
    "tie": "tie",
    "part": "part",
    "wire": "wire",
    "splice": "splice",
    "reading": "reading",
    "finding": "found",
    "clue": "clue",
    "plan": "plan",
    "wiring": "wiring",
    "joint": "joint made",
    "piece": "as cut",
    "mark": "as marked",
    "stage": "work resumed",
    "choice": "way chosen",
    "step": "step",
    "test": "test",
    "outcome": "outcome",
    "paper": "paper issued",
    "note": "note",
    "retract": "taken back",
    "redo": "put back",
    "redate": "dated again",
    "erase": "erased on request",
}
STANDING = {
    "holds": "",
    "one of several": "one of several: settle which holds",
    "superseded": "superseded",
    "taken back": "taken back",
    "not here": "not here: erased, or not arrived yet",
    "newer": "written by a newer version",
}
WITHHELD = (
    "Something here was written by a newer version: no conclusion is drawn. Update Pitwright."
)
FORK = "Two entries claim one place: a backup was put back or a record copied. Both are kept."
CAUTIONS = (
    "A tie leads to the place, not to the depth: probe by hand before you dig.",
    "Before digging, have the buried utilities located.",
    "Local codes, the maker's sheet and licensed trades come first.",
)
SHEET_FOOT = (
    "From the record as it stood. Local codes, the maker's sheet and licensed trades come first."
)
SHEET_PAGE = "page {page} of {pages}"
SHEET_SUBJECT = "What lies here, and what was done"
WHERE = "Where it lies"
WHAT = "What was done, oldest first"
MIND = "Before you dig"
HISTORY_HEAD = ("when", "what", "said", "by")
NOTHING = "Nothing was entered yet."
NOT_TO_SCALE = "not to scale: the marks were not taped to each other"
TAPES_MISS = "not to scale: these tapes cannot meet, tape again"
_PATTERNS: Mapping[str, tuple[str, ...]] = {
    "person": ("{name}",),
    "property": ("{name}", "owner {owner}", "{address}"),
    "pit": ("{label}", "{what}", "zones {zones}", "{depth} deep"),
    "tie": ("{thing}", "{a} from {mark_a}", "{b} from {mark_b}", "marks {between} apart", "{side}"),
    "part": ("{name}", "{what}", "{size}", "{material}", "zone {zone}", "{depth} deep"),
    "wire": (
        "{name}", "{colour}", "{gauge}", "from {start}", "to {end}", "zone {zone}", "{length} long",
    ),
    "splice": ("{where}", "{what}", "wires {wires}", "{depth} deep"),
    "reading": ("{reading}", "{typed}", "{quantity}", "zone {zone}", "with {tool}"),
    "finding": ("{what}", "at {place}", "{depth} deep", "{sure}"),
    "clue": ("{seen}", "may mean {may_mean}", "check: {check}", "{sure}"),
    "plan": ("{title}", "{summary}", "by {program}"),
    "wiring": ("{title}", "{summary}", "by {program}"),
    "joint": ("{label}", "{what}", "{cement}"),
    "piece": ("{letter}", "{cut}", "planned {planned}"),
    "mark": ("{letter}", "{marked}", "planned {planned}"),
    "stage": ("{stage}", "{summary}", "{way}"),
    "choice": ("{zone}", "{way}"),
    "test": ("{what}", "{result}", "{value} {unit}", "zone {zone}"),
    "outcome": ("closed {closed}", "held {held}", "cured {cured}", "zone {zone}"),
    "paper": ("{number}", "{title}"),
    "note": ("{text}",),
    "retract": ("{reason}",),
    "redate": ("{reason}",),
    "erase": ("{reason}",),
}  # fmt: skip


class _Said(dict[str, str]):
    """Remembers whether every word of a pattern was there."""

    whole = True

    def __missing__(self, key: str) -> str:
        self.whole = False
        return ""


def _flat(value: Any) -> str:
    if isinstance(value, Mapping):
        return str(value.get("typed", ""))
    if isinstance(value, list):
        return ", ".join(str(v) for v in value)
    return str(value)


def entry_text(kind: str, body: Body) -> str:
    """One line for an entry: "riser 2: 7 ft 3 in from the gate post, …"."""
    words = {k: " ".join(_flat(v).split()) for k, v in body.items()}
    if kind == "step":
        return _step_text(words)
    if kind == "joint" and "what" in words:
        words["label"] = f"joint {words.get('label', '')}"
    said = []
    for pattern in _PATTERNS.get(kind, ()):
        known = _Said(words)
        text = pattern.format_map(known)
        if known.whole and text.strip():
            said.append(text)
    if words.get("made") == "no":
        said.append("no longer: made again")
    if "note" in words:
        said.append(words["note"])
    if len(said) > 1 and kind not in ("outcome", "property", "person"):
        return f"{said[0]}: {', '.join(said[1:])}"
    return ", ".join(said)


def _step_text(words: Mapping[str, str]) -> str:
    """What was done in the step's own words; in one kept before it had any, by its name."""
    named = re.sub(r"(step \d+) (\w+)$", r"\1: \2", words.get("step", "")).replace("_", " ")
    said = words.get("what", named).rstrip(".")
    state = {"yes": "done", "no": "open again"}.get(words.get("done", ""), "")
    note = words.get("note", "")
    return "; ".join(part for part in (said, state, note) if part)


def standing_text(kind: str, standing: str) -> str:
    """What became of an entry; nothing while it holds. A reading is rather read again."""
    if (kind, standing) == ("reading", "superseded"):
        return "read again since"
    return STANDING[standing]


def plan_summary(planned: int, refused: int) -> str:
    """How many zones of a pit a plan answers."""
    zones = f"{planned} zone{'s' * (planned != 1)} planned"
    return f"{zones}, {refused} refused" if refused else zones


def sheet_title(land: str, pit: str) -> str:
    """Over the history of a pit."""
    return f"{land}, {pit}: history" if land else f"{pit}: history"


def scale_text(one_to: int) -> str:
    """Under a drawing: one millimetre on paper stands for so many. [-]"""
    return f"seen from above, 1:{one_to}"


def moment(start: str, end: str) -> str:
    """A span as a person reads it: a day, a month, a year, a minute, or from-to."""
    day, time = start[:10], start[11:16]
    last, until = end[:10], end[11:16]
    if start == end:
        return f"{day} {time}"
    if (time, until) == ("00:00", "23:59"):
        if day == last:
            return day
        if day[5:] == "01-01" and last[5:] == "12-31" and day[:4] == last[:4]:
            return day[:4]
        if day[:7] == last[:7] and day[8:] == "01" and int(last[8:]) >= 28:
            return day[:7]
        return f"{day} to {last}"
    if day == last:
        return f"{day} {time}-{until}"
    return f"{day} {time} to {last} {until}"


def chance_text(likely: float, low: float, high: float, troubles: int, years: float) -> str:
    """The chance of trouble in the next year [-] from what was seen in so many years [yr]."""
    times = {0: "no trouble", 1: "1 trouble"}.get(troubles, f"{troubles} troubles")
    return (
        f"{likely * 100:.0f} % in the next year ({low * 100:.0f} to {high * 100:.0f} %), from "
        f"{times} in {years:.1f} years"
    )
