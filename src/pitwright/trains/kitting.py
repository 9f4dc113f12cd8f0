"""From the shelf and the survey to the kit of one search: which parts may stand where.

New work is laid in schedule 40 PVC of the valve's own size. At each stub every fitting of the
shelf is a way to begin whose one port takes the stub's end and whose other takes the new pipe.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitwright.catalogue.parts import Fitting, JointKind
from pitwright.catalogue.shelf import Shelf, joins
from pitwright.findings import Finding, Short, Weight, finding
from pitwright.survey.stubs import Stub
from pitwright.survey.valves import ValveBody
from pitwright.trains.bench import (
    NEW_SCHEDULE,
    TURNS_PAST_HAND_TIGHT,
    Bench,
    left_of,
    new_pipe,
    push,
    seat_of,
    sides_of,
)
from pitwright.trains.connectors import gripping, slid, telescoping, transition
from pitwright.trains.kit import GRIPPED, Corner, Coupler, EndWay, Kit, Seat, StubEnd, Unit

__all__ = ["NEW_SCHEDULE", "Bench", "kit_for", "made_up", "new_pipe", "stub_end", "union_for"]

GLUED = "coupled"
_GLUED_KINDS = ("coupling", "reducer")
_GRIPPED_KINDS = ("compression coupling", "push-fit coupling")
_ADAPTERS = ("adapter male", "adapter female")


def kit_for(bench: Bench, stubs: tuple[Stub, Stub], valve: ValveBody | None) -> Kit | Short:
    """The kit of one zone, or what the shelf lacks for it. [m, rad] Source: the shelf."""
    corners = tuple(_corners(bench, bench.pipe.size))
    unit = made_up(bench, valve) if valve else None
    ends: list[tuple[EndWay, ...]] = []
    for stub, far in zip(stubs, stubs[::-1], strict=True):
        ways = tuple(_ways(bench, stub, far, corners, unit))
        if not ways:
            named = stub.pipe.name if stub.pipe else "unknown pipe"
            return Short("NO_JOINT", stub.id, 0.0, 1.0, 1.0, "1", "part_for_stub", named)
        ends.append(ways)
    return Kit(
        corners,
        ends[0],
        ends[1],
        bench.gap,
        unit,
        bench.most_bends,
        union_for(bench) if bench.unions else None,
        tuple(_streets(bench)),
        bench.blocked,
        tuple(_unbacked(stubs)),
    )


def union_for(bench: Bench) -> Coupler | None:
    """The shelf's union of the new size, None when it has none. [m] Source: the shelf."""
    union = bench.shelf.fitting("union", bench.pipe.size, schedule=NEW_SCHEDULE)
    if union is None:
        return None
    before, after = (seat_of(p) for p in union.ports)
    return Coupler(before, after, (union.id,))


def _streets(bench: Bench) -> Iterator[Corner]:
    """Street elbows: a socket before, a spigot after."""
    for angle in bench.bends:
        elbow = bench.shelf.fitting("street elbow", bench.pipe.size, angle, NEW_SCHEDULE)
        if elbow is not None:
            before, after = (seat_of(p) for p in elbow.ports)
            yield Corner(math.radians(angle), before, after, (elbow.id,))


def _unbacked(stubs: tuple[Stub, Stub]) -> Iterator[str]:
    """The stubs whose bare path turns a corner that nobody says is held."""
    for stub, where in zip(stubs, ("inlet stub", "outlet stub"), strict=True):
        if len(stub.bare) > 1 and not stub.held:
            yield where


def _corners(bench: Bench, size: str) -> Iterator[Corner]:
    for angle in bench.bends:
        elbow = bench.shelf.fitting("elbow", size, angle, NEW_SCHEDULE)
        if elbow is not None:
            before, after = (seat_of(p) for p in elbow.ports)
            yield Corner(math.radians(angle), before, after, (elbow.id,))


