"""The steps of putting a train in, as sentences a person can follow, each with its clock. [in, mm]

Clock times need to know when work begins; without that they are told as minutes from its start.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime, timedelta

from pitwright.joining.assembly import Assembly, Step
from pitwright.units.inches import Rounding, both_text, inches_text
from pitwright.units.kinds import INCH, POUND_FORCE
from pitwright.wording.chances import letters_words
from pitwright.wording.from_feed import STEPS as OF_A_HEADER
from pitwright.wording.jointing import clock_text, duration_text
from pitwright.wording.shut_off import STEPS as OF_A_SHUT_OFF

__all__ = [
    "LEFT_LONG",
    "STOP",
    "began_at",
    "capital",
    "clock_of",
    "giver_words",
    "minutes_text",
    "step_check",
    "step_lines",
    "step_words",
    "water_words",
]

STOP = "STOP"
"""What stands before a step that cannot be undone."""
LEFT_LONG = INCH / 2
"""A piece that is trimmed last is first cut so much too long. Judgement. [m]"""
_STARTED = 60.0
"""A started minute counts whole. [s]"""


def _joint(step: Step) -> str:
    """``valve to piece A``; where one push makes two joints, the two ends of what is pushed."""
    return f"{step.name('before')} to {step.name('after')}"


def _pushed(step: Step) -> str:
    return f"{both_text(step.number('push'))} deep, to the depth mark"


def _bench_joint(step: Step) -> str:
    clocked = dict(step.numbers).get("clock")
    turn = "" if clocked is None else ", its clocking mark on its line"
    return f"On the bench glue {_joint(step)}: {_pushed(step)}{turn}."


def _spread(step: Step) -> str:
    hands = max(step.number("inlet_force"), step.number("outlet_force"))
    aside = step.number("aside")
    push = (
        f" Push the stub aside by {both_text(aside, Rounding.NOT_SHORTER)} first." if aside else ""
    )
    return (
        f"Spring the last joint open by {both_text(step.number('opening'), Rounding.NOT_SHORTER)}, "
        f"with about {hands / POUND_FORCE:.0f} lb ({hands:.0f} N), coat it, and let it in: "
        f"{_joint(step)}, {_pushed(step)}.{push}"
    )


def _union(step: Step) -> str:
    opening = both_text(step.number("opening"), Rounding.NOT_SHORTER)
    return f"Close the union: its faces must part by {opening} to pass. Ring in, nut by hand."


def _made_up(step: Step) -> str:
    numbers = dict(step.numbers)
    turns = ""
    if "least" in numbers:
        turns = (
            f", {numbers['least']:g} to {numbers['most']:g} turns past hand-tight "
            "(the part's own sheet counts)"
        )
    length = both_text(numbers["length"])
    return (
        f"On the bench screw the valve and its adapters together{turns}; arrow with the flow. "
        f"Measure it from socket bottom to socket bottom: planned with {length}."
    )


def _piece(step: Step) -> str:
    marks = (step.number("mark_before"), step.number("mark_after"))
    deep = inches_text(marks[0])
    if abs(marks[0] - marks[1]) > 1e-6:
        deep = f"{inches_text(marks[0])} and {inches_text(marks[1])}"
    return (
        f"Cut piece {step.name('piece')} to {both_text(step.number('length'))}, square; chamfer; "
        f"depth marks at {deep}."
    )


def _cut_of(step: Step) -> str:
    """The stub, or the pipe behind the shut-off that was set on it."""
    names = dict(step.names)
    return f"the pipe behind the {names['behind']}" if "behind" in names else names["stub"]


_WORDS: dict[str, Callable[[Step], str]] = {
    "prove_flow": lambda s: (
        "Prove which way the water runs, and mark it on both stubs: the valve's arrow must agree."
    ),
    "prove_arrow": lambda s: "Hold the valve to the marks: its arrow must agree with the flow.",
    "make_up_unit": _made_up,
    "cut_piece": _piece,
    "check_before_cut": lambda s: (
        f"Measure {_cut_of(s)} again before it is cut: {both_text(s.number('cut'))} comes off. "
        "Water off and drained? Nothing behind the blade?"
    ),
    "cut_stub": lambda s: (
        f"Cut {both_text(s.number('cut'))} off {_cut_of(s)} with the {s.name('tool')}, square."
    ),
    "check_relief": lambda s: (
        f"Find the relief end of {s.name('stub')}: its low test hole, drain or union. Its mouth "
        f"must lie {both_text(s.number('below'))} below the lowest joint to be glued: look, with a "
        "level."
    ),
    "open_relief": lambda s: (
        f"Open the relief end of {s.name('stub')} and let the pipe run out there; keep the pit "
        "bailed below it. See that water runs off below the joint, and nowhere else."
    ),
    "still_dry": lambda s: (
        f"Wipe the end of {s.name('stub')} and watch it for a minute. If it still runs: no cement. "
        "Look for more relief ends, stop the water farther up, or join it without cement."
    ),
    "close_relief": lambda s: (
        f"Close the relief end of {s.name('stub')} with its own plug, cap or nut: no cement."
    ),
    "spin_off_old": lambda s: (
        f"Screw {s.name('valve')} off, the adapter that stays braced with a second strap; look at "
        "its thread, and clean it."
    ),
    "dry_fit": lambda s: (
        "Put everything together dry, all depth marks shown; mark the clocking across every bend."
    ),
    "park": lambda s: f"Slide the coupling whole onto the pipe: {s.name('joint')}.",
    "screw_on": lambda s: (
        f"Screw {_joint(s)} together: {both_text(s.number('push'))} of thread, the far end free."
    ),
    "bench_joint": _bench_joint,
    "grip_joint": lambda s: f"Push {_joint(s)} into its grip, {_pushed(s)}; tighten.",
    "push_joint": lambda s: f"Glue {_joint(s)}: {_pushed(s)}.",
    "drop_on_two": lambda s: (
        f"Coat both sockets and drop the rest on both in one push: {_joint(s)}, {_pushed(s)}."
    ),
    "slide_back": lambda s: (
        f"Coat, and slide the stop-less coupling back over {_joint(s)} to its marks, in one go."
    ),
    "slide_and_grip": lambda s: (
        f"Slide the through coupling back over {_joint(s)} to its marks, {_pushed(s)}; tighten "
        "both ends. No cement."
    ),
    "draw_out": lambda s: f"Draw the telescoping coupling out: {_joint(s)}, {_pushed(s)}.",
    "spread_and_push": _spread,
    "push_aside": lambda s: (
        f"Push a stub aside by {both_text(s.number('aside'), Rounding.NOT_SHORTER)}, slowly."
    ),
    "close_union": _union,
    "brace": lambda s: "Brace the last joint with stake, sandbag or strap until it is set.",
    "water_on": lambda s: "Water on: fill slowly, let the air out, watch every joint bare.",
    **OF_A_SHUT_OFF,
    **OF_A_HEADER,
}


_DRY_AGAIN = (
    "Put it together dry again, twice at most: what is off by more than 1/16 in or 1 degree is "
    "marked and cut, or rolled, anew; a piece too short from new pipe."
)


def step_words(step: Step, held: Sequence[str] = (), rolls: Sequence[str] = ()) -> str:
    """One step as a sentence or two; an unknown code is shown as it is. [in, mm, lb, N]

    ``held`` are letters of pieces that are trimmed last: they are not cut to length before the dry
    fit, where they are marked; ``rolls`` are bends that stay dry and are rolled then. Source: the
    step's own; how long pieces are left is judgement.
    """
    if held and step.code == "cut_piece" and step.name("piece") in held:
        return _left_long(step)
    if (held or rolls) and step.code == "dry_fit":
        return _fitted(held, rolls)
    say = _WORDS.get(step.code)
    return say(step) if say else step.code


def _fitted(held: Sequence[str], rolls: Sequence[str]) -> str:
    """The dry fit where something was held back for it."""
    said = "Put everything together dry, all depth marks shown"
    if held:
        said += "; every joint drawn out 1/64 in, so that all comes out a hair short"
    said += "."
    if rolls:
        said += (
            f" Roll {letters_words(rolls)}, still dry, until the last joint lies in line and comes "
            "home without force."
        )
    if held:
        said += f" Mark {letters_words(held)} in place, and cut."
    return f"{said} Mark the clocking across every bend. {_DRY_AGAIN}"


def capital(words: str) -> str:
    """The same, begun with a capital."""
    return words[:1].upper() + words[1:]


def _left_long(step: Step) -> str:
    planned = step.number("length")
    return (
        f"Cut piece {step.name('piece')} LONG, to {both_text(planned + LEFT_LONG)}: it is trimmed "
        f"last. Planned with {both_text(planned)}; the mark at the dry fit counts. Square; chamfer."
    )


def began_at(text: str) -> datetime | None:
    """The time work begins, from the survey's own words; None when it is no clock time."""
    try:
        return datetime.fromisoformat(text.strip())
    except ValueError:
        return None


