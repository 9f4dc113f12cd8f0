"""Something broke, or differs: how the work goes on from what is glued and cut already."""

from __future__ import annotations

from pitwright.errors import BadInput
from pitwright.pages.asked import Asked, Page, Taken
from pitwright.pages.frame import notice, shell
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import trouble_of
from pitwright.pages.scenes import plan_as_chosen
from pitwright.pages.standing import Pit
from pitwright.records.pits import plans_of
from pitwright.records.progress import progress_tables
from pitwright.resuming import ZoneResumed, resumed
from pitwright.survey.progress import progress_of
from pitwright.wording.resume import verdict_words, zone_lines

__all__ = ["resume_page", "take_resume"]


def resume_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """Zone by zone: what stands, what to cut now, or that it is time to stop."""
    return shell(
        "Go on from here",
        h(
            "p",
            "From the joints that are marked as made and the pieces as they were really cut. Mark "
            "and type them under Build first; measure a stub again under Measure if it moved.",
        ),
        _answer(pit),
        h("p", h("a", "Back to the steps", href=f"{pit.home}/build", class_="main")),
        up=(f"{pit.home}/build", "Build"),
        pit=pit.place.subject,
        step="build",
        notices=notices,
    )


def _answer(pit: Pit) -> Child:
    plan = plan_as_chosen(pit)
    saved = plans_of(pit.state)
    if plan is None or not saved:
        return notice(h("p", "No way was chosen yet, so nothing is half built."), kind="check")
    zones = [str(z.zone.id) for z in plan.zones]
    try:
        noted = progress_tables(pit.state, saved[-1], zones)
        answer = resumed(plan, progress_of(noted.tables, plan.survey))
    except BadInput as mistake:
        return notice(h("p", f"{mistake.where}: {trouble_of(mistake)}"), kind="stop")
    return [_zone(z) for z in answer.zones]


def _zone(zone: ZoneResumed) -> Html:
    lines = [line.strip() for line in zone_lines(zone)]
    return h(
        "section",
        h("h2", f"Zone {zone.zone.name}"),
        notice(h("p", verdict_words(zone)), kind="check"),
        h("ul", *(h("li", line) for line in lines[1:] if line)),
    )


def take_resume(pit: Pit, asked: Asked) -> Taken:
    """The page has no form of its own."""
    return Taken(go=f"{pit.home}/resume")
