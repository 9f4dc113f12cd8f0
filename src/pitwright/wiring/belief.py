"""What the readings say: every hypothesis weighed, and summed up by place.

``belief`` is a function of harness, readings and priors alone: readings are folded in the order
given, and an edited reading means folding again from the start.

Source: the rules of probability; the weights are judgement.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from math import exp, log

from pitwright.survey.harness import Harness
from pitwright.wiring.atoms import Atom, Grid, atoms_of
from pitwright.wiring.evidence import (
    DROPPED,
    EMPTY,
    HOPELESS,
    State,
    learn,
    learn_moves,
    moves_log,
)
from pitwright.wiring.faults import Fault, Place, place_of, single_faults, weight_kind
from pitwright.wiring.impedance import Bench, bench, point_depth, point_rise, shared_depth
from pitwright.wiring.measuring import MeterTest, Reading
from pitwright.wiring.network import OPEN_OHM, Network, network
from pitwright.wiring.predict import moving, predict
from pitwright.wiring.tables import type_weights

__all__ = ["Belief", "Family", "Model", "Priors", "model", "start"]


@dataclass(frozen=True, slots=True)
class Priors:
    """Weights before any reading, by kind [-], and the grid of cells. Judgement."""

    weights: tuple[tuple[str, float], ...] = ()
    grid: Grid = field(default_factory=Grid)

    def weight(self, kind: str) -> float:
        """Weight of a kind of fault. [-]"""
        return dict(self.weights).get(kind, type_weights().get(kind, 0.0))


@dataclass(slots=True)
class Family:
    """One hypothesis: its faults, the place of the first, log prior, cells and log shares. [nat]"""

    faults: tuple[Fault, ...]
    place: Place
    log_prior: float
    atoms: tuple[Atom, ...]
    log_shares: tuple[float, ...]


@dataclass(slots=True)
class Model:
    """A harness laid out as a tree with every hypothesis spelt out. Made once a harness.

    ``pull``: pull-in volts of each station's coil and their one sigma. [V]
    """

    harness: Harness
    net: Network
    families: tuple[Family, ...]
    pull: tuple[tuple[float, float], ...]
    benches: dict[tuple[MeterTest, tuple[str, str]], Bench] = field(default_factory=dict)
    kept: dict[tuple[Reading, ...], Belief] = field(default_factory=dict)
    """Beliefs already worked out, by their readings."""

    def bench(
        self, test: MeterTest, swap: tuple[str, str] = ("", ""), reading: Reading | None = None
    ) -> Bench:
        """A test laid out once and kept; a reading with its own meter gets its own."""
        if reading is not None and (reading.rel or reading.fixed or reading.limit):
            return bench(self.net, test, swap, reading)
        known = self.benches.get((test, swap))
        if known is None:
            known = self.benches[test, swap] = bench(self.net, test, swap)
        return known

    def number(self, station: str) -> int:
        """A station's number; raises UnknownName."""
        return self.harness.stations.index(self.harness.station(station))


def family(
    net: Network, faults: tuple[Fault, ...], log_prior: float, atoms: tuple[Atom, ...]
) -> Family:
    """A hypothesis with its cells and log prior. [nat]"""
    return Family(faults, place_of(faults[0]), log_prior, atoms, tuple(log(a.share) for a in atoms))


def model(
    harness: Harness, priors: Priors | None = None, factors: dict[Fault, float] | None = None
) -> Model:
    """Every single fault with its prior. ``factors`` (clues) multiply, capped at 50. [-]"""
    priors = priors or Priors()
    net = network(harness)
    found = []
    total = 0.0
    for fault, share in single_faults(harness):
        weight = priors.weight(weight_kind(fault)) * share
        weight *= min((factors or {}).get(fault, 1.0), 50.0)
        if weight > 0.0:
            total += weight
            found.append((fault, weight))
    families = tuple(
        family(net, (fault,), log(weight / total), atoms_of(net, fault, priors.grid))
        for fault, weight in found
    )
    pull = tuple((s.coil.pull_in, s.coil.pull_in_sd) for s in harness.stations)
    return Model(harness, net, families, pull)


@dataclass(frozen=True, slots=True)
class Belief:
    """A model and, for each family, the state of each of its cells (one for all while alike).

    ``pruned``: cells hopelessly behind were dropped on the way.
    """

    model: Model
    readings: tuple[Reading, ...]
    states: tuple[tuple[State, ...], ...]
    pruned: bool = True

    def log_weights(self) -> list[float]:
        """Unnormalised log probability of each family. [nat]"""
        found = []
        for fam, states in zip(self.model.families, self.states, strict=True):
            if len(states) == 1:
                found.append(fam.log_prior + states[0][0])
            else:
                found.append(
                    fam.log_prior
                    + _log_sum([s[0] + w for s, w in zip(states, fam.log_shares, strict=True)])
                )
        return found

    def probabilities(self) -> list[float]:
        """Probability of each family; they sum to one. [-]"""
        logs = self.log_weights()
        top = max(logs)
        weights = [exp(x - top) for x in logs]
        total = sum(weights)
        return [w / total for w in weights]

    def evidence(self) -> list[float]:
        """Log evidence of each family without its prior. [nat]"""
        return [
            w - f.log_prior for w, f in zip(self.log_weights(), self.model.families, strict=True)
        ]

    def places(self) -> dict[Place, float]:
        """Probability that each place is faulty; a pair counts in both of its places."""
        found: dict[Place, float] = {}
        for fam, p in zip(self.model.families, self.probabilities(), strict=True):
            for place in {place_of(f) for f in fam.faults}:
                found[place] = found.get(place, 0.0) + p
        return found

    def after(self, reading: Reading) -> Belief:
        """The belief once ``reading`` is taken in."""
        floor = -1e18
        if self.pruned:
            floor = max(self.log_weights()) - HOPELESS
        states = _take_in(self.model, self.states, reading, floor)
        return Belief(self.model, (*self.readings, reading), states, self.pruned)


