"""A pit in three dimensions, as a drawing needs it.

Pit coordinates [m]: x to the right, y downstream, z up. A scene knows what things look like
and what they are called, and nothing of why they are there; plans, harnesses and histories build
one and get its plan, elevation and isometric from :mod:`~pitwright.paper.view`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from pitwright.geometry.vector import Vec, add, norm, scale, sub, unit
from pitwright.units.inches import inches_text

__all__ = [
    "Bent",
    "Cut",
    "Dimension",
    "Fitting",
    "Ground",
    "Joint",
    "Limb",
    "Obstacle",
    "Pipe",
    "Scene",
    "Walls",
    "adapter",
    "coupling",
    "elbow",
    "measured",
    "tee",
    "union",
    "valve",
]


@dataclass(frozen=True, slots=True)
class Pipe:
    """A pipe along its axis, two or more points [m], outside ``diameter`` [m].

    ``old`` pipe is hatched. ``letter``: the piece's letter on the cut list. ``runs_on``: whether
    the first and the last end go on into the soil (drawn broken). ``zone``: whose it is, as for
    everything that has one; empty for what all zones share. ``name``: what a screen finds it by.
    """

    path: tuple[Vec, ...]
    diameter: float
    old: bool = False
    letter: str = ""
    words: str = ""
    runs_on: tuple[bool, bool] = (False, False)
    zone: str = ""
    name: str = ""


@dataclass(frozen=True, slots=True)
class Limb:
    """One straight arm of a fitting: from, to, and outside diameter. [m]"""

    a: Vec
    b: Vec
    diameter: float


@dataclass(frozen=True, slots=True)
class Fitting:
    """A fitting or a valve as arms about a centre [m]; ``arrow`` is its flow, inlet to outlet."""

    kind: str
    centre: Vec
    limbs: tuple[Limb, ...]
    old: bool = False
    words: str = ""
    arrow: tuple[Vec, Vec] | None = None
    zone: str = ""
    name: str = ""


def elbow(centre: Vec, faces: tuple[Vec, Vec], diameter: float, **more: object) -> Fitting:
    """Two arms from the centre to the socket faces [m], ``diameter`` outside the sockets [m]."""
    return _arms("elbow", centre, faces, diameter, more)


def tee(centre: Vec, faces: tuple[Vec, Vec, Vec], diameter: float, **more: object) -> Fitting:
    """Three arms from the centre to the socket faces. [m]"""
    return _arms("tee", centre, faces, diameter, more)


def _arms(
    kind: str, centre: Vec, faces: tuple[Vec, ...], diameter: float, more: dict[str, object]
) -> Fitting:
    limbs = tuple(Limb(centre, face, diameter) for face in faces)
    return Fitting(kind, centre, limbs, bool(more.get("old", False)), str(more.get("words", "")))


def coupling(
    a: Vec, b: Vec, diameter: float, *, kind: str = "coupling", old: bool = False, words: str = ""
) -> Fitting:
    """A sleeve from face to face [m]; ``kind`` may say "telescoping coupling" and the like."""
    return Fitting(kind, _middle(a, b), (Limb(a, b, diameter),), old, words)


def union(a: Vec, b: Vec, diameter: float, *, old: bool = False, words: str = "") -> Fitting:
    """A sleeve with a wide nut in its middle. [m]"""
    nut = Limb(_between(a, b, 0.36), _between(a, b, 0.64), diameter * 1.35)
    return Fitting("union", _middle(a, b), (Limb(a, b, diameter), nut), old, words)


def adapter(
    socket: Vec, thread: Vec, diameter: float, *, old: bool = False, words: str = ""
) -> Fitting:
    """A socket, a six-sided collar, and a thread that ends at ``thread``. [m]"""
    limbs = (
        Limb(socket, _between(socket, thread, 0.55), diameter),
        Limb(_between(socket, thread, 0.45), _between(socket, thread, 0.68), diameter * 1.18),
        Limb(_between(socket, thread, 0.6), thread, diameter * 0.84),
    )
    return Fitting("adapter", _middle(socket, thread), limbs, old, words)


def valve(
    inlet: Vec,
    outlet: Vec,
    up: Vec,
    *,
    diameter: float,
    height: float,
    bonnet: float,
    old: bool = False,
    words: str = "",
) -> Fitting:
    """A valve body from inlet to outlet face, its bonnet ``height`` above the axis. [m]"""
    middle = _middle(inlet, outlet)
    top = add(middle, scale(unit(up), height))
    waist = add(middle, scale(unit(up), diameter * 0.5))
    limbs = (
        Limb(inlet, outlet, diameter),
        Limb(waist, top, bonnet * 0.82),
        Limb(_between(middle, top, 0.42), _between(middle, top, 0.62), bonnet),
    )
    arrow = (_between(inlet, outlet, 0.18), _between(inlet, outlet, 0.82))
    return Fitting("valve", middle, limbs, old, words, arrow)


def _between(a: Vec, b: Vec, share: float) -> Vec:
    return add(a, scale(sub(b, a), share))


def _middle(a: Vec, b: Vec) -> Vec:
    return _between(a, b, 0.5)


@dataclass(frozen=True, slots=True)
class Joint:
    """Where two parts meet [m]; ``where`` is "bench" or "pit". ``words`` stand beside the mark."""

    at: Vec
    where: str
    words: str = ""
    zone: str = ""


@dataclass(frozen=True, slots=True)
class Cut:
    """A cut through old pipe: place [m], the pipe's direction and outside diameter [m]."""

    at: Vec
    along: Vec
    diameter: float
    words: str = ""
    zone: str = ""


