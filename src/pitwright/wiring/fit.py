"""The best any fault can do: greatest likelihood over severity and position, no priors.

Faults whose best fit lies within :data:`EDGE` of the best one's are the set that the readings
cannot tell apart.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import exp, log

from pitwright.wiring.atoms import Atom, Grid, loop_of, part_short_atom
from pitwright.wiring.belief import Family, Model, _updater, fed
from pitwright.wiring.evidence import EMPTY, State
from pitwright.wiring.measuring import Reading

__all__ = ["EDGE", "Fit", "best_fit", "fit_set", "fits"]

EDGE = 2.0
"""How far below the best fit a fault still counts as not told apart. [nat] Judgement."""
_GOLD = 0.6180339887498949
_STEPS = 26


@dataclass(frozen=True, slots=True)
class Fit:
    """A hypothesis' best likelihood [nat] and where it is reached.

    ``severity`` in ohms, or the share of a coil that is left; ``position`` the share of the
    segment from the controller's side.
    """

    family: Family
    log_likelihood: float
    severity: float
    position: float


def _likelihood(made: Model, atom: Atom, readings: Sequence[Reading]) -> float:
    state: State = EMPTY
    for reading in readings:
        b = made.bench(reading.test, atom.swap, reading)
        state = _updater(made, reading)(b, atom, state)
    return state[0]


def _climb(f: Callable[[float], float], low: float, high: float) -> tuple[float, float]:
    """Greatest value of a one-humped function between ``low`` and ``high``, and where."""
    a, d = low, high
    b, c = d - _GOLD * (d - a), a + _GOLD * (d - a)
    fb, fc = f(b), f(c)
    for _ in range(_STEPS):
        if fb >= fc:
            d, c, fc = c, b, fb
            b = d - _GOLD * (d - a)
            fb = f(b)
        else:
            a, b, fb = b, c, fc
            c = a + _GOLD * (d - a)
            fc = f(c)
    return max((fb, b), (fc, c))


def _shape(
    made: Model, fam: Family, grid: Grid
) -> tuple[Callable[[float, float], Atom], float, float] | None:
    """How to make a family's atom for any logarithm of severity, and between which limits."""
    net, fault = made.net, fam.faults[0]
    if fault.kind == "series":
        edge = fam.atoms[0].series[0][0]
        return (
            lambda u, _: Atom(1.0, ((edge, exp(u), 0.0),), severity=exp(u)),
            log(grid.series[0] / 2),
            log(grid.series[1] * 2),
        )
    if fault.kind in ("leak", "earth"):
        low, high, _ = grid.earth if fault.kind == "earth" else grid.leak
        return (
            lambda u, x: Atom(
                1.0, (), (loop_of(net, fault, x, exp(u)),), position=x, severity=exp(u)
            ),
            log(low / 2),
            log(high * 2),
        )
    if fault.kind == "part-short":
        return (
            lambda u, _: part_short_atom(net, fault.on, exp(u), 1.0, 0.0),
            log(grid.coil[0]),
            log(grid.coil[-1]),
        )
    return None


def best_fit(made: Model, fam: Family, readings: Sequence[Reading], grid: Grid) -> Fit:
    """The greatest likelihood one single fault can give ``readings``. [nat]"""
    bare = [replace(a, spread=0.0, position_sd=0.0) for a in fam.atoms]
    shape = _shape(made, fam, grid) if len(fam.faults) == 1 else None
    if shape is None or not any(fed(made.bench(r.test, reading=r), fam) for r in readings):
        found = max(
            ((_likelihood(made, a, readings), i) for i, a in enumerate(bare)), key=lambda t: t[0]
        )
        atom = bare[found[1]]
        return Fit(fam, found[0], atom.severity, atom.position)
    make, low, high = shape
    best = Fit(fam, -1e300, 0.0, 0.5)
    count = 24
    for position in sorted({a.position for a in bare}):

        def at(u: float, x: float = position) -> float:
            return _likelihood(made, make(u, x), readings)

        marks = [low + (high - low) * k / count for k in range(count + 1)]
        values = [at(u) for u in marks]
        peak = values.index(max(values))
        value, u = _climb(at, marks[max(peak - 1, 0)], marks[min(peak + 1, count)])
        value, u = max((value, u), (values[peak], marks[peak]))
        if value > best.log_likelihood:
            best = Fit(fam, value, make(u, position).severity, position)
    return best


def fits(
    made: Model, readings: Sequence[Reading], families: Sequence[Family], grid: Grid | None = None
) -> tuple[Fit, ...]:
    """Best fits of ``families``, best first."""
    found = [best_fit(made, fam, readings, grid or Grid()) for fam in families]
    return tuple(sorted(found, key=lambda f: (-f.log_likelihood, f.family.faults)))


def fit_set(found: Sequence[Fit], edge: float = EDGE) -> tuple[Fit, ...]:
    """Fits within ``edge`` nats of the best: what these readings cannot tell apart."""
    top = max(f.log_likelihood for f in found)
    return tuple(f for f in found if f.log_likelihood >= top - edge)
