"""What a search may build with: the numbers of the parts, without their catalogue.

All lengths in metres, all angles in radians. A *seat* is one side of a body: how far from the
body's centre the pipe stops, and how deep it is held.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum

from pitwright.geometry.vector import Vec

__all__ = [
    "GRIPPED",
    "GRIPS_ON_PIECE",
    "GRIPS_ON_STUB",
    "SLID_ON_PIECE",
    "SLID_ON_STUB",
    "TELESCOPING",
    "Corner",
    "Coupler",
    "EndWay",
    "Girth",
    "Kit",
    "Port",
    "Seat",
    "StubEnd",
    "Unit",
]

GRIPPED = "gripped"
"""The name of an end way whose body grips the pipe and holds no thrust."""
TELESCOPING = "telescoping"
"""The name of an end way by a telescoping coupling, which holds no thrust."""
SLID_ON_STUB = "slid"
"""The name of an end way by a stop-less coupling parked on the stub."""
SLID_ON_PIECE = "slid on piece"
"""The same, parked on the new piece beside it."""
GRIPS_ON_STUB = "slid to grip"
"""The name of an end way by a through coupling parked on the stub: it slides, grips without cement,
and holds no thrust."""
GRIPS_ON_PIECE = "slid to grip on piece"
"""The same, parked on the new piece beside it."""


class Port(Enum):
    """What one side of a body is: it takes pipe and spigots, is one itself, or takes pipe alone."""

    SOCKET = "socket"
    SPIGOT = "spigot"
    PLAIN = "plain"


@dataclass(frozen=True, slots=True)
class Seat:
    """Centre to where the pipe stops (negative when it stops before the centre), and the depth.

    ``scatter`` is how far the take-out of a like part may differ, plus or minus. [m] A spigot's
    take-out ends at its own end, which goes to the bottom of its neighbour's socket.
    """

    takeout: float
    depth: float
    scatter: float = 0.0
    port: Port = Port.SOCKET


@dataclass(frozen=True, slots=True)
class Corner:
    """A fitting that bends the train by ``bend``, with its seats before and after. [rad, m]"""

    bend: float
    before: Seat
    after: Seat
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Coupler:
    """A straight body that joins a stub to a new piece: coupling, reducer, transition, union.

    ``give`` is how far it may be longer or shorter than its seats say, where a telescoping or
    stop-less coupling stands in the middle of what it allows; ``park`` is the bare pipe that the
    piece beside it must have for the body to be slid out of the way on it. [m]
    """

    stub_side: Seat
    new_side: Seat
    parts: tuple[str, ...]
    give: float = 0.0
    park: float = 0.0


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
    of the stub's allowance, negative when there is too little pipe to hold. [m] ``needs`` is the
    bare pipe a body must be parked on. [m] ``push`` is what water pushes the joint apart with
    where it holds none of it, 0 where it does. [N] ``most_bends`` is in how bent a train it is
    tried. [-]
    """

    name: str
    cut: float
    coupler: Coupler | None = None
    corners: tuple[Corner, ...] | None = None
    fits_unit: bool = True
    needs: float = 0.0
    push: float = 0.0
    most_bends: int = 4

    @property
    def slides(self) -> bool:
        """Whether its body takes up length by itself."""
        return self.coupler is not None and self.coupler.give > 0.0


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
    """Everything one search may use. ``gap`` is what the least nipple leaves bare. [m]

    ``union`` is put beside the valve; ``streets`` are corners with a spigot on one side, tried
    where no other corners serve; ``blocked`` says that new bends will be tied or blocked, and
    ``unbacked`` which stubs ("inlet stub") have a bare elbow behind them that is not.
    """

    corners: tuple[Corner, ...]
    ends_a: tuple[EndWay, ...]
    ends_b: tuple[EndWay, ...]
    gap: float
    unit: Unit | None = None
    most_bends: int = field(default=2)
    union: Coupler | None = None
    streets: tuple[Corner, ...] = ()
    blocked: bool = False
    unbacked: tuple[str, ...] = ()