def clock_of(seconds: float, began: datetime | None) -> str:
    """``9:05``, or ``45 min in`` where nobody said when work begins. [s]"""
    if began is not None:
        return clock_text(began + timedelta(seconds=seconds), began)
    return f"{math.ceil(seconds / _STARTED):d} min in"


def _times(step: Step, began: datetime | None) -> str:
    """Hold, set and waits of a step that is cemented or waited for."""
    numbers = dict(step.numbers)
    told = []
    if "hand_hold" in numbers:
        told.append(
            f"bottomed within {numbers['bottom_by']:.0f} s, held {numbers['hand_hold']:.0f} s, "
            f"set {clock_of(numbers['set_at'], began)}"
        )
    if "until" in numbers:
        told.append(f"braces off {clock_of(numbers['until'], began)}")
    if step.ends > step.free + 1.0:
        told.append(f"go on {clock_of(step.ends, began)}")
    return f" ({'; '.join(told)})" if told else ""


def step_lines(
    assembly: Assembly,
    began: datetime | None = None,
    held: Sequence[str] = (),
    rolls: Sequence[str] = (),
) -> Iterator[str]:
    """Every step with when it begins; a stop says so; ``held`` pieces are left long, ``rolls`` dry.

    Source: the steps' own.
    """
    for step in assembly.steps:
        stop = f"{STOP}. " if step.stop else ""
        said = step_words(step, held, rolls)
        yield f"{clock_of(step.starts, began)}: {stop}{said}{_times(step, began)}"


