"""Putting a train in: which order of joints can be made, as steps a person can follow."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from pitwright.findings import Finding, Refusal, Short, Weight, finding, nearest_first
from pitwright.geometry.clearance import Capsule
from pitwright.geometry.vector import Vec, add, minus, norm, scale
from pitwright.joining.assembly import Assembly
from pitwright.joining.layout import CEMENTED, GIVEN, THREAD, Layout, layout
from pitwright.joining.numbers import handwork
from pitwright.joining.order import FLEX, STOP_LESS, UNION, Order, orders
from pitwright.joining.reach import aside, in_the_way, swept, tool_short, turning_short
from pitwright.joining.relief import drained
from pitwright.joining.spread import Spread, SpreadSide, spread
from pitwright.joining.steps import steps_of
from pitwright.joining.times import cement_short, times_of, touched
from pitwright.joining.work import Work
from pitwright.jointing.times import JointTimes
from pitwright.trains.rows import Body

__all__ = ["put_in"]

_HAND = ("hand",)
_STRAP = "strap wrench"
_SQUEEZES = "ratchet cutter"
_CUTTERS = (_SQUEEZES, "saw")


@dataclass(frozen=True, slots=True)
class _Proved:
    order: Order
    spread: Spread | None
    need: float


def put_in(work: Work) -> Assembly | Refusal:
    """An order in which every joint of a train can be made, or why there is none. [m, N, s]

    As many joints as can be are made on the bench; of the orders left the one is taken that asks
    least of the old pipe. Raises what :func:`~pitwright.jointing.times.joint_times` raises.
    Source: design study; common practice for the rules, no source.
    """
    laid = layout(work)
    tools = _cutters(work)
    stops = [t for t in tools if isinstance(t, Short)]
    stops += list(_hands(work, laid))
    turning = [*_spun_off(work), *_turning(work, laid)]
    stops += [t for t in turning if isinstance(t, Short)]
    if stops:
        return Refusal(nearest_first(stops), 1)
    shorts: list[Short] = []
    looked = 0
    for _, group in groupby(orders(work, laid), key=lambda o: (o.giver, len(o.closing) > 1)):
        best: _Proved | None = None
        for order in group:
            looked += 1
            got = _proved(work, laid, order)
            if isinstance(got, Short):
                shorts.append(got)
                if got.code == "ASIDE" and order.giver == STOP_LESS:
                    have, need = _widest(work), order.room[1]
                    lift = "longer_stop_less"
                    shorts.append(_short("SLIDE_SHORT", work, order, have, need, "m", lift))
            elif best is None or _ratio(got) < _ratio(best):
                best = got
            if best is not None and best.spread is None:
                break
        if best is not None:
            cuts = tuple(t for t in tools if isinstance(t, str))
            told = tuple(t for t in turning if isinstance(t, Finding))
            return _assembled(work, laid, best, (cuts[0], cuts[1]), told)
    return Refusal(nearest_first(shorts), looked)


def _ratio(proved: _Proved) -> float:
    return round(proved.spread.upper, 4) if proved.spread else 0.0


def _proved(work: Work, laid: Layout, order: Order) -> _Proved | Short:
    """An order with its proof, or the first thing that stops it: cheap questions first."""
    short = _cement(work, laid, order) or _parked(work) or in_the_way(work, laid, order)
    if short is not None:
        return short
    need = 0.0
    opening = order.opening
    if order.crowded:
        have, whole = aside(work)
        need = max(0.0, whole - order.past)
        if have < need:
            opening = add(order.opening, order.back_off)
            if order.giver == STOP_LESS and order.room[1] <= _widest(work):
                return _short("SLIDE_GAP", work, order, *order.room, "m", "wider_gap")
            if order.giver != FLEX:
                return _short("ASIDE", work, order, have, need, "m", "slide_or_box")
    if order.giver not in (FLEX, UNION):
        return _Proved(order, None, need)
    got = _sprung(work, order, opening)
    if opening is not order.opening:
        if not got.opens:
            return _short("ASIDE", work, order, have, need, "m", "slide_or_box")
        return _Proved(replace(order, opening=opening), got, 0.0)
    if not got.opens:
        size = norm(order.opening)
        if not math.isfinite(got.upper):
            return _short("STUCK", work, order, 0.0, size, "m", "slide_or_box")
        return _short("SPREAD", work, order, got.lower, 1.0, "1", "slide_or_box")
    return _Proved(order, got, need)


def _widest(work: Work) -> float:
    """How far apart a stop-less coupling may hold two pipes, each still deep enough. [m]"""
    return max(2 * i.give for i in work.cuts.items if isinstance(i, Body))


def _parked(work: Work) -> Short | None:
    """A stop-less coupling wants its own length of bare pipe on a stub it is parked on."""
    for side, way in zip(work.sides, work.train.skeleton.ways, strict=True):
        if way.slides and side.bare is not None and side.bare < way.needs - 1e-9:
            where, lift, label = side.name, "bare_to_park", work.train.skeleton.label
            missed = way.needs - side.bare
            return Short("PARK", where, side.bare, way.needs, missed, "m", lift, label)
    return None


def _sprung(work: Work, order: Order, opening: Vec) -> Spread:
    sides = [SpreadSide(s.path, s.strain) for s in work.sides]
    return spread(
        sides[0],
        sides[1],
        order.at,
        opening,
        work.hands,
        roll_axis=order.axis,
        play=work.play if order.axis else 0.0,
        above=1.0,
    )


def _short(
    code: str, work: Work, order: Order, have: float, need: float, unit: str, lift: str
) -> Short:
    named = work.cuts.joints
    where = "the union" if not order.closing else _joints(named[j].before for j in order.closing)
    label = work.train.skeleton.label
    return Short(code, f"last joint {where}", have, need, abs(need - have), unit, lift, label)


def _joints(names: Iterable[str]) -> str:
    return "after " + " and ".join(names)


def _cement(work: Work, laid: Layout, order: Order) -> Short | None:
    """Wet surfaces, a last joint on a side that seeps, coats that dry before the push."""
    pit = {j for push in order.pushes for j in push}
    for place in laid.places:
        if place.kind in (GIVEN, THREAD):
            continue
        short = cement_short(work, laid, place.index, bench=place.index not in pit)
        if short is not None:
            return short
    glued = [j for j in order.closing if laid.places[j].kind in CEMENTED]
    running = [s for s in work.sides if s.seeps > 0.0 and not drained(work, laid, s)]
    running += [s for j in glued for s in touched(work, laid, j)]
    if glued and running:
        code, flow = "SEEPS_LAST", running[0].seeps
        lift, label = "shut_or_mechanical", work.train.skeleton.label
        return Short(code, running[0].name, flow, 0.0, flow, "m3/s", lift, label)
    if len(glued) > 1:
        coats = handwork("coat") * (len(glued) - 1)
        for j in glued:
            times = times_of(work, laid, j, bench=False)
            if isinstance(times, JointTimes) and times.working.open_time is not None:
                open_for = times.working.open_time.low
                if open_for < coats:
                    return _short("OPEN_TIME", work, order, open_for, coats, "s", "two_people")
    return None


def _cutters(work: Work) -> tuple[str | Short, str | Short]:
    """The tool for each stub's cut, "" where nothing is cut."""
    found: list[str | Short] = []
    for side, cut in zip(work.sides, (work.cuts.inlet_cut, work.cuts.outlet_cut), strict=True):
        at = add(side.tip, scale(side.outward, -cut))
        axis = side.outward if side is work.sides[0] else minus(side.outward)
        cutters = [t for t in work.tools if t in _CUTTERS]
        if side.brittle:
            cutters.sort(key=lambda t: t == _SQUEEZES)
        found.append(tool_short(work, cutters, at, axis, "the cut") if cut > 0.0 else "")
    return found[0], found[1]


