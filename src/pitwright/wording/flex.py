"""The digging question in words: how far each stub moves by hand, and what digging changes."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from pitwright.findings import Refusal
from pitwright.flex.limits import StrainLimit, sources
from pitwright.geometry.vector import Vec
from pitwright.planning import Plan, ZonePlan
from pitwright.renewal.movable import InLine, Movable, Moved
from pitwright.renewal.option import Option
from pitwright.units.inches import Rounding, both_text
from pitwright.units.kinds import INCH, POUND_FORCE
from pitwright.wording.findings import refusal_lines, short_words
from pitwright.wording.plan import closing_words, ends_words, train_words
from pitwright.wording.soil import soil_words
from pitwright.wording.survey import facing_text

__all__ = ["CAUTIONS", "flex_text", "in_line_words", "limit_words", "moved_words"]

CAUTIONS = (
    "Squeeze a ring cut from old pipe first: if it snaps, this pipe is not to be bent at all.",
    "Where soil is taken to clamp the pipe, a pipe that is loose in wet soil gives more.",
    "Where soil is taken to give, a fitting or concrete just inside it holds the pipe tighter.",
    "Digging is taken to bare pipe that runs straight on; a fitting behind the soil ends that.",
    "What is bent springs back until the cement has set: hold and brace it that long.",
    "Local codes, the maker's sheet and licensed trades come first.",
)
_HOW_LONG = {"staying": "to stay", "momentary": "for a moment"}
_GOVERNS = {
    "strain": "strain governs",
    "force": "the push of hands governs",
    "length": "no more is promised: a tenth of what is bare",
}


def flex_text(plan: Plan, stubs: Sequence[Movable], lines: Sequence[InLine]) -> str:
    """The whole answer for a terminal. [in, mm, lb, N, %] Source: each number's own."""
    out = [plan.survey.name]
    for stub in stubs:
        out += ["", *_stub_lines(stub)]
    planned = {zone.zone.id: zone for zone in plan.zones}
    for zone in plan.survey.zones:
        out += ["", f"ZONE {zone.name} ({zone.inlet} to {zone.outlet})"]
        if zone.id in planned:
            out += [f"  {line}" for line in _zone_lines(planned[zone.id])]
        mine = [line for line in lines if line.zone == zone.id]
        out += [f"  {in_line_words(line)}" for line in mine]
        if not mine:
            out.append("  into line: the stubs look past each other; bends, not moving, join them")
    out += ["", *_source_lines(stubs), "", *(f"! {line}" for line in CAUTIONS)]
    return "\n".join(out)


def _stub_lines(stub: Movable) -> Iterator[str]:
    pipe = stub.stub.pipe.name if stub.stub.pipe else "pipe nobody knows"
    yield f"STUB {stub.stub.id}: {pipe}, {stub.stub.condition}; {_bare_words(stub)}"
    if isinstance(stub.limit, StrainLimit):
        yield f"  {limit_words(stub.limit)}"
    yield f"  {_held_words(stub)}"
    if stub.stuck is not None:
        yield f"  not to be moved: {short_words(stub.stuck)}"
        return
    yield "  its tip goes sideways by hand"
    yield from (f"    {moved_words(each)}" for each in stub.reaches)


def _held_words(stub: Movable) -> str:
    """What the soil is taken to do. [psi, in, mm]"""
    held = stub.ground
    if held is None:
        return "the soil is taken to clamp it where the bare path ends"
    return soil_words(held.soil, held.stiffness, held.depth, held.source, held.status)


def _bare_words(stub: Movable) -> str:
    """The bare path from the tip into the soil. [in, mm]"""
    straights = stub.stub.bare
    if not straights:
        return "nothing told of bare pipe"
    told = [f"bare {both_text(straights[0].length, Rounding.NOT_LONGER)} along the pipe"]
    for straight in straights[1:]:
        size = both_text(straight.length, Rounding.NOT_LONGER)
        told.append(f"then {size} {_way(straight.direction)}")
    return ", ".join(told)


