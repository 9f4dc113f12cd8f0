"""Whether a built train closes within what the true pipe, sockets and hands bear.

One convex problem: the least worst ratio of strain and push, over the wrench at the last joint,
what every socket lets a pipe tilt and stand out, and what a body that slides still gives. The roll
at the last joint is free. Solved as a second-order cone programme.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import clarabel
import numpy as np
from numpy.typing import NDArray
from scipy import sparse

from bench.truth.beam import MODULUS, Tube, frame
from bench.truth.building import Built
from bench.truth.errors import World
from bench.truth.pits import INCH, STAYING, TruePit, TrueStub, dice_for
from pitwright.geometry.vector import across, minus

Floats = NDArray[np.float64]
HANDS = 50 * 4.448222
"""One person's steady push. Judgement."""
SEAT = INCH / 32
"""How far a joint may be left standing out."""
_FORCE, _MOMENT = HANDS, 10.0


@dataclass(frozen=True)
class Bearing:
    """What this pit's joints and pipe really bear: play [rad] and a factor on strain [-]."""

    play: float
    strain: float


def bearing(pit: TruePit, world: World) -> Bearing:
    """Drawn once a pit."""
    dice = dice_for(pit.seed, f"bearing, {world.name}")
    play = dice.uniform(*world.play)
    return Bearing(play, max(0.3, 1.0 + dice.gauss(0.0, 1.0) * world.strain))


def _skew(r: Floats) -> Floats:
    return np.array([[0, -r[2], r[1]], [r[2], 0, -r[0]], [-r[1], r[0], 0]])


def _end(stub: TrueStub, cut: float, dug: float, at: Floats) -> tuple[Floats, Floats]:
    """Movement (6, 6) at the last joint per wrench there, and strain rows (K, 2, 6)."""
    sizes = [size for _, size in stub.bare]
    sizes[0] -= cut
    sizes[-1] += dug
    ways = [minus(way) for way, _ in stub.bare]
    path = list(zip(ways, sizes, strict=True))[::-1]
    got = frame(path, Tube(stub.od, stub.wall))
    tip = np.array(stub.tip) - cut * np.array(stub.outward)
    carry = np.eye(6)
    carry[3:, :3] = _skew(at - tip)
    strain = stub.od / (2 * MODULUS * Tube(stub.od, stub.wall).second)
    limit = STAYING[stub.condition]
    rows = np.einsum("kij,jl->kil", got.moments, carry) * strain / limit
    return carry.T @ got.tip @ carry, rows


def worst_ratio(
    pit: TruePit, built: Built, bears: Bearing, dug: tuple[float, float] = (0.0, 0.0)
) -> float:
    """The least worst ratio at which it closes; infinite where nothing gives at all."""
    at = np.array(built.at)
    c = np.zeros((6, 6))
    strains = []
    for n, stub in enumerate(pit.stubs):
        if stub.bare[0][1] - built.cuts[n] <= 0.01 * INCH:
            continue
        moves, rows = _end(stub, built.cuts[n], dug[n], at)
        c += moves
        strains += list(rows / bears.strain)
    return _least(built, c, strains, bears.play)


def _least(built: Built, c: Floats, strains: list[Floats], play: float) -> float:
    at, pair = np.array(built.at), across(built.axis)
    keep = np.zeros((5, 6))
    keep[:3, :3] = np.eye(3)
    keep[3, 3:], keep[4, 3:] = pair
    size = np.array([_FORCE] * 3 + [_MOMENT] * 3)
    units = np.array([INCH / 16] * 3 + [math.radians(0.5)] * 2)
    wrench, cones = c @ np.diag(size), []
    tilts = []
    for place, axis in built.joints:
        for way in across(axis):
            tilts.append(np.concatenate([np.cross(way, at - np.array(place)), way]) * play)
    longer = [(axis, 0.0, SEAT) for _, axis in built.joints] + list(built.slides)
    slides = [np.concatenate([np.array(a), np.zeros(3)]) * INCH / 32 for a, _, _ in longer]
    given = np.column_stack([*wrench.T, *tilts, *slides])
    n = 7 + len(tilts) + len(slides)
    a, b = [], []

    def row(values: Floats, where: slice | list[int], right: float) -> None:
        line = np.zeros(n)
        line[where] = values
        a.append(line)
        b.append(right)

    want = keep @ np.array([*built.shift, *built.turn])
    cols = [*range(6), *range(7, n)]
    for line, right, one in zip(keep @ given, want, units, strict=True):
        row(line / one, cols, float(right / one))
    row(np.array(built.axis), slice(3, 6), 0.0)
    cones.append(clarabel.ZeroConeT(6))
    first = 7 + len(tilts)
    for k, (_, low, high) in enumerate(longer):
        row(np.array([1.0]), [first + k], high / (INCH / 32))
        row(np.array([-1.0]), [first + k], -low / (INCH / 32))
    cones.append(clarabel.NonnegativeConeT(2 * len(longer)))
    for k in range(len(built.joints)):
        row(np.array([0.0]), [6], 1.0)
        row(np.array([-1.0]), [7 + 2 * k], 0.0)
        row(np.array([-1.0]), [8 + 2 * k], 0.0)
        cones.append(clarabel.SecondOrderConeT(3))
    for strain in strains:
        row(np.array([-1.0]), [6], 0.0)
        for line in strain:
            row(-line * size, slice(0, 6), 0.0)
        cones.append(clarabel.SecondOrderConeT(3))
    row(np.array([-1.0]), [6], 0.0)
    for k in range(3):
        row(np.array([-1.0]), [k], 0.0)
    cones.append(clarabel.SecondOrderConeT(4))
    cost = np.zeros(n)
    cost[6] = 1.0
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    solver = clarabel.DefaultSolver(
        sparse.csc_matrix((n, n)),
        cost,
        sparse.csc_matrix(np.array(a)),
        np.array(b),
        cones,
        settings,
    )
    got = solver.solve()
    if "Solved" not in str(got.status):
        return math.inf
    return float(got.x[6])
