"""What was really cut: a piece, what came off a stub, a length marked in place at the dry fit."""

from __future__ import annotations

from pitwright.errors import BadInput
from pitwright.pages import fields
from pitwright.pages.asked import Asked, Taken, Want
from pitwright.pages.doing import Doing, doings
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import trouble_of
from pitwright.pages.readings import Typed
from pitwright.pages.standing import Going, Pit
from pitwright.records.fold import Fact
from pitwright.records.kinds import slug
from pitwright.records.progress import labelled
from pitwright.units.inches import both_text
from pitwright.units.measure import measure

__all__ = ["as_cut", "take_as_cut"]

_SAME = 2e-4
"""What differs less is as planned. [m]"""


def _known(pit: Pit, going: Going, kind: str, letter: str) -> Fact | None:
    """The newest entry of a letter at the newest stage."""
    since = going.begun[-1].since if going.begun else -1
    found = pit.fact(kind, letter=letter)
    return found if found is not None and found.entry.header.lamport > since else None


def _typed(known: Fact | None, slot: str) -> str:
    return str((known.value(slot, {}) or {}).get("typed", "")) if known else ""


def as_cut(pit: Pit, asked: Asked, going: Going, doing: Doing) -> Html:
    """The form for how a piece or a stub was really cut."""
    letter = labelled(going.zone, going.number, doing.cuts)
    typed = _typed(_known(pit, going, "piece", letter), "cut")
    name = f"cut-{slug(letter)}"
    inner = asked.own(name)
    stub = doing.cuts in ("inlet", "outlet")
    asks = f"Really cut off the {doing.cuts} stub" if stub else f"Piece {doing.cuts} as cut"
    return h(
        "details",
        h("summary", f"As really cut{': ' + typed if typed else ''}"),
        _compared("Cut to" if not stub else "Cut off", typed, doing.length),
        fields.form(
            inner,
            f"{pit.home}/build",
            fields.hidden("letter", letter),
            fields.hidden("planned", both_text(doing.length).partition(" (")[0]),
            fields.length(inner, name, asks, typed),
            name=name,
            seen=pit.count,
            button="Save its length",
        ),
        open=bool(inner.trouble) or None,
    )


def _compared(word: str, typed: str, planned: float) -> Child:
    if not typed:
        return ""
    off = measure(typed, default="in").si - planned
    differs = f"{both_text(abs(off))} too {'long' if off > 0 else 'short'}"
    said = "as planned" if abs(off) < _SAME else differs
    return h("p", f"{word} {typed}: {said}.", class_="echo")


def take_as_cut(pit: Pit, asked: Asked) -> Taken:
    """A length as it was really cut, or what is wrong with it at its field."""
    letter = asked.said("letter")
    name = f"cut-{slug(letter)}"
    for going in pit.goings:
        for doing in doings(going.stage) if going.status == "ready" else ():
            if doing.cuts and labelled(going.zone, going.number, doing.cuts) == letter:
                try:
                    typed = with_unit(pit, asked.said(name))
                except BadInput as mistake:
                    return Taken(trouble={name: trouble_of(mistake)})
                body = {"letter": letter, "cut": typed, "planned": asked.said("planned")}
                return Taken((Want("piece", body, f"piece/{slug(letter)}"),), f"{pit.home}/build")
    return Taken(trouble={name: "That piece is no longer there: look at the steps again."})


def with_unit(pit: Pit, said: str) -> str:
    """A length as typed, with the pit's unit where it has none of its own and inches are not it.

    Raises BadInput for no length, or one that no piece has.
    """
    unit = pit.readings.get(("pit", "unit"), Typed("in")).text
    typed = said.strip()
    if unit == "in":
        measure(typed, default="in", where="length", low=0.0, high=20.0)
        return typed
    measure(typed, default=unit, where="length", low=0.0, high=20.0)
    bare = measure(typed, default="in").si != measure(typed, default=unit).si
    return f"{typed} {unit}" if bare else typed
