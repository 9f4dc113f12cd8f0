"""The spread the last joint needs: two stubs held apart by its push, then let together.

Each side is held by its own hands at the joint, so the two wrenches are free of each other; the
worst of all strain ratios and both force ratios is made least, with a bound from both sides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.algebra import cholesky
from pitwright.algebra.dense import inner, times
from pitwright.errors import OutOfRange
from pitwright.flex.compliance import Place, Vec6, stations, tip_compliance
from pitwright.flex.path import BarePath
from pitwright.geometry.vector import Vec, across

__all__ = ["Spread", "SpreadSide", "spread"]

_MOST_ROUNDS = 400
_TWIST = 0.05
"""Twist alone strains no fibre along the pipe; it counts a twentieth, so that nobody is asked for a
twist that no hand gives and that half a tenth of a millimetre of lever would upset."""
_LEAST_WEIGHT = 1e-12
_MOST_LEAST = 1e-4
"""Weights more even than this find no better bound. [-]"""
_CORRECTIONS = 8
_MISSED = 1e-4
"""The share of a movement that its wrenches may miss. [-]"""


@dataclass(frozen=True, slots=True)
class SpreadSide:
    """One side: its bare path, None when it cannot or must not move, and the strain it bears. [-]

    The strain is the momentary one: the joint is open for seconds.
    """

    path: BarePath | None
    strain: float


@dataclass(frozen=True, slots=True)
class Spread:
    """The least worst ratio lies between lower and upper [-]; upper is reached by what follows.

    ``inlet`` and ``outlet`` are the wrenches (F, M) that hands put on the two sides at the joint
    [N, N·m], zero on a side that cannot move; ``stub`` and ``peak`` say where strain is worst.
    """

    upper: float
    lower: float
    inlet: Vec6
    outlet: Vec6
    strain: float
    push: float
    stub: str | None
    peak: Place | None
    rounds: int

    @property
    def opens(self) -> bool:
        """Proved: within all limits."""
        return self.upper <= 1.0

    @property
    def cannot(self) -> bool:
        """Proved: beyond them, however it is held."""
        return self.lower > 1.0

    @property
    def governs(self) -> str:
        """ "strain" or "force", whichever is the worse."""
        return "strain" if self.strain >= self.push else "force"


class _Side:
    """One side's compliance and sections, each a few rows (6) that are 1 at their limit."""

    def __init__(self, name: str, path: BarePath, limit: float, hands: float, at: Vec) -> None:
        self.name, self.limit = name, limit
        self.compliance = tip_compliance(path, at)
        self.places = [s.place for s in stations(path, at)]
        self.sections: list[list[Vec6]] = [
            [_over(s.first, limit), _over(s.second, limit)] for s in stations(path, at)
        ]
        h = 1.0 / hands
        self.sections.append(
            [(h, 0.0, 0.0, 0.0, 0.0, 0.0), (0.0, h, 0.0, 0.0, 0.0, 0.0), (0, 0, h, 0, 0, 0)]
        )
        t = _TWIST * path.beam.strain_per_moment / limit
        self.sections.append([(0, 0, 0, t, 0, 0), (0, 0, 0, 0, t, 0), (0.0, 0.0, 0.0, 0.0, 0.0, t)])
        self.packed = [_squares(rows) for rows in self.sections]


def _over(row: Vec6, limit: float) -> Vec6:
    a, b, c, d, e, f = row
    return (a / limit, b / limit, c / limit, d / limit, e / limit, f / limit)


def _squares(rows: Sequence[Vec6]) -> list[float]:
    """The lower half of the sum of r r', row by row (21)."""
    return [sum(r[i] * r[j] for r in rows) for i in range(6) for j in range(i + 1)]


def _held(axis: Vec | None) -> list[list[float]]:
    """Rows (5 or 6, 6): what must come out right; the roll about ``axis`` need not."""
    rows = [[1.0 if i == j else 0.0 for j in range(6)] for i in range(3)]
    turns = [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)] if axis is None else across(axis)
    return rows + [[0.0, 0.0, 0.0, *turn] for turn in turns]


@dataclass(frozen=True, slots=True)
class _Round:
    """One set of weights worked through: ratios of all sections, wrenches, the proof's parts."""

    ratios: list[float]
    wrenches: list[list[float]]
    line: list[float]
    demand: list[float]


