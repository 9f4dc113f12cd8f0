"""Going on with a train that is partly built: what is cut stays cut, what is glued stays glued.

The pieces that are still whole and the bends that can still be rolled take up what the others miss.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from pitwright.algebra.bounded import bounded_least_squares
from pitwright.closing.rebuild import close_pieces, rebuilt, walk
from pitwright.findings import Short
from pitwright.geometry.vector import Vec, cross, norm, scale
from pitwright.joining.reworked import reworked
from pitwright.renewal.bending import bending
from pitwright.renewal.clear_again import lies_clear
from pitwright.renewal.job import Job
from pitwright.renewal.judging import stub_work
from pitwright.renewal.option import Option, StubWork
from pitwright.renewal.standing import Standing
from pitwright.trains.cut_list import CLOCK_STEP, Bend, CutList, Item, Piece
from pitwright.trains.train import Misfit, Train
from pitwright.units.inches import SIXTEENTH

__all__ = ["GoneOn", "go_on", "with_lengths"]

INLET, OUTLET = "inlet", "outlet"
_MOST_ROLL = math.radians(10.0)
"""A dry bend is rolled no farther than this by a resumed plan: beyond it is another train, which
is looked for as one. Judgement. [rad]"""
_ARM = 0.1
"""So many metres of misfit weigh as a radian. Judgement. [m]"""
_ROUNDS = 6
_STEP = 1e-5
_MOST_RECUT = 4 * 0.0254
"""A piece is made longer or shorter by at most this. [m]"""
_SAME = SIXTEENTH / 64
_LOATH = 0.03
"""A length is changed by so much less than it would take to miss nothing at all: of many changes
that miss alike the smallest is taken. Judgement. [-]"""
_LOATH_TO_CUT = 0.1
"""The same of a stub: old pipe that is cut off is gone. Judgement. [-]"""


@dataclass(frozen=True, slots=True)
class GoneOn:
    """The option as it is now to be built, and what differs from how it was planned.

    ``recut`` are letters (or "inlet", "outlet") whose length changes [m], ``rolled`` bends whose
    clocking changes [rad].
    """

    option: Option
    recut: tuple[tuple[str, float], ...]
    rolled: tuple[tuple[str, float], ...]


def with_lengths(cuts: CutList, lengths: Mapping[str, float]) -> CutList:
    """A cut list with the lengths of some letters (or "inlet", "outlet") put in. [m]

    Source: none needed.
    """
    items = tuple(
        replace(i, length=lengths[i.letter])
        if isinstance(i, Piece) and i.letter in lengths else i
        for i in cuts.items
    )  # fmt: skip
    return CutList(lengths.get(INLET, cuts.inlet_cut), lengths.get(OUTLET, cuts.outlet_cut), items)


def go_on(
    job: Job,
    option: Option,
    cuts: CutList,
    stands: Standing,
    fixed: Mapping[str, float],
    firm: frozenset[int] = frozenset(),
) -> GoneOn | Short:
    """The same train with what is still free made to suit, or why it does not close. [m, rad]

    ``cuts`` has the lengths of ``fixed`` in it; ``firm`` are joints made (from 0) whose open end
    was measured since: they give nothing, while the others stand as the plan set them, with its
    play. Nothing is changed that closes as it is.
    Source: the check is the plan's own: rebuilt from marks, then bent.
    """
    ends = tuple((s.tip.mean, s.outward) for s in job.stubs)
    gap = job.survey.preferences.gap
    planned = _judged(job, option, cuts, firm)
    if isinstance(planned, Option) and planned.built.position <= option.built.position + _SAME:
        return GoneOn(planned, (), ())
    free = _free(cuts, stands, fixed, [s.cut_back for s in job.stubs], gap)
    best: GoneOn | None = None
    if free:
        suited = _suited(cuts, free, ends[0], ends[1])
        kept, moved = _not_for_a_hair(cuts, suited, free)
        marked = _on_marks(kept, moved, ends, gap)
        if marked is not None:
            tried = _judged(job, option, marked, firm)
            if isinstance(tried, Option):
                best = GoneOn(tried, *_changed(option.cuts, marked, fixed))
    if best is not None and (
        isinstance(planned, Short) or best.option.built.position < planned.built.position
    ):
        return best
    return planned if isinstance(planned, Short) else GoneOn(planned, (), ())


def _judged(job: Job, option: Option, cuts: CutList, firm: frozenset[int]) -> Option | Short:
    label = option.train.skeleton.label
    short = close_pieces(cuts, 0.0)
    if short:
        piece = short[0]
        need = piece.depth_before + piece.depth_after
        missed = need - piece.length
        return Short("PIECE", f"piece {piece.letter}", piece.length, need, missed, "m",
                     "cut_new_piece", label)  # fmt: skip
    way, angle = rebuilt(cuts, *((s.tip.mean, s.outward) for s in job.stubs))
    bent = bending(job.survey, job.stubs, cuts, dig=True, made=firm)
    if isinstance(bent, Short):
        return replace(bent, tried=label)
    lies = lies_clear(job, option.train, cuts)
    if isinstance(lies, Short):
        return lies
    train, capsules = lies
    return replace(
        option,
        train=train,
        solids=capsules,
        cuts=cuts,
        stubs=_stub_works(job, option.train, cuts),
        between=None if option.between is None else job.stubs,
        assembly=None
        if option.assembly is None
        else reworked(option.assembly, cuts, (option.stubs[0].stub, option.stubs[1].stub)),
        built=Misfit(norm(way), angle),
        bending=bent,
        pipe=sum(p.length for p in cuts.pieces),
    )


def _stub_works(job: Job, train: Train, cuts: CutList) -> tuple[StubWork, StubWork]:
    """What comes off each stub as it is now, and what that leaves. [m]"""
    return (
        stub_work(job.stubs[0], cuts.inlet_cut, train, 0),
        stub_work(job.stubs[1], cuts.outlet_cut, train, 1),
    )


@dataclass(frozen=True, slots=True)
class _Free:
    """One thing that can still be chosen: its name, and how far it may go either way."""

    name: str
    low: float
    high: float


def _free(
    cuts: CutList, stands: Standing, fixed: Mapping[str, float], most: Sequence[float], gap: float
) -> list[_Free]:
    """Pieces joined to nothing yet, stubs nobody cut yet, bends whose leg has a joint unmade."""
    found = []
    for side, (name, now) in enumerate(((INLET, cuts.inlet_cut), (OUTLET, cuts.outlet_cut))):
        joint = (0, stands.count - 1)[side]
        if joint not in stands.made and name not in fixed and most[side] > 0.0:
            found.append(_Free(name, -now, max(0.0, most[side] - now)))
    dry = False
    for number, item in enumerate(cuts.items):
        dry = dry or number not in stands.made
        if isinstance(item, Bend):
            if dry:
                found.append(_Free(item.name, -_MOST_ROLL, _MOST_ROLL))
            dry = False
        if not isinstance(item, Piece) or {number, number + 1} & stands.made:
            continue
        least = item.depth_before + item.depth_after + gap
        low = min(0.0, max(-_MOST_RECUT, least - item.length))
        if item.letter not in fixed:
            found.append(_Free(item.letter, low, _MOST_RECUT))
        elif low < 0.0:  # too long can still be shortened
            found.append(_Free(item.letter, low, 0.0))
    return found


def _moved(cuts: CutList, changes: Mapping[str, float]) -> CutList:
    items: list[Item] = []
    for item in cuts.items:
        if isinstance(item, Piece) and item.letter in changes:
            items.append(replace(item, length=item.length + changes[item.letter]))
        elif isinstance(item, Bend) and item.name in changes:
            items.append(replace(item, clock=item.clock + changes[item.name]))
        else:
            items.append(item)
    inlet = cuts.inlet_cut + changes.get(INLET, 0.0)
    return CutList(inlet, cuts.outlet_cut + changes.get(OUTLET, 0.0), tuple(items))


def _off(cuts: CutList, inlet: tuple[Vec, Vec], outlet: tuple[Vec, Vec]) -> list[float]:
    """The misfit as six numbers: the way to the outlet, and the turn it asks for, in metres."""
    way, _, turn = _missed(cuts, inlet, outlet)
    return [*way, *scale(turn, _ARM)]


def _missed(
    cuts: CutList, inlet: tuple[Vec, Vec], outlet: tuple[Vec, Vec]
) -> tuple[Vec, float, Vec]:
    *_, end = walk(cuts, *inlet)
    way, angle = rebuilt(cuts, inlet, outlet)
    facing = scale(outlet[1], -1.0)
    return way, angle, cross(end.z, facing)


def _suited(
    cuts: CutList, free: Sequence[_Free], inlet: tuple[Vec, Vec], outlet: tuple[Vec, Vec]
) -> CutList:
    """The free lengths and rolls that miss least, by repeated bounded least squares."""
    now = {f.name: 0.0 for f in free}
    for _ in range(_ROUNDS):
        base = _off(_moved(cuts, now), inlet, outlet)
        columns = []
        for f in free:
            there = _off(_moved(cuts, {**now, f.name: now[f.name] + _STEP}), inlet, outlet)
            columns.append([(a - b) / _STEP for a, b in zip(there, base, strict=True)])
        matrix = [[c[row] for c in columns] for row in range(6)]
        low = [f.low - now[f.name] for f in free]
        high = [f.high - now[f.name] for f in free]
        loath = [_loath(f.name) for f in free]
        rows = [[w if m == n else 0.0 for m in range(len(free))] for n, w in enumerate(loath)]
        held = [-w * now[f.name] for w, f in zip(loath, free, strict=True)]
        step = bounded_least_squares([*matrix, *rows], [*(-b for b in base), *held], low, high).x
        now = {f.name: now[f.name] + s for f, s in zip(free, step, strict=True)}
        if max(map(abs, step)) < 1e-9:
            break
    return _moved(cuts, now)


def _not_for_a_hair(
    planned: CutList, suited: CutList, free: Sequence[_Free]
) -> tuple[CutList, list[_Free]]:
    """Without what would take less than a sixteenth more off a stub: nobody cuts that. [m]"""
    hair = [
        name
        for name, was, now in (
            (INLET, planned.inlet_cut, suited.inlet_cut),
            (OUTLET, planned.outlet_cut, suited.outlet_cut),
        )
        if abs(now - was) < SIXTEENTH
    ]
    inlet = planned.inlet_cut if INLET in hair else suited.inlet_cut
    outlet = planned.outlet_cut if OUTLET in hair else suited.outlet_cut
    return CutList(inlet, outlet, suited.items), [f for f in free if f.name not in hair]


def _loath(name: str) -> float:
    """What a change of one thing weighs beside a misfit. [-], [m/rad] for a roll"""
    if name in (INLET, OUTLET):
        return _LOATH_TO_CUT
    return _LOATH * _ARM if name.startswith("bend") else _LOATH


def _on_marks(
    cuts: CutList, free: Sequence[_Free], ends: Sequence[tuple[Vec, Vec]], gap: float
) -> CutList | None:
    """The free lengths at marks beside them, the rolls at tenths of a degree, missing least."""
    names = {f.name for f in free}
    now = {INLET: cuts.inlet_cut, OUTLET: cuts.outlet_cut}
    now |= {p.letter: p.length for p in cuts.pieces}
    lengths = [name for name in now if name in names]
    clocked = replace(cuts, items=tuple(_clocked(i) for i in cuts.items))
    best: tuple[tuple[float, float], CutList] | None = None
    for corner in product((math.floor, math.ceil), repeat=len(lengths)):
        marks = {
            name: to(now[name] / SIXTEENTH - (1e-6 if to is math.ceil else -1e-6)) * SIXTEENTH
            for name, to in zip(lengths, corner, strict=True)
        }
        tried = with_lengths(clocked, {k: max(0.0, v) for k, v in marks.items()})
        if close_pieces(tried, gap):
            continue
        way, angle = rebuilt(tried, ends[0], ends[1])
        key = (round(norm(way), 7), round(angle, 7))
        if best is None or key < best[0]:
            best = (key, tried)
    return None if best is None else best[1]


def _clocked(item: Item) -> Item:
    """A bend's clocking to a tenth of a degree, in (-pi, pi]."""
    if not isinstance(item, Bend):
        return item
    turn = math.remainder(round(item.clock / CLOCK_STEP) * CLOCK_STEP, 2 * math.pi)
    return replace(item, clock=math.pi if turn <= -math.pi + CLOCK_STEP / 2 else turn)


def _changed(
    planned: CutList, now: CutList, fixed: Mapping[str, float]
) -> tuple[tuple[tuple[str, float], ...], tuple[tuple[str, float], ...]]:
    recut = []
    for name, was, new in (
        (INLET, planned.inlet_cut, now.inlet_cut),
        (OUTLET, planned.outlet_cut, now.outlet_cut),
        *((p.letter, p.length, q.length) for p, q in zip(planned.pieces, now.pieces, strict=True)),
    ):
        if abs(new - fixed.get(name, was)) > _SAME:
            recut.append((name, new))
    bends = [[i for i in c.items if isinstance(i, Bend)] for c in (planned, now)]
    rolled = tuple(
        (b.name, b.clock)
        for a, b in zip(bends[0], bends[1], strict=True)
        if abs(a.clock - b.clock) > math.radians(0.05)
    )
    return tuple(recut), rolled
