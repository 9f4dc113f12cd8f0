"""Words and data for distances along a wire: where, within what band, and what the method needs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pitwright.findings import Refusal
from pitwright.survey.harness import CONTROLLER, Harness
from pitwright.units.kinds import FOOT
from pitwright.wiring.along import UPPER, Along
from pitwright.wording.wiring import length_words, stretch_words

__all__ = ["along_data", "along_lines", "along_words", "battery_used", "refused_words"]

_BATTERY = ("murray", "varley", "volt-drop")
_NAMES = {
    "loop-ohms": "loop ohms from one end",
    "both-ends": "ohms from both ends",
    "murray": "Murray loop",
    "varley": "Varley loop",
    "volt-drop": "volt-drop ratio",
    "capacitance": "capacitance ratio to a good wire",
    "capacitance-both-ends": "capacitance from both ends",
}


def battery_used(found: Sequence[Along]) -> bool:
    """Whether a method among these sends a battery's current along the wires."""
    return any(one.method in _BATTERY for one in found)


def refused_words(refusal: Refusal) -> str:
    """Why there is no distance, and what to do instead; lengths in feet."""
    short = refusal.because[0]
    have, need = length_words(short.have), length_words(short.need)
    why = {
        "distance.open": f"{short.where} reads OL: an open has no distance by ohms",
        "distance.no-capacitance": f"{short.where} gave no reading: a leak shunts the wire, and "
        "what is shunted has no distance by capacitance",
        "distance.past-end": f"these readings put it {have} along, past the wire's end at {need}",
        "distance.before-start": "these readings put it before the wire begins",
    }[short.code]
    lift = {
        "measure-capacitance": "compare its capacitance with a good wire's (capacitance), or "
        "measure it from both ends (capacitance-both-ends)",
        "dry-or-megger": "drive a current through the leak (murray, varley or volt-drop), or let "
        "the splices dry and read again",
        "take-again": "read again; check which end and which wire each reading was taken on, that "
        "the wire named good is good, and the lengths and gauges in the file",
    }[short.lift]
    return f"{why}. Instead: {lift}."


def _segment(harness: Harness, one: Along) -> str:
    if len(one.segments) == 1:
        return f"wire {one.wire} {stretch_words(harness, one.segment)}"
    after = harness.box(one.segments[0]).after
    first = "the controller" if after == CONTROLLER else after
    within = stretch_words(harness, one.segment)
    return f"wire {one.wire} {within} (band: {first} to {one.segments[-1]})"


def along_words(harness: Harness, one: Along) -> str:
    """The place along the route from the controller with its 95 % band; feet, metres beside."""
    if one.refusal is not None or one.got is None:
        return f"refused: {refused_words(one.refusal) if one.refusal else 'nothing read'}"
    if one.got.kind == UPPER:
        far, end = length_words(one.got.metres), length_words(one.length)
        if one.past_end:
            return f"{UPPER} {far}: the wire ends at {end}, so this says nothing of the place"
        said = f"{UPPER} {far} along the route, {one.high / FOOT:.0f} ft at most"
        return f"{said} (95 %): wire {one.wire} as far as {one.segments[-1]}"
    at = length_words(min(max(one.got.metres, 0.0), one.length))
    band = f"{one.low / FOOT:.0f} to {one.high / FOOT:.0f} ft (95 %)"
    return f"{at} along the route, {band}: {_segment(harness, one)}"


def _title(one: Along) -> str:
    mate = f" with {one.mate}" if one.mate else ""
    read = ", ".join(f"{key} {said}" for key, said in one.typed)
    return f"{_NAMES[one.method]}, {one.wire}{mate} to {one.to} ({read})"


def along_lines(harness: Harness, found: Sequence[Along]) -> tuple[str, ...]:
    """Every distance as lines of text; none for none. Feet along the route."""
    lines: list[str] = []
    for one in found:
        lines += [f"  {_title(one)}:", f"    {along_words(harness, one)}"]
        if one.got is not None:
            lines.append(f"    needs: {one.got.needs}")
    return ("How far along, by distance readings:", *lines) if lines else ()


def along_data(harness: Harness, one: Along) -> dict[str, Any]:
    """One distance as plain data; lengths in metres."""
    got = one.got
    return {
        "method": one.method,
        "wire": one.wire,
        "with": one.mate or None,
        "to": one.to,
        "readings": dict(one.typed),
        "kind": None if got is None else got.kind,
        "along_m": None if got is None else got.metres,
        "along_sd_m": None if got is None else got.sd,
        "low_m": None if got is None else one.low,
        "high_m": None if got is None else one.high,
        "past_end": one.past_end,
        "segment": one.segment or None,
        "segments": list(one.segments),
        "needs": None if got is None else got.needs,
        "refused": None if one.refusal is None else refused_words(one.refusal),
        "text": along_words(harness, one),
    }