def limit_words(limit: StrainLimit) -> str:
    """The strains a pipe bears, each with the key of its source. [%]"""

    def told(strain: float, source: str, status: str) -> str:
        from_memory = ", from memory" if status == "memory" else ""
        return f"{100 * strain:.2g} % [{source}{from_memory}]"

    stay = told(limit.staying, limit.staying_source, limit.staying_status)
    brief = told(limit.momentary, limit.momentary_source, limit.momentary_status)
    return f"may be strained {stay} for good, {brief} for a moment"


def _source_lines(stubs: Sequence[Movable]) -> Iterator[str]:
    """What the keys stand for, each once."""
    known = sources()
    limits = [s.limit for s in stubs if isinstance(s.limit, StrainLimit)]
    keys = dict.fromkeys(k for m in limits for k in (m.staying_source, m.momentary_source))
    keys |= dict.fromkeys(s.ground.source for s in stubs if s.ground and s.ground.soil)
    yield from (f"[{key}] {known.get(key, key)}" for key in keys)


def _way(direction: Vec) -> str:
    """A direction in words, without its noughts."""
    return ", ".join(p for p in facing_text(direction).split(", ") if not p.startswith("0.0 "))


def _small(length: float) -> str:
    """On the tape, never longer than it is; what no tape shows in tenths of a millimetre."""
    if length < INCH / 16:
        return f"{math.floor(length * 1e4) / 10:.1f} mm (under 1/16 in)"
    return both_text(length, Rounding.NOT_LONGER)


def moved_words(moved: Moved) -> str:
    """One reach: how far, what stops it, where it is bent most, how hard to push. [in, mm, lb]"""
    far = moved.reach
    tip = "free to turn" if moved.turning else "held from turning"
    most = ""
    if far.most > 1.2 * far.least:
        best = f"{_small(far.most)} {_way(far.best_way)} or back"
        most = f", at the farthest {best}"
    peak = f"bent most {both_text(far.peak.from_tip)} from the tip"
    push = f"{far.force / POUND_FORCE:.0f} lb ({far.force:.0f} N)"
    return (
        f"{_HOW_LONG[moved.how_long]}, {tip}: "
        f"{_small(far.least)} any way{most}; "
        f"{_GOVERNS[far.governs]}; {peak}; {push}"
    )


def _zone_lines(zone: ZonePlan) -> Iterator[str]:
    if isinstance(zone.answer, Refusal):
        yield "no train closes, as it lies or after digging. Nearest first:"
        yield from (f"- {line}" for line in refusal_lines(zone.answer, 3))
        return
    now = next((o for o in zone.answer if o.bending.closes), None)
    dug = next((o for o in zone.answer if not o.bending.closes), None)
    yield f"as it lies: {_train(now)}" if now else "as it lies: no train closes"
    if dug is not None:
        yield f"after digging: {_train(dug)}"
    elif now is not None:
        yield "after digging: it wins no other bends"


def _train(option: Option) -> str:
    return f"{train_words(option)}; {ends_words(option)}; {closing_words(option)}"


def in_line_words(line: InLine) -> str:
    """What it takes to bring one stub into line with the other. [in, mm, deg]"""
    turn = f" and turn it {math.degrees(line.turn):.1f}°"
    far = both_text(line.sideways, Rounding.NOT_SHORTER)
    start = f"into line: move {line.stub} {far} sideways{turn}"
    if isinstance(line.answer, Refusal):
        why = short_words(line.answer.because[0])
        never = "never by digging" if line.never else "not as it lies"
        return f"{start}: {never}; {why}"
    dig = line.answer
    push = f"{dig.flexed.force / POUND_FORCE:.0f} lb ({dig.flexed.force:.0f} N)"
    if dig.extra <= 0.0:
        return f"{start}: it goes as it lies, at {dig.then:.0%} of what it bears; {push}"
    more = both_text(dig.extra, Rounding.NOT_SHORTER)
    return f"{start}: bare {more} more (as it lies {dig.now:.1f} times what it bears); {push}"
