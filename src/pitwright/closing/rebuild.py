"""The check nobody trusts themselves to skip: build the train again from its cut list alone.

This module knows nothing of how a train was found. It walks from the inlet stub through every
body, piece and bend of the *rounded* cut list, one pose after another, and says by how much the
end misses the outlet stub.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pitwright.geometry.pose import Pose, facing
from pitwright.geometry.vector import Vec, add, angle_between, minus, scale, sub
from pitwright.trains.cut_list import Bend, CutList, Piece

__all__ = ["rebuilt", "walk"]


def _advanced(pose: Pose, by: float) -> Pose:
    return pose @ Pose((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0), (0.0, 0.0, by))


def _tilted(pose: Pose, by: float) -> Pose:
    """Turned about its own y axis so that z leans towards x."""
    c, s = math.cos(by), math.sin(by)
    return pose @ Pose((c, 0.0, -s), (0.0, 1.0, 0.0), (s, 0.0, c), (0.0, 0.0, 0.0))


def walk(cuts: CutList, tip: Vec, outward: Vec) -> Iterator[Pose]:
    """Poses along the built train, z downstream: where each item begins, and where the last ends.

    ``tip`` [m] and the unit vector ``outward`` are the inlet stub's. Source: mating port to port.
    """
    pose = _advanced(facing(tip, outward), -cuts.inlet_cut)
    yield pose
    for item in cuts.items:
        if isinstance(item, Bend):
            pose = _advanced(pose, item.before).rolled(item.clock)
            pose = _advanced(_tilted(pose, item.angle), item.after)
        else:
            pose = _advanced(pose, item.length)
        yield pose


def rebuilt(cuts: CutList, inlet: tuple[Vec, Vec], outlet: tuple[Vec, Vec]) -> tuple[Vec, float]:
    """How the built train misses the outlet stub: the way to it [m], and the angle [rad].

    ``inlet`` and ``outlet`` are each (tip [m], outward unit vector). Raises nothing: a piece
    shorter than its depths is the planner's to refuse, see :func:`close_pieces`.
    Source: mating port to port.
    """
    *_, end = walk(cuts, *inlet)
    tip = add(outlet[0], scale(outlet[1], -cuts.outlet_cut))
    return sub(tip, end.at), angle_between(end.z, minus(outlet[1]))


def close_pieces(cuts: CutList, gap: float) -> tuple[Piece, ...]:
    """Pieces too short to fill both sockets and leave ``gap`` [m] bare, by more than a 1/64 in.

    Source: least nipple = two socket depths plus the gap, common practice, no source.
    """
    pencil = 0.0254 / 64
    return tuple(p for p in cuts.pieces if p.length < p.depth_before + p.depth_after + gap - pencil)
