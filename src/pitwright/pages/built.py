"""What was really built of each zone: its newest stage, with every length as it was cut. [m]"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pitwright.errors import BadInput
from pitwright.pages.doing import doings, done_at
from pitwright.pages.going import progress_now, tables_now
from pitwright.pages.standing import Going, Pit
from pitwright.records.pits import plans_of
from pitwright.renewal.from_glued import glued_to, names_of
from pitwright.renewal.going_on import INLET, OUTLET
from pitwright.renewal.option import Option
from pitwright.renewal.standing import standing
from pitwright.resuming import Base
from pitwright.stages import as_built
from pitwright.survey.progress import ZoneProgress
from pitwright.trains.cut_list import CutList
from pitwright.units.inches import Rounding, both_text
from pitwright.wording import owner as words
from pitwright.wording.plan import train_words

__all__ = ["Built", "built_lines", "built_of", "left_lines", "lies_here", "open_lines"]

_SAME = 2e-4
"""What differs less is as planned. [m]"""


@dataclass(frozen=True, slots=True)
class Built:
    """One zone as it was built: how its work stands, what was noted, and its train as cut.

    ``finished``: every joint of it is made, or somebody said that it closed.
    """

    going: Going
    noted: ZoneProgress
    option: Option
    finished: bool


def built_of(pit: Pit) -> tuple[Built, ...]:
    """Every zone of which a way was chosen and whose stages are worked out."""
    saved, survey = plans_of(pit.state), pit.partly.survey
    if not saved or survey is None:
        return ()
    found = []
    for going in pit.goings:
        if going.status != "ready" or pit.chosen(going.zone) is None:
            continue
        root = going.stage.root
        try:
            tables = tables_now(pit.state, saved[-1], going, survey)
            noted = progress_now(tables, survey, going).zone(root.id)
        except BadInput:
            noted = ZoneProgress(root.id)
        option = as_built(going.stage, noted)
        joints = {*going.stage.joints, *noted.joints}
        made = len(joints) == len(option.cuts.joints)
        found.append(Built(going, noted, option, made or _said_closed(pit, going)))
    return tuple(found)


def _said_closed(pit: Pit, going: Going) -> bool:
    names = {"", going.zone, going.name}
    return any(
        f.value("closed") == "yes" and str(f.value("zone")) in names
        for f in pit.state.of_kind("outcome")
    )


def built_lines(pit: Pit, built: Built) -> Iterator[str]:
    """What was done in a zone, for its owner: the train, what went otherwise, lengths as cut."""
    going, option = built.going, built.option
    every = doings(going.stage)
    done = sum(done_at(pit.state, going, d) is not None for d in every)
    state = f"{done} of {len(every)} steps done"
    if built.finished:
        state = "done"
    yield f"Zone {going.name}: {option.way}, {train_words(option)} ({state})."
    for number, begun in enumerate(going.begun, start=1):
        came = going.stages[number].came
        told = [dict(f.names) for f in came.findings if f.code == "stub_broke"] if came else []
        broke = [(names["stub"], names["what"]) for names in told]
        yield words.resumed_line(going.name, broke, str(begun.fact.value("summary")))
    for base in going.stage.bases:
        stands = _stands(base)
        if stands:
            yield words.stands_line(going.name, stands)
    cut = _cut(built)
    if cut:
        yield words.cut_line(going.name, cut)


def open_lines(pit: Pit, built: Built) -> Iterator[str]:
    """The steps of a zone that are not done, where it is not finished."""
    every = doings(built.going.stage)
    open_ = [d.said for d in every if done_at(pit.state, built.going, d) is None]
    if open_:
        yield words.open_line(built.going.name, len(every), open_)


def _cut(built: Built) -> tuple[str, ...]:
    """Every length of the train as it was cut, beside the plan's where that was another. [in]

    Of a zone that is not finished those alone that somebody told.
    """
    stage, cuts = built.going.stage, built.option.cuts
    said = {*dict(stage.cut), *dict(built.noted.cut), *dict(built.noted.marked)}
    told = []
    for piece, planned in zip(cuts.pieces, stage.option.cuts.pieces, strict=True):
        if built.finished or piece.letter in said:
            told.append(_as(piece.letter, piece.length, planned.length, piece.letter in said))
    ends = ((INLET, cuts.inlet_cut), (OUTLET, cuts.outlet_cut))
    was = (stage.option.cuts.inlet_cut, stage.option.cuts.outlet_cut)
    for (name, off), planned_off, work in zip(ends, was, built.option.works[-2:], strict=True):
        if name in said or (built.finished and off > _SAME):
            told.append(_as(f"off {work.stub}", off, planned_off, name in said))
    return tuple(told)


def _as(name: str, length: float, planned: float, said: bool) -> str:
    if abs(length - planned) > _SAME:
        return f"{name} {both_text(length)}, planned {both_text(planned)}"
    return f"{name} {both_text(length)}" + ("" if said else " as planned")


def _stands(base: Base) -> tuple[str, ...]:
    """What of an earlier train stands, its pieces with their lengths. [in]"""
    cuts = base.option.cuts
    stands = standing(cuts, range(1, len(cuts.joints) + 1))
    held = [glued_to(0, base.held[0], stands), glued_to(1, base.held[1], stands)]
    names = dict.fromkeys(n for joints in held for n in _bodies(cuts, joints))
    lengths = {f"piece {p.letter}": p.length for p in cuts.pieces}
    return tuple(f"{n} {both_text(lengths[n])}" if n in lengths else n for n in names)


def _bodies(cuts: CutList, joints: range) -> tuple[str, ...]:
    """What those joints leave glued on their stub, without what is only joined to it."""
    if not joints:
        return ()
    items = cuts.items[: len(joints)] if joints[0] == 0 else cuts.items[-len(joints) :]
    kept = {f"piece {i.letter}" if hasattr(i, "letter") else i.name for i in items}
    return tuple(n for n in names_of(cuts, joints) if n in kept)


def left_lines(built: Built) -> Iterator[str]:
    """The straight old pipe that is left at each stub of a zone. [in]"""
    for side in (0, 1):
        first = next((b.option for b in built.going.stage.bases if b.held[side]), built.option)
        work, cuts = first.stubs[side], first.cuts
        if work.left is not None:
            left = work.left + work.cut - (cuts.inlet_cut, cuts.outlet_cut)[side]
            said = both_text(max(0.0, left), Rounding.NOT_LONGER)
            yield f"{work.stub}: {said} of straight pipe"


def lies_here(built: Built) -> str:
    """What a zone's trains are that stand, in one line for the box."""
    before = [", ".join(stands) for b in built.going.stage.bases if (stands := _stands(b))]
    pieces = ", ".join(f"{p.letter} {both_text(p.length)}" for p in built.option.cuts.pieces)
    last = train_words(built.option) + (f": {pieces}" if pieces else "")
    return f"{built.going.name}: {'; then '.join([*before, last])}"
