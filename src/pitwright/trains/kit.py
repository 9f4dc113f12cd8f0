"""What a search may build with: the numbers of the parts, without their catalogue.

All lengths in metres, all angles in radians. A *seat* is one side of a body: how far from the
body's centre the pipe stops, and how deep it is held.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from pitwright.geometry.vector import Vec

__all__ = ["GRIPPED", "Corner", "Coupler", "EndWay", "Girth", "Kit", "Seat", "StubEnd", "Unit"]

GRIPPED = "gripped"
"""The name of an end way whose body grips the pipe and holds no thrust."""


@dataclass(frozen=True, slots=True)
class Seat:
    """Centre to where the pipe stops (negative when it stops before the centre), and the depth.

    ``scatter`` is how far the take-out of a like part may differ, plus or minus. [m]
    """

    takeout: float
    depth: float
    scatter: float = 0.0


@dataclass(frozen=True, slots=True)
class Corner:
    """A fitting that bends the train by ``bend``, with its seats before and after. [rad, m]"""

    bend: float
    before: Seat
    after: Seat
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Coupler:
    """A straight body that joins a stub to a new piece: coupling, reducer, transition."""

    stub_side: Seat
    new_side: Seat
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Unit:
    """The valve made up with its adapters, from socket bottom to socket bottom. [m, rad]

    ``tilt`` is how far its run may lean from level: the bonnet's axis is at right angles to the
    run, so its best lean equals the run's. ``scatter`` is plus or minus [m]; ``rests_on`` lists
    the parts that it comes from where nobody measured the made-up unit itself.
    """

    length: float
    depth_before: float
    depth_after: float
    tilt: float
    parts: tuple[str, ...]
    scatter: float = 0.0
    rests_on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StubEnd:
    """One stub as the search sees it.

    ``outward`` points out of the pipe into the gap; ``cut`` is how far it may be cut back [m].
    ``seat`` is None for a plain pipe end, which goes into a socket, or the socket it offers,
    measured from the tip (the socket's face): takeout is minus its depth.
    """

    tip: Vec
    outward: Vec
    cut: float
    seat: Seat | None = None


@dataclass(frozen=True, slots=True)
class EndWay:
    """One way for new work to begin at a stub.

    ``direct``: the stub goes straight into the next body. ``coupled``: into ``coupler`` first.
    ``corners`` replaces the kit's corners next to this stub where another size is needed there.
    ``fits_unit``: the made-up valve may sit straight on the stub. ``cut`` is what this way leaves
    of the stub's allowance, negative when there is too little pipe to hold. [m]
    """

    name: str
    cut: float
    coupler: Coupler | None = None
    corners: tuple[Corner, ...] | None = None
    fits_unit: bool = True


@dataclass(frozen=True, slots=True)
class Girth:
    """How thick the new work is. [m]

    ``pipe`` and ``fitting`` are outside radii; the valve's body reaches ``valve`` to the sides
    and below, and its bonnet stands ``bonnet`` above the axis.
    """

    pipe: float
    fitting: float
    valve: float = 0.0
    bonnet: float = 0.0


@dataclass(frozen=True, slots=True)
class Kit:
    """Everything one search may use. ``gap`` is what the least nipple leaves bare. [m]"""

    corners: tuple[Corner, ...]
    ends_a: tuple[EndWay, ...]
    ends_b: tuple[EndWay, ...]
    gap: float
    unit: Unit | None = None
    most_bends: int = field(default=2)
