"""A plan as text: what a person reads at the terminal, in the order of the work."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime

from pitwright.findings import Refusal
from pitwright.load.pick_list import consumables
from pitwright.planning import Plan, ZonePlan
from pitwright.renewal.option import Option
from pitwright.survey.weights import Weights
from pitwright.trains.cut_list import Bend
from pitwright.trains.kit import Port
from pitwright.units.inches import Rounding, both_text
from pitwright.units.kinds import POUND_FORCE
from pitwright.wording.beside import beside_lines
from pitwright.wording.cautions import cautions
from pitwright.wording.chances import chance_lines, held_pieces, held_rolls, short_chance
from pitwright.wording.findings import finding_words, refusal_lines, short_words, within_words
from pitwright.wording.ranking import rank_words
from pitwright.wording.steps import began_at, giver_words, step_lines, water_words
from pitwright.wording.survey import doubt_lines

__all__ = ["bend_words", "ends_words", "option_lines", "plan_text", "train_words"]

_QUARTERS = ("up", "right", "down", "left")
_NEARLY = math.radians(0.5)
_ENDS = {
    "direct": "straight on the stub",
    "coupled": "a coupling on the stub",
    "gripped": "a gripping coupling on the stub",
    "bushed": "a bushing beside the stub",
    "socket": "into the stub's socket",
    "threaded": "an adapter on the stub's thread",
    "transition": "an adapter of the stub's own material screwed to a plastic one",
    "telescoping": "a telescoping coupling on the stub",
    "slid": "a stop-less coupling, parked on the stub",
    "slid to grip": "a through coupling that grips, parked on the stub",
    "slid to grip on piece": "a through coupling that grips on the stub, parked on the new piece",
    "slid on piece": "a stop-less coupling on the stub, parked on the new piece",
}


def train_words(option: Option) -> str:
    """What a train is, in a few words: its bends and where the valve sits."""
    corners = option.train.skeleton.corners
    bends = [f"{math.degrees(c.bend):g}" for c in corners]
    shape = "straight across" if not bends else f"{'-'.join(bends)} bends"
    if any(Port.SPIGOT in (c.before.port, c.after.port) for c in corners):
        shape += ", one a street elbow"
    if option.train.skeleton.union:
        shape += ", a union beside the valve"
    leg = option.train.skeleton.valve_leg
    if leg is None or not bends:
        return shape
    place = ("first", "second", "third", "fourth", "fifth")[leg]
    return f"{shape}, valve on the {place} leg"


def ends_words(option: Option) -> str:
    """How the train begins at each stub."""
    first, last = (_ENDS.get(w.name, w.name) for w in option.train.skeleton.ways)
    return f"inlet: {first}; outlet: {last}"


def bend_words(bend: Bend, number: int) -> str:
    """How a bend is clocked. Seen along the flow, to the whole degree."""
    if number == 0:
        return f"outlet points {_clock_face(bend.clock)}, looking along the flow"
    past = abs(bend.clock)
    if past < _NEARLY:
        return f"goes on turning the same way as bend {number}, flat with it"
    if past > math.pi - _NEARLY:
        return f"turns back flat with bend {number}, so that the pipes run parallel"
    side = "right" if bend.clock > 0 else "left"
    return (
        f"rolled {round(math.degrees(past))}° to the {side} from going on as bend {number} turned"
    )


def _clock_face(clock: float) -> str:
    """``down, 19° toward left`` for a clocking from up, to the right. [rad]"""
    quarter = round(clock / (math.pi / 2))
    off = clock - quarter * math.pi / 2
    name = _QUARTERS[quarter % 4]
    degrees = round(math.degrees(abs(off)))
    if degrees == 0:
        return f"straight {name}"
    toward = _QUARTERS[(quarter + (1 if off > 0 else -1)) % 4]
    return f"{name}, {degrees}° toward {toward}"


def plan_text(plan: Plan) -> str:
    """The whole plan for a terminal. [in, mm, deg] Source: each number's own, see --json."""
    survey = plan.survey
    lines = [survey.name]
    if survey.downstream:
        lines.append(f"downstream is {survey.downstream}; datum: {survey.datum or 'not named'}")
    began = began_at(survey.conditions.now) if survey.conditions else None
    for zone in plan.zones:
        lines += ["", *_zone_lines(zone, began, survey.preferences.weights)]
    lines += _beside_lines(plan, began)
    lines += ["", *_load_lines(plan), ""]
    lines += [f"! {finding_words(f)}" for f in plan.findings]
    lines += [f"! {line}" for line in doubt_lines(survey.findings)]
    lines += [f"! {c.words}" for c in cautions()]
    return "\n".join(lines)


def _beside_lines(plan: Plan, began: datetime | None) -> Iterator[str]:
    """The ways that are no train between two stubs, by zone."""
    for zone in (*plan.survey.zones, None):
        mine = [b for b in plan.beside if b.zone == (zone.id if zone else None)]
        told = [line for b in mine for line in beside_lines(b, began)]
        if told:
            yield ""
            yield f"BESIDE, zone {zone.name}" if zone else "BESIDE, the whole header"
            yield from told


def _zone_lines(zone: ZonePlan, began: datetime | None, weights: Weights) -> Iterator[str]:
    yield f"ZONE {zone.zone.name} ({zone.zone.inlet} to {zone.zone.outlet})"
    if isinstance(zone.answer, Refusal):
        yield "  refused: nothing on the shelf closes it. Nearest first:"
        yield from (f"  - {line}" for line in refusal_lines(zone.answer))
        return
    for number, option in enumerate(zone.answer, start=1):
        yield from option_lines(option, number, first=number == 1, began=began)
        yield f"     way: {option.way}, keeping {', '.join(option.keeps)}"
        yield f"     {rank_words(option, weights)}"
    yield from _ways_lines(zone)


