"""The steps of one order with their clock: bench, cuts, dry fit, pushes, and when water may come.

One pair of hands, one thing after the other. Threads come before cement; a cut that cannot be
undone is a stop with its checks before it; what a push would load is set before it.
"""

from __future__ import annotations

from collections.abc import Sequence

from pitwright.joining.assembly import WATER_ON, Step
from pitwright.joining.clock import Clock, Names, Numbers
from pitwright.joining.layout import GRIP, GRIP_SLIDE, SLIDE, TELESCOPE, THREAD, Layout
from pitwright.joining.numbers import handwork
from pitwright.joining.order import FLEX, PARALLEL, UNION, Order
from pitwright.joining.relief import close_reliefs, drained, open_reliefs, reliefs, watch
from pitwright.joining.spread import Spread
from pitwright.joining.times import times_of, touched
from pitwright.joining.work import Work
from pitwright.jointing.times import JointTimes
from pitwright.trains.cut_list import Bend, Where

__all__ = ["steps_of"]

_WAITS = (FLEX, UNION, PARALLEL)
"""Where the last push loads what was made before it."""
_CODES = {
    SLIDE: "slide_back",
    GRIP_SLIDE: "slide_and_grip",
    TELESCOPE: "draw_out",
    GRIP: "grip_joint",
    THREAD: "screw_on",
}
_GRIPS = (GRIP, GRIP_SLIDE)


def steps_of(
    work: Work,
    laid: Layout,
    order: Order,
    tools: tuple[str, str],
    spread: Spread | None,
    need: float,
) -> tuple[tuple[Step, ...], float]:
    """The steps of an order, and when water may come. [s]

    ``tools`` cut the inlet and the outlet stub ("" where nothing is cut); ``need`` is how far a
    stub is pushed aside, 0 where none is. [m] Source: common practice, no source; clocks by
    ``jointing``.
    """
    clock = Clock()
    _ready(clock, work)
    relief_ends = tuple(reliefs(work, laid))
    open_reliefs(clock, relief_ends)
    _cuts(clock, work, tools)
    threads = [p for p in order.pushes if p and laid.places[p[0]].kind == THREAD]
    for push in () if order.as_one else threads:
        _screwed(clock, laid, push)
    clock.do("dry_fit", Where.PIT, handwork("dry_fit"))
    for place in laid.places:
        if place.kind in (SLIDE, GRIP_SLIDE) and place.index in order.closing[:1]:
            clock.do("park", Where.PIT, handwork("park"), names=(("joint", place.after),))
    pit = {j for push in order.pushes for j in push}
    _bench(clock, work, laid, pit)
    clock.wait()
    last = len(order.pushes) - 1
    if need > 0.0 and spread is None and order.giver != UNION:
        clock.do("push_aside", Where.PIT, 0.0, numbers=(("aside", need),))
    for number, push in enumerate(order.pushes):
        if push in threads:
            if order.as_one:
                _screwed(clock, laid, push)
            continue
        closing = number == last
        if closing and order.giver in _WAITS:
            clock.wait()
        if closing and need > 0.0 and order.giver == UNION:
            clock.do("push_aside", Where.PIT, 0.0, numbers=(("aside", need),))
        _pushed(clock, work, laid, order, push, spread if closing else None, need)
    if spread is not None and order.closing:
        braced = clock.set
        clock.do("brace", Where.PIT, handwork("brace"), numbers=(("until", braced),))
    clock.wait()
    end = max(clock.water, clock.now)
    clock.now = end
    close_reliefs(clock, relief_ends)
    clock.do(WATER_ON, Where.PIT, 0.0)
    return tuple(clock.steps), clock.now


def _ready(clock: Clock, work: Work) -> None:
    """Before anything is cut: flow proved, the valve's unit made up and marked, pieces cut."""
    flow = "prove_arrow" if work.proved else "prove_flow"
    clock.do(flow, Where.PIT, handwork("prove_flow"))
    unit = work.train.skeleton.unit
    if unit is not None and len(unit.parts) > 1:
        numbers: Numbers = (("length", unit.length),)
        if work.thread is not None:
            least, most = work.thread.turns
            numbers = (("least", least), ("most", most), *numbers)
        clock.do("make_up_unit", Where.BENCH, handwork("make_up_unit"), numbers=numbers)
    for piece in work.cuts.pieces:
        clock.do(
            "cut_piece",
            Where.BENCH,
            handwork("cut_piece"),
            numbers=(
                ("length", piece.length),
                ("mark_before", piece.depth_before),
                ("mark_after", piece.depth_after),
            ),
            names=(("piece", piece.letter),),
        )


