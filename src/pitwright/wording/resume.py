"""How a half-built plan goes on, in words: what stands, what changes, what to cut now."""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.findings import Refusal
from pitwright.renewal.going_on import INLET, OUTLET
from pitwright.resuming import Resumed, Verdict, ZoneResumed
from pitwright.units.inches import both_text
from pitwright.wording.findings import finding_words, refusal_lines, short_words
from pitwright.wording.plan import option_lines

__all__ = ["changed_lines", "resume_text", "summary_words", "verdict_words", "zone_lines"]

_CLEAN = 1e-6
"""Less than this off a stub is nothing. [m]"""

_VERDICTS = {
    Verdict.FINISHED: "every joint is made: flush, prove and leave it bare until it is proved",
    Verdict.AS_PLANNED: "go on as planned",
    Verdict.RECUT: "go on with the same train, with the cuts below changed",
    Verdict.ANEW: "the train begun no longer closes: another from what is glued",
    Verdict.CUT_OFF: "cut off what is glued, and begin again from the old pipe",
    Verdict.STOP: "stop: nothing on the shelf closes from here",
}


def verdict_words(zone: ZoneResumed) -> str:
    """How a zone goes on, in one line. Source: none needed."""
    dug = 0.0 if isinstance(zone.answer, Refusal) else zone.answer[0].digging
    more = "; dig first, as below" if dug else ""
    return f"{_VERDICTS[zone.verdict]}{more}"


def resume_text(resumed: Resumed) -> str:
    """The whole answer for a terminal. [in, mm, deg] Source: each number's own."""
    lines = [f"{resumed.plan.survey.name}, half built"]
    for zone in resumed.zones:
        lines += ["", *zone_lines(zone)]
    return "\n".join(lines)


def zone_lines(zone: ZoneResumed) -> Iterator[str]:
    """One zone's lines: how it goes on, and with which cuts. [in, mm] Source: the zone's own."""
    yield f"ZONE {zone.zone.name} ({zone.zone.inlet} to {zone.zone.outlet})"
    yield f"  {verdict_words(zone)}"
    yield from (f"  ! {finding_words(f)}" for f in zone.findings)
    if zone.lost:
        yield f"  of no more use: {', '.join(zone.lost)}"
    yield from (f"  {line}" for line in changed_lines(zone))
    if zone.stopped:
        told = dict.fromkeys(short_words(s) for s in zone.stopped[:3])
        yield from (f"  why not less: {words}" for words in told)
    if isinstance(zone.answer, Refusal):
        yield "  Nearest first:"
        yield from (f"  - {line}" for line in refusal_lines(zone.answer))
        yield "  Close the pit safely, keep the water off, and come back with what would lift one."
        return
    yield from _joint_lines(zone)
    if zone.verdict is not Verdict.FINISHED:
        for number, option in enumerate(zone.answer, start=1):
            yield from option_lines(option, number, first=number == 1)


def changed_lines(zone: ZoneResumed) -> Iterator[str]:
    """The cuts and rolls that differ from the plan. [in, mm, deg]"""
    for name, length in zone.recut:
        what = f"off the {name} stub" if name in (INLET, OUTLET) else f"piece {name}"
        nothing = length < _CLEAN
        yield f"nothing now {what}" if nothing else f"cut now: {what} {both_text(length)}"
    for name, clock in zone.rolled:
        yield f"roll {name} to {round(math.degrees(clock))}°, as the list below says in words"


def summary_words(zone: ZoneResumed) -> str:
    """How a zone goes on and what of it changes, in a line for the record."""
    stubs = {INLET: "inlet stub", OUTLET: "outlet stub"}
    changed = [stubs.get(name, f"piece {name}") for name, _ in zone.recut]
    changed += [name for name, _ in zone.rolled]
    said = (
        verdict_words(zone).replace(", with the cuts below changed", "").replace(", as below", "")
    )
    return f"{said}; anew: {', '.join(changed)}" if changed else said


def _joint_lines(zone: ZoneResumed) -> Iterator[str]:
    """The joints of the train begun, those made marked, where it is gone on with."""
    if zone.verdict not in (Verdict.FINISHED, Verdict.AS_PLANNED, Verdict.RECUT):
        return
    if isinstance(zone.answer, Refusal) or not zone.done:
        return
    joints = zone.answer[0].cuts.joints
    made = [f"{n} {joints[n - 1].before} to {joints[n - 1].after}" for n in zone.done]
    yield f"  made: {'; '.join(made)}"
    left = [f"{n} {j.before} to {j.after}" for n, j in enumerate(joints, 1) if n not in zone.done]
    yield f"  to make: {'; '.join(left) or 'none'}"