def _ways_lines(zone: ZonePlan) -> Iterator[str]:
    """The ways that were asked and came to nothing, each with its nearest miss."""
    for way in zone.ways:
        if isinstance(way.answer, Refusal) and way.answer.because:
            yield f"  not {way.way}: {short_words(way.answer.because[0])}"


def option_lines(
    option: Option, number: int, *, first: bool, began: datetime | None = None
) -> Iterator[str]:
    """One option, in full when it is the first. [in, mm, deg] Source: each number's own."""
    yield f"  {number}. {train_words(option)}; {ends_words(option)}"
    yield f"     {option.train.parts} parts, {len(option.cuts.joints)} joints; {left_over(option)}"
    yield f"     {closing_words(option)}"
    if option.assembly is not None:
        yield f"     {giver_words(option.assembly)}; {water_words(option.assembly, began)}"
    if not first and option.doubt is not None:
        yield f"     {short_chance(option.doubt)}"
    if not first:
        lengths = ", ".join(f"{p.letter} {both_text(p.length)}" for p in option.cuts.pieces)
        yield f"     cut {cut_backs(option)}; {lengths or 'no pieces'}"
        return
    yield f"     cut {cut_backs(option)}"
    for piece in option.cuts.pieces:
        yield (
            f"     {piece.letter}  {both_text(piece.length):<22} "
            f"{within_words(piece.within):<20} {piece.before} to {piece.after}"
        )
    bends = [i for i in option.cuts.items if isinstance(i, Bend)]
    for i, bend in enumerate(bends):
        yield f"     {bend.name} ({math.degrees(bend.angle):g}°): {bend_words(bend, i)}"
    yield f"     parts: {', '.join(f'{n} x {name}' for name, n in option.parts)}"
    for work in option.works:
        if work.left is not None:
            left = both_text(work.left, Rounding.NOT_LONGER)
            yield f"     straight pipe left for next time at {work.stub}: {left}"
    if option.doubt is not None:
        yield from (f"     {line}" for line in chance_lines(option.doubt))
    if option.assembly is not None:
        for n, line in enumerate(
            step_lines(option.assembly, began, held_pieces(option.doubt), held_rolls(option.doubt)),
            start=1,
        ):
            yield f"     {n:>2}. {line}"
    for found in option.findings:
        yield f"     ! {finding_words(found)}"


def cut_backs(option: Option) -> str:
    """What comes off each stub. [in, mm]"""
    told = [f"{both_text(s.cut)} off {s.stub}" for s in option.works if s.cut > 0.0]
    return " and ".join(told) or "nothing off the stubs beyond a clean end"


def closing_words(option: Option) -> str:
    """What closing, and putting in, ask of the old pipe: ratio, force, where it peaks, digging.
    [in, N, lb]
    """
    closed = option.bending.judged
    dug = option.bending.dug
    before = ""
    if dug is not None and not option.bending.closes:
        told = " and ".join(
            f"{both_text(more, Rounding.NOT_SHORTER)} more at {stub}" for stub, more in dug.stubs
        )
        before = f"only after baring {told}: then "
    if not closed.bends:
        return f"{before}closes without bending any pipe{_to_put_in(option)}"
    share = f"{before}bends old pipe to {closed.upper:.0%} of what it may keep or hands can push"
    peak = ""
    if closed.peak is not None:
        side = option.stubs[0 if closed.stub == "inlet" else 1].stub
        peak = f", most at {side}, straight {closed.peak.straight + 1} from the tip"
    springs = f"{closed.force / POUND_FORCE:.0f} lb ({closed.force:.0f} N)"
    return f"{share}{peak}; springs with {springs}{_to_put_in(option)}"


def _to_put_in(option: Option) -> str:
    """What old pipe is moved by for a moment, to let the last joint in. [in]"""
    made = option.assembly
    if made is None:
        return ""
    told = []
    for step in made.steps:
        numbers = dict(step.numbers)
        if step.code == "spread_and_push":
            told.append(f"the last joint is sprung open by {_up(numbers['opening'])}")
        aside = numbers.get("aside", 0.0)
        if aside > 0.0:
            told.append(f"a stub is pushed {_up(aside)} aside")
    return f"; to put it in {' and '.join(dict.fromkeys(told))}" if told else ""


def _up(length: float) -> str:
    return both_text(length, Rounding.NOT_SHORTER)


def left_over(option: Option) -> str:
    """The misfit of the built train, before anything bends. [in, mm, deg]"""
    built = option.built
    gap = both_text(built.position, Rounding.NOT_SHORTER)
    return f"built from this list it misses by {gap} and {math.degrees(built.angle):.1f}°"


def _load_lines(plan: Plan) -> Iterator[str]:
    if not plan.load.lines:
        return
    yield "LOAD for the first option of each zone (need + spare, less what is on the truck)"
    for line in plan.load.lines:
        yield f"  {line.to_load:>2}  {line.item}  ({line.need} + {line.spare} - {line.on_truck})"
    for name, length in plan.load.pipes:
        yield f"      {name}: {both_text(length, Rounding.NOT_SHORTER)}, with a spare foot"
    for item, _, amount in consumables(plan.load.wants):
        yield f"      {item}: {amount}"
