"""Old pipe as a space frame, by the direct stiffness method. Newtons, metres, radians.

Straight members of bare pipe from the soil, where they are clamped, to the tip; corners stiff.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
MODULUS = 400_000 * 6894.757
"""Of PVC at 73 °F: an engineering page on pipe loops."""
POISSON = 0.38


@dataclass(frozen=True)
class Tube:
    """A pipe's section."""

    od: float
    wall: float

    @property
    def area(self) -> float:
        return float(np.pi / 4 * (self.od**2 - (self.od - 2 * self.wall) ** 2))

    @property
    def second(self) -> float:
        return float(np.pi / 64 * (self.od**4 - (self.od - 2 * self.wall) ** 4))


def member(tube: Tube, length: float, modulus: float = MODULUS) -> Floats:
    """Stiffness (12, 12) of one member along its own x axis, nodes one after the other."""
    ei, ea = modulus * tube.second, modulus * tube.area
    gj = modulus / (2 * (1 + POISSON)) * 2 * tube.second
    k = np.zeros((12, 12))
    for a, b, s in ((0, 6, ea / length), (3, 9, gj / length)):
        k[a, a] = k[b, b] = s
        k[a, b] = k[b, a] = -s
    for v, t, sign in ((1, 5, 1.0), (2, 4, -1.0)):
        w, u = v + 6, t + 6
        shear, cross = 12 * ei / length**3, sign * 6 * ei / length**2
        k[np.ix_((v, w), (v, w))] += shear * np.array([[1, -1], [-1, 1]])
        k[np.ix_((t, u), (t, u))] += ei / length * np.array([[4, 2], [2, 4]])
        for i, j, c in ((v, t, cross), (v, u, cross), (w, t, -cross), (w, u, -cross)):
            k[i, j] += c
            k[j, i] += c
    return k


def axes(along: Floats) -> Floats:
    """Rows: a member's own axes."""
    other = np.eye(3)[int(np.argmin(np.abs(along)))]
    y = np.cross(other, along)
    y /= np.linalg.norm(y)
    return np.array([along, y, np.cross(along, y)])


@dataclass(frozen=True)
class Answer:
    """``tip`` (6, 6): movement of the tip per force and moment there. ``moments`` (K, 2, 6): the
    bending moment at both ends of every member per force and moment at the tip."""

    tip: Floats
    moments: Floats


def frame(path: Sequence[tuple[Sequence[float], float]], tube: Tube) -> Answer:
    """The frame of a path given from the soil to the tip: unit directions and lengths."""
    n = len(path)
    whole = np.zeros((6 * n + 6, 6 * n + 6))
    parts = []
    for i, (way, length) in enumerate(path):
        turn = np.kron(np.eye(4), axes(np.asarray(way, dtype=float)))
        local = member(tube, length)
        at = slice(6 * i, 6 * i + 12)
        whole[at, at] += turn.T @ local @ turn
        parts.append((at, local @ turn))
    loads = np.zeros((6 * n, 6))
    loads[-6:] = np.eye(6)
    moved = np.zeros((6 * n + 6, 6))
    moved[6:] = np.linalg.solve(whole[6:, 6:], loads)
    bending = []
    for at, local in parts:
        ends = local @ moved[at]
        bending += [ends[4:6], ends[10:12]]
    return Answer(moved[-6:], np.array(bending))
