"""The same convex problem by a conic library (Apache-2.0, dev-only)."""

from __future__ import annotations

import clarabel
import numpy as np
from scipy import sparse

from pitwright.closing.closing import RigidTrain, misfit
from pitwright.closing.ends import Ends, FlexEnd
from pitwright.flex.compliance import stations, tip_compliance
from pitwright.geometry.vector import across, cross, scale, sub

Array = np.ndarray[tuple[int, ...], np.dtype[np.float64]]


def _columns(ends: Ends, train: RigidTrain) -> tuple[list[Array], list[tuple[Array, float, float]]]:
    """Effects (6) at the closing point: pairs for each joint's disc; ranges."""
    discs, ranges = [], []
    for joint in train.joints:
        lever = sub(ends.at, joint.at)
        turns = [scale(a, joint.play) for a in across(joint.axis)]
        discs.append(np.array([[*cross(t, lever), *t] for t in turns]).T)
        ranges.append((np.array([*joint.axis, 0.0, 0.0, 0.0]), 0.0, joint.seat))
    for slide in train.slides:
        ranges.append((np.array([*slide.axis, 0.0, 0.0, 0.0]), slide.low, slide.high))
    return discs, ranges


def solver(ends: Ends, train: RigidTrain) -> clarabel.DefaultSolver:
    """Unknowns: wrench (6, torque about the axis 0), tilts, lengths, t; variables in this order.

    Written from the definition, not from our reduction: equilibrium stays an equation and the
    free roll about the axis an unknown.
    """
    discs, ranges = _columns(ends, train)
    n_x = 2 * len(discs) + len(ranges)
    n = 6 + n_x + 2  # and the roll, and t
    gap = np.array(misfit(train.end, train.way, ends.tip, ends.axis))
    flexible = [e for e in (ends.inlet, ends.outlet) if isinstance(e, FlexEnd)]
    rows, right, cones = [], [], []
    size = np.array([50.0, 50.0, 50.0, 5.0, 5.0, 5.0])  # newtons, newton metres
    c = np.zeros((6, 6))
    for end in flexible:
        c += np.array(tip_compliance(end.path, ends.at), dtype=float) * size
    roll = np.array([0.0, 0.0, 0.0, *ends.axis])
    effects = discs + [r[0][:, None] * max(r[2] - r[1], 0.0) for r in ranges]
    j = np.hstack(effects) if effects else np.zeros((6, 0))
    start = sum((r[0] * r[1] for r in ranges), np.zeros(6))
    rows.append(np.hstack([c, j, roll[:, None], np.zeros((6, 1))]))
    right.append(gap - start)
    rows.append(np.hstack([roll * size, np.zeros(n_x + 2)])[None, :])
    right.append(np.zeros(1))
    cones.append(clarabel.ZeroConeT(7))
    for end in flexible:
        for s in stations(end.path, ends.at):
            top = np.zeros((3, n))
            top[0, -1] = -1.0
            top[1:, :6] = np.array([s.first, s.second]) * size / end.strain
            rows.append(top)
            right.append(np.zeros(3))
            cones.append(clarabel.SecondOrderConeT(3))
    push = np.zeros((4, n))
    push[0, -1] = -1.0
    push[1:, :3] = np.diag(size[:3]) / ends.hands
    rows.append(push)
    right.append(np.zeros(4))
    cones.append(clarabel.SecondOrderConeT(4))
    for k in range(len(discs)):
        disc = np.zeros((3, n))
        disc[1, 6 + 2 * k] = disc[2, 7 + 2 * k] = -1.0
        rows.append(disc)
        right.append(np.array([1.0, 0.0, 0.0]))
        cones.append(clarabel.SecondOrderConeT(3))
    for k in range(len(ranges)):
        pair = np.zeros((2, n))
        pair[0, 6 + 2 * len(discs) + k], pair[1, 6 + 2 * len(discs) + k] = 1.0, -1.0
        rows.append(pair)
        right.append(np.array([1.0, 0.0]))
        cones.append(clarabel.NonnegativeConeT(2))
    cost = np.zeros(n)
    cost[-1] = 1.0
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    a = sparse.csc_matrix(np.vstack(rows))
    return clarabel.DefaultSolver(
        sparse.csc_matrix((n, n)), cost, a, np.concatenate(right), cones, settings
    )


def optimum(ends: Ends, train: RigidTrain) -> float:
    """The least worst ratio. [-]"""
    solution = solver(ends, train).solve()
    assert str(solution.status) in {"Solved", "AlmostSolved"}, solution.status
    return float(solution.obj_val)