def _hands(work: Work, laid: Layout) -> Iterator[Short]:
    """A hand at each stub's joint; a strap too where something is screwed on."""
    for place in (laid.places[0], laid.places[laid.first], laid.places[laid.last], laid.places[-1]):
        got = tool_short(work, _HAND, place.at, place.axis, "the joint")
        if isinstance(got, Short):
            yield got
        if place.kind == THREAD:
            straps = [t for t in work.tools if t == _STRAP]
            strap = tool_short(work, straps, place.at, place.axis, "the thread")
            if isinstance(strap, Short):
                yield strap


def _valve(work: Work, laid: Layout) -> tuple[int, Capsule] | None:
    for number, item in enumerate(work.cuts.items):
        if getattr(item, "name", "") == "valve":
            return number, laid.solids[number][0]
    return None


def _spun_off(work: Work) -> Iterator[Short | Finding]:
    """What the old valve needs that is screwed off first: its circle, and that it turns at all."""
    old = work.old
    if old is None or work.proved:
        return
    names = {"valve": old.name}
    if not old.turns:
        yield finding("old_not_tried", Weight.CHECK, names=names)
    whole, bare = (
        turning_short(work.room, old.body, radius, f"old valve {old.name}")
        if radius is not None
        else None
        for radius in (old.swing.with_bonnet, old.swing.without)
    )
    if whole is None:
        return
    if old.swing.without is not None and bare is None:
        numbers = {"have": whole.have, "need": whole.need}
        told = {**names, "where": whole.where}
        yield finding("old_bonnet_off", Weight.CHECK, numbers=numbers, names=told)
    else:
        yield replace(bare or whole, lift="cut_old_off")


