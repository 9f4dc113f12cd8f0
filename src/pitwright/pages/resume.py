"""Something broke, or differs: how the work goes on from what is glued and cut already."""

from __future__ import annotations

from pitwright.errors import BadInput
from pitwright.findings import Refusal
from pitwright.pages.again import again_form, again_list, going_on, take_again
from pitwright.pages.asked import Asked, Page, Taken
from pitwright.pages.choose import cut_list, waiting
from pitwright.pages.frame import notice, shell
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import trouble_of
from pitwright.pages.scenes import plan_as_chosen
from pitwright.pages.standing import Pit
from pitwright.records.pits import plans_of
from pitwright.renewal.option import Option
from pitwright.resuming import Verdict, ZoneResumed, resumed
from pitwright.wording.chances import held_pieces, held_rolls
from pitwright.wording.findings import finding_words, refusal_lines, short_words
from pitwright.wording.plan import ends_words, option_lines, train_words
from pitwright.wording.resume import changed_lines, verdict_words
from pitwright.wording.steps import capital, step_words

__all__ = ["resume_page", "take_resume"]


def resume_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """Zone by zone: what stands, what to cut now, or that it is time to stop."""
    return shell(
        "Go on from here",
        h(
            "p",
            "From the joints that are marked as made and the pieces as they were really cut. Mark "
            "and type them under Build first.",
        ),
        again_form(pit, asked) if plans_of(pit.state) else "",
        again_list(pit, asked),
        waiting(pit, asked, "resume"),
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
    if plan is None and saved and pit.planned is not None and pit.planned.zones:
        return ""  # it is being worked out, or was stopped: the page says so above
    if plan is None or not saved:
        return notice(h("p", "No way was chosen yet, so nothing is half built."), kind="check")
    try:
        answer = resumed(plan, going_on(pit.state, saved[-1], plan.survey)[0])
    except BadInput as mistake:
        return notice(h("p", f"{mistake.where}: {trouble_of(mistake)}"), kind="stop")
    return [_zone(z) for z in answer.zones]


def _zone(zone: ZoneResumed) -> Html:
    told: list[str] = [finding_words(f) for f in zone.findings]
    if zone.lost:
        told.append(f"Of no more use: {', '.join(zone.lost)}.")
    told += [capital(line) for line in changed_lines(zone)]
    why = dict.fromkeys(short_words(s) for s in zone.stopped[:3])
    stop = zone.verdict is Verdict.STOP
    return h(
        "section",
        h("h2", f"Zone {zone.zone.name}"),
        notice(h("p", h("b", capital(verdict_words(zone)))), kind="stop" if stop else "check"),
        h("ul", *(h("li", line) for line in told)) if told else "",
        _refused(zone.answer) if isinstance(zone.answer, Refusal) else _way_on(zone, zone.answer),
        h("details", h("summary", "Why not less"), h("ul", *(h("li", w) for w in why)))
        if why
        else "",
    )


def _refused(refusal: Refusal) -> Html:
    lines = refusal_lines(refusal)
    return h("div", h("p", "Nearest first:"), h("ul", *(h("li", line) for line in lines)))


def _way_on(zone: ZoneResumed, options: tuple[Option, ...]) -> Child:
    """What is cut and joined from here, with the steps where the train is another one."""
    if zone.verdict is Verdict.FINISHED:
        return ""
    option = options[0]
    anew = zone.verdict in (Verdict.ANEW, Verdict.CUT_OFF) and option.assembly is not None
    held, rolls = held_pieces(option.doubt), held_rolls(option.doubt)
    steps = option.assembly.steps if anew and option.assembly is not None else ()
    more = [
        line.strip()
        for n, o in enumerate(options[1:], 2)
        for line in option_lines(o, n, first=False)
    ]
    return [
        h("p", f"{capital(option.way)}: {train_words(option)}; {ends_words(option)}."),
        cut_list(option),
        h("h3", "Steps") if steps else "",
        h("ol", *(h("li", capital(step_words(s, held, rolls))) for s in steps)) if steps else "",
        h("details", h("summary", "Other ways"), h("ul", *(h("li", line) for line in more)))
        if more and anew
        else "",
    ]


def take_resume(pit: Pit, asked: Asked) -> Taken:
    """What broke or was measured again."""
    return take_again(pit, asked)
