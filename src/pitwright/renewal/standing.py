"""What already stands on a stub, and the stub it makes: what is glued is the new stub.

The new end is where the built cut list says, or where it was measured again; only the old pipe
behind it bends.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pitwright.catalogue.parts import JointKind, Pipe
from pitwright.catalogue.shelf import Shelf
from pitwright.closing.rebuild import walk
from pitwright.findings import ReadingId
from pitwright.geometry.pose import Pose, facing
from pitwright.geometry.vector import add, minus, scale
from pitwright.survey.obstacles import Obstacle
from pitwright.survey.progress import Again
from pitwright.survey.readings import Reading
from pitwright.survey.stubs import Glued, Straight, Stub
from pitwright.trains.bench import NEW_SCHEDULE
from pitwright.trains.cut_list import CutList, Item, Piece

__all__ = [
    "Standing",
    "grown",
    "moved",
    "moved_with",
    "poses_on",
    "root_stub",
    "socket_depth",
    "standing",
]


@dataclass(frozen=True, slots=True)
class Standing:
    """Joints made without a gap from the inlet stub, and from the outlet stub; all made, from 0.

    ``apart`` are joints made that hang on neither stub: bench work.
    """

    inlet: int
    outlet: int
    made: frozenset[int]
    count: int

    @property
    def finished(self) -> bool:
        """Whether every joint is made."""
        return len(self.made) == self.count

    @property
    def apart(self) -> tuple[int, ...]:
        """Joints made that hang on neither stub, from 0."""
        last = self.count - self.outlet
        return tuple(sorted(n for n in self.made if self.inlet <= n < last))

    def without(self, side: int) -> Standing:
        """The same after one side's glued work broke off with its stub: 0 inlet, 1 outlet."""
        if self.finished:
            return Standing(0, 0, frozenset(), self.count)
        first, last = self.inlet, self.count - self.outlet
        if side == 0:
            kept = frozenset(n for n in self.made if n >= first)
            return Standing(0, self.outlet, kept, self.count)
        kept = frozenset(n for n in self.made if n < last)
        return Standing(self.inlet, 0, kept, self.count)


def standing(cuts: CutList, joints: Sequence[int]) -> Standing:
    """What hangs on each stub when these joints (counted from 1) are made. Source: the cut list."""
    count = len(cuts.joints)
    made = frozenset(n - 1 for n in joints)
    inlet = next((n for n in range(count) if n not in made), count)
    outlet = next((n for n in range(count) if count - 1 - n not in made), count)
    return Standing(inlet, outlet, made, count)


def moved_with(
    stubs: tuple[Stub, Stub], cuts: CutList, stands: int, side: int, again: Again, socket: float
) -> Stub:
    """The old stub moved so that the end of what is glued on it lies where it was measured.

    Its direction turns with the end's only where that was measured too; ``socket`` is how deep
    a socket of the new size is. [m] Source: rigid bodies.
    """
    return _moved(stubs[side], _open_end(stubs, cuts, stands, side, socket), again)


def root_stub(stub: Stub) -> Stub:
    """The old pipe under a stub; the stub itself while nothing is glued. Source: none needed."""
    while stub.glued is not None:
        stub = stub.glued.old
    return stub


def moved(stub: Stub, again: Again) -> Stub:
    """A stub as it was measured again, nothing of the train at hand being glued on it.

    Where an earlier train's parts stand on it, all of it moves so that their open end lies where
    it was measured; else it is what was read. [m] Source: rigid bodies.
    """
    if stub.glued is None:
        return again.stub
    end = facing(stub.tip.mean, stub.outward)
    cut_back = again.stub if "cut_back" in again.keys else stub
    return replace(_moved(stub, end, again), cut_back_reading=cut_back.cut_back_reading)


def _moved(stub: Stub, end: Pose, again: Again) -> Stub:
    new = again.stub
    tip = new.tip if "tip" in again.keys else None
    now = facing(end.at if tip is None else tip.mean, new.outward if again.turned else end.z, end.x)
    carried = _carried(stub, now @ facing(end.at, end.z, end.x).inverse())
    return carried if tip is None else replace(carried, tip=replace(tip, mean=carried.tip.mean))


def _carried(stub: Stub, move: Pose) -> Stub:
    """A stub and what it stands on, moved as one. [m]"""
    glued = stub.glued
    return replace(
        stub,
        tip=replace(stub.tip, mean=move.point(stub.tip.mean)),
        outward=move.direction(stub.outward),
        glued=None if glued is None else replace(glued, old=_carried(glued.old, move)),
    )