def _turning(work: Work, laid: Layout) -> list[Short | Finding]:
    """A valve that is spun on now must turn; one that is glued in should be able to some day."""
    valve = _valve(work, laid)
    if valve is None:
        return []
    number, body = valve
    spun = any(p.kind == THREAD and p.index in (number, number + 1) for p in laid.places)
    swing = work.swing
    whole, bare = swing.with_bonnet, swing.without
    shorts = {
        name: turning_short(work.room, body, radius, f"the valve {name}")
        for name, radius in (("with bonnet", whole), ("without bonnet", bare))
        if radius is not None
    }
    with_it, without = shorts.get("with bonnet"), shorts.get("without bonnet")
    found: list[Short | Finding] = []
    if with_it is None:
        return found
    numbers = {"have": with_it.have, "need": with_it.need}
    names = {"where": with_it.where}
    if bare is not None and without is None:
        code = "bonnet_off_to_spin" if spun else "next_bonnet_off"
        found.append(
            finding(code, Weight.CHECK if spun else Weight.NOTE, numbers=numbers, names=names)
        )
    elif spun:
        found.append(without or with_it)
    else:
        found.append(finding("next_not_spun_off", Weight.CHECK, numbers=numbers, names=names))
    return found


def _lift(work: Work, laid: Layout) -> Iterator[Finding]:
    """Room above the bonnet to lift it off; the lid is open while that is done."""
    valve = _valve(work, laid)
    if valve is None or work.swing.lift is None:
        return
    _, body = valve
    middle = scale(add(body.a, body.b), 0.5)
    top = add(middle, (0.0, 0.0, work.room.girth.bonnet))
    above = Capsule(top, add(top, (0.0, 0.0, work.swing.lift)), work.room.girth.valve * 0.9)
    short = turning_short(work.room, above, above.radius, "bonnet lifted")
    if short is not None:
        numbers = {"have": short.have, "need": short.need}
        yield finding(
            "bonnet_cannot_lift", Weight.CHECK, numbers=numbers, names={"where": short.where}
        )


def _squeezed(work: Work, cutters: Sequence[str]) -> Iterator[Finding]:
    """Old or thin pipe for which only the cutter has room."""
    for side, cutter in zip(work.sides, cutters, strict=True):
        if side.brittle and cutter == _SQUEEZES:
            yield finding("cutter_may_crack", Weight.CHECK, names={"where": side.name})


def _assembled(
    work: Work,
    laid: Layout,
    proved: _Proved,
    cutters: tuple[str, str],
    turning: tuple[Finding, ...],
) -> Assembly:
    order = proved.order
    steps, water = steps_of(work, laid, order, cutters, proved.spread, proved.need)
    strap = any(p.kind == THREAD for p in laid.places)
    unit = work.train.skeleton.unit
    strap = strap or (unit is not None and len(unit.parts) > 1)
    tools = tuple(dict.fromkeys([*(c for c in cutters if c), *([_STRAP] if strap else [])]))
    made = [step.joints for step in steps if step.joints]
    found = [*turning, *_lift(work, laid), *_squeezed(work, cutters)]
    if proved.need > 0.0:
        numbers = {"have": aside(work)[0], "need": proved.need}
        found.append(finding("push_aside", Weight.CHECK, numbers=numbers))
    return Assembly(
        steps,
        tuple(made),
        order.closing,
        norm(order.opening),
        order.giver,
        proved.spread,
        water,
        tools,
        tuple(found),
        swept(laid, order),
    )
