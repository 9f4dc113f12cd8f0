"""Which test next: candidates worth considering, and the outcomes each hypothesis gives them.

Source: information theory; the numbers of candidates are judgement.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from functools import partial
from math import exp, log, sqrt

from pitwright.inference.choice import Offer, Worth, worth_of
from pitwright.wiring.atoms import Atom
from pitwright.wiring.belief import Belief, Family, fed
from pitwright.wiring.evidence import State, chance_to_move, expected
from pitwright.wiring.faults import Place
from pitwright.wiring.impedance import Bench
from pitwright.wiring.measuring import EARTH, MeterTest, Site
from pitwright.wiring.predict import moving, predict

__all__ = ["MOST_ATOMS", "Sample", "candidates", "next_tests", "sample"]

MOST_ATOMS = 160
"""Hypotheses looked at when a test is weighed. Judgement: more changes nothing that matters."""
_CELL = 0.8
"""Width of an outcome's bin, in the narrower predictions' own sigma."""


@dataclass(frozen=True, slots=True)
class Sample:
    """The likeliest cells of the likeliest hypotheses: weight [-], family, atom, state of each."""

    weights: tuple[float, ...]
    families: tuple[Family, ...]
    atoms: tuple[Atom, ...]
    states: tuple[State, ...]

    @property
    def places(self) -> tuple[Place, ...]:
        """The place of each cell."""
        return tuple(f.place for f in self.families)


def sample(now: Belief, most: int = MOST_ATOMS) -> Sample:
    """The ``most`` likeliest cells; cells that no reading has told apart are one."""
    found: list[tuple[float, int, int]] = []
    logs = now.log_weights()
    top = max(logs)
    for number, (fam, states, whole) in enumerate(
        zip(now.model.families, now.states, logs, strict=True)
    ):
        if whole < top - 12.0:
            continue
        if len(states) == 1:
            # not told apart yet: spread over a few cells, for the next test may
            step = max(len(fam.atoms) // 6, 1)
            some = range(step // 2, len(fam.atoms), step)
            share = sum(fam.atoms[k].share for k in some)
            found += [(whole + log(fam.atoms[k].share / share), number, k) for k in some]
        else:
            found += [
                (fam.log_prior + fam.log_shares[k] + s[0], number, k) for k, s in enumerate(states)
            ]
    found.sort(key=lambda t: (-t[0], t[1], t[2]))
    del found[most:]
    families = now.model.families
    return Sample(
        tuple(exp(w - top) for w, _, _ in found),
        tuple(families[n] for _, n, _ in found),
        tuple(families[n].atoms[k] for _, n, k in found),
        tuple(now.states[n][k if len(now.states[n]) > 1 else 0] for _, n, k in found),
    )


def suspects(now: Belief, most: int) -> list[str]:
    """Stations by how likely a fault touches them, likeliest first."""
    harness = now.model.harness
    score = {s.id: 0.0 for s in harness.stations}
    for place, p in now.places().items():
        for name in (place.on, place.other):
            if name in score:
                score[name] += p
        if place.kind == "wire" and place.on not in score:
            # a common's stretch shows at the stations beyond it, and just before it
            beyond = [s for s in harness.stations if place.segment in harness.route(s.box)]
            for station in beyond:
                score[station.id] += p / len(beyond)
    return sorted(score, key=lambda s: -score[s])


def candidates(now: Belief, most: int = 6) -> tuple[MeterTest, ...]:
    """Tests worth weighing: those that touch the most suspected stations."""
    harness = now.model.harness
    likely = suspects(now, most)[: max(most, 1)]
    few, three = likely[:4], likely[:3]
    found: list[MeterTest] = [MeterTest("ohms", s) for s in likely]
    found += [MeterTest("ohms", a, b) for i, a in enumerate(likely[:5]) for b in likely[i + 1 : 6]]
    found += [MeterTest("capacitance", s) for s in few]
    found += [MeterTest(kind, s) for s in three for kind in ("volts", "amps", "moves")]
    found += [MeterTest("insulation", c.id) for c in harness.commons]
    for a in few:
        common = harness.station(a).common
        found += [
            MeterTest("transfer", a, common, sense=(EARTH, common)),
            MeterTest("transfer", a, common, sense=(a, EARTH)),
        ]
        found += [
            MeterTest("transfer", a, common, sense=(b, common))
            for b in few
            if b != a and harness.station(b).common == common
        ]
    for a in three:
        found += [
            MeterTest(kind, a) for kind in ("coil", "parted", "joined", "volts-coil", "volts-wires")
        ]
        found += [MeterTest("insulation", a)]
        found += [MeterTest("volts-box", a, box=b) for b in harness.route(harness.station(a).box)]
    made = {r.test for r in now.readings}
    return tuple(dict.fromkeys(t for t in found if t not in made))


def next_tests(
    now: Belief, site: Site, keep: int = 3, among: tuple[MeterTest, ...] = ()
) -> tuple[Worth[MeterTest], ...]:
    """The ``keep`` tests that tell most about the place per minute, best first. [bit, min]"""
    cells = sample(now)
    harness = now.model.harness
    offers = [
        Offer(t, site.cost(harness, t), partial(outcomes, now, t, cells))
        for t in among or candidates(now)
    ]
    return worth_of(offers, cells.weights, cells.places, keep)


def outcomes(now: Belief, test: MeterTest, cells: Sample) -> list[dict[Hashable, float]]:
    """For each cell the chance of each outcome: over-range, or one of many narrow bins."""
    made = now.model
    base = made.bench(test)
    sound = Atom(1.0)
    touched: dict[int, bool] = {}
    shared: dict[int, tuple[float, float, float]] = {}
    moves = test.kind == "moves"
    likely: list[tuple[float, float, float]] = []
    patterns: list[dict[Hashable, float]] = []
    quiet: dict[Hashable, float] | None = None
    for fam, atom, state in zip(cells.families, cells.atoms, cells.states, strict=True):
        key = id(fam)
        hit = touched.get(key)
        if hit is None:
            hit = touched[key] = fed(base, fam)
        b = made.bench(test, atom.swap) if hit and atom.swap[0] else base
        if moves:
            if hit:
                patterns.append(_pattern(now, b, atom))
            else:
                quiet = quiet or _pattern(now, base, sound)
                patterns.append(quiet)
            continue
        if hit:
            likely.append(_next(predict(b, atom), state))
            continue
        known = shared.get(id(state))
        if known is None:
            known = shared[id(state)] = _next(predict(base, sound), state)
        likely.append(known)
    return patterns if moves else _binned(base, likely, cells.weights)


def _next(
    prediction: tuple[float, float, float, tuple[tuple[int, float], ...]], state: State
) -> tuple[float, float, float]:
    over = prediction[0]
    if over > 0.5:
        return over, 0.0, 1.0
    mean, variance, _ = expected(state, prediction)
    return over, mean, sqrt(max(variance, 1e-30))


def _pattern(now: Belief, b: Bench, atom: Atom) -> dict[Hashable, float]:
    """The likeliest pattern of moving valves with its chance, and all others together."""
    volts = moving(b, atom)
    moved, chance = [], 1.0
    for number, (pull, width) in enumerate(now.model.pull):
        p = chance_to_move(volts.get(number, 0.0), pull, width) if number in volts else 0.0
        if p > 0.5:
            moved.append(number)
        chance *= max(p, 1.0 - p)
    return {tuple(moved): chance, "another": 1.0 - chance}


def _binned(
    b: Bench, likely: list[tuple[float, float, float]], weights: tuple[float, ...]
) -> list[dict[Hashable, float]]:
    """Chances over bins that are even in units of the meter's own error."""
    rel, fixed = max(b.rel, 1e-6), b.fixed

    def stretch(y: float) -> float:
        return log(1.0 + rel * abs(y) / fixed) / rel * (2.0 if y >= 0.0 else -2.0)

    scaled: list[tuple[float, float, float]] = []
    for over, mean, sd in likely:
        unit = 0.5 * (rel * abs(mean) + fixed)
        scaled.append((over, stretch(mean), sd / unit))
    widths = sorted((s, w) for (o, _, s), w in zip(scaled, weights, strict=True) if o <= 0.5)
    if not widths:
        return [{"OL": 1.0} for _ in likely]
    whole = sum(w for _, w in widths)
    cell = max(_CELL * _quantile(widths, 0.25 * whole), _quantile(widths, 0.97 * whole) / 16.0)
    known: dict[tuple[float, float, float], dict[Hashable, float]] = {}
    found = []
    for one in scaled:
        bins = known.get(one)
        if bins is None:
            bins = known[one] = _spread(one, cell)
        found.append(bins)
    return found


