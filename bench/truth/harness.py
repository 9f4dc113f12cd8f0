"""Random wiring systems with a hidden fault. Ohms, volts, amps, farads, metres."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random

RHO = 10.371 / 0.3048
"""Copper at 20 °C. [Ω·circular mil/m]"""
EARTH_INSULATION = 5e8
KINDS = (
    "series-splice",
    "open-splice",
    "open-wire",
    "open-coil",
    "part-short",
    "leak",
    "earth",
    "swap",
    "double",
    "wrong-common",
    "series-wire",
)
STUDY_WEIGHTS = dict(
    zip(KINDS, (0.26, 0.16, 0.14, 0.12, 0.08, 0.06, 0.06, 0.03, 0.03, 0.02, 0.02), strict=True)
)


def wire_ohm(awg: int) -> float:
    """Ohms per metre by the gauge rule."""
    return float(RHO / (5.0 * 92.0 ** ((36 - awg) / 39.0)) ** 2)


@dataclass(frozen=True)
class TrueFault:
    """What is wrong: the words of :data:`KINDS`, where, and how badly."""

    kind: str
    on: str
    part: str = ""
    segment: str = ""
    other: str = ""
    ohm: float = 0.0
    left: float = 1.0
    left_ac: float = 1.0
    position: float = 0.5


@dataclass
class System:
    """One drawn system: what the technician knows, and what nobody knows."""

    boxes: list[tuple[str, str, float]]
    commons: list[tuple[str, int]]
    stations: list[tuple[str, str, str, int]]
    """(station, box, common, awg)"""
    coil_dc: float
    coil_in: complex
    coil_hold: complex
    volts: float = 27.5
    source: float = 1.4
    splice: float = 0.02
    cap_per_m: float = 0.025e-9 / 0.3048
    true_dc: dict[str, float] = field(default_factory=dict)
    true_ac: dict[str, float] = field(default_factory=dict)
    true_len: dict[str, float] = field(default_factory=dict)
    pull: dict[str, float] = field(default_factory=dict)
    wire: float = 1.0
    cap: float = 1.0
    faults: list[TrueFault] = field(default_factory=list)
    complaint: str = ""

    def route(self, box: str) -> list[str]:
        after = {b: p for b, p, _ in self.boxes}
        found = []
        while box != "controller":
            found.append(box)
            box = after[box]
        return found[::-1]

    def segments(self, name: str) -> list[str]:
        for s, box, _, _ in self.stations:
            if s == name:
                return self.route(box)
        needed = {seg for _, box, c, _ in self.stations if c == name for seg in self.route(box)}
        return [b for b, _, _ in self.boxes if b in needed]

    def box_of(self, station: str) -> str:
        return next(b for s, b, _, _ in self.stations if s == station)

    def common_of(self, station: str) -> str:
        return next(c for s, _, c, _ in self.stations if s == station)


def draw_system(
    dice: Random,
    stations: int | None = None,
    boxes: int | None = None,
    coil_scatter: float = 0.05,
    length_scatter: float = 0.0,
) -> System:
    """A system of 3 to 12 stations in 2 to 6 boxes on 1 or 2 commons, healthy so far."""
    n = stations or dice.randint(3, 12)
    k = boxes or dice.randint(2, 6)
    laid: list[tuple[str, str, float]] = []
    for i in range(k):
        after = "controller" if i == 0 else f"B{i if dice.random() < 0.75 else dice.randint(1, i)}"
        laid.append((f"B{i + 1}", after, dice.uniform(12.0, 76.0)))
    many = 2 if n >= 5 and dice.random() < 0.3 else 1
    gauge = dice.choice([14, 16, 18])
    commons = [(f"C{i + 1}", gauge) for i in range(many)]
    wire = dice.choice([18, 18, 18, 16])
    homes = [laid[i % k][0] if i < k and n >= k else dice.choice(laid)[0] for i in range(n)]
    order = {b: i for i, (b, _, _) in enumerate(laid)}
    homes.sort(key=order.__getitem__)
    own = [(f"S{i + 1}", homes[i], f"C{1 + (i * many) // n}", wire) for i in range(n)]
    ohm = dice.uniform(22.0, 45.0)
    system = System(
        laid,
        commons,
        own,
        ohm,
        complex(0.55, 0.835) * 62.0 * ohm / 30,
        complex(0.45, 0.893) * 105.0 * ohm / 30,
    )
    for s, *_ in own:
        system.true_dc[s] = 1.0 + coil_scatter * dice.gauss(0, 1)
        system.true_ac[s] = 1.0 + coil_scatter * dice.gauss(0, 1)
        system.pull[s] = 17.0 + dice.gauss(0, 1.0)
    for b, _, _ in laid:
        system.true_len[b] = max(1.0 + length_scatter * dice.gauss(0, 1), 0.5)
    system.wire = 1.0 + 0.04 * dice.gauss(0, 1)
    system.cap = 1.0 + 0.04 * dice.gauss(0, 1)
    return system


def _log_uniform(dice: Random, low: float, high: float) -> float:
    return float(low * (high / low) ** dice.random())


def draw_fault(system: System, dice: Random, weights: dict[str, float]) -> TrueFault:
    """One fault: its kind by ``weights``, its spot by length or evenly, severity log-uniform."""
    while True:
        kind = dice.choices(list(weights), list(weights.values()))[0]
        fault = _fault_of(system, dice, kind)
        if fault is not None:
            return fault


def _wire_spot(system: System, dice: Random) -> tuple[str, str]:
    lengths = {b: metres for b, _, metres in system.boxes}
    names = [c for c, _ in system.commons] + [s for s, *_ in system.stations]
    spots = [(w, seg) for w in names for seg in system.segments(w)]
    return dice.choices(spots, [lengths[seg] for _, seg in spots])[0]


def _fault_of(system: System, dice: Random, kind: str) -> TrueFault | None:
    names = [s for s, *_ in system.stations]
    if kind in ("series-splice", "open-splice"):
        ohm = _log_uniform(dice, 2.0, 2000.0) if kind == "series-splice" else 0.0
        return TrueFault(kind, dice.choice(names), dice.choice(["hot", "return"]), ohm=ohm)
    if kind == "open-coil":
        return TrueFault(kind, dice.choice(names), "coil")
    if kind == "part-short":
        edges = (0.012, 0.03, 0.06, 0.11, 0.2, 0.3, 0.42, 0.55, 0.68, 0.82)
        cell = dice.randrange(len(edges) - 1)
        left = dice.uniform(edges[cell], edges[cell + 1])
        return TrueFault(
            kind, dice.choice(names), "coil", left=left, left_ac=left ** dice.uniform(1.3, 2.7)
        )
    if kind in ("open-wire", "series-wire", "earth"):
        wire, segment = _wire_spot(system, dice)
        ohm = 0.0
        if kind == "series-wire":
            ohm = _log_uniform(dice, 2.0, 2000.0)
        if kind == "earth":
            ohm = _log_uniform(dice, 200.0, 2e6)
        return TrueFault(kind, wire, "wire", segment, ohm=ohm, position=dice.random())
    if kind == "leak":
        lengths = {b: metres for b, _, metres in system.boxes}
        wires = [c for c, _ in system.commons] + names
        spots = [
            (a, b, seg)
            for i, a in enumerate(wires)
            for b in wires[i + 1 :]
            for seg in system.segments(a)
            if seg in system.segments(b)
        ]
        a, b, seg = dice.choices(spots, [lengths[s] for _, _, s in spots])[0]
        return TrueFault(
            kind, a, "wire", seg, b, _log_uniform(dice, 0.5, 20_000.0), position=dice.random()
        )
    if kind == "swap":
        a, b = sorted(dice.sample(names, 2), key=names.index)
        return TrueFault(kind, a, other=b)
    if kind == "double":
        pairs = [
            (s, t)
            for s, box, _, _ in system.stations
            for t, far, _, _ in system.stations
            if s != t and box in system.route(far)
        ]
        if not pairs:
            return None
        s, t = dice.choice(pairs)
        return TrueFault(kind, s, "hot", other=t)
    choices = [
        (s, c)
        for s, box, own, _ in system.stations
        for c, _ in system.commons
        if c != own and box in system.segments(c)
    ]
    if not choices:
        return None
    s, c = dice.choice(choices)
    return TrueFault("wrong-common", s, "return", other=c)
