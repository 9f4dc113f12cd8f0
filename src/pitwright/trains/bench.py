"""What one search builds with, and the small sums that every way to begin at a stub is made of."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.catalogue.parts import Fitting, FittingPort, JointKind, Pipe
from pitwright.catalogue.shelf import Shelf, joins
from pitwright.survey.stubs import Stub
from pitwright.trains.kit import Port, Seat
from pitwright.units.kinds import INCH, PSI

__all__ = [
    "NEW_SCHEDULE",
    "PRESSURE",
    "RESERVE",
    "TURNS_PAST_HAND_TIGHT",
    "Bench",
    "left_of",
    "new_pipe",
    "push",
    "seat_of",
    "sides_of",
]

NEW_SCHEDULE = "40"
TURNS_PAST_HAND_TIGHT = 1.5
"""In the middle of the 1 to 2 turns that plastic threads get. [turns]"""
RESERVE = INCH / 2
"""Stroke a telescoping coupling keeps both ways, where nobody says otherwise. Judgement. [m]"""
PRESSURE = 80 * PSI
"""What pushes joints apart where nobody read the static pressure. Judgement. [Pa]"""
_PORTS = {
    JointKind.SPIGOT: Port.SPIGOT,
    JointKind.SOCKET: Port.SOCKET,
    JointKind.SOLDER: Port.PLAIN,
}


@dataclass(frozen=True, slots=True)
class Bench:
    """What one search builds with: ``gap`` bare pipe between faces [m], bends in degrees.

    ``reserve`` is the stroke a telescoping coupling keeps both ways [m], ``pressure`` the static
    one [Pa]; ``unions`` asks for one beside the valve, ``blocked`` says that bends will be backed.
    """

    shelf: Shelf
    pipe: Pipe
    gap: float
    bends: tuple[float, ...]
    most_bends: int
    reserve: float = RESERVE
    pressure: float = PRESSURE
    unions: bool = False
    blocked: bool = False


def new_pipe(shelf: Shelf, size: str) -> Pipe | None:
    """The schedule 40 PVC pipe of a size, or None when the shelf has none. Source: the shelf."""
    for pipe in shelf.pipes:
        if (pipe.material, pipe.system, pipe.size) == ("pvc", "ips", size) and (
            pipe.schedule == NEW_SCHEDULE
        ):
            return pipe
    return None


def push(pipe: Pipe, pressure: float) -> float:
    """What water at a pressure [Pa] pushes the end of a pipe with. [N]

    The pressure on the pipe's whole outside: at the joint the water stands behind the pipe's end.
    Source: common practice, no source.
    """
    return pressure * math.pi / 4 * pipe.od.value**2


def seat_of(port: FittingPort, *, deeper: float = 0.0) -> Seat:
    """A port as a seat; ``deeper`` is how far a thread goes past the face or tip. [m]

    Source: the shelf.
    """
    scatter = (port.takeout.high - port.takeout.low) / 2
    kind = _PORTS.get(port.joint, Port.PLAIN)
    return Seat(port.takeout.value - deeper, port.depth.value, scatter, kind)


def left_of(stub: Stub, depth: float) -> float:
    """What may come off a stub that must then still fill a socket of ``depth``. [m]

    Negative where there is not even pipe enough to fill it as it stands. Source: the survey.
    """
    straight = stub.bare[0].length if stub.bare else math.inf
    return min(stub.cut_back, straight - depth)


def sides_of(part: Fitting, stub: Pipe, new: Pipe) -> tuple[FittingPort, FittingPort] | None:
    """The side of a straight body that takes the stub and the one that takes new pipe.

    Source: the shelf.
    """
    a, b = part.ports
    for mine, other in ((a, b), (b, a)):
        if joins(stub, mine) and joins(new, other):
            return mine, other
    return None