def _weighted(
    sides: Sequence[_Side],
    weights: list[float],
    rows: list[list[float]],
    demand: list[float],
    play: float,
) -> _Round | None:
    """The least weighted sum of squares that meets the demand; None when numbers run out."""
    given: list[list[list[float]]] = []  # for each side: H⁻¹ E' by rows of E
    grams = [[0.0] * len(rows) for _ in rows]
    start = 0
    for side in sides:
        count = len(side.packed)
        half = [0.0] * 21
        for w, square in zip(weights[start : start + count], side.packed, strict=True):
            half = [h + w * x for h, x in zip(half, square, strict=True)]
        start += count
        scaled = _solved(half, [times(side.compliance, row) for row in rows])
        if scaled is None:
            return None
        given.append(scaled)
        moves = [times(rows, times(side.compliance, column)) for column in scaled]
        for i, move in enumerate(moves):
            for j, value in enumerate(move):
                grams[i][j] += value
    inverse = _inverse(grams)
    if inverse is None:
        return None
    whole = _tilted(inverse, demand, play)
    met = _met(sides, rows, given, inverse, whole)
    if met is None:
        return None
    line, wrenches = met
    ratios = [
        math.hypot(*(inner(row, wrench) for row in section))
        for side, wrench in zip(sides, wrenches, strict=True)
        for section in side.sections
    ]
    return _Round(ratios, wrenches, line, whole)


def _met(
    sides: Sequence[_Side],
    rows: list[list[float]],
    given: list[list[list[float]]],
    inverse: list[list[float]],
    whole: list[float],
) -> tuple[list[float], list[list[float]]] | None:
    """The wrenches that really make the movement, corrected until they do; None where none do.

    Uneven weights leave few digits in the inverse: what is missed is asked for again.
    """
    line = [0.0] * len(whole)
    wrenches = [[0.0] * 6 for _ in sides]
    missing = whole
    for _ in range(_CORRECTIONS):
        line = [a + b for a, b in zip(line, times(inverse, missing), strict=True)]
        wrenches = [
            [
                sum(value * column[i] for value, column in zip(line, columns, strict=True))
                for i in range(6)
            ]
            for columns in given
        ]
        moved = [0.0] * len(whole)
        for side, wrench in zip(sides, wrenches, strict=True):
            move = times(rows, times(side.compliance, wrench))
            moved = [a + b for a, b in zip(moved, move, strict=True)]
        missing = [a - b for a, b in zip(whole, moved, strict=True)]
        if math.hypot(*missing) <= _MISSED * math.hypot(*whole):
            return line, wrenches
    return None


def _solved(half: list[float], right: list[list[float]]) -> list[list[float]] | None:
    """H⁻¹ b for each b (6), H by its lower half (21); scaled, since newtons are not N·m."""
    diagonal = [half[0], half[2], half[5], half[9], half[14], half[20]]
    scale = [1.0 / math.sqrt(d) for d in diagonal]
    k, rows = 0, []
    for i in range(6):
        rows.append([half[k + j] * scale[i] * scale[j] for j in range(i + 1)] + [0.0] * (5 - i))
        k += i + 1
    lower = cholesky.factor(rows)
    if lower is None:
        return None
    out = []
    for b in right:
        x = cholesky.solve(lower, [v * s for v, s in zip(b, scale, strict=True)])
        out.append([v * s for v, s in zip(x, scale, strict=True)])
    return out


def _inverse(grams: list[list[float]]) -> list[list[float]] | None:
    n = len(grams)
    scale = [1.0 / math.sqrt(grams[i][i]) for i in range(n)]
    lower = cholesky.factor(
        [[grams[i][j] * scale[i] * scale[j] for j in range(n)] for i in range(n)]
    )
    if lower is None:
        return None
    inverse = cholesky.inverse(lower)
    return [[inverse[i][j] * scale[i] * scale[j] for j in range(n)] for i in range(n)]


def _tilted(m: list[list[float]], demand: list[float], play: float) -> list[float]:
    """The demand with the tilt, no more than ``play`` [rad] to any side, that makes it cheapest."""
    if play <= 0.0:
        return demand
    pull = times(m, demand)
    a, b, c = m[3][3], m[3][4], m[4][4]

    def at(extra: float) -> tuple[float, float]:
        p, q = a + extra, c + extra
        det = p * q - b * b
        return (-(q * pull[3] - b * pull[4]) / det, -(p * pull[4] - b * pull[3]) / det)

    x, y = at(0.0)
    if math.hypot(x, y) > play:
        low, high = 0.0, math.hypot(pull[3], pull[4]) / play
        for _ in range(60):
            middle = 0.5 * (low + high)
            if math.hypot(*at(middle)) > play:
                low = middle
            else:
                high = middle
        x, y = at(high)
    return [*demand[:3], demand[3] + x, demand[4] + y, *demand[5:]]


