"""Where the joints of a train lie, which way each is pushed, how far, and of what kind it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pitwright.geometry.clearance import Capsule
from pitwright.geometry.vector import Vec, add, scale
from pitwright.joining.work import Work
from pitwright.trains.cut_list import Bend, Piece
from pitwright.trains.kit import GRIPPED, GRIPS_ON_PIECE, GRIPS_ON_STUB, TELESCOPING, Port, Seat
from pitwright.trains.rows import Body

__all__ = [
    "CEMENTED",
    "GIVEN",
    "GRIP",
    "GRIP_SLIDE",
    "SLIDE",
    "SOCKET",
    "TELESCOPE",
    "THREAD",
    "Layout",
    "Place",
    "layout",
]

SOCKET = "socket"
THREAD = "thread"
GRIP = "grip"
SLIDE = "slide"
GRIP_SLIDE = "slide and grip"
TELESCOPE = "telescope"
GIVEN = "given"
"""A socket that stays with its stub: nothing to be made."""
CEMENTED = (SOCKET, SLIDE, TELESCOPE)
_TRANSITION = "transition"
_SLIDES = {
    TELESCOPING: TELESCOPE,
    GRIPS_ON_STUB: GRIP_SLIDE,
    GRIPS_ON_PIECE: GRIP_SLIDE,
}


@dataclass(frozen=True, slots=True)
class Place:
    """One joint: where it is [m], its axis from inlet to outlet (unit), its push [m], its kind."""

    index: int
    kind: str
    at: Vec
    axis: Vec
    push: float
    before: str
    after: str

    @property
    def stand_off(self) -> Vec:
        """From its outlet's side seated to the same standing ready to be pushed. [m]"""
        return scale(self.axis, self.push)


@dataclass(frozen=True, slots=True)
class Layout:
    """Every joint in order, and the solids of every item between two joints. [m]

    Item i lies between joints i and i + 1. ``first`` and ``last`` are the joints at which new work
    is pushed onto the two stubs: where a thread or a socket stays, the next one inward.
    """

    places: tuple[Place, ...]
    solids: tuple[tuple[Capsule, ...], ...]
    first: int
    last: int

    def moved(self, begin: int, end: int) -> Iterator[Capsule]:
        """The solids of the items from joint ``begin`` to joint ``end``. [m]"""
        for item in range(begin, end):
            yield from self.solids[item]


def layout(work: Work) -> Layout:
    """The joints of a train where its cut list puts them. [m] Source: mating port to port."""
    items = work.cuts.items
    joints = work.cuts.joints
    side = work.sides[0]
    at = add(side.tip, scale(side.outward, -work.cuts.inlet_cut))
    ways = iter(work.train.directions)
    along = next(ways)
    places: list[Place] = []
    solids: list[tuple[Capsule, ...]] = []
    for index, joint in enumerate(joints):
        kind, push = _kind(work, index), _push(work, index)
        places.append(Place(index, kind, at, along, push, joint.before, joint.after))
        if index == len(items):
            break
        item = items[index]
        if isinstance(item, Bend):
            corner = add(at, scale(along, item.before))
            onward = next(ways)
            end = add(corner, scale(onward, item.after))
            radius = work.room.girth.fitting
            solids.append(
                (Capsule(at, corner, radius, item.name), Capsule(corner, end, radius, item.name))
            )
            along = onward
        else:
            end = add(at, scale(along, item.length))
            name = f"piece {item.letter}" if isinstance(item, Piece) else item.name
            solids.append((Capsule(at, end, _radius(work, item), name),))
        at = end
    kinds = [p.kind for p in places]
    first = 1 if kinds[0] in (GIVEN, THREAD) else 0
    last = len(places) - (2 if kinds[-1] in (GIVEN, THREAD) else 1)
    return Layout(tuple(places), tuple(solids), first, last)


def _radius(work: Work, item: Piece | Body) -> float:
    if isinstance(item, Piece):
        return work.room.girth.pipe
    return work.room.girth.valve if item.name == "valve" else work.room.girth.fitting


def _kind(work: Work, index: int) -> str:
    """By the way the train begins at its ends; a socket everywhere else."""
    last = len(work.cuts.items)
    first_way, last_way = work.train.skeleton.ways
    ends = ((first_way, work.sides[0], (0, 1)), (last_way, work.sides[1], (last, last - 1)))
    for way, side, (outer, inner) in ends:
        if index == outer:
            if way.name == "socket":
                return GIVEN
            if way.name == "threaded" or side.threaded:
                return THREAD
            if way.name == _TRANSITION:
                return GRIP
        if way.coupler is None or index not in (outer, inner):
            continue
        if way.name == GRIPPED:
            return GRIP
        if way.slides:
            return _SLIDES.get(way.name, SLIDE)
    return SOCKET


def _push(work: Work, index: int) -> float:
    """How deep what meets here goes in. [m]"""
    items = work.cuts.items
    last = len(items)
    for side, outer in ((work.sides[0], 0), (work.sides[1], last)):
        if index == outer and side.threaded:
            return side.engagement
    left = items[index - 1] if index > 0 else None
    right = items[index] if index < last else None
    if isinstance(right, Piece):
        return right.depth_before
    if isinstance(left, Piece):
        return left.depth_after
    seats = [_seat(work, item, n == 0) for n, item in enumerate((left, right)) if item]
    spigots = [s.depth for s in seats if s is not None and s.port is Port.SPIGOT]
    return max(spigots or [s.depth for s in seats if s is not None], default=0.0)


def _seat(work: Work, item: Bend | Body | Piece, after: bool) -> Seat | None:
    """The seat a body or a bend turns to this joint, seen from inlet to outlet."""
    skeleton = work.train.skeleton
    if isinstance(item, Bend):
        corner = skeleton.corners[int(item.name.split()[-1]) - 1]
        return corner.after if after else corner.before
    if isinstance(item, Body) and item.name == "valve" and skeleton.unit is not None:
        unit = skeleton.unit
        return Seat(0.0, unit.depth_after if after else unit.depth_before)
    for n, way in enumerate(skeleton.ways):
        named = ("inlet stub coupling", "outlet stub coupling")[n]
        if isinstance(item, Body) and item.name == named and way.coupler is not None:
            outer = after is (n == 1)
            return way.coupler.stub_side if outer else way.coupler.new_side
    return None
