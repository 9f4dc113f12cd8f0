"""Build: the steps with their check marks, pieces as really cut, and clocks that outlive a restart.

A clock is no timer: it is the time at which a step was checked, which stands in the record, and
the wait that the plan gives. [s]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from pitwright.errors import BadInput
from pitwright.joining.assembly import Step
from pitwright.pages import fields
from pitwright.pages.again import measured_again
from pitwright.pages.asked import Asked, Page, Taken, Want
from pitwright.pages.choose import cut_list, option_picture, waiting
from pitwright.pages.frame import empty, notice, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import trouble_of
from pitwright.pages.scenes import plan_as_chosen
from pitwright.pages.standing import Pit, chosen_option
from pitwright.planning import ZonePlan
from pitwright.records.fold import Fact
from pitwright.records.kinds import slug
from pitwright.renewal.option import Option
from pitwright.trains.cut_list import Piece
from pitwright.units.inches import both_text
from pitwright.units.measure import measure
from pitwright.wording.cautions import cautions
from pitwright.wording.chances import held_pieces, held_rolls
from pitwright.wording.steps import capital, minutes_text, step_check, step_words

__all__ = ["Doing", "build_page", "doings", "take_build"]


@dataclass(frozen=True, slots=True)
class Doing:
    """One thing to do: its name in the record, its words, its joints (from 1), its waits [s]."""

    name: str
    words: str
    check: str = ""
    joints: tuple[int, ...] = ()
    hold: float = 0.0
    wait: float = 0.0
    cure: float = 0.0
    stop: bool = False
    piece: str = ""


def build_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """Every zone with its steps, in the order of the work."""
    plan = plan_as_chosen(pit)
    inside: list[Child] = [trouble_box(asked)]
    if plan is None:
        inside += [waiting(pit, asked, "build"), _nothing(pit)]
    else:
        for zone in plan.zones:
            if zone.best is not None:
                inside.append(_zone(pit, asked, zone, zone.best))
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
        inside += [h("p", c.words, class_="caution") for c in cautions()]
    return shell(
        "Build",
        *inside,
        up=(pit.home, pit.place.name),
        pit=pit.place.subject,
        step="build",
        notices=notices,
    )


def _nothing(pit: Pit) -> Child:
    if pit.planned is not None and pit.planned.zones:
        return ""
    return notice(
        h("p", "There is no plan yet."),
        h("p", h("a", "Measure", href=f"{pit.home}/measure", class_="main")),
        kind="check",
    )


def doings(zone: ZonePlan, option: Option) -> tuple[Doing, ...]:
    """What there is to do for an option; without its order, the pieces and then the joints."""
    name = str(zone.zone.id)
    assembly = option.assembly
    if assembly is not None:
        held, rolls = held_pieces(option.doubt), held_rolls(option.doubt)
        return tuple(_doing(name, n, s, held, rolls) for n, s in enumerate(assembly.steps, start=1))
    pieces = [
        Doing(
            f"{name} piece {p.letter}",
            f"Cut piece {p.letter} to {both_text(p.length)}.",
            piece=p.letter,
        )
        for p in option.cuts.pieces
    ]
    joints = [
        Doing(
            f"{name} joint {n}",
            f"Joint {n}: {j.before} to {j.after} ({j.where.value}).",
            joints=(n,),
        )
        for n, j in enumerate(option.cuts.joints, start=1)
    ]
    return (*pieces, Doing(f"{name} dry fit", "Prove it dry, every depth mark showing."), *joints)


def _doing(zone: str, number: int, step: Step, held: Sequence[str], rolls: Sequence[str]) -> Doing:
    numbers, names = dict(step.numbers), dict(step.names)
    coat = numbers.get("last_coat", 0.0)
    made = "last_coat" in numbers
    return Doing(
        f"{zone} step {number} {step.code}",
        capital(step_words(step, held, rolls)),
        step_check(step),
        tuple(j + 1 for j in step.joints),
        numbers.get("hand_hold", 0.0),
        max(0.0, numbers.get("set_at", coat) - coat) if made else 0.0,
        max(0.0, numbers.get("cured_at", coat) - coat) if made else 0.0,
        step.stop,
        names.get("piece", "") if step.code == "cut_piece" else "",
    )


def _zone(pit: Pit, asked: Asked, zone: ZonePlan, option: Option) -> Html:
    picked = chosen_option(pit, zone)
    every = doings(zone, option)
    done = [d for d in every if done_at(pit, d) is not None]
    pieces = {p.letter: p for p in option.cuts.pieces}
    last = _trim_last(option)
    rows = [_row(pit, asked, zone, d, pieces, last) for d in every]
    told = (
        ""
        if picked
        else notice(
            h("p", "No way was chosen for this zone; these are the steps of the first."),
            h("p", h("a", "Choose", href=f"{pit.home}/choose")),
            kind="check",
        )
    )
    order = (
        ""
        if option.assembly is not None
        else notice(
            h(
                "p",
                "The order of the joints was not worked out for this way: "
                "check by hand that each can be made.",
            ),
            kind="check",
        )
    )
    return h(
        "section",
        h("h2", f"Zone {zone.zone.name}"),
        h("p", f"{len(done)} of {len(every)} done", class_="under"),
        h(
            "progress",
            value=len(done),
            max=max(len(every), 1),
            aria_label=f"steps done in {zone.zone.name}",
        ),
        told,
        order,
        _otherwise(pit, zone),
        _water(pit, every, asked.now),
        h(
            "details",
            h("summary", "Cut list and drawing"),
            cut_list(option),
            option_picture(pit, asked, zone, option, f"{pit.home}/build"),
        ),
        h("ol", *rows, class_="steps-list"),
        id=f"zone-{zone.zone.id}",
    )


def _otherwise(pit: Pit, zone: ZonePlan) -> Child:
    """Where a stub of the zone was measured again, these steps may no longer be the ones."""
    again = measured_again(pit)
    mine = [s for s in (str(zone.zone.inlet), str(zone.zone.outlet)) if s in again]
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


def _trim_last(option: Option) -> tuple[str, ...]:
    return option.doubt.advised.pieces if option.doubt is not None else ()


def _fact(pit: Pit, doing: Doing) -> Fact | None:
    found = pit.fact("step", step=doing.name)
    return found if found is not None and found.value("done") != "no" else None


def done_at(pit: Pit, doing: Doing) -> datetime | None:
    """When a step was checked; None while it is open."""
    fact = _fact(pit, doing)
    return fact.happened.last if fact is not None else None


def _row(
    pit: Pit,
    asked: Asked,
    zone: ZonePlan,
    doing: Doing,
    pieces: dict[str, Piece],
    last: Sequence[str],
) -> Html:
    at = done_at(pit, doing)
    trim = doing.piece in last and bool(doing.piece)
    said = [
        h("b", "Stop and check. ") if doing.stop and at is None else "",
        doing.words,
        h("b", " Trim this piece last, marked in place at the dry fit.") if trim else "",
    ]
    return h(
        "li",
        h("div", *said, class_="words"),
        h("p", doing.check, class_="hint") if doing.check and at is None else "",
        _mark(pit, asked, zone, doing, at),
        _clocks(doing, at, asked.now) if at is not None else "",
        _as_cut(pit, asked, zone, pieces[doing.piece]) if doing.piece in pieces else "",
        class_="done" if at is not None else "open",
    )


def _mark(pit: Pit, asked: Asked, zone: ZonePlan, doing: Doing, at: datetime | None) -> Html:
    if at is None:
        return fields.form(
            asked,
            f"{pit.home}/build",
            fields.hidden("zone", str(zone.zone.id)),
            fields.hidden("step", doing.name),
            name=f"step-{slug(doing.name)}",
            button="Joint made now" if doing.hold else "Done",
        )
    fact = _fact(pit, doing)
    ids = [fact.id] if fact is not None else []
    joints = [f"{zone.zone.id} {n}" for n in doing.joints]
    ids += [f.id for f in pit.state.of_kind("joint") if f.value("label") in joints]
    return h(
        "form",
        h("p", h("b", "✓ done"), f" {at:%H:%M}", class_="picked"),
        fields.hidden("token", asked.token),
        fields.hidden("ids", ",".join(ids)),
        fields.hidden("back", f"{pit.home}/build"),
        h("button", "Undo", type="submit", class_="quiet", aria_label=f"Undo: {doing.words[:60]}"),
        method="post",
        action="/undo",
        class_="beside",
    )


def _clocks(doing: Doing, at: datetime, now: datetime) -> Child:
    waits = (("hold it by hand until", doing.hold), ("set, braces stay until", doing.wait))
    return [_clock(words, at, seconds, now) for words, seconds in waits if seconds > 0.0]


def _clock(words: str, at: datetime, seconds: float, now: datetime) -> Html:
    until = at + timedelta(seconds=seconds)
    left = (until - now).total_seconds()
    state = "over" if left <= 0 else f"{minutes_text(left)} left"
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


def _water(pit: Pit, every: Sequence[Doing], now: datetime) -> Child:
    """When water may come back, once every cemented joint is made."""
    cemented = [d for d in every if d.cure > 0.0]
    if not cemented:
        return ""
    made = [(d, at) for d in cemented if (at := done_at(pit, d)) is not None]
    if len(made) < len(cemented):
        longest = max(d.cure for d in cemented)
        return h(
            "p",
            f"Water on not before {minutes_text(longest)} after the last joint.",
            class_="clock",
        )
    until, latest = max((at + timedelta(seconds=d.cure), at) for d, at in made)
    return _clock("Water on not before", latest, (until - latest).total_seconds(), now)


def _as_cut(pit: Pit, asked: Asked, zone: ZonePlan, piece: Piece) -> Html:
    letter = f"{zone.zone.id} {piece.letter}"
    known = pit.fact("piece", letter=letter)
    typed = str((known.value("cut", {}) or {}).get("typed", "")) if known else ""
    told: Child = ""
    if known:
        off = measure(typed, default="in").si - piece.length
        word = (
            "as planned"
            if abs(off) < 2e-4
            else f"{both_text(abs(off))} too {'long' if off > 0 else 'short'}"
        )
        told = h("p", f"Cut to {typed}: {word}.", class_="echo")
    inner = asked.own(f"cut-{slug(letter)}")
    mine = bool(inner.trouble)
    return h(
        "details",
        h("summary", f"As really cut{': ' + typed if typed else ''}"),
        told,
        fields.form(
            inner,
            f"{pit.home}/build",
            fields.hidden("letter", letter),
            fields.hidden("planned", both_text(piece.length).partition(" (")[0]),
            fields.length(inner, f"cut-{slug(letter)}", f"Piece {piece.letter} as cut", typed),
            name=f"cut-{slug(letter)}",
            seen=pit.count,
            button="Save its length",
        ),
        open=mine or None,
    )


def take_build(pit: Pit, asked: Asked) -> Taken:
    """A step done, or a piece as it was really cut."""
    letter = asked.said("letter")
    if letter:
        name = f"cut-{slug(letter)}"
        typed = asked.said(name).strip()
        try:
            measure(typed, default="in", where="length", low=0.001, high=20.0)
        except BadInput as mistake:
            return Taken(trouble={name: trouble_of(mistake)})
        body = {"letter": letter, "cut": typed, "planned": asked.said("planned")}
        return Taken((Want("piece", body, f"piece/{slug(letter)}"),), f"{pit.home}/build")
    plan = plan_as_chosen(pit)
    for zone in plan.zones if plan else ():
        for doing in doings(zone, zone.best) if zone.best is not None else ():
            if doing.name == asked.said("step"):
                return Taken(
                    _checked(str(zone.zone.id), doing, pit), f"{pit.home}/build#zone-{zone.zone.id}"
                )
    return Taken(
        trouble={
            "": "That step is no longer there: a reading changed since. Look at the steps again."
        }
    )


def _checked(zone: str, doing: Doing, pit: Pit) -> tuple[Want, ...]:
    if done_at(pit, doing) is not None:
        return ()  # a second tap
    body = {"step": doing.name, "done": "yes", "zone": zone}
    if doing.hold:
        body |= {"hold": f"{doing.hold:.0f}", "wait": f"{doing.wait:.0f}"}
    joints = [
        Want(
            "joint",
            {"label": f"{zone} {n}", "what": doing.words[:200], "wait": f"{doing.wait:.0f}"},
        )
        for n in doing.joints
    ]
    return (Want("step", body, f"step/{slug(doing.name)}"), *joints)
