"""The papers of a pit, drawn when they are asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from pitwright import __version__
from pitwright.carry.content import Base, Carried, Wiring
from pitwright.carry.page import carry_page
from pitwright.errors import Missing
from pitwright.pages.close import leaving
from pitwright.pages.readings import is_survey
from pitwright.pages.stage_scene import plan_now
from pitwright.pages.standing import Pit
from pitwright.paper.harness_sheet import harness_svg
from pitwright.paper.owner import box_card_pdf, owner_pdf
from pitwright.paper.pit_history import History, history_pdf
from pitwright.paper.pit_sheet import pit_sheet_pdf
from pitwright.records.pits import plans_of
from pitwright.wording.record import KIND, entry_text

__all__ = ["PAPERS", "carry_file", "paper_of"]

PROGRAM = f"pitwright {__version__}"
_CARRIED = (
    "tie",
    "part",
    "finding",
    "clue",
    "reading",
    "joint",
    "piece",
    "mark",
    "stage",
    "test",
    "outcome",
    "note",
)

PAPERS: Mapping[str, str] = {
    "history.pdf": "",
    "pit-sheet.pdf": "plan",
    "owner.pdf": "plan",
    "owner-a4.pdf": "plan",
    "box-card.pdf": "plan",
    "harness.svg": "prove",
}
"""Each paper, and what it needs worked out."""


def carry_file(pit: Pit, heads: Mapping[str, Sequence[str]], now: datetime) -> str:
    """The pit as one page that opens anywhere. Raises Missing while there is no plan."""
    plan = plan_now(pit)
    if plan is None:
        raise Missing("plan", "measure what is missing first, or wait until it is worked out")
    saved = plans_of(pit.state)
    base = Base(
        pit.place.site, pit.place.subject, pit.place.name, saved[-1].id if saved else "", heads
    )
    wired = pit.wired
    wiring = Wiring(wired.harness, wired.answer, ()) if wired and wired.answer else None
    known = tuple(
        f"{f.happened.start[:10]}  {KIND.get(kind, kind)}: {entry_text(kind, f.body or {})}"
        for kind in _CARRIED
        for f in pit.state.of_kind(kind)
        if not is_survey(f.body)
    )
    stages = {g.zone: g.number for g in pit.goings if g.begun}
    made = f"{now:%Y-%m-%d %H:%M}"
    land, notes = pit.land.name, tuple(str(f.value("text")) for f in pit.state.of_kind("note"))
    carried = Carried(plan, base, made, PROGRAM, wiring, known, land, pit.ties, notes, stages)
    return carry_page(carried)


def paper_of(pit: Pit, name: str, now: datetime) -> tuple[str, str, bytes]:
    """File name, media type and bytes. Raises Missing where there is nothing to draw yet."""
    if name == "harness.svg":
        if pit.wired is None or pit.wired.answer is None:
            raise Missing("wiring", "lay the wiring out under Prove first")
        return name, "image/svg+xml", harness_svg(pit.wired.harness, pit.wired.answer, ())
    return name, "application/pdf", _pdf(pit, name, now)


def _pdf(pit: Pit, name: str, now: datetime) -> bytes:
    if name == "history.pdf":
        return history_pdf(
            History(pit.land.name, pit.place.name, pit.events, pit.ties, pit.people), "letter"
        )
    if name == "pit-sheet.pdf":
        plan = plan_now(pit)
        if plan is None:
            raise Missing("plan", "measure what is missing first, or wait until it is worked out")
        return pit_sheet_pdf(plan, "letter")
    if any(g.status == "working" for g in pit.goings):
        raise Missing("plan", "wait until what was resumed is worked out, then ask again")
    left = leaving(pit, now)
    if name == "box-card.pdf":
        return box_card_pdf(left, "letter")
    return owner_pdf(left, "a4" if name == "owner-a4.pdf" else "letter")