def _cuts(clock: Clock, work: Work, tools: tuple[str, str]) -> None:
    """Measure again, then the cut itself, which nothing puts back."""
    lengths = (work.cuts.inlet_cut, work.cuts.outlet_cut)
    for side, length, tool in zip(work.sides, lengths, tools, strict=True):
        if length <= 0.0:
            continue
        names = (("stub", side.name), ("tool", tool))
        clock.do("check_before_cut", Where.PIT, 0.0, numbers=(("cut", length),), names=names)
        clock.do(
            "cut_stub",
            Where.PIT,
            handwork("cut_stub"),
            numbers=(("cut", length),),
            names=names,
            stop=True,
        )
    if work.old is not None and not work.proved:
        old: Names = (("valve", work.old.name),)
        clock.do("spin_off_old", Where.PIT, handwork("screw"), names=old)


def _screwed(clock: Clock, laid: Layout, push: tuple[int, ...]) -> None:
    place = laid.places[push[0]]
    clock.do(
        "screw_on",
        Where.PIT,
        handwork("screw"),
        joints=push,
        numbers=(("push", place.push),),
        names=_names(laid, push),
    )


def _names(laid: Layout, push: tuple[int, ...]) -> Names:
    first, last = laid.places[push[0]], laid.places[push[-1]]
    return (("before", first.before), ("after", first.after), ("to", last.after))


def _bench(clock: Clock, work: Work, laid: Layout, pit: set[int]) -> None:
    """Every joint that the pit does not need, from inlet to outlet, clocked where it is a bend."""
    items = work.cuts.items
    for place in laid.places[1:-1]:
        if place.index in pit or place.kind == THREAD:
            continue
        numbers: Numbers = (("push", place.push),)
        item = items[place.index]
        if isinstance(item, Bend):
            numbers = (*numbers, ("clock", item.clock))
        joint = (place.index,)
        if place.kind == GRIP:
            clock.do(
                "grip_joint",
                Where.BENCH,
                handwork("grip"),
                joints=joint,
                numbers=numbers,
                names=_names(laid, joint),
            )
            continue
        times = times_of(work, laid, place.index, bench=True)
        assert isinstance(times, JointTimes)  # asked before any step was written
        clock.cement("bench_joint", Where.BENCH, joint, [times], numbers, _names(laid, joint))


def _pushed(
    clock: Clock,
    work: Work,
    laid: Layout,
    order: Order,
    push: tuple[int, ...],
    spread: Spread | None,
    need: float,
) -> None:
    """One push in the pit."""
    if not push:
        asks = (("opening", _size(order)), ("aside", need))
        clock.do("close_union", Where.PIT, handwork("close_union"), numbers=asks)
        return
    kind = laid.places[push[0]].kind
    code = _CODES.get(kind, "push_joint")
    if len(push) > 1 and kind not in _CODES:
        code = "drop_on_two"
    numbers: Numbers = (("push", max(laid.places[j].push for j in push)),)
    if spread is not None:
        code = "spread_and_push"
        forces = (_force(spread.inlet), _force(spread.outlet))
        numbers = (
            *numbers,
            ("opening", _size(order)),
            ("inlet_force", forces[0]),
            ("outlet_force", forces[1]),
            ("aside", need),
        )
    if all(laid.places[j].kind in _GRIPS for j in push):
        clock.do(
            code,
            Where.PIT,
            handwork("grip"),
            joints=push,
            numbers=numbers,
            names=_names(laid, push),
        )
        return
    found = [
        times_of(work, laid, j, bench=False) for j in push if laid.places[j].kind not in _GRIPS
    ]
    times = [t for t in found if isinstance(t, JointTimes)]
    for side in dict.fromkeys(s for j in push for s in touched(work, laid, j)):
        if drained(work, laid, side):
            watch(clock, side.name)
    clock.cement(code, Where.PIT, push, times, numbers, _names(laid, push))


def _size(order: Order) -> float:
    x, y, z = order.opening
    return float((x * x + y * y + z * z) ** 0.5)


def _force(wrench: Sequence[float]) -> float:
    x, y, z = wrench[:3]
    return float((x * x + y * y + z * z) ** 0.5)
