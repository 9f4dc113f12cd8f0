"""The steps of an order with other lengths in them: the same joints, in the same order."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pitwright.joining.assembly import Assembly, Step
from pitwright.trains.cut_list import Bend, CutList, Where

__all__ = ["reworked"]

_TOOL = "saw"
"""What a stub is cut with that the plan left whole. Common practice, no source."""
_CUTS = ("check_before_cut", "cut_stub")
_LEAST = 1e-6
"""Less than this off a stub is no cut. [m]"""


def reworked(assembly: Assembly, cuts: CutList, stubs: tuple[str, str]) -> Assembly:
    """The same order with the lengths, stub cuts and clockings of another cut list. [m, rad]

    ``cuts`` has the same items as the list the order was made for; ``stubs`` name inlet and
    outlet. The clock stays the plan's, and so does what its pushes load. Source: the cut list's
    own.
    """
    ahead = assembly.steps[: assembly.first]  # a shut-off that is set first stays as it is
    own = assembly.steps[assembly.first :]
    steps = [s for step in own if (s := _again(step, cuts, stubs)) is not None]
    missing = [*_missing(steps, cuts, stubs)]
    first = next((n for n, s in enumerate(steps) if s.code == "dry_fit"), len(steps))
    return replace(assembly, steps=(*ahead, *steps[:first], *missing, *steps[first:]))


def _again(step: Step, cuts: CutList, stubs: tuple[str, str]) -> Step | None:
    if step.code == "cut_piece":
        lengths = {p.letter: p.length for p in cuts.pieces}
        return _with(step, "length", lengths.get(step.name("piece"), step.number("length")))
    if step.code in _CUTS and step.name("stub") in stubs:
        off = (cuts.inlet_cut, cuts.outlet_cut)[stubs.index(step.name("stub"))]
        return _with(step, "cut", off) if off > _LEAST else None
    if "clock" in dict(step.numbers) and step.joints:
        item = cuts.items[step.joints[0]]
        return _with(step, "clock", item.clock) if isinstance(item, Bend) else step
    return step


def _with(step: Step, name: str, value: float) -> Step:
    return replace(step, numbers=tuple((k, value if k == name else v) for k, v in step.numbers))


def _missing(steps: list[Step], cuts: CutList, stubs: tuple[str, str]) -> Iterator[Step]:
    """The cut of a stub that the plan left whole, with its check."""
    told = {s.name("stub") for s in steps if s.code in _CUTS}
    for name, off in zip(stubs, (cuts.inlet_cut, cuts.outlet_cut), strict=True):
        if off > _LEAST and name not in told:
            names = (("stub", name), ("tool", _TOOL))
            for code in _CUTS:
                stop = code == "cut_stub"
                yield Step(code, Where.PIT, (), 0.0, 0.0, 0.0, stop, (("cut", off),), names)
