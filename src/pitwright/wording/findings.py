"""Findings and refusals in words. Codes come from below; only here do they become sentences."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from pitwright.findings import Finding, Refusal, Short
from pitwright.units.inches import Rounding, both_text, on_tape
from pitwright.units.kinds import POUND_FORCE
from pitwright.wording import from_feed, insides, joining, jointing, shut_off
from pitwright.wording.identify import HAZARDS
from pitwright.wording.soil import soil_words
from pitwright.wording.survey import FINDINGS as OF_A_SURVEY
from pitwright.wording.survey import finding_text

__all__ = ["finding_words", "gathered_words", "refusal_lines", "short_words", "within_words"]

_SHOWN = 5


def within_words(half: float) -> str:
    """``±3/32 in (2.2 mm)`` for limits [m], rounded up to the next 32nd."""
    tape = on_tape(half, Rounding.NOT_SHORTER, per_inch=32)
    return f"±{tape} in ({half * 1000:.1f} mm)"


def _angle(value: float) -> str:
    return f"{math.degrees(value):.1f}°"


def _soil(found: Finding) -> str:
    soil, status = found.name("soil"), found.name("status")
    return soil_words(soil, found.number("stiffness"), found.number("depth"), found.source, status)


_FINDINGS: dict[str, Callable[[Finding], str]] = {
    "measure_part": lambda f: (
        f"Measure the {f.name('part')} you will use (centre to socket bottom): like parts differ "
        f"by {within_words(f.number('within'))}, and nobody has measured this one."
    ),
    "stub_seeps": lambda f: (
        f"Stub {f.name('stub')} still runs {f.number('flow') * 6e7:.0f} mL/min: no cemented joint "
        "there while water can reach it; find why it runs first."
    ),
    "old_pipe": lambda f: (
        f"Stub {f.name('stub')} is {f.name('condition')} pipe: squeeze the cut ring; if it snaps, "
        "do not bend this pipe and go back to sound pipe."
    ),
    "warmth_not_read": lambda f: (
        "Nobody read the air, the pipe or the ground: all times of cement are for 73 F (23 C); "
        "colder takes longer, hotter leaves less time to work."
    ),
    "reclaimed_socket": lambda f: (
        f"Boring or pulling the old pipe out of the {f.name('fitting')} behind stub "
        f"{f.name('stub')} is listed by no standard: a nick or a thinned socket leaks or breaks, "
        "and then the fitting must be cut out. Last resort; never on the side under pressure."
    ),
    "dry_fit": lambda f: (
        "Prove each train dry, with all depth marks shown, before anything is cemented."
    ),
    "spool_passes": lambda f: (
        f"What is put together on the bench, {_spool(f)}, passes the mouth of the box level."
    ),
    "spool_past_mouth": lambda f: (
        f"What is put together on the bench, {_spool(f)}, does not pass the mouth of the box "
        "level: tilt it in if the hole is deep enough, or take the box out first."
    ),
    "search_cut_short": lambda f: (
        "The search was cut short: another train may do better than the ones shown."
    ),
    "zones_clash": lambda f: (
        f"No options of {f.name('zones')} go together: their new work would stand in each other."
    ),
    "chosen_clash": lambda f: (
        f"What is chosen for {f.name('zones')} does not go together: the new work of one would "
        "stand in another's, or in its way in. Choose another way for one."
    ),
    "chosen_for_neighbour": lambda f: (
        f"The first option shown for {f.name('zone')} is not its best alone: with its neighbours' "
        "it goes together better."
    ),
    "choice_proved": lambda f: (
        f"Of all combinations of the {f.number('zones'):.0f} zones' options the one shown first is "
        "the best that goes together: proved, all others were ruled out."
    ),
    "zones_order": lambda f: (
        f"Work the zones in this order: {f.name('zones')}. What one waits for cures while the next "
        f"is worked, and nothing then stands in the next one's way: water may return to all "
        f"{jointing.duration_text(_five_up(f.number('water')))} after work begins."
    ),
    "choice_cut_short": lambda f: (
        f"The choice between the zones' options was cut short after {f.number('nodes'):.0f} steps "
        f"(limit {f.number('most'):.0f}): another combination may be better."
    ),
    "zones_left_alone": lambda f: f"No new valve asked for, nor to be joined: {f.name('zones')}.",
    "needs_union": lambda f: (
        "A union stands beside the valve: without one nothing here can be put in. Next time it "
        "lets the valve go without a cut."
    ),
    "no_union": lambda f: "No union beside the valve: with one, nothing fits.",
    "holds_no_thrust": lambda f: (
        f"The {f.name('joint')} at stub {f.name('stub')} holds no thrust: water pushes it with "
        f"{f.number('push') / POUND_FORCE:.0f} lb ({f.number('push'):.0f} N). Only where the pipe "
        "on both sides is held by soil or blocks."
    ),
    "soil_gives": lambda f: f"Stub {f.name('stub')}: {_soil(f)}; what bends, bends on inside it.",
    "stub_broke": lambda f: (
        f"Stub {f.name('stub')} broke ({f.name('what')}): work starts from its new end, measured "
        "behind the break. Look for cracks running on before anything is joined there."
    ),
    "mark_differs": lambda f: (
        f"Piece {f.name('piece')} marked in place is {both_text(abs(f.number('by')))} "
        f"{'longer' if f.number('by') > 0 else 'shorter'} than the readings say: see that every "
        "dry joint is at its depth mark, then mark it again before the cut."
    ),
    "set_stroke": lambda f: (
        f"The {f.name('joint')} at stub {f.name('stub')} is set in the pit, not cut: it stands "
        f"{both_text(f.number('give'))} from the nearer end of what it may span."
    ),
    "park_first": lambda f: (
        f"Slide the coupling whole onto the {f.name('on')} before the train is set "
        f"down: {both_text(f.number('park'), Rounding.NOT_SHORTER)} of clean bare pipe; mark how "
        "deep it must come back on both pipes. Try it dry first."
    ),
    "shelf-slip": lambda f: (
        f"The shelf's {f.name('part')} breaks a rule of such parts: {f.name('rule')}."
    ),
    "suspect-dimension": lambda f: (
        f"The shelf's {f.name('item')} of size {f.name('size')} is suspect: {f.name('note')}."
    ),
}

_FINDINGS |= jointing.FINDINGS | joining.FINDINGS


def _spool(found: Finding) -> str:
    length, width = (both_text(found.number(n), Rounding.NOT_SHORTER) for n in ("length", "width"))
    return f"{length} by {width} from above"


def _five_up(seconds: float) -> float:
    """To the next five minutes, of some hours to the next quarter. [s]"""
    step = 300.0 if seconds < 7200.0 else 900.0
    return math.ceil(seconds / step) * step


def finding_words(found: Finding) -> str:
    """One sentence for a finding; an unknown code is shown as it is, never hidden."""
    say = _FINDINGS.get(found.code)
    if say is None and (found.code in OF_A_SURVEY or found.code in HAZARDS):
        return finding_text(found)
    if say is None:
        facts = ", ".join(f"{k} {v}" for k, v in (*found.names, *found.numbers))
        return f"{found.code}: {facts}" if facts else found.code
    return say(found)


def gathered_words(found: Sequence[Finding]) -> list[str]:
    """Sentences for many findings, each told once: parts to measure and old stubs in one line."""
    parts = dict.fromkeys(
        f"{f.name('part')} ({within_words(f.number('within'))})"
        for f in found
        if f.code == "measure_part"
    )
    stubs = dict.fromkeys(
        f"{f.name('stub')} ({f.name('condition')})" for f in found if f.code == "old_pipe"
    )
    lines = [finding_words(f) for f in found if f.code not in ("measure_part", "old_pipe")]
    if stubs:
        lines.append(
            f"Squeeze a cut ring of each old stub, {', '.join(stubs)}: if it snaps, do not bend "
            "that pipe and go back to sound pipe."
        )
    if parts:
        lines.append(
            "Measure the parts you will use, centre to socket bottom; nobody has measured these, "
            f"and like ones differ: {', '.join(parts)}."
        )
    return list(dict.fromkeys(lines))


def _compared(s: Short) -> str:
    """What was had and what was needed, or was the most that would do, in the unit of the miss."""
    over = s.have > s.need
    if s.unit == "m":
        have = both_text(s.have, Rounding.NOT_SHORTER if over else Rounding.NOT_LONGER)
        need = both_text(s.need, Rounding.NOT_LONGER if over else Rounding.NOT_SHORTER)
        return f"{have}, at most {need} will do" if over else f"have {have}, need {need}"
    if s.unit == "rad":
        have, need = _angle(s.have), _angle(s.need)
        return f"{have}, at most {need} will do" if over else f"have {have}, need {need}"
    if s.unit in ("K", "Pa", "s"):
        return jointing.compared_text(s)
    return ""


_SHORTS: dict[str, str] = {
    "CUT_SHORT": "{tried}: not looked at to the end",
    "BARE": "{tried} closes with more bare pipe at {where}",
    "BARE_BOTH": "{tried} closes with more bare pipe at both stubs, of which at {where}",
    "ANGLE": "{tried}: the stubs do not stand at that angle",
    "OFFSET": "{tried}: the stubs miss each other sideways",
    "SKEW": "{tried}: the axes of the stubs pass each other",
    "NO_OFFSET": "{tried}: the stubs are in line, there is nothing to offset",
    "LEG": "{tried}: {where} is too short for its parts",
    "LONG": "{tried}: {where} is longer than its parts can be drawn out",
    "CUTBACK": "{tried}: not enough bare pipe at the {where} to hold a fitting",
    "PARK": "{tried}: too little bare pipe at the {where} to slide the whole coupling onto",
    "WINDOW": "{tried}: the gap lies outside what the telescoping or stop-less coupling spans",
    "THRUST": "{tried}: water pushes {force} along it, and nothing backs the {where}",
    "STUCK": "{tried}: neither stub can move, and the {where} has to be pushed home",
    "TILT": "{tried}: the valve would lean too far",
    "ABSURD": "{tried}: closes only with absurdly long legs",
    "ROUNDING": "{tried}: a piece is too short once it is cut to the sixteenth",
    "STRAIN": "{tried}: {where} would have to bend {ratio} times as far as it may",
    "FORCE": "{tried}: closing it takes {ratio} times what hands can push",
    "WALL": "{tried}: stands {missed} in the {where}",
    "OBSTACLE": "{tried}: stands {missed} in the way of {where}",
    "CROSSED": "{tried} would have to go through {where}, {missed} deep",
    "WHAT_PIPE": "nobody knows what pipe {where} is",
    "ASBESTOS": "{where} may be asbestos cement: stop",
    "CRACKED": "{where} is cracked",
    "NO_JOINT": "nothing on the shelf joins {tried} at {where} to new pipe",
    "FLEX_FORBIDDEN": "old pipe that must not be bent: {where}",
    "FLEX_UNKNOWN_MATERIAL": "nobody knows how far this pipe may bend: {where}",
    "FLEX_HOT": "too hot a pipe to bend: {where}",
    "NO_BARE": "{where} has too little bare pipe to give at all",
    "NEVER_BY_DIGGING": "at best {ratio} times what the {where} bears",
    "OBJECTED": "{tried}: a second look at its steps objects to {where}",
    "NO_THREAD": "no adapter is kept that a valve could be screwed to ({where})",
    "OTHER_THREAD": "the thread kept at {where} does not fit the new valve",
    "NO_ELBOW": "the shelf has no elbow of 90 degrees for a box",
    "MOST_BENDS": "a box takes four bends, and the preferences allow fewer",
    "NO_NEXT": "no straight pipe is known behind the bend at {where}",
    "TAKES_NEIGHBOUR": "what stub {tried} hangs on comes out with the bend behind {where}",
    "NEXT_SHORT": "the straight behind the bend at {where} is too short to be cut and held",
    "NO_SOCKET": "no fitting with a socket is known right behind {where}",
    "PRESSURE_SIDE": "{where} stands under pressure: no socket is reclaimed there",
    "NO_PIPE": "the shelf has no schedule 40 pipe of size {tried}",
}
_LIFTS: dict[str, str] = {
    "search_longer": "measure closer, or ask for fewer bends",
    "bare_and_ask": "bare at least that much more, measure, and ask again",
    "bare_more": "dig, or cut past the fitting behind, to bare that much more",
    "other_bends": "other bends",
    "bare_to_park": "bare that much more straight pipe there, or park it on the new piece",
    "add_pipe": "a coupling and a piece of pipe on one stub, or a longer telescoping coupling",
    "cut_back_more": "cut a stub back by that much, or a shorter coupling",
    "block_bends": "tie the joint or block the bends, and say blocks = true under [preferences]",
    "block_stub": "tie the joint or block the bend behind that stub, and say held = true there",
    "slide_or_box": (
        "a telescoping coupling, a stop-less coupling at each end, or a box of four elbows"
    ),
    "more_bends": "one bend more",
    "mechanical_joint": "another train, or a joint that slides",
    "offset": "two bends, or a stub that may be moved aside",
    "jog": "out and back again with three bends",
    "cut_back_inlet": "cut the inlet stub farther back",
    "cut_back_outlet": "cut the outlet stub farther back",
    "coupling_and_piece": "a coupling and a piece on that stub",
    "dig_wall": "dig that much more away there",
    "other_side": "another way round it, or move it aside if it may be moved",
    "valve_on_level_leg": "the valve on a level leg",
    "tell_pipe": 'measure it and ask "pitwright identify"',
    "qualified_handling": "qualified handling only; do not saw or break it",
    "cut_past_crack": "cut back to sound pipe and measure again",
    "part_for_stub": "put a part that joins it on your own shelf file",
    "cut it out": "cut it out, back to pipe that may be bent or to a fitting",
    "telescoping coupling": "a telescoping coupling spares it",
    "elbow box": "an elbow box spares it",
    "say_thread": (
        'where the old valve can be spun off a sound adapter, say end = "male thread" there'
    ),
    "other_valve": "a valve with that thread, or cut the adapter off and call the end a pipe",
    "ask_four_bends": "say most_bends = 4 under [preferences]",
    "four_bends_serve": "say most_bends = 4 under [preferences]: a box of four bends then fits and "
    "can be put in, and nothing need be dug for it",
    "rebuild_with_neighbour": "rebuild both zones from the feed, or keep the bend",
    "bare_past_bend": "dig past the bend, and write its next straight under bare",
    "say_behind": 'where a tee, an elbow or a coupling sits there, say behind = "tee"',
    "reclaim_outlet": "renew that fitting instead",
    "size_on_shelf": "choose a valve of a size on the shelf",
}

_SHORTS |= jointing.SHORTS | joining.SHORTS | insides.SHORTS | shut_off.SHORTS | from_feed.SHORTS
_LIFTS |= jointing.LIFTS | joining.LIFTS | insides.LIFTS | shut_off.LIFTS | from_feed.LIFTS
_FINDINGS |= insides.FINDINGS | shut_off.FINDINGS | from_feed.FINDINGS


def short_words(short: Short) -> str:
    """One line for a limit: what stopped it, by how much, and what would lift it. [in, mm, deg]"""
    code = "LONG" if short.code == "LEG" and short.have > short.need else short.code
    what = _SHORTS.get(code, short.code + " at {where}")
    missed = both_text(short.missed, Rounding.NOT_SHORTER) if short.unit == "m" else ""
    force = f"{short.missed / POUND_FORCE:.0f} lb ({short.missed:.0f} N)"
    tried = short.tried or "this"
    facts = {"where": short.where, "tried": tried, "missed": missed, "force": force}
    line = what.format(**facts, ratio=f"{short.have:.1f}")
    compared = "" if "{missed}" in what else _compared(short)
    if compared:
        line += f" ({compared})"
    lift = _LIFTS.get(short.lift)
    return f"{line}: {lift}" if lift else line


def refusal_lines(refusal: Refusal, most: int = _SHOWN) -> list[str]:
    """The nearest misses, one line each, like ones told once."""
    lines = list(dict.fromkeys(short_words(s) for s in _one_of_each(refusal)))
    more = len({(s.code, s.where) for s in refusal.because}) - most
    lines = lines[:most]
    if more > 0:
        lines.append(f"and {more} more kinds of limit, see --json")
    if refusal.cut_short:
        lines.append("the search was cut short: something may still fit")
    return lines


def _one_of_each(refusal: Refusal) -> list[Short]:
    """The nearest miss of each kind of limit at each place, in the order of the misses."""
    seen: dict[tuple[str, str], Short] = {}
    for short in refusal.because:
        seen.setdefault((short.code, short.where), short)
    return list(seen.values())
