"""The ways that are no train between two stubs, as text: what changes, stays, is asked for."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import datetime

from pitwright.findings import Refusal
from pitwright.joining.assembly import Assembly, Step
from pitwright.renewal.beside import Beside
from pitwright.renewal.from_feed import FromFeed
from pitwright.renewal.insides import RenewedInsides
from pitwright.renewal.shut_off import ShutOff
from pitwright.survey.pit import Survey
from pitwright.units.inches import Rounding, both_text
from pitwright.wording.findings import finding_words, refusal_lines
from pitwright.wording.steps import clock_of, minutes_text, step_lines

__all__ = ["BESIDE", "BESIDE_HEAD", "BESIDE_NOTE", "beside_lines", "beside_name", "beside_row"]

BESIDE = "Ways beside these"
BESIDE_HEAD = ("way", "stays", "new parts", "water on")
BESIDE_NOTE = (
    "Not ranked among the others: nobody has worked out how sure these are, nor what they spring."
)

_JOINTS = {
    "direct": "glued straight on the feed",
    "coupled": "a coupling on the feed",
    "gripped": "a gripping coupling on the feed",
}


def beside_lines(one: Beside, began: datetime | None = None) -> Iterator[str]:
    """One such way; nothing where it is refused and nobody asked for it. [in, mm]

    Source: each number's own.
    """
    if isinstance(one.answer, Refusal):
        if one.asked:
            yield f"  {one.way}: refused. Nearest first:"
            yield from (f"  - {line}" for line in refusal_lines(one.answer))
        return
    yield f"  {one.way}: keeps {', '.join(one.keeps)}"
    if isinstance(one.answer, RenewedInsides):
        lines = _insides(one.answer)
    elif isinstance(one.answer, ShutOff):
        lines = _shut_off(one.answer, began)
    else:
        lines = _from_feed(one.answer, began)
    yield from (f"     {line}" for line in lines)
    yield from (f"     ! {finding_words(f)}" for f in one.answer.findings)


def beside_name(one: Beside, survey: Survey) -> str:
    """The zone, or the header, and the way."""
    whose = survey.zone(one.zone).name if one.zone else "the whole header"
    return f"{whose}: {one.way}"


def beside_row(one: Beside, survey: Survey, began: datetime | None = None) -> tuple[str, ...]:
    """One planned way as a row: what stays, what is new, when water may come. [s]

    Nothing for a way that is refused. Source: each number's own.
    """
    way = one.answer
    if isinstance(way, Refusal):
        return ()
    parts = ", ".join(f"{n} × {name}" for name, n in way.parts)
    water = "at once: nothing is cemented"
    if not isinstance(way, RenewedInsides):
        water = clock_of(way.water_on, began)
    return (beside_name(one, survey), ", ".join(one.keeps), parts, water)


def _counted(parts: tuple[tuple[str, int], ...]) -> str:
    return f"parts: {', '.join(f'{n} x {name}' for name, n in parts)}"


def _insides(way: RenewedInsides) -> Iterator[str]:
    yield f"{way.valve} ({way.model}): nothing is cut, nothing is cemented"
    yield f"new: {', '.join(name for name, _ in way.parts)}; stays old: {', '.join(way.left)}"


def _shut_off(way: ShutOff, began: datetime | None) -> Iterator[str]:
    joint = _JOINTS.get(way.joint, way.joint)
    where = "in line, the old valve goes on working" if way.in_line else "at the feed's cut end"
    yield f"{way.body} {where}; {joint}; water on after {minutes_text(way.water_on)}"
    yield f"the feed is cut {both_text(way.cut)} back from its tip"
    yield _counted(way.parts)
    ahead, behind = (both_text(x, Rounding.NOT_LONGER) for x in (way.ahead, way.behind))
    yield f"left for next time: {behind} bare behind it, {ahead} ahead; unions {way.unions}"
    if way.rest_goes_in:
        yield "the rest goes in behind it, dry: a train was found"
    yield from _numbered(way.steps, began)


def _from_feed(way: FromFeed, began: datetime | None) -> Iterator[str]:
    yield f"{_JOINTS.get(way.joint, way.joint)}; water on not before {minutes_text(way.water_on)}"
    for zone, at in way.places:
        yield f"tee of {zone}: centre {both_text(at)} from the feed's tip"
    for piece in way.pieces:
        yield f"{piece.name}  {both_text(piece.length):<22} {piece.before} to {piece.after}"
    mouth = "passes the mouth" if way.passes else "does not pass the mouth"
    yield f"spool {both_text(way.spool, Rounding.NOT_SHORTER)} long: {mouth}"
    yield _counted(way.parts)
    for option in way.branches:
        lengths = ", ".join(f"{p.letter} {both_text(p.length)}" for p in option.cuts.pieces)
        bends = "-".join(f"{math.degrees(c.bend):g}" for c in option.train.skeleton.corners)
        yield f"branch of {option.zone}: {bends or 'straight'}; {lengths or 'no pieces'}"
    yield from _numbered(way.steps, began)
    for option in way.branches:
        if option.assembly is not None:
            yield f"steps of the branch of {option.zone}:"
            yield from _numbered(option.assembly.steps, began)


def _numbered(steps: tuple[Step, ...], began: datetime | None) -> Iterator[str]:
    made = Assembly(steps, (), (), 0.0, "none", None, steps[-1].ends)
    yield from (f"{n:>2}. {line}" for n, line in enumerate(step_lines(made, began), start=1))
