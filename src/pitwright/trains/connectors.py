"""Ways to begin at a stub by a body that slides, and by a transition to another material.

A telescoping coupling spans from what it measures pushed together (it has to be set down between
the two ends) to its full length less what its sockets hide, with stroke kept in reserve. A
stop-less coupling is slid its whole length onto one pipe and back again over the gap.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitwright.catalogue.parts import Fitting, FittingPort, JointKind, Pipe
from pitwright.catalogue.shelf import joins
from pitwright.survey.stubs import Stub
from pitwright.trains.bench import (
    NEW_SCHEDULE,
    TURNS_PAST_HAND_TIGHT,
    Bench,
    left_of,
    push,
    seat_of,
    sides_of,
)
from pitwright.trains.kit import (
    GRIPS_ON_PIECE,
    GRIPS_ON_STUB,
    SLID_ON_PIECE,
    SLID_ON_STUB,
    TELESCOPING,
    Coupler,
    EndWay,
    Port,
    Seat,
)
from pitwright.units.kinds import INCH

__all__ = ["gripping", "slid", "telescoping", "transition", "window"]

_SLIDING_BENDS = 2
"""A sliding body is tried in trains of up to so many bends: it spares pulling, not bending. [-]"""
_SLIDE_SPARE = INCH / 16
"""So much more room is left under a stop-less coupling than the far push takes: the mark that a
cut is rounded to, and a thread that goes on a little farther. Judgement. [m]"""
_METAL = ("copper", "steel")


def window(
    collapsed: float,
    extended: float,
    sockets: Sequence[float],
    spigots: Sequence[float] = (),
    reserve: float = 0.0,
) -> tuple[float, float]:
    """What a telescoping coupling spans, from the bottom of what it joins to the other. [m]

    Parameters
    ----------
    collapsed, extended : float
        Its whole length pushed together and drawn out. [m]
    sockets : sequence of float
        Depth of each end that is a socket: it hides that much pipe. [m]
    spigots : sequence of float
        How far each end that is a spigot goes into its neighbour. [m]
    reserve : float
        Stroke kept both ways. [m]

    Both ends fixed: pushed together it has to pass between them. So with two sockets a gap fits
    from ``collapsed`` to ``extended`` less both depths. Source: common practice, no source.
    """
    low = max(collapsed + sum(spigots), collapsed - sum(sockets) + reserve)
    return low, extended - sum(sockets) - reserve


def telescoping(bench: Bench, stub: Stub) -> Iterator[EndWay]:
    """By a telescoping coupling of the stub's and the new pipe's size, when it spans anything. [m]

    Source: the shelf.
    """
    if stub.pipe is None:
        return
    for part in bench.shelf.find(kind="telescoping coupling", size=bench.pipe.size):
        sides = _sliding_sides(bench, stub, part)
        if part.collapsed is None or part.extended is None or sides is None:
            continue
        sockets = [p.depth.value for p in sides if p.joint is not JointKind.SPIGOT]
        spigots = [p.depth.value for p in sides if p.joint is JointKind.SPIGOT]
        collapsed, extended = part.collapsed.value, part.extended.value
        low, high = window(collapsed, extended, sockets, spigots, bench.reserve)
        if low > high:
            continue
        middle = (low + high) / 4
        mine, new = (Seat(middle, p.depth.value, 0.0, seat_of(p).port) for p in sides)
        body = Coupler(mine, new, (part.id,), give=(high - low) / 2)
        pushed = push(stub.pipe, bench.pressure)
        yield EndWay(
            TELESCOPING,
            left_of(stub, mine.depth),
            body,
            push=pushed,
            most_bends=_SLIDING_BENDS,
        )
        return


def _sliding_sides(
    bench: Bench, stub: Stub, part: Fitting
) -> tuple[FittingPort, FittingPort] | None:
    """The side that takes the stub, and the other: a socket for new pipe, or a spigot."""
    assert stub.pipe is not None
    a, b = part.ports
    for mine, other in ((a, b), (b, a)):
        spigot = other.joint is JointKind.SPIGOT
        fits = (other.system, other.size) == (bench.pipe.system, bench.pipe.size)
        if joins(stub.pipe, mine) and (joins(bench.pipe, other) or (spigot and fits)):
            return mine, other
    return None


def slid(bench: Bench, stub: Stub, far: Stub | None = None) -> Iterator[EndWay]:
    """By a stop-less coupling, parked on the stub or on the piece beside it. [m]

    Each pipe must still be held as deep as an ordinary coupling holds it: what its length leaves
    beyond that it may give. Planned in the middle of that, or with its pipes so far apart that
    what is pushed on the ``far`` stub finds room to stand back first. Source: the shelf.
    """
    if stub.pipe is None:
        return
    plain = bench.shelf.fitting("coupling", bench.pipe.size, schedule=NEW_SCHEDULE)
    found = _first(bench, stub.pipe, "stopless coupling")
    if plain is not None and found is not None:
        deep = plain.ports[0].depth.value
        apart = _apart(bench, far, deep) if far is not None else 0.0
        yield from _slid_by(stub, found, deep, apart, (SLID_ON_STUB, SLID_ON_PIECE), 0.0)


def gripping(bench: Bench, stub: Stub) -> Iterator[EndWay]:
    """By a through coupling, which slides its whole length onto one pipe too, grips without cement
    and holds no thrust. [m, N]

    What its length leaves beyond what its two grips hold it may give. Source: the shelf.
    """
    if stub.pipe is None:
        return
    found = _first(bench, stub.pipe, "through coupling")
    if found is not None:
        pushed = push(stub.pipe, bench.pressure)
        deep = found.ports[0].depth.value
        yield from _slid_by(stub, found, deep, 0.0, (GRIPS_ON_STUB, GRIPS_ON_PIECE), pushed)


def _first(bench: Bench, pipe: Pipe, kind: str) -> Fitting | None:
    """The first body of a kind that joins the stub's pipe and the new."""
    parts = bench.shelf.find(kind=kind, size=bench.pipe.size)
    return next((p for p in parts if p.overall and sides_of(p, pipe, bench.pipe)), None)


