"""The least worst of several lengths when what is left over may be shared out within limits.

minimise  max_k |A_k (xi - J x)|   over x in discs and ranges, in five dimensions.

Convex. Solved by a primal-dual interior path on the squared lengths, whose multipliers v_k are
weights that sum to 1 (Lawson's weights). Any such weights prove a lower bound, and any x an upper
one, so the two bounds hold whatever the path did on the way:

    lower = (l.xi - sum_j |J_j' l|) / sum_k v_k |A_k y|,   l = sum_k v_k A_k'A_k y,  y = xi - J x.

Matrices (5, 5) that are symmetric are tuples of 15: 00 01 02 03 04 11 12 13 14 22 23 24 33 34 44.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["Bounds", "Disc", "Five", "Packed", "minimax", "packed"]

Five = tuple[float, float, float, float, float]
Packed = tuple[float, ...]
Disc = tuple[Five, Five]
"""Two columns of J; their two shares lie in the unit disc. A range has an empty second column."""

_PULL, _PULL_BACK = 0.1, 0.3
_BEHIND = 0.03
_SHY = 0.95
_MOST_ROUNDS = 90
_TINY = 1e-300
_RIM = 1e-13
_CURL = 0.3
_KEPT = 0.5
_RISE = 1.02
_SHORTEST = 0.02


@dataclass(frozen=True, slots=True)
class Bounds:
    """lower <= least worst <= upper [-]; y (5) and shares (2 per disc) that reach upper; rounds."""

    upper: float
    lower: float
    y: Five
    shares: tuple[tuple[float, float], ...]
    rounds: int


def packed(rows: Sequence[Five]) -> Packed:
    """The sum of r r' over rows (k, 5), packed to 15. [square of the rows' unit]

    Source: arithmetic.
    """
    return tuple(sum(r[i] * r[j] for r in rows) for i in range(5) for j in range(i, 5))


def _times(m: Packed, y: Sequence[float]) -> Five:
    """A packed matrix times a vector (5)."""
    a, b, c, d, e, f, g, h, i, j, k, n, o, p, q = m
    s, t, u, v, w = y
    return (
        a * s + b * t + c * u + d * v + e * w,
        b * s + f * t + g * u + h * v + i * w,
        c * s + g * t + j * u + k * v + n * w,
        d * s + h * t + k * u + o * v + p * w,
        e * s + i * t + n * u + p * v + q * w,
    )


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    s, t, u, v, w = a
    x, y, z, p, q = b
    return s * x + t * y + u * z + v * p + w * q


def _blend(
    scale: Sequence[float],
    matrices: Sequence[Packed],
    outer: Sequence[float],
    vectors: Sequence[Five],
) -> list[float]:
    """sum scale_k M_k + outer_k x_k x_k', packed."""
    a = b = c = d = e = f = g = h = i = j = k = n = o = p = q = 0.0
    for s, m, r, x in zip(scale, matrices, outer, vectors, strict=True):
        t, u, v, w, z = x
        rt, ru, rv, rw = r * t, r * u, r * v, r * w
        m0, m1, m2, m3, m4, m5, m6, m7, m8, m9, ma, mb, mc, md, me = m
        a += s * m0 + rt * t
        b += s * m1 + rt * u
        c += s * m2 + rt * v
        d += s * m3 + rt * w
        e += s * m4 + rt * z
        f += s * m5 + ru * u
        g += s * m6 + ru * v
        h += s * m7 + ru * w
        i += s * m8 + ru * z
        j += s * m9 + rv * v
        k += s * ma + rv * w
        n += s * mb + rv * z
        o += s * mc + rw * w
        p += s * md + rw * z
        q += s * me + r * z * z
    return [a, b, c, d, e, f, g, h, i, j, k, n, o, p, q]