@dataclass(frozen=True, slots=True)
class Bent:
    """The axis of a pipe as it will be bent, drawn dashed; a caption says how much enlarged. [m]"""

    path: tuple[Vec, ...]


@dataclass(frozen=True, slots=True)
class Walls:
    """The box: its inside outline at the mouth, a closed ring of points, and its depth. [m]

    ``bottom`` is the ring at the floor, as many points as the mouth; empty where it is as wide.
    """

    mouth: tuple[Vec, ...]
    depth: float
    words: str = ""
    bottom: tuple[Vec, ...] = ()

    @property
    def floor(self) -> tuple[Vec, ...]:
        """The ring at the floor. [m]"""
        return self.bottom or tuple((x, y, z - self.depth) for x, y, z in self.mouth)


@dataclass(frozen=True, slots=True)
class Ground:
    """Ground level. [m]"""

    z: float
    words: str = ""


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something in the way along a path [m], ``diameter`` wide [m].

    ``kind``: "root", "wire", "rock" (one point) or "pipe". ``dash``: style 1 to 8 of a wire.
    ``corners``: the eight corners of a box, in the order of their signs along its axes. [m]
    """

    kind: str
    path: tuple[Vec, ...]
    diameter: float
    words: str = ""
    dash: int = 4
    corners: tuple[Vec, ...] = ()


@dataclass(frozen=True, slots=True)
class Dimension:
    """A length between two points [m], as a fitter writes it.

    ``views``: where it may be drawn; empty for every view that shows it nearly true.
    """

    a: Vec
    b: Vec
    words: str
    views: tuple[str, ...] = ()
    zone: str = ""


def measured(a: Vec, b: Vec, *, before: str = "", views: tuple[str, ...] = ()) -> Dimension:
    """The distance from a to b [m] to the nearest 1/16 in, words ``before`` it."""
    return Dimension(a, b, f"{before}{inches_text(norm(sub(b, a)))}", views)


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything in one picture. ``north`` is a direction in plan, ``north_words`` its name."""

    pipes: tuple[Pipe, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    joints: tuple[Joint, ...] = ()
    cuts: tuple[Cut, ...] = ()
    walls: Walls | None = None
    ground: Ground | None = None
    obstacles: tuple[Obstacle, ...] = ()
    dimensions: tuple[Dimension, ...] = ()
    bent: tuple[Bent, ...] = ()
    north: Vec | None = None
    north_words: str = "N"

    def only(self, zone: str) -> Scene:
        """One zone and what all zones share."""
        keep = ("", zone)
        return replace(
            self,
            pipes=tuple(p for p in self.pipes if p.zone in keep),
            fittings=tuple(f for f in self.fittings if f.zone in keep),
            joints=tuple(j for j in self.joints if j.zone in keep),
            cuts=tuple(c for c in self.cuts if c.zone in keep),
            dimensions=tuple(d for d in self.dimensions if d.zone in keep),
        )
