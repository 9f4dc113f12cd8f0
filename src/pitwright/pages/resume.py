"""Something broke, or differs: how the work goes on from what is glued and cut already."""

from __future__ import annotations

from pitwright.findings import Refusal
from pitwright.pages import fields
from pitwright.pages.again import again_form, again_list, measured_again, take_again
from pitwright.pages.as_cut import differs
from pitwright.pages.asked import Asked, Page, Taken, Want
from pitwright.pages.choose import cut_list, waiting
from pitwright.pages.frame import notice, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.part_broke import PART, part_form, part_taken
from pitwright.pages.readings import field_of
from pitwright.pages.standing import Going, Pit
from pitwright.pages.waits import going_waits, resumed_note
from pitwright.records.kinds import slug
from pitwright.records.pits import plans_of
from pitwright.renewal.option import Option
from pitwright.resuming import Verdict, ZoneResumed
from pitwright.stages import way_of
from pitwright.wording.chances import held_pieces, held_rolls
from pitwright.wording.findings import finding_words, refusal_lines, short_words
from pitwright.wording.plan import ends_words, option_lines, train_words
from pitwright.wording.resume import changed_lines, summary_words, verdict_words
from pitwright.wording.steps import capital, step_words

__all__ = ["resume_page", "take_resume"]

_CHANGED = "Something was marked or measured since this page was made: look again how it goes on."


def resume_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """Zone by zone: what stands, what to cut now, or that it is time to stop."""
    return shell(
        "Go on from here",
        trouble_box(asked) if asked.said("form").startswith(("go-", "anew-", "away-")) else "",
        h(
            "p",
            "From the joints that are marked as made and the pieces as they were really cut. Mark "
            "and type them under Build first.",
        ),
        part_form(pit, asked) if plans_of(pit.state) else "",
        again_form(pit, asked) if plans_of(pit.state) else "",
        again_list(pit, asked),
        waiting(pit, asked, "resume"),
        _answers(pit, asked),
        h("p", h("a", "Back to the steps", href=f"{pit.home}/build", class_="main")),
        up=(f"{pit.home}/build", "Build"),
        pit=pit.place.subject,
        step="build",
        notices=notices,
    )


def _answers(pit: Pit, asked: Asked) -> Child:
    saved = plans_of(pit.state)
    if not saved or pit.planned is None or not pit.planned.zones:
        return notice(h("p", "No way was chosen yet, so nothing is half built."), kind="check")
    waits = [g for g in pit.goings if g.ahead_status != "ready"]
    ready = [_zone(pit, asked, g, g.ahead) for g in pit.goings if g.ahead is not None]
    return [going_waits(pit, asked, waits, "resume"), *ready]


def _zone(pit: Pit, asked: Asked, going: Going, zone: ZoneResumed) -> Html:
    told: list[str] = [finding_words(f) for f in zone.findings]
    if zone.lost:
        told.append(f"Of no more use: {', '.join(zone.lost)}.")
    told += [capital(line) for line in changed_lines(zone)]
    why = dict.fromkeys(short_words(s) for s in zone.stopped[:3])
    stop = zone.verdict is Verdict.STOP
    return h(
        "section",
        h("h2", f"Zone {going.name}"),
        resumed_note(pit, asked, going, f"{pit.home}/resume"),
        notice(h("p", h("b", capital(verdict_words(zone)))), kind="stop" if stop else "check"),
        h("ul", *(h("li", line) for line in told)) if told else "",
        _refused(zone.answer)
        if isinstance(zone.answer, Refusal)
        else _ways_on(pit, asked, going, zone, zone.answer),
        h("details", h("summary", "Why not less"), h("ul", *(h("li", w) for w in why)))
        if why
        else "",
        id=f"zone-{going.zone}",
    )


def _refused(refusal: Refusal) -> Html:
    lines = refusal_lines(refusal)
    return h("div", h("p", "Nearest first:"), h("ul", *(h("li", line) for line in lines)))


def _ways_on(
    pit: Pit, asked: Asked, going: Going, zone: ZoneResumed, options: tuple[Option, ...]
) -> Child:
    """What is cut and joined from here, each way with its steps, to be gone on with."""
    if zone.verdict is Verdict.FINISHED:
        return ""
    differs = _differs(pit, going, zone)
    first, *rest = options
    others = [
        h(
            "details",
            h("summary", f"{capital(o.way)}: {train_words(o)}"),
            h("ul", *(h("li", line.strip()) for line in option_lines(o, n, first=False))),
            _steps(o) if not zone.same else "",
            _go_on(pit, asked, going, o, n) if differs else "",
        )
        for n, o in enumerate(rest, 2)
    ]
    return [
        h("p", f"{capital(first.way)}: {train_words(first)}; {ends_words(first)}."),
        cut_list(first),
        _steps(first) if not zone.same else "",
        _go_on(pit, asked, going, first, 1) if differs else "",
        h("details", h("summary", "Other ways"), *others) if others and not zone.same else "",
    ]


def _steps(option: Option) -> Child:
    if option.assembly is None:
        return ""
    held, rolls = held_pieces(option.doubt), held_rolls(option.doubt)
    steps = (h("li", capital(step_words(s, held, rolls))) for s in option.assembly.steps)
    return h("details", h("summary", "Steps"), h("ol", *steps))


def _differs(pit: Pit, going: Going, zone: ZoneResumed) -> bool:
    """Whether there is anything new to go on with: else the steps are those there are."""
    if zone.verdict is not Verdict.AS_PLANNED or differs(pit, going):
        return True
    again = measured_again(pit)
    root = going.stage.root
    return any(str(s) in again for s in (root.inlet, root.outlet)) or '"marked"' in going.basis


def _go_on(pit: Pit, asked: Asked, going: Going, option: Option, number: int) -> Html:
    name = f"go-{slug(going.zone)}-{number}"
    return fields.form(
        asked.own(name),
        f"{pit.home}/resume",
        fields.hidden("zone", going.zone),
        fields.hidden("way", option.key),
        fields.hidden("stage", str(going.number + 1)),
        fields.hidden("basis", going.basis),
        name=name,
        seen=pit.count,
        button="Go on this way",
        plain=number > 1,
    )


def take_resume(pit: Pit, asked: Asked) -> Taken:
    """What broke or was measured again; or the way that the work goes on."""
    if asked.said("form").startswith("go-"):
        return _take_on(pit, asked)
    if asked.said("form") == PART:
        return part_taken(pit, asked)
    return take_again(pit, asked)


def _take_on(pit: Pit, asked: Asked) -> Taken:
    going = pit.going(asked.said("zone"))
    go = f"{pit.home}/build#zone-{asked.said('zone')}"
    if going is None:
        return Taken(trouble={"": _CHANGED})
    last = going.begun[-1].way if going.begun else ""
    if (asked.said("stage"), asked.said("way")) == (str(going.number), last):
        return Taken(go=go)  # a second tap
    ahead = going.ahead
    fresh = asked.said("stage") == str(going.number + 1) and asked.said("basis") == going.basis
    option = way_of(ahead, asked.said("way")) if ahead is not None else None
    if not fresh or ahead is None or option is None:
        return Taken(trouble={"": _CHANGED})
    number = going.number + 1
    body = {
        "stage": f"{going.zone} {number}",
        "zone": going.zone,
        "way": option.key,
        "before": going.stage.option.key,
        "progress": going.basis,
        "plan": plans_of(pit.state)[-1].id,
        "summary": summary_words(ahead)[:400],
    }
    slot = field_of(("zone", going.zone, "stage", str(number))).partition("/")[2]
    return Taken((Want("stage", body, f"stage/{slot}"),), go)
