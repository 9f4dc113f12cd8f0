"""The chance that an uncertain misfit is one that old pipe, play and seats can take up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from operator import mul
from statistics import NormalDist

from pitwright.algebra import cholesky
from pitwright.errors import Malformed
from pitwright.geometry.vector import Vec, across, cross, dot, scale, sub
from pitwright.tolerance.causes import Six

__all__ = ["Bears", "Borne", "Five", "chance_borne", "five", "left_by", "sharing"]

Five = tuple[float, float, float, float, float]
_RAYS = 96
_SOFT = 25.0
"""Keeps a turn that nothing limits finite: a ratio of 1 at 0.2. [1/rad²]"""


@dataclass(frozen=True, slots=True)
class Bears:
    """What two stubs and a train's joints can take up, referred to one point ``at``. [m]

    Five coordinates: x, y, z, then two turns about the axes ``across`` the closing joint.
    ``sections`` (K, 15) are squared ratios of strain and push per misfit, upper half by rows;
    ``play`` [rad] and ``seat`` [m] are every joint's, ``slides`` (axis, low, high) what bodies
    that slide still give. [m]
    """

    at: Vec
    across: tuple[Vec, Vec]
    sections: tuple[tuple[float, ...], ...]
    play: float
    seat: float
    slides: tuple[tuple[Vec, float, float], ...] = ()


def five(effect: Six, pair: tuple[Vec, Vec]) -> Five:
    """A movement (6) without its turn about the closing axis (5). [m, rad] Source: arithmetic."""
    turn: Vec = (effect[3], effect[4], effect[5])
    return (effect[0], effect[1], effect[2], dot(turn, pair[0]), dot(turn, pair[1]))


def _square(m: Sequence[float]) -> list[list[float]]:
    if len(m) != 15:
        raise Malformed("section", m, "must have 15 numbers", "give the upper half by rows")
    out, k = [[0.0] * 5 for _ in range(5)], 0
    for i in range(5):
        for j in range(i, 5):
            out[i][j] = out[j][i] = m[k]
            k += 1
    return out


def _inverse(m: list[list[float]]) -> list[list[float]]:
    size = [1.0 / math.sqrt(m[i][i]) for i in range(5)]
    lower = cholesky.factor([[m[i][j] * size[i] * size[j] for j in range(5)] for i in range(5)])
    if lower is None:
        raise Malformed("sections", m, "must bear something each way", "give the hands' row too")
    inverse = cholesky.inverse(lower)
    return [[inverse[i][j] * size[i] * size[j] for j in range(5)] for i in range(5)]


@dataclass(frozen=True, slots=True)
class Borne:
    """A fixed, feasible rule of sharing a misfit: rows whose squares must stay under 1.

    ``forms`` are squared ratios (5, 5) of the misfit [1/m², 1/rad²], ``middle`` the misfit that
    lies in the middle of what seats and slides give (5). [m, rad] ``frame`` are three unit
    vectors of the closing joint's own: turning the pit turns them. ``stiff`` (5, 5) is what the
    shared misfit costs, all ways of giving together: least of it is how a dry train comes to lie.
    """

    forms: tuple[list[list[float]], ...]
    middle: Five
    frame: tuple[Vec, Vec, Vec]
    stiff: list[list[float]]


def sharing(bears: Bears, joints: Sequence[tuple[Vec, Vec]]) -> Borne:
    """Shares every misfit by least squares among pipe, play and seats. [-]

    ``joints`` are (where [m], axis). Whatever this rule closes can be closed; the best sharing
    may close more, so the chance errs low. Source: weighted least squares.
    """
    columns, middle = _give(bears, joints)
    kinds = [_square(m) for m in bears.sections]
    stiff = [[sum(m[i][j] for m in kinds) for j in range(5)] for i in range(5)]
    for i in range(5):
        stiff[i][i] = stiff[i][i] * (1.0 + 1e-9) + (_SOFT if i > 2 else 1e-3)
    soft = _inverse(stiff)
    whole = [
        [soft[i][j] + sum(c[i] * c[j] for g in columns for c in g) for j in range(5)]
        for i in range(5)
    ]
    back = _inverse(whole)
    through = _times(soft, back)
    forms = [_times(_transposed(through), _times(m, through)) for m in kinds]
    for group in columns:
        rows = [[sum(c[i] * back[i][j] for i in range(5)) for j in range(5)] for c in group]
        forms.append([[sum(r[i] * r[j] for r in rows) for j in range(5)] for i in range(5)])
    n, m = bears.across
    return Borne(tuple(forms), middle, (n, m, cross(n, m)), back)


def left_by(borne: Borne, free: Sequence[Five]) -> list[list[float]]:
    """What is left (5, 5) of any misfit once what is ``free`` is set to make the rest easiest.

    ``free`` are the movements, place and turn (5), of each length trimmed and each dry joint
    rolled: set after the misfit is seen, in proportion to it, without limits. [-] Source: weighted
    least squares, by Gram and Schmidt.
    """
    left = [[float(i == j) for j in range(5)] for i in range(5)]
    for movement in free:
        rest = [sum(map(mul, row, movement)) for row in left]
        cost = [sum(map(mul, row, rest)) for row in borne.stiff]
        size = sum(map(mul, cost, rest))
        if size <= 1e-9 * _cost(borne.stiff, movement):
            continue
        along = [sum(cost[k] * left[k][j] for k in range(5)) / size for j in range(5)]
        left = [[left[i][j] - rest[i] * along[j] for j in range(5)] for i in range(5)]
    return left


def _cost(stiff: list[list[float]], v: Sequence[float]) -> float:
    return math.fsum(x * sum(map(mul, row, v)) for x, row in zip(v, stiff, strict=True))


def _give(bears: Bears, joints: Sequence[tuple[Vec, Vec]]) -> tuple[list[list[Five]], Five]:
    """Columns of full play (two a joint), and of seats and slides along each axis (one)."""
    groups: list[list[Five]] = []
    ranges: list[tuple[Vec, float, float]] = []
    for at, axis in joints:
        if bears.play > 0.0:
            turns = [scale(t, bears.play) for t in across(axis)]
            lever = sub(bears.at, at)
            groups.append([five((*cross(t, lever), *t), bears.across) for t in turns])
        ranges.append((axis, 0.0, bears.seat))
    middle = [0.0] * 3
    merged: list[tuple[Vec, float]] = []
    for axis, low, high in (*ranges, *bears.slides):
        for i in range(3):
            middle[i] += 0.5 * (low + high) * axis[i]
        half = 0.5 * (high - low)
        for k, (known, size) in enumerate(merged):
            if abs(dot(known, axis)) > 1.0 - 1e-9:
                merged[k] = (known, size + half)
                break
        else:
            merged.append((axis, half))
    groups += [[(*scale(a, half), 0.0, 0.0)] for a, half in merged if half > 0.0]
    return groups, (middle[0], middle[1], middle[2], 0.0, 0.0)


def _times(a: list[list[float]], b: list[list[float]]) -> list[list[float]]:
    turned = _transposed(b)
    return [[sum(map(mul, r, c)) for c in turned] for r in a]


def _transposed(a: list[list[float]]) -> list[list[float]]:
    return [list(c) for c in zip(*a, strict=True)]


def chance_borne(borne: Borne, misfit: Five, covariance: list[list[float]]) -> float:
    """The chance that a normal misfit (mean (5), covariance (5, 5)) is shared within limits. [-]

    Along fixed rays both ways out of the mean, each exactly by the chi distribution of five:
    within about 0.015 of the rule's own value. Source: textbook probability.
    """
    mean = [m - c for m, c in zip(misfit, borne.middle, strict=True)]
    low = _own(covariance, borne.frame)
    bent = []
    for form in borne.forms:
        over = [sum(map(mul, row, mean)) for row in form]
        bent.append((_packed(form), over, sum(map(mul, over, mean)) - 1.0))
    total = sum(_ray([sum(map(mul, row, u)) for row in low], bent) for u in _rays())
    return total / (2 * _RAYS)


def _own(covariance: list[list[float]], frame: tuple[Vec, Vec, Vec]) -> list[list[float]]:
    """A root of a covariance (5, 5), factored in a frame of its own, so that it turns with it."""
    turn = [[*axis, 0.0, 0.0] for axis in frame]
    turn += [[0.0, 0.0, 0.0, 1.0, 0.0], [0.0, 0.0, 0.0, 0.0, 1.0]]
    return _times(_transposed(turn), _factor(_times(_times(turn, covariance), _transposed(turn))))


def _packed(form: list[list[float]]) -> list[float]:
    """The upper half by rows, what stands off the diagonal twice."""
    return [form[i][j] * (1.0 if i == j else 2.0) for i in range(5) for j in range(i, 5)]


def _ray(v: Sequence[float], bent: Sequence[tuple[list[float], list[float], float]]) -> float:
    """Both ways along one line: where every form stays under 1."""
    low, high = -12.0, 12.0
    p, q, r, s, t = v
    squares = (
        *(p * p, p * q, p * r, p * s, p * t, q * q, q * r, q * s, q * t),
        *(r * r, r * s, r * t, s * s, s * t, t * t),
    )
    for form, line, rest in bent:
        a = sum(map(mul, form, squares))
        if a <= 1e-14:
            if rest > 0.0:
                return 0.0
            continue
        b = line[0] * p + line[1] * q + line[2] * r + line[3] * s + line[4] * t
        inside = b * b - a * rest
        if inside <= 0.0:
            return 0.0
        half = math.sqrt(inside)
        low, high = max(low, (-b - half) / a), min(high, (half - b) / a)
        if low >= high:
            return 0.0
    return _upto(high) - _upto(low)


def _upto(t: float) -> float:
    """The chi distribution of five, odd about 0."""
    x = abs(t)
    part = math.sqrt(2.0 / math.pi) * math.exp(-0.5 * x * x) * (x + x * x * x / 3.0)
    return math.copysign(math.erf(x / math.sqrt(2.0)) - part, t)


def _factor(m: list[list[float]]) -> list[list[float]]:
    low = [[0.0] * 5 for _ in range(5)]
    for j in range(5):
        square = m[j][j] - sum(low[j][k] ** 2 for k in range(j))
        if square <= 1e-12 * m[j][j] or square <= 0.0:
            continue
        low[j][j] = math.sqrt(square)
        for i in range(j + 1, 5):
            low[i][j] = (m[i][j] - sum(low[i][k] * low[j][k] for k in range(j))) / low[j][j]
    return low


@cache
def _rays() -> tuple[Five, ...]:
    """Directions of five spread evenly: an additive lattice through the normal quantile."""
    root = 1.0
    for _ in range(60):  # root^6 = root + 1: the generalised golden ratio
        root = (1.0 + root) ** (1.0 / 6.0)
    quantile = NormalDist().inv_cdf
    out = []
    for n in range(_RAYS):
        v = [quantile((0.5 + (n + 1) / root ** (k + 1)) % 1.0) for k in range(5)]
        size = math.hypot(*v)
        out.append((v[0] / size, v[1] / size, v[2] / size, v[3] / size, v[4] / size))
    return tuple(out)