def _ways(
    bench: Bench, stub: Stub, far: Stub, corners: Sequence[Corner], unit: Unit | None
) -> Iterator[EndWay]:
    """Every way for new work to begin at a stub: straight on, coupled, bushed, threaded."""
    if stub.end is JointKind.SOCKET:
        if stub.end_size in ("", bench.pipe.size):
            yield EndWay("socket", 0.0)
        return
    if stub.end in (JointKind.MALE_THREAD, JointKind.FEMALE_THREAD):
        yield from _threaded(bench, stub)
        return
    if stub.pipe is None:
        return
    socket = bench.shelf.fitting("coupling", bench.pipe.size, schedule=NEW_SCHEDULE)
    if socket is not None and joins(stub.pipe, socket.ports[0]):
        depths = [c.before.depth for c in corners] + ([unit.depth_before] if unit else [])
        yield EndWay("direct", left_of(stub, max(depths, default=0.0)))
    yield from _coupled(bench, stub)
    yield from _bushed(bench, stub)
    yield from transition(bench, stub)
    yield from telescoping(bench, stub)
    yield from slid(bench, stub, far)
    yield from gripping(bench, stub)


def _coupled(bench: Bench, stub: Stub) -> Iterator[EndWay]:
    """Straight bodies between the stub and new pipe, glued ones and gripping ones."""
    assert stub.pipe is not None
    for kinds, name in ((_GLUED_KINDS, GLUED), (_GRIPPED_KINDS, GRIPPED)):
        for part in bench.shelf.fittings:
            if part.kind not in kinds or len(part.ports) != 2 or part.schedule == "80":
                continue
            sides = sides_of(part, stub.pipe, bench.pipe)
            if sides is not None:
                mine, new = (seat_of(p) for p in sides)
                pushed = push(stub.pipe, bench.pressure) if name == GRIPPED else 0.0
                body = Coupler(mine, new, (part.id,))
                yield EndWay(name, left_of(stub, mine.depth), body, push=pushed)
                break


def _threaded(bench: Bench, stub: Stub) -> Iterator[EndWay]:
    """An adapter screwed to a thread that stays; the turns it takes are a joiner's question."""
    wanted = JointKind.FEMALE_THREAD if stub.end is JointKind.MALE_THREAD else JointKind.MALE_THREAD
    for part in bench.shelf.fittings:
        if part.kind not in _ADAPTERS or part.schedule != NEW_SCHEDULE:
            continue
        for thread, socket in (part.ports, part.ports[::-1]):
            fits = thread.joint is wanted and thread.size == stub.end_size
            if fits and thread.system == "npt" and joins(bench.pipe, socket):
                made = bench.shelf.thread("npt", thread.size).made_up(TURNS_PAST_HAND_TIGHT)
                mine = replace(seat_of(thread, deeper=made), depth=0.0)
                yield EndWay("threaded", 0.0, Coupler(mine, seat_of(socket), (part.id,)))
                return


def _bushed(bench: Bench, stub: Stub) -> Iterator[EndWay]:
    """A corner of the larger size with a bushing in the socket of the smaller."""
    pipe, new = stub.pipe, bench.pipe
    if pipe is None or (pipe.system, pipe.material) != ("ips", "pvc") or pipe.size == new.size:
        return
    for big, small in ((new.size, pipe.size), (pipe.size, new.size)):
        bushing = next(
            (f for f in bench.shelf.find(kind="bushing", size=f"{big} x {small}", schedule="40")),
            None,
        )
        if bushing is None:
            continue
        corners = tuple(_with_bushing(c, bushing, big == new.size) for c in _corners(bench, big))
        if corners:
            depth = max(c.before.depth for c in corners)
            yield EndWay("bushed", left_of(stub, depth), None, corners, fits_unit=False)