def grown(
    stubs: tuple[Stub, Stub], cuts: CutList, stands: int, side: int, pipe: Pipe, socket: float
) -> tuple[Stub, tuple[Obstacle, ...]]:
    """The stub that ``stands`` joints make of an old one (side 0 inlet, 1 outlet), and the bodies
    between the two, which are in the way of everything else; ``socket`` as above. [m]

    Source: mating port to port.
    """
    stub = stubs[side]
    if stands == 0:
        return stub, ()
    end, last = _open_end(stubs, cuts, stands, side, socket), _last(cuts, stands, side)
    exposed = 0.0
    if isinstance(last, Piece):
        exposed = max(0.0, last.length - (last.depth_before, last.depth_after)[side])
    plain = _plain(last)
    told = _worked_out(exposed, stub)
    made = replace(
        stub,
        tip=replace(stub.tip, mean=end.at),
        outward=end.z,
        outward_readings=(),
        through=None,
        pipe=pipe,
        measured=None,
        identified=None,
        end=JointKind.PIPE if plain else JointKind.SOCKET,
        end_size="" if plain else pipe.size,
        cut_back_reading=told,
        bare=(Straight(minus(end.z), exposed, told),) if exposed > 0.0 else (),
        condition="sound",
        findings=(),
        glued=Glued(stub, (cuts.inlet_cut, cuts.outlet_cut)[side], stands),
    )
    return made, tuple(_bodies(stubs, cuts, stands, side, pipe))


def _open_end(
    stubs: tuple[Stub, Stub], cuts: CutList, stands: int, side: int, socket: float
) -> Pose:
    """Where the glued work ends, its z pointing out: at the pipe's end, or the socket's face."""
    poses = poses_on(stubs, cuts, side)
    pose = poses[stands if side == 0 else len(poses) - 1 - stands]
    if side == 1:
        pose = Pose(pose.x, minus(pose.y), minus(pose.z), pose.at)
    last = _last(cuts, stands, side)
    if _plain(last):
        return pose
    return replace(pose, at=add(pose.at, scale(pose.z, socket)))


def poses_on(stubs: tuple[Stub, Stub], cuts: CutList, side: int) -> list[Pose]:
    """Poses where each joint lies, z downstream, carried to meet the stub of ``side``. [m]

    Source: mating port to port.
    """
    poses = list(walk(cuts, stubs[0].tip.mean, stubs[0].outward))
    if side == 0:
        return poses
    outlet, end = stubs[1], poses[-1]
    tip = add(outlet.tip.mean, scale(outlet.outward, -cuts.outlet_cut))
    carried = facing(tip, minus(outlet.outward), end.x) @ end.inverse()
    return [carried @ pose for pose in poses]


def _last(cuts: CutList, stands: int, side: int) -> Item:
    return cuts.items[stands - 1 if side == 0 else len(cuts.items) - stands]


def _plain(last: Item) -> bool:
    """Whether what is open is a pipe's end: a piece; any other body offers a socket."""
    return isinstance(last, Piece)


def _bodies(
    stubs: tuple[Stub, Stub], cuts: CutList, stands: int, side: int, pipe: Pipe
) -> Iterator[Obstacle]:
    """The glued items but the last, each from its beginning to its end. [m]"""
    poses, stub = poses_on(stubs, cuts, side), stubs[side]
    first = 0 if side == 0 else len(cuts.items) - stands + 1
    for number in range(first, first + stands - 1):
        a, b = poses[number].at, poses[number + 1].at
        name = f"glued work {number + 1} on {stub.id}"
        thick = _worked_out(pipe.od.value, stub)
        yield Obstacle(
            name, "pipe", replace(stub.tip, mean=a), replace(stub.tip, mean=b), thick, None, ""
        )


def socket_depth(shelf: Shelf, size: str) -> float:
    """How deep a socket of a size is, as every stub's socket is taken. [m] Source: the shelf."""
    socket = shelf.fitting("coupling", size, schedule=NEW_SCHEDULE)
    return socket.ports[0].depth.value if socket else 0.0


def _worked_out(value: float, stub: Stub) -> Reading:
    """A length that was worked out, not read. [m]"""
    where = ReadingId(f"{stub.path}.glued")
    return Reading(where, "worked out", value, stub.cut_back_reading.sigma, "length", "tape")