def _slid_by(
    stub: Stub, part: Fitting, deep: float, apart: float, names: tuple[str, str], pushed: float
) -> Iterator[EndWay]:
    """A body without a stop on pipes ``deep`` in it, ``apart`` where that much is wanted. [m, N]"""
    assert part.overall is not None  # the caller looked
    whole = part.overall.value
    give = (whole - 2 * deep) / 2
    if give < 0.0:
        return
    between = apart if give < apart <= 2 * give - _SLIDE_SPARE else give
    seat = Seat(between / 2, (whole - between) / 2, 0.0, Port.PLAIN)
    body = Coupler(seat, seat, (part.id,), 2 * give - between if between > give else give)
    yield EndWay(
        names[0],
        left_of(stub, whole),
        body,
        needs=whole,
        push=pushed,
        most_bends=_SLIDING_BENDS,
    )
    yield EndWay(
        names[1],
        left_of(stub, seat.depth),
        replace(body, park=whole),
        push=pushed,
        most_bends=_SLIDING_BENDS,
    )


def _apart(bench: Bench, far: Stub, deep: float) -> float:
    """How far what is made on the far stub stands back before its push, and a mark more. [m]"""
    if far.end is JointKind.SOCKET:
        return 0.0
    if far.end in (JointKind.MALE_THREAD, JointKind.FEMALE_THREAD):
        made = bench.shelf.thread("npt", far.end_size).made_up(TURNS_PAST_HAND_TIGHT)
        return made + _SLIDE_SPARE
    elbow = bench.shelf.fitting("elbow", bench.pipe.size, 90.0, NEW_SCHEDULE)
    depths = [p.depth.value for p in elbow.ports] if elbow else []
    return max([deep, *depths]) + _SLIDE_SPARE


def transition(bench: Bench, stub: Stub) -> Iterator[EndWay]:
    """An adapter of the stub's material screwed into, or onto, one that takes new pipe. [m]

    Barbs and solder hold thrust. Never metal male into plastic female: copper gets the female
    thread. The thread is made up in the middle of its turns. Source: the shelf; ASME-B1.20.1.
    """
    if stub.pipe is None:
        return
    for mine in bench.shelf.fittings:
        if mine.kind not in ("adapter male", "adapter female") or mine.schedule == "80":
            continue
        if mine.kind == "adapter male" and mine.material in _METAL:
            continue
        old, thread = mine.ports
        if old.joint is JointKind.SOCKET or not joins(stub.pipe, old):
            continue
        wanted = "adapter female" if mine.kind == "adapter male" else "adapter male"
        other = bench.shelf.fitting(wanted, thread.size, schedule=NEW_SCHEDULE)
        if other is None or not joins(bench.pipe, other.ports[0]):
            continue
        made = bench.shelf.thread("npt", thread.size).made_up(TURNS_PAST_HAND_TIGHT)
        first = replace(seat_of(old), takeout=mine.seat_to_seat - made, scatter=_scatter(mine))
        second = replace(
            seat_of(other.ports[0]), takeout=other.seat_to_seat, scatter=_scatter(other)
        )
        yield EndWay(
            "transition",
            left_of(stub, old.depth.value),
            Coupler(first, second, (mine.id, other.id)),
        )
        return


def _scatter(part: Fitting) -> float:
    """How far a like straight body's length may differ: its halves err together. [m]"""
    return sum(p.takeout.high - p.takeout.low for p in part.ports) / 2
