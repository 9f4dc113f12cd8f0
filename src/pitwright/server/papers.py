"""The papers of a pit, drawn when they are asked for."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from pitwright.errors import Missing
from pitwright.pages.close import leaving
from pitwright.pages.scenes import plan_as_chosen
from pitwright.pages.standing import Pit
from pitwright.paper.harness_sheet import harness_svg
from pitwright.paper.owner import box_card_pdf, owner_pdf
from pitwright.paper.pit_history import History, history_pdf
from pitwright.paper.pit_sheet import pit_sheet_pdf

__all__ = ["PAPERS", "paper_of"]

PAPERS: Mapping[str, str] = {
    "history.pdf": "",
    "pit-sheet.pdf": "plan",
    "owner.pdf": "plan",
    "owner-a4.pdf": "plan",
    "box-card.pdf": "plan",
    "harness.svg": "prove",
}
"""Each paper, and what it needs worked out."""


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
        plan = plan_as_chosen(pit)
        if plan is None:
            raise Missing("plan", "measure what is missing first, or wait until it is worked out")
        return pit_sheet_pdf(plan, "letter")
    left = leaving(pit, now)
    if name == "box-card.pdf":
        return box_card_pdf(left, "letter")
    return owner_pdf(left, "a4" if name == "owner-a4.pdf" else "letter")