def _with_bushing(corner: Corner, bushing: Fitting, on_stub: bool) -> Corner:
    """The corner whose socket towards the stub, or away from it, is bushed down."""
    socket = next(p for p in bushing.ports if p.joint is JointKind.SOCKET)
    side = corner.before if on_stub else corner.after
    spread = (socket.takeout.high - socket.takeout.low) / 2
    seat = Seat(
        side.takeout + bushing.seat_to_seat, socket.depth.value, math.hypot(side.scatter, spread)
    )
    parts = (*corner.parts, bushing.id)
    if on_stub:
        return Corner(corner.bend, seat, corner.after, parts)
    return Corner(corner.bend, corner.before, seat, parts)


def made_up(bench: Bench, valve: ValveBody) -> Unit:
    """The valve with an adapter on each end, socket bottom to socket bottom. [m, rad]

    Measured on the bench where the survey has it. Else body + 2 (adapter's lay - made-up thread),
    the thread 1 to 2 turns past hand-tight, so each may be half a pitch off either way.
    Source: ASME-B1.20.1 for the thread; common practice for the turns, no source.
    """
    adapter = bench.shelf.fitting("adapter male", valve.size, schedule=NEW_SCHEDULE)
    socket = bench.shelf.fitting("coupling", valve.size, schedule=NEW_SCHEDULE)
    depth = socket.ports[0].depth.value if socket else 0.0
    if adapter is not None and valve.joint is JointKind.FEMALE_THREAD:
        depth = adapter.ports[0].depth.value
    named = f"valve {valve.name}"
    threaded = adapter is not None and valve.joint is JointKind.FEMALE_THREAD
    parts = (named, *([adapter.id] * 2 if adapter and threaded else []))
    if valve.made_up is not None:
        within = math.sqrt(3.0) * valve.made_up.sigma.one
        return Unit(valve.made_up.value, depth, depth, valve.tilt_limit, parts, within)
    if adapter is None or not threaded:
        within = math.sqrt(3.0) * valve.length.sigma.one
        length = valve.length.value - 2 * depth
        return Unit(length, depth, depth, valve.tilt_limit, parts, within, (named,))
    thread = bench.shelf.thread("npt", valve.size)
    lays = [p.takeout for p in adapter.ports]
    lay = valve.adapter.value if valve.adapter else sum(d.value for d in lays)
    lay_within = 0.0 if valve.adapter else sum(d.high - d.low for d in lays) / 2
    length = valve.length.value + 2 * (lay - thread.made_up(TURNS_PAST_HAND_TIGHT))
    within = math.hypot(
        math.sqrt(3.0) * valve.length.sigma.one, 2 * lay_within, thread.pitch / math.sqrt(2.0)
    )
    return Unit(length, depth, depth, valve.tilt_limit, parts, within, (named, adapter.id))


def stub_end(stub: Stub, shelf: Shelf) -> StubEnd:
    """A surveyed stub as the search sees it. [m] Source: the survey."""
    seat = None
    if stub.end is JointKind.SOCKET:
        socket = shelf.fitting("coupling", stub.end_size, schedule=NEW_SCHEDULE)
        depth = socket.ports[0].depth.value if socket else 0.0
        seat = Seat(-depth, depth)
    return StubEnd(stub.tip.mean, stub.outward, stub.cut_back, seat)


def unmeasured(shelf: Shelf, parts: Sequence[str]) -> tuple[Finding, ...]:
    """One finding for each part whose take-out nobody measured: measure it before the cut.

    The number is its scatter, plus or minus. [m] Source: the part's own row.
    """
    found = []
    for name in dict.fromkeys(parts):
        part = next((f for f in shelf.fittings if f.id == name), None)
        if part is None or part.measured:
            continue
        within = max((p.takeout.high - p.takeout.low) / 2 for p in part.ports)
        found.append(
            finding(
                "measure_part",
                Weight.CHECK,
                numbers={"within": within},
                names={"part": part.name},
                source=part.ports[0].takeout.source,
            )
        )
    return tuple(found)
