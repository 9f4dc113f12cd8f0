"""Build: the steps with their check marks, pieces as really cut, and clocks that outlive a restart.

A clock is no timer: it is the time at which a step was checked, which stands in the record, and
the wait that the plan gives. [s]
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from pitwright.pages import fields
from pitwright.pages.again import measured_again
from pitwright.pages.as_cut import as_cut, differing, dry_fit_form, take_as_cut, take_dry_fit
from pitwright.pages.asked import Asked, Page, Taken, Want
from pitwright.pages.choose import cut_list, stage_picture, waiting
from pitwright.pages.doing import Doing, doings, done_at, held_of, standing_before, step_fact
from pitwright.pages.frame import empty, notice, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.scenes import plan_as_chosen
from pitwright.pages.standing import Going, Pit
from pitwright.pages.waits import going_waits, resumed_note
from pitwright.pages.water import against_water, waits_for_all, water_at
from pitwright.records.kinds import slug
from pitwright.records.progress import labelled
from pitwright.wording.cautions import cautions
from pitwright.wording.clocks import HOLD_UNTIL, SET_UNTIL, WATER_ON, left_words, water_after

__all__ = ["build_page", "take_build"]


def build_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """Every zone with its steps, in the order of the work."""
    plan = plan_as_chosen(pit)
    inside: list[Child] = [trouble_box(asked)]
    if plan is None:
        inside += [waiting(pit, asked, "build"), _nothing(pit)]
    else:
        inside += [_cautions(pit), *(_zone(pit, asked, going) for going in pit.goings)]
        if all(z.best is None for z in plan.zones):
            inside.append(empty("Every zone is refused: see Choose for what would lift that."))
        inside.append(
            h(
                "p",
                h("a", "Something broke, or differs", href=f"{pit.home}/resume", class_="file"),
                h("a", "Carry file", href=f"{pit.home}/carry.html", class_="file"),
                class_="beside",
            )
        )
    return shell(
        "Build",
        *inside,
        up=(pit.home, pit.place.name),
        pit=pit.place.subject,
        step="build",
        notices=notices,
    )


def _cautions(pit: Pit) -> Html:
    """Before anything is done they stand open; afterwards they are one tap away."""
    rows = (h("li", c.words) for c in cautions())
    begun = bool(pit.state.of_kind("step"))
    head = h("summary", "Before anything is cut")
    return h("details", head, h("ul", *rows), class_="notice stop", open=not begun or None)


def _nothing(pit: Pit) -> Child:
    if pit.planned is not None and pit.planned.zones:
        return ""
    return notice(
        h("p", "There is no plan yet."),
        h("p", h("a", "Measure", href=f"{pit.home}/measure", class_="main")),
        kind="check",
    )


def _zone(pit: Pit, asked: Asked, going: Going) -> Html:
    """One zone at its newest stage, with its steps; or that it is still being worked out."""
    head = h("h2", f"Zone {going.name}")
    mark = f"zone-{going.zone}"
    if going.status != "ready":
        return h("section", head, going_waits(pit, asked, (going,), "build"), id=mark)
    stage = going.stage
    every = doings(stage)
    done = [d for d in every if done_at(pit.state, going, d) is not None]
    return h(
        "section",
        head,
        h("p", f"{len(done)} of {len(every)} done", class_="under"),
        h(
            "progress",
            value=len(done),
            max=max(len(every), 1),
            aria_label=f"steps done in {going.name}",
        ),
        _told(pit, going),
        resumed_note(pit, asked, going, f"{pit.home}/build"),
        _stands(pit, going, asked.now),
        _otherwise(pit, going),
        differing(pit, going),
        _water(pit, going, every, asked.now),
        h(
            "details",
            h("summary", "Cut list and drawing"),
            cut_list(stage.option),
            stage_picture(pit, asked, stage, f"{pit.home}/build"),
        ),
        h("ol", *(_row(pit, asked, going, d, every) for d in every), class_="steps-list"),
        id=mark,
    )


def _told(pit: Pit, going: Going) -> Child:
    """That nobody chose this way, or worked out its order."""
    told: list[Child] = []
    choice = pit.chosen(going.zone)
    if choice is None or choice.value("way") != going.stages[0].option.key:
        told.append(
            notice(
                h("p", "No way was chosen for this zone; these are the steps of the first."),
                h("p", h("a", "Choose", href=f"{pit.home}/choose")),
                kind="check",
            )
        )
    if going.stage.option.assembly is None:
        words = (
            "The order of the joints was not worked out for this way: "
            "check by hand that each can be made."
        )
        told.append(notice(h("p", words), kind="check"))
    return told


def _stands(pit: Pit, going: Going, now: datetime) -> Child:
    """What was glued of an earlier train and stands, each joint with its clocks."""
    rows = [
        h("li", h("div", doing.words, class_="words"), _clocks(doing, at, now), class_="done")
        for doing, at in standing_before(pit.state, going)
    ]
    if not rows:
        return ""
    head = h("summary", f"What stands of the train before ({len(rows)})")
    return h("details", head, h("ul", *rows))


def _otherwise(pit: Pit, going: Going) -> Child:
    """Where a stub of the zone was measured again, these steps may no longer be the ones."""
    again = measured_again(pit)
    root = going.stage.root
    mine = [s for s in (str(root.inlet), str(root.outlet)) if s in again]
    if not mine:
        return ""
    broke = [f"{s}: {again[s]['broken']}" for s in mine if "broken" in again[s]]
    said = f"Something broke at {'; '.join(broke)}." if broke else ""
    return notice(
        h("p", said or f"{' and '.join(mine)} was measured again since the plan."),
        h("p", "The steps below are those of the plan that was begun; do not go on by them yet."),
        h("p", h("a", "Go on from here", href=f"{pit.home}/resume", class_="main")),
        kind="stop",
    )


def _row(pit: Pit, asked: Asked, going: Going, doing: Doing, every: tuple[Doing, ...]) -> Html:
    at = done_at(pit.state, going, doing)
    trim = doing.code == "cut_piece" and doing.cuts in held_of(going.stage)
    said = [
        h("b", "Stop and check. ") if doing.stop and at is None else "",
        doing.words,
        h("b", " Trim this piece last, marked in place at the dry fit.") if trim else "",
    ]
    return h(
        "li",
        h("div", *said, class_="words"),
        h("p", doing.check, class_="hint") if doing.check and at is None else "",
        _mark(pit, asked, going, doing, at),
        _clocks(doing, at, asked.now) if at is not None else "",
        as_cut(pit, asked, going, doing) if doing.cuts else "",
        dry_fit_form(pit, asked, going, every) if doing.code in ("dry_fit", "dry fit") else "",
        class_="done" if at is not None else "open",
        id=_place(doing),
    )


def _place(doing: Doing) -> str:
    """Where a step stands on the page."""
    return f"step-{slug(doing.name)}"


def _mark(pit: Pit, asked: Asked, going: Going, doing: Doing, at: datetime | None) -> Html:
    if at is None:
        against = "; ".join(against_water(pit, going, asked.now)) if _is_water(doing) else ""
        form = fields.form(
            asked,
            f"{pit.home}/build",
            fields.hidden("zone", going.zone),
            fields.hidden("step", doing.name),
            fields.hidden("sure", "yes") if against else "",
            name=f"step-{slug(doing.name)}",
            button="Joint made now" if doing.hold else "Done",
            plain=bool(against),
        )
        if not against:
            return form
        told = h("p", h("b", "Not yet: "), f"{against}.", class_="hint")
        return h("div", told, h("details", h("summary", "Water is on all the same"), form))
    done = h("p", h("b", "✓ done"), f" {at:%H:%M}", class_="picked")
    fact = step_fact(pit.state, going, doing)
    if fact is None:  # done before the work was resumed: undone only with that
        return h("div", done, class_="beside")
    joints = [labelled(going.zone, going.number, n) for n in doing.joints]
    ids = [fact.id, *(f.id for f in pit.state.of_kind("joint") if f.value("label") in joints)]
    return h(
        "form",
        done,
        fields.hidden("token", asked.token),
        fields.hidden("ids", ",".join(ids)),
        fields.hidden("back", f"{pit.home}/build"),
        h("button", "Undo", type="submit", class_="quiet", aria_label=f"Undo: {doing.words[:60]}"),
        method="post",
        action="/undo",
        class_="beside",
    )


def _is_water(doing: Doing) -> bool:
    return doing.code == "water_on"


def _clocks(doing: Doing, at: datetime, now: datetime) -> Child:
    waits = ((HOLD_UNTIL, doing.hold), (SET_UNTIL, doing.wait))
    return [_clock(words, at, seconds, now) for words, seconds in waits if seconds > 0.0]


def _clock(words: str, at: datetime, seconds: float, now: datetime) -> Html:
    until = at + timedelta(seconds=seconds)
    left = (until - now).total_seconds()
    state = left_words(left)
    day = "" if until.date() == now.date() else f"{until:%Y-%m-%d} "
    return h(
        "p",
        f"{words} ",
        h("time", f"{day}{until:%H:%M:%S}"),
        " ",
        h(
            "span",
            f"({state})",
            data_until=int(until.timestamp() * 1000),
            data_now=int(now.timestamp() * 1000),
        ),
        class_="clock",
    )


def _water(pit: Pit, going: Going, every: Sequence[Doing], now: datetime) -> Child:
    """When water may come back, once every cemented joint is made."""
    longest = waits_for_all(pit, going, every)
    if longest is not None:
        return h("p", water_after(longest), class_="clock")
    got = water_at(pit, going, every)
    if got is None:
        return ""
    until, latest = got
    return _clock(WATER_ON, latest, (until - latest).total_seconds(), now)


def take_build(pit: Pit, asked: Asked) -> Taken:
    """A step done, or a piece or stub as it was really cut."""
    if asked.said("letter"):
        return take_as_cut(pit, asked)
    if asked.said("dry"):
        return take_dry_fit(pit, asked)
    for going in pit.goings:
        for doing in doings(going.stage) if going.status == "ready" else ():
            if doing.name != asked.said("step"):
                continue
            if _is_water(doing) and not asked.said("sure"):
                against = "; ".join(against_water(pit, going, asked.now))
                if against:
                    return Taken(trouble={"": f"Water stays off: {against}."})
            return Taken(_checked(going, doing, pit), f"{pit.home}/build#{_place(doing)}")
    return Taken(
        trouble={
            "": "That step is no longer there: something changed since. Look at the steps again."
        }
    )


def _checked(going: Going, doing: Doing, pit: Pit) -> tuple[Want, ...]:
    if done_at(pit.state, going, doing) is not None:
        return ()  # a second tap
    way = going.stage.option.key
    body = {"step": doing.name, "done": "yes", "zone": going.zone, "way": way}
    body["what"] = doing.said
    if doing.hold:
        body |= {"hold": f"{doing.hold:.0f}", "wait": f"{doing.wait:.0f}"}
    joints = [
        Want(
            "joint",
            {
                "label": labelled(going.zone, going.number, n),
                "what": doing.said,
                "wait": f"{doing.wait:.0f}",
                "way": way,
            },
        )
        for n in doing.joints
    ]
    return (Want("step", body, f"step/{slug(doing.name)}"), *joints)