def start(made: Model, readings: Iterable[Reading] = (), pruned: bool = True) -> Belief:
    """The belief after ``readings``, folded in their order."""
    now = Belief(made, (), tuple((EMPTY,) for _ in made.families), pruned)
    for reading in readings:
        now = now.after(reading)
    return now


def _log_sum(logs: Sequence[float]) -> float:
    top = max(logs)
    return top + log(sum([exp(x - top) for x in logs]))


def _take_in(
    made: Model, states: tuple[tuple[State, ...], ...], reading: Reading, floor: float
) -> tuple[tuple[State, ...], ...]:
    base = made.bench(reading.test, reading=reading)
    update = updater(made, reading)
    sound = Atom(1.0)
    known: dict[int, State] = {}

    def untouched(old: State) -> State:
        new = known.get(id(old))
        if new is None:
            new = known[id(old)] = update(base, sound, old)
        return new

    found: list[tuple[State, ...]] = []
    for fam, old in zip(made.families, states, strict=True):
        if not fed(base, fam):
            found.append(
                tuple(untouched(s) if s is not DROPPED else s for s in old)
                if len(old) > 1
                else (untouched(old[0]),)
            )
            continue
        swap = fam.atoms[0].swap
        b = made.bench(reading.test, swap, reading) if swap[0] else base
        if len(old) == 1:
            found.append(tuple(update(b, atom, old[0]) for atom in fam.atoms))
        else:
            least = floor - fam.log_prior
            found.append(
                tuple(
                    update(b, a, s) if s[0] + w > least else DROPPED
                    for a, s, w in zip(fam.atoms, old, fam.log_shares, strict=True)
                )
            )
    return tuple(found)


def updater(made: Model, reading: Reading) -> Callable[[Bench, Atom, State], State]:
    """How one reading changes a cell's state, given the test as laid out for that cell."""
    value = reading.value
    if isinstance(value, frozenset):
        moved = frozenset(made.number(s) for s in value)

        def watched(b: Bench, atom: Atom, old: State) -> State:
            return learn_moves(old, moves_log(moving(b, atom), moved, made.pull))

        return watched
    shown: float | str = value
    near = None if isinstance(shown, str) else shown

    def read(b: Bench, atom: Atom, old: State) -> State:
        return learn(old, predict(b, atom, near), shown)

    return read


TOUCH = {"ohms": 2e-3, "parted": 2e-3, "joined": 2e-3, "transfer": 2e-5, "insulation": 1e3}
"""Least change of a reading that is worth working out, by test. [Ω]"""


def fed(b: Bench, fam: Family) -> bool:
    """Whether a test's current reaches a family's fault at all; if not it reads as if sound."""
    atom = fam.atoms[0]
    if atom.swap[0]:
        names = {b.test.a, b.test.b, *b.test.sense}
        return b.kind != "coil" and (atom.swap[0] in names or atom.swap[1] in names)
    path = b.vp.plus | b.vp.minus | b.vq.plus | b.vq.minus
    for edge, ohm, _ in atom.series:
        reached = path >> edge & 1 and (atom.loops or not b.vp.held >> edge & 1)
        if reached and (b.kind != "capacitance" or ohm > OPEN_OHM / 10):
            return True
    if not atom.loops:
        return False
    if b.kind in ("capacitance", "coil"):
        return b.kind == "capacitance" and len(atom.series) > 0
    return any(_couples(b, fam.atoms[k]) for k in (0, len(fam.atoms) // 2, -1))


def _couples(b: Bench, atom: Atom) -> bool:
    if len(atom.loops) > 1:
        # two loops may close a path that neither closes alone
        return True
    loop = atom.loops[0]
    rise = b.vp.rise
    kp = abs(point_rise(rise, loop.x) - point_rise(rise, loop.y))
    if b.two:
        rise = b.vq.rise
        kq = abs(point_rise(rise, loop.x) - point_rise(rise, loop.y))
    else:
        kq = kp
    if kp < 1e-9 and kq < 1e-9:
        return False
    own = abs(point_rise_own(b, atom)) + loop.ohm
    return max(kp * kq, kp * kp * 1e-2) / own > TOUCH.get(b.kind, 1e-3)


def point_rise_own(b: Bench, atom: Atom) -> float | complex:
    """K of the atom's first loop with itself, its own ohms left out. [Ω]"""
    x, y = atom.loops[0].x, atom.loops[0].y
    depth = b.vp.depth
    return point_depth(depth, x) + point_depth(depth, y) - 2 * shared_depth(b.net, depth, x, y)
