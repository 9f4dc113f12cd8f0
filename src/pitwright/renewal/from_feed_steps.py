"""The steps of a new header: spool on the bench, the feed side first, union, branches."""

from __future__ import annotations

from collections.abc import Sequence

from pitwright.findings import Refusal
from pitwright.joining.assembly import Step
from pitwright.joining.clock import Clock, Names, Numbers
from pitwright.joining.numbers import handwork, limit
from pitwright.joining.relief import close_reliefs, open_reliefs, watch
from pitwright.jointing.times import JointTimes, joint_times
from pitwright.renewal.feed_water import damp, let_out
from pitwright.renewal.from_feed_header import HeaderPiece, Spool
from pitwright.renewal.shut_off_steps import cement_of
from pitwright.survey.pit import Survey
from pitwright.trains.cut_list import Where

__all__ = ["header_steps"]


def header_steps(
    survey: Survey,
    spool: Spool,
    pieces: Sequence[HeaderPiece],
    zones: Sequence[str],
    bushed: Sequence[str],
) -> tuple[Step, ...] | Refusal:
    """Every step of the header with its clock, or why its joints may not be cemented. [s]

    ``bushed`` are the zones whose tee gets a bushing. Source: common practice for the order, no
    source; clocks by ``jointing``.
    """
    times = joint_times(damp(spool.feed, cement_of(survey, spool.pipe.size)))
    if isinstance(times, Refusal):
        return times
    clock = Clock()
    clock.do("prove_flow", Where.PIT, handwork("prove_flow"))
    if spool.unit is not None and len(spool.unit.parts) > 1:
        length: Numbers = (("length", spool.unit.length),)
        clock.do("make_up_unit", Where.BENCH, handwork("make_up_unit"), numbers=length)
    for piece in pieces:
        _cut(clock, piece)
    _bench(clock, pieces, zones, bushed, times)
    relief = let_out(spool.feed)
    open_reliefs(clock, relief)
    _feed(clock, spool, times)
    opening: Numbers = (("opening", limit("union_lip")),)
    clock.do("close_union", Where.PIT, handwork("close_union"), numbers=opening)
    for zone in zones:
        clock.do("branch_in", Where.PIT, 0.0, names=(("zone", zone),))
    clock.wait()
    clock.now = max(clock.now, clock.water)
    close_reliefs(clock, relief)
    clock.do("flush_through", Where.PIT, handwork("flush"))
    clock.do("water_on", Where.PIT, 0.0)
    return tuple(clock.steps)


def _cut(clock: Clock, piece: HeaderPiece) -> None:
    numbers: Numbers = (
        ("length", piece.length),
        ("mark_before", piece.depth_before),
        ("mark_after", piece.depth_after),
    )
    names: Names = (("piece", piece.name),)
    clock.do("cut_piece", Where.BENCH, handwork("cut_piece"), numbers=numbers, names=names)


def _bench(
    clock: Clock,
    pieces: Sequence[HeaderPiece],
    zones: Sequence[str],
    bushed: Sequence[str],
    times: JointTimes,
) -> None:
    """Both ends of every piece but the one in the feed's own coupling, then the bushings."""
    for piece in pieces:
        ends = ((piece.before, piece.name, piece.depth_before),
                (piece.name, piece.after, piece.depth_after))  # fmt: skip
        for before, after, deep in ends:
            if before == "coupling":
                continue
            names: Names = (("before", before), ("after", after), ("to", after))
            clock.cement("bench_joint", Where.BENCH, (), [times], (("push", deep),), names)
    for zone in zones:
        if zone in bushed:
            names = (("zone", zone),)
            clock.cement("bushing_in", Where.BENCH, (), [times], (), names)


def _feed(clock: Clock, spool: Spool, times: JointTimes) -> None:
    """The feed cut, the feed side on it, set and shut: all that follows is dry."""
    feed, way = str(spool.feed.id), spool.way
    if spool.cut > 0.0:
        numbers: Numbers = (("cut", spool.cut),)
        names: Names = (("stub", feed), ("tool", "saw"))
        clock.do("check_before_cut", Where.PIT, 0.0, numbers=numbers, names=names)
        seconds = handwork("cut_stub")
        clock.do("cut_stub", Where.PIT, seconds, numbers=numbers, names=names, stop=True)
    clock.do("dry_fit", Where.PIT, handwork("dry_fit"))
    clock.wait()
    first = "coupling" if way.coupler else (spool.shut_off or "union")
    deep = way.coupler.stub_side.depth if way.coupler else spool.union.ports[0].depth.value
    joint: Names = (("before", f"feed of {feed}"), ("after", first), ("to", first))
    pushed: Numbers = (("push", deep),)
    if way.push > 0.0:
        clock.do("grip_joint", Where.PIT, handwork("grip"), numbers=pushed, names=joint)
        asks: Numbers = (("push", way.push),)
        clock.do("block_joint", Where.PIT, handwork("block"), numbers=asks)
    else:
        for name, _ in let_out(spool.feed):
            watch(clock, name)
        clock.cement("push_joint", Where.PIT, (), [times], pushed, joint)
    clock.wait()
    if spool.unit is not None:
        shut: Names = (("body", spool.shut_off),)
        clock.do("shut_closed", Where.PIT, handwork("shut"), names=shut)
