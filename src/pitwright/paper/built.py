"""A train as it will stand in the pit, as a scene: pieces, fittings, valve, joints, cuts. [m]

The picture is drawn from the rounded cut list, walked from the inlet stub as a fitter builds it,
so that what is drawn is what will be cut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from pitwright.closing.rebuild import walk
from pitwright.geometry.pose import Pose
from pitwright.geometry.vector import Vec, add, minus, norm, scale, sub
from pitwright.paper.scene import (
    Cut,
    Dimension,
    Fitting,
    Joint,
    Pipe,
    Scene,
    adapter,
    coupling,
    elbow,
    measured,
    valve,
)
from pitwright.trains.cut_list import Bend, CutList, Item, Piece
from pitwright.trains.kit import StubEnd
from pitwright.trains.rows import Body
from pitwright.trains.train import Train

__all__ = ["ValveLook", "as_built", "together"]

_SOCKET = 1.24
"""Outside of a socket to outside of its pipe, for the picture only. [-]"""
_LEAST_CUT = 1e-4
"""Less than this off a stub is no cut. [m]"""


@dataclass(frozen=True, slots=True)
class ValveLook:
    """How large the valve is drawn: face to face, axis to top, and across the bonnet. [m]"""

    length: float
    height: float
    bonnet: float


def as_built(
    train: Train,
    cuts: CutList,
    stubs: tuple[StubEnd, StubEnd],
    *,
    od: float,
    look: ValveLook,
    words: str = "",
    zone: str = "",
    letters: Mapping[str, str] | None = None,
    ods: tuple[float, float] | None = None,
    cut_words: Sequence[str] = ("", ""),
) -> Scene:
    """The train's parts where they will be.

    Parameters
    ----------
    od : float
        Outside diameter of the new pieces. [m]
    words : str
        What stands beside the valve.
    letters : mapping
        Other letters for the pieces, where several trains share one sheet.
    ods : pair of float
        Outside diameters of the two stubs, for the cut marks; ``od`` where None. [m]
    cut_words : two strings
        What stands beside the cut marks: the stubs' new ends lie hidden in sockets.
    """
    poses = tuple(walk(cuts, stubs[0].tip, stubs[0].outward))
    run = _Run(train, cuts, poses, od, letters or {})
    fittings = [
        replace(f, name=item.name)
        for i, item in enumerate(cuts.items)
        if not isinstance(item, Piece)
        for f in run.fittings(i, look, words)
    ]
    scene = Scene(
        pipes=tuple(run.pipe(i) for i, it in enumerate(cuts.items) if isinstance(it, Piece)),
        fittings=tuple(fittings),
        joints=tuple(
            Joint(run.joint_at(i), joint.where.value) for i, joint in enumerate(cuts.joints)
        ),
        cuts=_cuts(cuts, stubs, ods or (od, od), cut_words),
        dimensions=run.dimensions(stubs),
    )
    return _owned(scene, zone)


def together(scenes: Sequence[Scene]) -> Scene:
    """Scenes in one picture: parts of all; box, ground and direction of the first that has them."""
    first = scenes[0]
    return replace(
        first,
        pipes=tuple(p for s in scenes for p in s.pipes),
        fittings=tuple(f for s in scenes for f in s.fittings),
        joints=tuple(j for s in scenes for j in s.joints),
        cuts=tuple(c for s in scenes for c in s.cuts),
        obstacles=tuple(o for s in scenes for o in s.obstacles),
        dimensions=tuple(d for s in scenes for d in s.dimensions),
        walls=next((s.walls for s in scenes if s.walls), None),
        ground=next((s.ground for s in scenes if s.ground), None),
    )


def _owned(scene: Scene, zone: str) -> Scene:
    return replace(
        scene,
        pipes=tuple(replace(p, zone=zone) for p in scene.pipes),
        fittings=tuple(replace(f, zone=zone) for f in scene.fittings),
        joints=tuple(replace(j, zone=zone) for j in scene.joints),
        cuts=tuple(replace(c, zone=zone) for c in scene.cuts),
        dimensions=tuple(replace(d, zone=zone) for d in scene.dimensions),
    )


def _cuts(
    cuts: CutList,
    stubs: tuple[StubEnd, StubEnd],
    ods: tuple[float, float],
    words: Sequence[str],
) -> tuple[Cut, ...]:
    off = (cuts.inlet_cut, cuts.outlet_cut)
    return tuple(
        Cut(add(stub.tip, scale(stub.outward, -by)), stub.outward, od, said)
        for stub, by, od, said in zip(stubs, off, ods, words, strict=True)
        if by > _LEAST_CUT
    )


@dataclass(frozen=True, slots=True)
class _Run:
    """A walked cut list: item i lies between poses i and i + 1, z pointing downstream."""

    train: Train
    cuts: CutList
    poses: tuple[Pose, ...]
    od: float
    letters: Mapping[str, str]

    def along(self, pose: int, by: float) -> Vec:
        """A point ``by`` downstream of a pose. [m]"""
        return add(self.poses[pose].at, scale(self.poses[pose].z, by))

    def depths(self, i: int) -> tuple[float, float]:
        """How deep item i holds what comes before and after it. [m]"""
        items = self.cuts.items
        before, after = self.stub_depth(0), self.stub_depth(1)
        if i > 0:
            left = items[i - 1]
            before = left.depth_after if isinstance(left, Piece) else 0.0
        if i + 1 < len(items):
            right = items[i + 1]
            after = right.depth_before if isinstance(right, Piece) else 0.0
        return before, after

    def stub_depth(self, end: int) -> float:
        """How deep the first body at an end holds the stub. [m]"""
        skeleton = self.train.skeleton
        coupler = skeleton.ways[end].coupler
        if coupler is not None:
            return coupler.stub_side.depth
        first = self.cuts.items[0 if end == 0 else -1]
        if isinstance(first, Bend):
            corner = skeleton.corners[0 if end == 0 else -1]
            return (corner.before if end == 0 else corner.after).depth
        if isinstance(first, Body) and first.name == "valve" and skeleton.unit is not None:
            return skeleton.unit.depth_before if end == 0 else skeleton.unit.depth_after
        return 0.0

    def pipe(self, i: int) -> Pipe:
        """Piece i, from socket bottom to socket bottom."""
        piece = self.cuts.items[i]
        assert isinstance(piece, Piece)  # the caller picked it
        letter = self.letters.get(piece.letter, piece.letter)
        path = (self.poses[i].at, self.poses[i + 1].at)
        return Pipe(path, self.od, letter=letter, name=f"piece {letter}")

    def fittings(self, i: int, look: ValveLook, words: str) -> tuple[Fitting, ...]:
        """What item i looks like; nothing for a piece."""
        item = self.cuts.items[i]
        before, after = self.depths(i)
        socket = self.od * _SOCKET
        if isinstance(item, Piece):
            return ()
        if isinstance(item, Bend):
            centre = self.along(i, item.before)
            faces = (self.along(i, -before), self.along(i + 1, after))
            return (elbow(centre, faces, socket),)
        a, b = self.along(i, -before), self.along(i + 1, after)
        if item.name == "valve":
            return self._valve(i, a, b, look, words)
        return (coupling(a, b, socket, old=item.name.endswith(" socket")),)

    def _valve(self, i: int, a: Vec, b: Vec, look: ValveLook, words: str) -> tuple[Fitting, ...]:
        item = self.cuts.items[i]
        assert isinstance(item, Body)  # the caller looked
        arm = max(0.15 * item.length, (item.length - look.length) / 2)
        inlet, outlet = self.along(i, arm), self.along(i + 1, -arm)
        along = self.poses[i].z
        lean = along[2]
        up = (-lean * along[0], -lean * along[1], 1.0 - lean * lean)
        if up[2] < 1e-3:  # a run that stands plumb: its bonnet points to the side
            up = (1.0, 0.0, 0.0)
        socket = self.od * _SOCKET
        return (
            adapter(a, inlet, socket),
            valve(
                inlet,
                outlet,
                up,
                diameter=self.od * 1.3,
                height=look.height,
                bonnet=look.bonnet,
                words=words,
            ),
            adapter(b, outlet, socket),
        )

    def joint_at(self, k: int) -> Vec:
        """Where joint k is seen: at the face of the socket. [m]"""
        items: tuple[Item, ...] = self.cuts.items
        if k < len(items) and isinstance(items[k], Piece):
            piece = items[k]
            assert isinstance(piece, Piece)  # said above
            return self.along(k, piece.depth_before)
        if k > 0 and isinstance(items[k - 1], Piece):
            piece = items[k - 1]
            assert isinstance(piece, Piece)  # said above
            return self.along(k, -piece.depth_after)
        if k == 0:
            return self.along(0, -self.stub_depth(0))
        return self.along(k, self.stub_depth(1))

    def dimensions(self, stubs: tuple[StubEnd, StubEnd]) -> tuple[Dimension, ...]:
        """Centre to centre, leg by leg, from one cut stub to the other."""
        points = [self.poses[0].at]
        for i, item in enumerate(self.cuts.items):
            if isinstance(item, Bend):
                points.append(self.along(i, item.before))
        points.append(add(stubs[1].tip, scale(minus(stubs[1].outward), self.cuts.outlet_cut)))
        least = 1.5 * self.od  # shorter ones are told by the fitting itself
        return tuple(measured(a, b) for a, b in pairwise(points) if norm(sub(b, a)) > least)
