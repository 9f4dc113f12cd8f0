"""The steps of an assembly as sentences: what to do with which part, to the sixteenth. [in, mm]"""

from __future__ import annotations

import math
from collections.abc import Callable

from pitwright.joining.assembly import Step
from pitwright.units.inches import both_text
from pitwright.units.kinds import POUND_FORCE

__all__ = ["minutes_text", "step_check", "step_words"]


def _length(step: Step, name: str) -> str:
    return both_text(step.number(name))


def _push(step: Step) -> str:
    return f"{step.name('before')} into {step.name('after')}, {_length(step, 'push')} deep"


def _made_up(step: Step) -> str:
    turns = ""
    if "least" in dict(step.numbers):
        turns = f" {step.number('least'):g} to {step.number('most'):g} turns past hand-tight;"
    return (
        f"Screw the adapters into the valve:{turns} then measure it from socket bottom to socket "
        f"bottom. The plan counts with {_length(step, 'length')}."
    )


def _bench(step: Step) -> str:
    clock = ""
    if "clock" in dict(step.numbers):
        clock = f", clocked {math.degrees(step.number('clock')):.0f}° as the cut list says"
    return f"On the bench, cement {_push(step)}{clock}."


def _opened(step: Step) -> str:
    said = f"Open the last joint by {_length(step, 'opening')} and push {_push(step)}."
    for side in ("inlet", "outlet"):
        force = step.number(f"{side}_force")
        if force > 0.5:
            said += f" Pull the {side} side with {force / POUND_FORCE:.0f} lb ({force:.0f} N)."
    return said


_WORDS: dict[str, Callable[[Step], str]] = {
    "prove_arrow": lambda s: "Check the arrow on the new valve against the way the water flows.",
    "prove_flow": lambda s: "Prove which end the water comes from before anything is cemented.",
    "make_up_unit": _made_up,
    "cut_piece": lambda s: (
        f"Cut piece {s.name('piece')} to {_length(s, 'length')}; depth marks at "
        f"{_length(s, 'mark_before')} and {_length(s, 'mark_after')} from its ends."
    ),
    "check_before_cut": lambda s: (
        f"Measure again before the cut: {_length(s, 'cut')} comes off stub {s.name('stub')}."
    ),
    "cut_stub": lambda s: (
        f"Cut {_length(s, 'cut')} off stub {s.name('stub')} with the {s.name('tool')}. "
        "This cannot be put back."
    ),
    "screw_on": lambda s: f"Screw {s.name('before')} to {s.name('after')}.",
    "dry_fit": lambda s: (
        "Put everything together dry, every depth mark showing; mark trim-last pieces."
    ),
    "park": lambda s: f"Slide {s.name('joint')} its whole length back onto its pipe.",
    "slide_back": lambda s: f"Slide {s.name('after')} over the gap to its marks.",
    "draw_out": lambda s: f"Draw out {s.name('after')} over the gap to its depth mark.",
    "bench_joint": _bench,
    "grip_joint": lambda s: f"Join {_push(s)}, and tighten it by its sheet.",
    "push_joint": lambda s: f"In the pit, cement {_push(s)}.",
    "drop_on_two": lambda s: (
        f"Coat both, and drop the piece on both ends in one push, {_length(s, 'push')} deep: "
        f"{s.name('before')} to {s.name('to')}."
    ),
    "spread_and_push": _opened,
    "close_union": lambda s: f"Close the union: {_length(s, 'opening')} must open for it.",
    "push_aside": lambda s: (
        f"Push the stub aside by {_length(s, 'aside')}, gently, and let it back."
    ),
    "brace": lambda s: (
        "Brace the springing side (stake, sandbag, strap) until the cement is set: "
        f"{minutes_text(max(0.0, s.number('until') - s.starts))} from now."
    ),
    "water_on": lambda s: "Only now may water come back. Open slowly, let the air out.",
}


def step_words(step: Step) -> str:
    """One step as a sentence; an unknown code is said as it is. [SI]"""
    words = _WORDS.get(step.code)
    if words is None:
        return step.code.replace("_", " ")
    try:
        said = words(step)
    except KeyError:  # a newer plan names its parts otherwise: say what is known
        said = ", ".join((step.code.replace("_", " "), *(v for _, v in step.names)))
    return said


def step_check(step: Step) -> str:
    """What to hold and to wait for after a step; empty where nothing is. [s]"""
    numbers = dict(step.numbers)
    if "hand_hold" not in numbers:
        return ""
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