def spread(
    inlet: SpreadSide,
    outlet: SpreadSide,
    at: Vec,
    opening: Vec,
    hands: float,
    *,
    roll_axis: Vec | None = None,
    play: float = 0.0,
    within: float = 0.02,
    above: float = math.inf,
) -> Spread:
    """The least worst ratio [-] at which two sides open by ``opening`` [m] at a joint ``at`` [m].

    ``opening`` is the way from the inlet's side to the outlet's: a joint's push along its axis, or
    the vector sum of two when both close in one push. ``hands`` [N] is what each side's hands
    give. Both sides keep pointing alike, but for ``play`` [rad] to any side; about ``roll_axis``
    (unit) they may roll. Sides that cannot move at all need an infinite push.
    The search ends as soon as the ratio is proved to be ``above`` so much [-]. Raises OutOfRange
    for limits that are not positive. Source: design study; bounds by Lawson's weights.
    """
    if not 0.0 < hands < math.inf:
        raise OutOfRange("hand force", hands, "above 0", "any", "give it in newtons")
    sides = []
    for name, side in (("inlet", inlet), ("outlet", outlet)):
        if side.path is not None:
            if not 0.0 < side.strain < 1.0:
                raise OutOfRange(
                    f"{name} strain limit", side.strain, "above 0", 1.0, "drop its path"
                )
            sides.append(_Side(name, side.path, side.strain, hands, at))
    size = math.hypot(*opening)
    if size == 0.0 or not sides:
        ratio = 0.0 if size == 0.0 else math.inf
        return Spread(ratio, ratio, _ZERO, _ZERO, 0.0, ratio, None, None, 0)
    rows = _held(roll_axis)
    demand = [*opening, *([0.0] * (len(rows) - 3))]
    tilt = play if roll_axis is not None else 0.0
    return _search(sides, rows, demand, tilt, within, above)


_ZERO: Vec6 = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def _search(
    sides: list[_Side],
    rows: list[list[float]],
    demand: list[float],
    play: float,
    within: float,
    above: float,
) -> Spread:
    """Weights moved to where the ratios are, until both bounds meet."""
    count = sum(len(s.sections) for s in sides)
    weights = [1.0 / count] * count
    upper, lower, best = math.inf, 0.0, None
    rounds, least = 0, _LEAST_WEIGHT
    while rounds < _MOST_ROUNDS:
        rounds += 1
        now = _weighted(sides, weights, rows, demand, play)
        if now is None:
            least *= 100.0
            if least > _MOST_LEAST:
                break
            weights = _floored(weights, least)
            continue
        worst = max(now.ratios)
        if worst < upper:
            upper, best = worst, now
        proof = inner(now.line, demand) - play * math.hypot(now.line[3], now.line[4])
        lower = max(lower, proof / sum(w * r for w, r in zip(weights, now.ratios, strict=True)))
        if upper - lower <= within * lower or lower > above:
            break
        moved = [w * r / worst for w, r in zip(weights, now.ratios, strict=True)]
        weights = _floored(moved, least)
    if best is None:  # nothing is proved of numbers that run out
        return Spread(math.inf, 0.0, _ZERO, _ZERO, 0.0, math.inf, None, None, rounds)
    return _told(sides, best, upper, min(lower, upper), rounds)


def _floored(raw: Sequence[float], least: float) -> list[float]:
    """Weights that sum to one, none less than about ``least``. [-]"""
    held = [max(w, least) for w in raw]
    total = sum(held)
    return [w / total for w in held]


def _told(sides: list[_Side], best: _Round, upper: float, lower: float, rounds: int) -> Spread:
    wrenches = {"inlet": _ZERO, "outlet": _ZERO}
    strain, push, stub, peak, start = -1.0, 0.0, None, None, 0
    for side, wrench in zip(sides, best.wrenches, strict=True):
        sign = -1.0 if side.name == "inlet" else 1.0
        a, b, c, d, e, f = (sign * w for w in wrench)
        wrenches[side.name] = (a, b, c, d, e, f)
        for k, place in enumerate(side.places):
            here = best.ratios[start + k]
            if here > strain * (1.0 + 1e-12):
                strain, stub, peak = here, side.name, place
        push = max(push, best.ratios[start + len(side.places)])
        start += len(side.sections)
    return Spread(
        upper, lower, wrenches["inlet"], wrenches["outlet"], strain, push, stub, peak, rounds
    )