def _quantile(widths: list[tuple[float, float]], mark: float) -> float:
    run = 0.0
    for width, weight in widths:
        run += weight
        if run >= mark:
            return width
    return widths[-1][0]


_SHAPES: dict[int, tuple[tuple[float, float], ...]] = {}


def _shape(count: int) -> tuple[tuple[float, float], ...]:
    """``count`` even steps over ±2.5 sigma of the normal curve with their shares."""
    known = _SHAPES.get(count)
    if known is None:
        steps = [-2.5 + 5.0 * (k + 0.5) / count for k in range(count)]
        heights = [exp(-0.5 * t * t) for t in steps]
        total = sum(heights)
        known = _SHAPES[count] = tuple((t, h / total) for t, h in zip(steps, heights, strict=True))
    return known


def _spread(one: tuple[float, float, float], cell: float) -> dict[Hashable, float]:
    over, mean, sd = one
    if over > 0.5:
        return {"OL": 1.0}
    count = min(max(int(5.0 * sd / cell) + 1, 7), 120)
    bins: dict[Hashable, float] = {}
    for t, share in _shape(count):
        at = (mean + t * sd) / cell
        low = int(at // 1)
        part = at - low
        bins[low] = bins.get(low, 0.0) + share * (1.0 - part)
        bins[low + 1] = bins.get(low + 1, 0.0) + share * part
    if over > 1e-3:
        bins = {k: p * (1.0 - over) for k, p in bins.items()}
        bins["OL"] = over
    return bins


def look_first(now: Belief, place: Place, least: float = 0.05) -> MeterTest | None:
    """The test at the place itself that would best tell it from its rivals, before anything is cut.

    Only where something is left to tell (``least`` bits); None otherwise. Source: judgement, "look
    before you dig".
    """
    harness = now.model.harness
    if place.kind != "valve":
        return None
    made = {r.test for r in now.readings}
    offered = tuple(
        t
        for t in (MeterTest(kind, place.on) for kind in ("joined", "coil", "parted", "volts-wires"))
        if t not in made
    )
    if not offered:
        return None
    # the box has to be opened for the repair anyway, so only the test itself counts
    site = Site(frozenset({harness.station(place.on).box}), True)
    best = next_tests(now, site, 1, offered)
    return best[0].test if best and best[0].bits >= least else None
