"""The spread of a last joint by a conic library, written from the definition."""

from __future__ import annotations

import clarabel
import numpy as np
from scipy import sparse

from pitwright.flex.compliance import stations, tip_compliance
from pitwright.flex.path import BarePath
from pitwright.geometry.vector import Vec, across


def optimum(
    sides: list[tuple[BarePath, float]],
    at: Vec,
    opening: Vec,
    hands: float,
    roll_axis: Vec | None,
    play: float,
) -> float:
    """Unknowns: a wrench (6) for each side, two tilts, t."""
    size = np.array([50.0, 50.0, 50.0, 5.0, 5.0, 5.0])
    n = 6 * len(sides) + 3
    axes = across(roll_axis) if roll_axis else ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    held = np.zeros((3 + len(axes), 6))
    held[:3, :3] = np.eye(3)
    held[3:, 3:] = np.array(axes)
    equal = np.zeros((len(held), n))
    for k, (path, _) in enumerate(sides):
        sign = -1.0 if k == 0 else 1.0
        equal[:, 6 * k : 6 * k + 6] = sign * held @ np.array(tip_compliance(path, at)) * size
    if roll_axis:
        equal[3, -3] = equal[4, -2] = 1.0
    rows, right = [equal], [np.concatenate([np.array(opening), np.zeros(len(axes))])]
    cones = [clarabel.ZeroConeT(len(held))]
    for k, (path, strain) in enumerate(sides):
        blocks = [np.array([s.first, s.second]) * size / strain for s in stations(path, at)]
        blocks.append(np.hstack([np.eye(3), np.zeros((3, 3))]) * size / hands)
        for block in blocks:
            cone = np.zeros((len(block) + 1, n))
            cone[0, -1] = -1.0
            cone[1:, 6 * k : 6 * k + 6] = block
            rows.append(cone)
            right.append(np.zeros(len(cone)))
            cones.append(clarabel.SecondOrderConeT(len(cone)))
    disc = np.zeros((3, n))
    disc[1, -3] = disc[2, -2] = -1.0
    rows.append(disc)
    right.append(np.array([play, 0.0, 0.0]))
    cones.append(clarabel.SecondOrderConeT(3))
    cost = np.zeros(n)
    cost[-1] = 1.0
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    a = sparse.csc_matrix(np.vstack(rows))
    solution = clarabel.DefaultSolver(
        sparse.csc_matrix((n, n)), cost, a, np.concatenate(right), cones, settings
    ).solve()
    assert str(solution.status) in {"Solved", "AlmostSolved"}, solution.status
    return float(solution.obj_val)