_GIVERS = {
    "flex": "old pipe is sprung open for the last joint",
    "union": "a union closes it",
    "telescoping": "a telescoping coupling is drawn out last",
    "stop-less": "a coupling without a stop is slid back last",
    "parallel sockets": "the rest drops on two parallel sockets in one push",
    "none": "the last joint needs no opening",
}


def giver_words(assembly: Assembly) -> str:
    """What lets the last joint close, in a few words. [in, mm] Source: the assembly's own."""
    said = _GIVERS.get(assembly.giver, assembly.giver)
    if assembly.giver == "flex":
        said += f", by {both_text(assembly.opening, Rounding.NOT_SHORTER)}"
    return said


def water_words(assembly: Assembly, began: datetime | None = None) -> str:
    """When water may come. [s] Source: the joints' own tables."""
    if began is not None:
        return f"water on {clock_of(assembly.water_on, began)}"
    lasts = math.ceil(assembly.water_on / _STARTED) * _STARTED
    return f"water on {duration_text(lasts)} after work begins"


_CHECKS = {
    "open_relief": "Water runs off at the relief end; none stands in the end to be joined.",
    "still_dry": "Dry for a full minute, and the relief end still runs.",
    "close_relief": "Closed, and dry outside.",
}


def step_check(step: Step) -> str:
    """What to hold, see and wait for after a step; empty where nothing is. [s]"""
    numbers = dict(step.numbers)
    if "hand_hold" not in numbers:
        return _CHECKS.get(step.code, "")
    wait = minutes_text(max(0.0, numbers.get("set_at", 0.0) - numbers.get("last_coat", 0.0)))
    return (
        f"Bottomed within {numbers.get('bottom_by', 0.0):.0f} s of the last coat; held by hand for "
        f"{numbers['hand_hold']:.0f} s; set after {wait}."
    )


def minutes_text(seconds: float) -> str:
    """A wait as people say it, rounded up. [s]"""
    if seconds < 90:
        return f"{math.ceil(seconds)} s"
    minutes = math.ceil(seconds / 60)
    if minutes < 120:
        return f"{minutes} min"
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"
