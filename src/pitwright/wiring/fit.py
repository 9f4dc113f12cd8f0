"""The best any fault can do: greatest likelihood over severity and position, no priors.

Faults whose best fit lies within :data:`EDGE` of the best one's are the set that the readings
cannot tell apart.

Source: greatest likelihood; the edge is judgement.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import exp, log

from pitwright.wiring.atoms import Atom, loop_of, part_short_atom
from pitwright.wiring.belief import Belief, Family, Model, fed, updater
from pitwright.wiring.evidence import EMPTY, State
from pitwright.wiring.measuring import Reading

__all__ = ["EDGE", "Fit", "best_fit", "fit_set", "fits"]

EDGE = 2.0
"""How far below the best fit a fault still counts as not told apart. [nat] Judgement."""
_GOLD = 0.6180339887498949
_STEPS = 12
_STARTS = 2
_CLOSE = 3.0
"""A second cell further behind the first is no other hump. [nat] Judgement."""


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


@dataclass(slots=True)
class _Ground:
    """What readings that do not reach a fault contribute, worked out once for each set of them."""

    now: Belief
    kept: dict[tuple[bool, ...], State]

    def under(self, fam: Family) -> tuple[State, tuple[Reading, ...]]:
        """The state after the readings that do not reach a family, and those that do."""
        made, readings = self.now.model, self.now.readings
        reached = tuple(fed(made.bench(r.test, reading=r), fam) for r in readings)
        if reached not in self.kept:
            quiet = [r for r, hit in zip(readings, reached, strict=True) if not hit]
            self.kept[reached] = _state(made, Atom(1.0), quiet, EMPTY)
        some = tuple(r for r, hit in zip(readings, reached, strict=True) if hit)
        return self.kept[reached], some


def _state(made: Model, atom: Atom, readings: Sequence[Reading], state: State) -> State:
    for reading in readings:
        b = made.bench(reading.test, atom.swap, reading)
        state = updater(made, reading)(b, atom, state)
    return state


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


def _shape(made: Model, fam: Family) -> tuple[Callable[[float, float], Atom], float] | None:
    """How to make a family's atom for any logarithm of severity, and a cell's width in it."""
    net, fault = made.net, fam.faults[0]
    marks = sorted({a.severity for a in fam.atoms if a.severity > 0.0})
    if len(marks) < 2:
        return None
    width = max(log(b / a) for a, b in pairwise(marks))
    if fault.kind == "series":
        edge = fam.atoms[0].series[0][0]
        return (lambda u, _: Atom(1.0, ((edge, exp(u), 0.0),), severity=exp(u))), width
    if fault.kind == "part-short":
        # a coil with nearly all its turns left is a sound coil: stop at the last cell's edge
        most = 1.5 * marks[-1] - 0.5 * marks[-2]
        return (lambda u, _: part_short_atom(net, fault.on, min(exp(u), most), 1.0, 0.0)), width
    return (
        lambda u, x: Atom(1.0, (), (loop_of(net, fault, x, exp(u)),), position=x, severity=exp(u))
    ), width


def best_fit(now: Belief, number: int, ground: _Ground | None = None) -> Fit:
    """The greatest likelihood one single fault can give the readings. [nat]

    Starts from the likeliest cells of family ``number`` and climbs in severity, each at its own
    position. A family that no reading reaches fits as a sound harness does.
    """
    made, fam, states = now.model, now.model.families[number], now.states[number]
    before, reaching = (ground or _Ground(now, {})).under(fam)

    def likelihood(atom: Atom) -> float:
        return _state(made, atom, reaching, before)[0]

    bare = [replace(a, spread=0.0, position_sd=0.0) for a in fam.atoms]
    shape = _shape(made, fam)
    if shape is None or len(states) == 1:
        some = bare if len(states) > 1 else bare[:1]
        value, index = max((likelihood(a), -i) for i, a in enumerate(some))
        atom = some[-index]
        return Fit(fam, value, atom.severity, atom.position)
    make, width = shape
    best = Fit(fam, -1e300, 0.0, 0.5)
    order = sorted(range(len(states)), key=lambda k: (-states[k][0], k))
    for k in order[:_STARTS]:
        if states[k][0] < states[order[0]][0] - _CLOSE:
            break
        position, u = bare[k].position, log(bare[k].severity)

        def at(v: float, x: float = position) -> float:
            return likelihood(make(v, x))

        value, top = _climb(at, u - 1.2 * width, u + 1.2 * width)
        value, top = max((value, top), (at(u), u))
        if value > best.log_likelihood:
            best = Fit(fam, value, make(top, position).severity, position)
    return best


def fits(now: Belief, numbers: Sequence[int]) -> tuple[Fit, ...]:
    """Best fits of the families called by their numbers, best first."""
    ground = _Ground(now, {})
    found = [best_fit(now, number, ground) for number in numbers]
    return tuple(sorted(found, key=lambda f: (-f.log_likelihood, f.family.faults)))


def fit_set(found: Sequence[Fit], edge: float = EDGE) -> tuple[Fit, ...]:
    """Fits within ``edge`` nats of the best: what these readings cannot tell apart."""
    top = max(f.log_likelihood for f in found)
    return tuple(f for f in found if f.log_likelihood >= top - edge)