def _sum(by: Sequence[float], vectors: Sequence[Five]) -> Five:
    a = b = c = d = e = 0.0
    for s, (t, u, v, w, z) in zip(by, vectors, strict=True):
        a += s * t
        b += s * u
        c += s * v
        d += s * w
        e += s * z
    return (a, b, c, d, e)


def _solved(m: list[list[float]]) -> list[float] | None:
    """A system (5, 6) by elimination with pivots; None when it is singular."""
    for c in range(5):
        pivot = max(range(c, 5), key=lambda r: abs(m[r][c]))
        if m[pivot][c] == 0.0:
            return None
        m[c], m[pivot] = m[pivot], m[c]
        row = m[c]
        by = 1.0 / row[c]
        for r in range(c + 1, 5):
            other = m[r]
            share = other[c] * by
            if share:
                for k in range(c + 1, 6):
                    other[k] -= share * row[k]
    x = [0.0] * 5
    for r in range(4, -1, -1):
        row = m[r]
        total = row[5]
        for k in range(r + 1, 5):
            total -= row[k] * x[k]
        x[r] = total / row[r]
    return x


class _Path:
    """The state of one run: shares, slacks and multipliers, and the best bounds so far."""

    __slots__ = (
        "best",
        "discs",
        "eta",
        "lower",
        "ns",
        "own",
        "qs",
        "s",
        "sections",
        "sigma",
        "stride",
        "upper",
        "v",
        "w",
        "xi",
    )

    def __init__(self, sections: Sequence[Packed], xi: Five, discs: Sequence[Disc]) -> None:
        self.sections, self.xi, self.discs = sections, xi, discs
        self.own = [packed(d) for d in discs]
        self.eta = [(0.0, 0.0)] * len(discs)
        self.upper, self.lower = math.inf, 0.0
        self.best = (xi, tuple(self.eta))
        self._look()
        top = max(self.ns)
        self.s = 1.2 * top + _TINY
        self.sigma = [self.s - n for n in self.ns]
        raw = [1.0 / x for x in self.sigma]
        total = sum(raw)
        self.v = [x / total for x in raw]
        self.stride = 1.0
        self.w = [len(raw) / total / len(raw)] * len(discs)

    def _look(self) -> None:
        """Where the shares lead: y, its squared lengths, and the upper bound they are."""
        y0, y1, y2, y3, y4 = self.xi
        for (a, b), (one, two) in zip(self.eta, self.discs, strict=True):
            y0 -= one[0] * a + two[0] * b
            y1 -= one[1] * a + two[1] * b
            y2 -= one[2] * a + two[2] * b
            y3 -= one[3] * a + two[3] * b
            y4 -= one[4] * a + two[4] * b
        y = (y0, y1, y2, y3, y4)
        self.qs = [_times(m, y) for m in self.sections]
        self.ns = [max(0.0, _dot(q, y)) for q in self.qs]
        worst = math.sqrt(max(self.ns))
        if worst < self.upper:
            self.upper = worst
            self.best = (y, tuple(self.eta))

    def prove(self) -> None:
        """The lower bound that the present weights are."""
        line = _sum(self.v, self.qs)
        weight = sum(v * math.sqrt(n) for v, n in zip(self.v, self.ns, strict=True))
        reach = 0.0
        for a, b in self.discs:
            x, y = _dot(a, line), _dot(b, line)
            reach += math.sqrt(x * x + y * y)
        if weight > _TINY:
            self.lower = max(self.lower, (_dot(line, self.xi) - reach) / weight)

    def advance(self) -> bool:
        """One step along the path; False when it can go no farther."""
        deltas = [1.0 - a * a - b * b for a, b in self.eta]
        gap = sum(v * x for v, x in zip(self.v, self.sigma, strict=True))
        gap += sum(w * d for w, d in zip(self.w, deltas, strict=True))
        mean = gap / (len(self.v) + len(self.w))
        mu = (_PULL if self.stride > 0.5 else _PULL_BACK) * mean
        # a multiplier far behind the others pins its share to the rim: lift it
        least = _BEHIND * mean
        self.w = [max(w, least / d) for w, d in zip(self.w, deltas, strict=True)]
        self.v = [max(v, least / x) for v, x in zip(self.v, self.sigma, strict=True)]
        rates = [v / x for v, x in zip(self.v, self.sigma, strict=True)]
        aims = [mu / x for x in self.sigma]
        turn = self._turn(mu, deltas, rates, aims)
        if turn is None:
            return False
        p, level = turn
        return self._move(mu, deltas, rates, p, level, sum(aims), sum(rates))

    def _turn(
        self, mu: float, deltas: list[float], rates: list[float], aims: list[float]
    ) -> tuple[list[float], Five] | None:
        """The new dual line p (5), and the curve h (5) that ties the worst length to y."""
        e = sum(rates)
        h = _sum([2.0 * r for r in rates], self.qs)
        g = _sum([2.0 * a for a in aims], self.qs)
        lift = (1.0 - sum(aims)) / e
        big = _blend(
            [2.0 * v for v in self.v] + [0.0],
            [*self.sections, (0.0,) * 15],
            [4.0 * r for r in rates] + [-1.0 / e],
            [*self.qs, h],
        )
        k0 = [0.5 / w for w in self.w]
        k1 = [2.0 / (2.0 - d) for d in deltas]
        pulled = [_sum(eta, disc) for eta, disc in zip(self.eta, self.discs, strict=True)]
        give = _blend(k0, self.own, [-a * b for a, b in zip(k0, k1, strict=True)], pulled)
        c = _sum(
            [
                2.0 * mu * a * (1.0 - b * (1.0 - d)) / d
                for a, b, d in zip(k0, k1, deltas, strict=True)
            ],
            pulled,
        )
        p = _line(tuple(big), tuple(give), c, [x + lift * y for x, y in zip(g, h, strict=True)])
        return None if p is None else (p, h)

    def _move(
        self,
        mu: float,
        deltas: list[float],
        rates: list[float],
        p: list[float],
        h: Five,
        aimed: float,
        e: float,
    ) -> bool:
        step_p = step_d = 1.0
        turns: list[tuple[float, float]] = []
        dw: list[float] = []
        left: list[tuple[float, float]] = []
        a0 = a1 = a2 = a3 = a4 = 0.0
        for (one, two), (x, y), d, w in zip(self.discs, self.eta, deltas, self.w, strict=True):
            pull = 2.0 * mu / d
            r0, r1 = _dot(one, p) - pull * x, _dot(two, p) - pull * y
            k = 2.0 / (2.0 - d) * (x * r0 + y * r1)
            dx, dy = (r0 - k * x) / (2.0 * w), (r1 - k * y) / (2.0 * w)
            turns.append((dx, dy))
            square, along = dx * dx + dy * dy, x * dx + y * dy
            if square > _TINY:
                edge = _SHY * (math.sqrt(along * along + square * d) - along) / square
                bend = _CURL / math.sqrt(square)
                if along > 0.0:
                    bend = min(bend, _SHY * 0.5 * d / along)
                step_p = min(step_p, max(edge, bend))
            left.append((d, -2.0 * along))
            change = mu / d - w + 2.0 * w / d * along
            dw.append(change)
            if change < 0.0:
                step_d = min(step_d, -_SHY * w / change)
            a0 -= one[0] * dx + two[0] * dy
            a1 -= one[1] * dx + two[1] * dy
            a2 -= one[2] * dx + two[2] * dy
            a3 -= one[3] * dx + two[3] * dy
            a4 -= one[4] * dx + two[4] * dy
        move = (a0, a1, a2, a3, a4)
        ds = (_dot(h, move) - 1.0 + aimed) / e
        slack: list[float] = []
        dv: list[float] = []
        for q, v, x, r in zip(self.qs, self.v, self.sigma, rates, strict=True):
            change = ds - 2.0 * _dot(q, move)
            slack.append(change)
            if change < 0.0:
                step_p = min(step_p, -_SHY * x / change)
            change = mu / x - v - r * change
            dv.append(change)
            if change < 0.0:
                step_d = min(step_d, -_SHY * v / change)
        return self._step(step_p, step_d, turns, left, dw, ds, slack, dv)

    def _step(
        self,
        p: float,
        d: float,
        turns: list[tuple[float, float]],
        left: list[tuple[float, float]],
        dw: list[float],
        ds: float,
        slack: list[float],
        dv: list[float],
    ) -> bool:
        eta, s, sigma = self.eta, self.s, self.sigma
        while True:
            self.eta = [
                _inside(x + p * dx, y + p * dy, d0 + p * d1)
                for (x, y), (dx, dy), (d0, d1) in zip(eta, turns, left, strict=True)
            ]
            self._look()
            # where the step's curve lengthens a section more than planned, the worst gives way
            self.s = max(
                s + p * ds,
                *(n + _KEPT * (x + p * y) for n, x, y in zip(self.ns, sigma, slack, strict=True)),
            )
            if self.s <= _RISE * s or p < _SHORTEST:
                break
            p *= 0.5
        self.stride = p
        self.sigma = [self.s - n for n in self.ns]
        self.w = [w + d * x for w, x in zip(self.w, dw, strict=True)]
        self.v = [v + d * x for v, x in zip(self.v, dv, strict=True)]
        return max(p, d) > 1e-9


