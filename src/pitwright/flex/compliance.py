"""How far the end of a bare path moves when it is pushed, and how much the pipe strains.

A wrench is (F, M) at a point, a movement (u, theta) of that point; world axes, SI:
movement = compliance x wrench, blocks [m/N, 1/N; 1/N, rad/(N·m)].
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from pitwright.flex.path import BarePath
from pitwright.flex.section import Beam
from pitwright.geometry.vector import Vec, across, add, cross, norm, scale, sub, unit

__all__ = ["Matrix6", "Place", "Station", "Vec6", "stations", "tip_compliance"]

Vec6 = tuple[float, float, float, float, float, float]
Matrix6 = tuple[Vec6, Vec6, Vec6, Vec6, Vec6, Vec6]

_SOIL_STEPS = 10


@dataclass(frozen=True, slots=True)
class Place:
    """A spot of a path: straight (0 carries the tip), metres of pipe from the tip, point [m]."""

    straight: int
    from_tip: float
    point: Vec
    in_soil: bool


@dataclass(frozen=True, slots=True)
class Station:
    """A spot where strain may peak; two rows (6) of strain per unit wrench [1/N and 1/(N·m)].

    The bending strain there is the length of (first·w, second·w).
    """

    place: Place
    first: Vec6
    second: Vec6

    def strain(self, wrench: Vec6) -> float:
        """The bending strain under a wrench (6) at the point the rows refer to. [-]"""
        a = b = 0.0
        for x, y, w in zip(self.first, self.second, wrench, strict=True):
            a += x * w
            b += y * w
        return math.hypot(a, b)


class _Sum:
    """Adds springs (uu, ut, tt at their own point) to one compliance at another point."""

    def __init__(self) -> None:
        self.c = [[0.0] * 6 for _ in range(6)]

    def add(
        self, e: Vec, r: Vec, uu: tuple[float, float], tt: tuple[float, float], ut: float
    ) -> None:
        """A spring about axis e, r [m] away from the point of interest.

        uu and tt are (along, across) the axis; ut couples theta = ut e x F, u = -ut e x M.
        Carried by the adjoint: K r-cross and its transpose.
        """
        c = self.c
        for j in range(3):
            force = (1.0 if j == 0 else 0.0, 1.0 if j == 1 else 0.0, 1.0 if j == 2 else 0.0)
            moment = cross(r, force)
            theta = _along_across(e, moment, tt)
            u = _along_across(e, force, uu)
            if ut:
                theta = add(theta, scale(cross(e, force), ut))
                u = add(u, scale(cross(e, moment), -ut))
            u = add(u, cross(theta, r))
            pure = _along_across(e, force, tt)  # a unit moment about axis j
            shift = cross(pure, r)
            if ut:
                shift = add(shift, scale(cross(e, force), -ut))
            for i in range(3):
                c[i][j] += u[i]
                c[3 + i][j] += theta[i]
                c[i][3 + j] += shift[i]
                c[3 + i][3 + j] += pure[i]


def _along_across(e: Vec, v: Vec, by: tuple[float, float]) -> Vec:
    """v scaled by by[0] along the axis e and by by[1] across it."""
    share = (e[0] * v[0] + e[1] * v[1] + e[2] * v[2]) * (by[0] - by[1])
    return (by[1] * v[0] + share * e[0], by[1] * v[1] + share * e[1], by[1] * v[2] + share * e[2])


def tip_compliance(path: BarePath, at: Vec | None = None) -> Matrix6:
    """The compliance (6, 6) of the end of a path, seen at a point [m] that moves with the tip.

    Rows (u, theta), columns (F, M), world axes; ``at`` is the tip when it is not given. Each
    straight is a spring at its own middle (L/EA along, L³/12EI across; L/GJ and L/EI in
    rotation), carried there by the adjoint. Soil adds the head of a semi-infinite beam on an
    elastic foundation. [m/N, 1/N, rad/(N·m)] Source: textbook mechanics.
    """
    q = path.tip if at is None else at
    beam, total = path.beam, _Sum()
    for a, b in pairwise(path.points):
        line = sub(b, a)
        size = norm(line)
        e = scale(line, 1.0 / size)
        middle = scale(add(a, b), 0.5)
        bending = size / beam.ei
        total.add(
            e,
            sub(q, middle),
            (size / beam.ea, bending * size * size / 12.0),
            (size / beam.gj, bending),
            0.0,
        )
    if path.soil is not None:
        k = path.soil
        per = _per_length(beam, k)
        head = (0.0, 2.0 * per / k), (0.0, 4.0 * per**3 / k), 2.0 * per * per / k
        total.add(_first_way(path), sub(q, path.points[0]), *head)
    c = total.c
    for i in range(6):
        for j in range(i):
            c[i][j] = c[j][i] = 0.5 * (c[i][j] + c[j][i])
    one, two, three, four, five, six = ((r[0], r[1], r[2], r[3], r[4], r[5]) for r in c)
    return (one, two, three, four, five, six)


def _first_way(path: BarePath) -> Vec:
    return unit(sub(path.points[1], path.points[0]))


def _per_length(beam: Beam, soil: float) -> float:
    """Beta of a beam on an elastic foundation, (k/4EI)^(1/4). [1/m]"""
    return float((soil / (4.0 * beam.ei)) ** 0.25)


def _station(beam: Beam, place: Place, e: Vec, lever: Vec, share: float, arm: float) -> Station:
    """Rows for the moment share (M + lever x F) + arm (e x F), its share along e left out."""
    rows = []
    by = beam.strain_per_moment
    for n in across(e):
        m = scale(n, by * share)
        f = add(cross(m, lever), scale(cross(n, e), by * arm))
        rows.append((f[0], f[1], f[2], m[0], m[1], m[2]))
    return Station(place, rows[0], rows[1])


def stations(path: BarePath, at: Vec | None = None) -> tuple[Station, ...]:
    """Every spot where the bending strain may peak under a wrench at ``at`` [m] (the tip).

    Moment runs straight along a straight, so both its ends suffice; inside yielding soil ten
    spots more, which miss the true peak by 0.7 % at most. [strain per N and N·m]
    Source: textbook mechanics; the soil's from the beam on an elastic foundation.
    """
    q = path.tip if at is None else at
    out: list[Station] = []
    run, last = 0.0, len(path.points) - 1
    for n, i in enumerate(range(last, 0, -1)):
        b, a = path.points[i], path.points[i - 1]
        line = sub(b, a)
        size = norm(line)
        e = scale(line, 1.0 / size)
        for point, far in ((b, run), (a, run + size)):
            out.append(_station(path.beam, Place(n, far, point, False), e, sub(q, point), 1.0, 0.0))
        run += size
    if path.soil is not None:
        out += _in_soil(path, q, run)
    return tuple(out)


def _in_soil(path: BarePath, q: Vec, run: float) -> list[Station]:
    """Stations below the soil's face: M(x) = exp(-bx) (M0 (cos + sin) + (sin/b) e x F)."""
    assert path.soil is not None
    e = _first_way(path)
    b = _per_length(path.beam, path.soil)
    face, out = path.points[0], []
    for i in range(1, _SOIL_STEPS + 1):
        bx = math.pi / 2.0 * i / _SOIL_STEPS
        fade, c, s = math.exp(-bx), math.cos(bx), math.sin(bx)
        x = bx / b
        place = Place(len(path.points) - 2, run + x, add(face, scale(e, -x)), True)
        out.append(_station(path.beam, place, e, sub(q, face), fade * (c + s), fade * s / b))
    return out
