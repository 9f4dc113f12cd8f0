"""A shut-off now and the rest later: what it asks, what stops it, what would allow it."""

from __future__ import annotations

from collections.abc import Callable

from pitwright.findings import Finding
from pitwright.joining.assembly import Step
from pitwright.units.inches import both_text
from pitwright.units.kinds import POUND_FORCE

__all__ = ["FINDINGS", "LIFTS", "SHORTS", "STEPS"]

SHORTS: dict[str, str] = {
    "FEED_DRY": "{where} is dry: nothing asks for a shut-off before the rest",
    "NO_SHUT_OFF": "no shut-off to put in is written down for {where}",
    "SHUT_OFF_FIXED": (
        "the {where} has no union ends, and the old valve that stays leaves no free end to push it "
        "on from"
    ),
    "SHUT_OFF_BARE": "the feed of {where} has too little bare pipe for the shut-off ({tried})",
    "SHUT_OFF_ROOM": "the {tried} would stand {missed} in the way of {where}",
    "REST_REFUSED": "behind the shut-off ({tried}) nothing was found that joins {where} again",
}
LIFTS: dict[str, str] = {
    "cut_in_at_once": "cut in at once",
    "say_shut_off": 'write its sizes under [valve.NAME], and shut_off = "NAME" at the zone',
    "union_shut_off": "take one with a union at both ends (union_ends = true), or let the valve go",
    "bare_for_shut_off": "bare so much more of the feed, or take a shorter body",
    "smaller_shut_off": "turn it, take a smaller one, or make room",
    "whole_at_once": "renew the zone in one go, or take a shorter shut-off",
}
FINDINGS: dict[str, Callable[[Finding], str]] = {
    "supply_off_upstream": lambda f: (
        f"Shut the water off farther up, and prove it off, before {f.name('stub')} is cut."
    ),
    "relief_lower": lambda f: (
        f"Stub {f.name('stub')} still runs {f.number('flow') * 6e7:.0f} mL/min: let it out lower "
        "than the cut, keep the pit bailed, and use no cement on it."
    ),
    "shut_off_blocked": lambda f: (
        f"The joint of the {f.name('body')} holds no thrust: block it against "
        f"{f.number('push') / POUND_FORCE:.0f} lb ({f.number('push'):.0f} N) before water comes."
    ),
    "zone_waits": lambda f: (
        f"Zone {f.name('zone')} has no water until the rest is done; all others have."
    ),
    "rest_not_proved": lambda f: (
        f"Behind the {f.name('body')} no train was found for the new valve: it stops the water, "
        "but does not spare the cutting."
    ),
}
STEPS: dict[str, Callable[[Step], str]] = {
    "cut_out": lambda s: (
        f"Cut {both_text(s.number('cut'))} out of {s.name('stub')} with the {s.name('tool')}, "
        f"square: between {both_text(s.number('near'))} and {both_text(s.number('far'))} back "
        "from its end."
    ),
    "dry_fit_one": lambda s: f"Try the {s.name('body')} dry, all depth marks shown.",
    "block_joint": lambda s: (
        "Block or tie the joint that holds no thrust: water will push with "
        f"{s.number('push') / POUND_FORCE:.0f} lb ({s.number('push'):.0f} N)."
    ),
    "shut_closed": lambda s: f"Close the {s.name('body')}: from here on all behind it is dry.",
}