def _inside(x: float, y: float, gap: float) -> tuple[float, float]:
    """The same shares, drawn in where the step's curve took them nearer the rim than planned."""
    square, most = x * x + y * y, 1.0 - max(gap, _RIM)
    if square <= most or square < 0.25:
        return (x, y)
    by = math.sqrt(max(most, 0.25) / square)
    return (x * by, y * by)


def _line(big: Packed, give: Packed, c: Five, g: Sequence[float]) -> list[float] | None:
    """p with p = g + big (c - give p)."""
    rows = [_times(give, [1.0 if i == j else 0.0 for i in range(5)]) for j in range(5)]
    right = _times(big, c)
    system = [[0.0] * 6 for _ in range(5)]
    for j, row in enumerate(rows):
        for i, value in enumerate(_times(big, row)):
            system[i][j] = value
    for i in range(5):
        system[i][i] += 1.0
        system[i][5] = right[i] + g[i]
    return _solved(system)


def minimax(
    sections: Sequence[Packed],
    xi: Five,
    discs: Sequence[Disc],
    *,
    within: float = 0.02,
    nothing: float = 0.002,
    above: float = math.inf,
) -> Bounds:
    """Bounds on the least over shares x of the largest sqrt(y' M_k y), with y = xi - J x.

    sections M_k (K, 15) packed; xi (5); discs (n) of two columns (5) each. Stops when the bounds
    differ by no more than ``within`` of the lower one [-], when the upper one is no more than
    ``nothing`` [-], or when the lower one is above ``above`` [-]. What comes back is proved in
    every case, also when the rounds ran out first. Units cancel. [-]
    Source: interior path for convex quadratics, textbook; bounds by Lawson's weights.
    """
    live = [d for d in discs if any(d[0]) or any(d[1])]
    path = _Path(sections, xi, live)
    rounds = 0
    if not live:
        path.lower = path.upper
    while path.upper > nothing and rounds < _MOST_ROUNDS:
        if live:
            path.prove()
        if path.upper - path.lower <= within * path.lower or path.lower > above:
            break
        rounds += 1
        if not path.advance():
            break
    y, shares = path.best
    kept = iter(shares)
    all_shares = tuple(next(kept) if any(d[0]) or any(d[1]) else (0.0, 0.0) for d in discs)
    return Bounds(path.upper, min(path.lower, path.upper), y, all_shares, rounds)
