"""Reclaim a socket: the old pipe is bored or pulled out of the fitting behind a stub.

No standard lists it. It is asked last, never on the side that stands under pressure, and its risk
is said with it.
"""

from __future__ import annotations

from dataclasses import replace

from pitwright.catalogue.parts import JointKind
from pitwright.findings import Finding, Short, Weight, finding
from pitwright.geometry.vector import add, minus, scale
from pitwright.survey.stubs import Side, Stub

__all__ = ["SOCKETS", "reclaimed", "risk"]

SOCKETS = ("tee", "elbow", "coupling")
"""What may stand behind a stub and has a socket."""


def reclaimed(stub: Stub) -> Stub | Short:
    """The stub as an open socket where the fitting behind it begins, or why that is not done. [m]

    Source: common practice, no source; listed by no standard.
    """
    if stub.behind not in SOCKETS:
        return Short("NO_SOCKET", stub.id, 0.0, 1.0, 1.0, "1", "say_behind", stub.id)
    if stub.side is Side.INLET:
        return Short("PRESSURE_SIDE", stub.id, 0.0, 1.0, 1.0, "1", "reclaim_outlet", stub.id)
    if stub.glued is not None or stub.pipe is None or not stub.bare:
        return Short("NO_SOCKET", stub.id, 0.0, 1.0, 1.0, "1", "say_behind", stub.id)
    face = add(stub.tip.mean, scale(stub.outward, -stub.bare[0].length))
    return replace(
        stub,
        tip=replace(stub.tip, mean=face),
        outward=minus(stub.bare[0].direction),
        through=None,  # it lay on the pipe that is bored out, and may be the face itself
        end=JointKind.SOCKET,
        end_size=stub.pipe.size,
        cut_back_reading=replace(stub.cut_back_reading, value=0.0),
        bare=(),
    )


def risk(stub: Stub) -> Finding:
    """What reclaiming a socket may cost. Source: common practice, no source."""
    return finding("reclaimed_socket", Weight.STOP, names={"stub": stub.id, "fitting": stub.behind})
