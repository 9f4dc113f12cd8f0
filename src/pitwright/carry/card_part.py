"""The box card as it stays in the box: zones, ties, a sketch of each tie."""

from __future__ import annotations

from pitwright.carry.content import Carried
from pitwright.carry.markup import section
from pitwright.paper.markup import Html, h
from pitwright.paper.owner import Leaving, box_card_sheet
from pitwright.paper.sheet import PAPERS
from pitwright.paper.svg import svg_page
from pitwright.wording.carry import PAGE

__all__ = ["card_part"]


def card_part(carried: Carried) -> Html:
    """The card's pages as drawings; nothing for a pit that no record knows. [mm]"""
    if not carried.land:
        return Html("")
    zones = tuple(zone.name for zone in carried.plan.survey.zones)
    nothing: tuple[str, ...] = ()
    # what was noted as "water stops ...", as on the card that is printed when the job is closed
    water = [line for line in carried.notes if line.lower().startswith("water stops")]
    leaving = Leaving(
        carried.land, carried.base.name, carried.made[:10], nothing, nothing, nothing, (), nothing,
        zones, carried.ties, None, water[-1] if water else "",
    )  # fmt: skip
    sheet = box_card_sheet(leaving, PAPERS["letter"])
    pages = [
        h("div", Html(svg_page(page, sheet.title, prefix="card")), class_="still", tabindex="0",
           role="group", aria_label=f"{PAGE['card']} {number}")
        for number, page in enumerate(sheet.pages, 1)
    ]  # fmt: skip
    return section("card", PAGE["card"], *pages)
