"""What putting a train in has to say: its findings and its limits in words."""

from __future__ import annotations

from collections.abc import Callable

from pitwright.findings import Finding
from pitwright.units.inches import Rounding, both_text

__all__ = ["FINDINGS", "LIFTS", "SHORTS"]


def _have_need(f: Finding) -> str:
    have = both_text(f.number("have"), Rounding.NOT_LONGER)
    return f"have {have}, need {both_text(f.number('need'), Rounding.NOT_SHORTER)}"


FINDINGS: dict[str, Callable[[Finding], str]] = {
    "push_aside": lambda f: (
        "Before the last joint a stub must be pushed aside by "
        f"{both_text(f.number('need'), Rounding.NOT_SHORTER)}; by hand and within what the pipe "
        f"bears both give {both_text(f.number('have'), Rounding.NOT_LONGER)}. Try it dry, slowly."
    ),
    "cutter_may_crack": lambda f: (
        f"Only a ratchet cutter has room at stub {f.name('where')}, and its blade may crack old or "
        "thin pipe: make room for a saw, or saw it with a cable; with the cutter turn it round the "
        "pipe in small bites and look for cracks after."
    ),
    "bonnet_off_to_spin": lambda f: (
        f"Take the bonnet off before the valve is spun on: with it, it hits {f.name('where')} "
        f"({_have_need(f)})."
    ),
    "old_not_tried": lambda f: (
        f"Nobody has said that {f.name('valve')} turns: try it, by a little, before anything is "
        "cut. Brace the adapter that stays; if it moves, it does not stay."
    ),
    "old_bonnet_off": lambda f: (
        f"Take the bonnet off {f.name('valve')} before it is spun off: with it, it hits "
        f"{f.name('where')} ({_have_need(f)})."
    ),
    "next_bonnet_off": lambda f: (
        f"To spin this valve off some day its bonnet must come off first: {f.name('where')} is in "
        "the way."
    ),
    "next_not_spun_off": lambda f: (
        f"This valve cannot be spun off some day: {f.name('where')} is in the way "
        f"({_have_need(f)}). It will have to be cut out."
    ),
    "bonnet_cannot_lift": lambda f: (
        f"There is no room to lift the bonnet: {f.name('where')} is in the way ({_have_need(f)})."
    ),
}
SHORTS: dict[str, str] = {
    "ASIDE": "{tried}: before the {where} a stub would have to be pushed aside farther than it may",
    "SPREAD": "{tried}: springing the {where} open asks {ratio} times what pipe and hands can give",
    "WAY_IN": "{tried}: on its way in it would stand {missed} in the way of {where}",
    "SWING": "{tried} would hit {where} as it turns",
    "NO_TOOL": "no tool at hand for {where}",
    "SLIDE_SHORT": (
        "{tried}: the stop-less coupling is too short to leave room between its pipes for the "
        "other end to be pushed on"
    ),
    "SLIDE_GAP": (
        "{tried}: the pipes under the stop-less coupling stand too close for the other end to be "
        "pushed on"
    ),
    "NO_TOOL_ROOM": "no room for the {tried}: {where} is {missed} too near",
    "RELIEF_HIGH": (
        "{tried}: the relief end of {where} must open lower than every glued joint, or water "
        "stands in the joint"
    ),
    "RELIEF_SMALL": "{tried}: the relief end of {where} lets out less than twice what seeps",
    "SEEPS_LAST": "{tried}: the last joint would be cemented while {where} still runs",
    "BARE_TO_PUT_IN": "{tried} can be put in with more bare pipe at {where}",
    "OPEN_TIME": "{tried}: the first coat is dry before both joints of the {where} are coated",
}
LIFTS: dict[str, str] = {
    "bonnet_off": "take the bonnet off, move it aside if it may be moved, or glue the valve in",
    "cut_old_off": (
        "take its bonnet off and measure the radius again (swing_bare), or saw the body off and "
        "split what is left on the thread"
    ),
    "hand_room": (
        "make that much room there: push it aside or move it, cut both lines where they lie "
        "farther apart, or take another train"
    ),
    "bring_tool": "bring a saw or a ratchet cutter, and a strap wrench for a thread",
    "longer_stop_less": "one that is longer by that much, or one at each end",
    "wider_gap": (
        "cut the piece beside it that much shorter: the coupling still holds both pipes deep enough"
    ),
    "shut_or_mechanical": (
        "stop the water first (a shut-off, or a drained line), or end with a joint without cement"
    ),
    "lower_relief": "open one lower by that much, raise the new work, or join it without cement",
    "wider_relief": "open it wider, open another one, or join it without cement",
    "two_people": "two people, one a joint, or wait for cooler pipe",
}
