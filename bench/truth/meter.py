"""What a meter shows of a drawn system, by nodal analysis.

Nothing of the wiring room is imported: the circuit is a list of branches between named nodes and
every reading comes from solving Kirchhoff's equations for it. Ohms, volts, amps, farads, metres.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random

import numpy as np

from bench.truth.harness import EARTH_INSULATION, System, TrueFault, wire_ohm


@dataclass
class Circuit:
    """Branches between named nodes; zero ohms are joined, not inserted."""

    branches: list[tuple[str, str, complex]] = field(default_factory=list)
    lengths: list[tuple[str, str, float]] = field(default_factory=list)
    joined: dict[str, str] = field(default_factory=dict)

    def add(self, a: str, b: str, ohm: complex, metres: float = 0.0) -> None:
        self.branches.append((a, b, ohm))
        if metres:
            self.lengths.append((a, b, metres))

    def join(self, a: str, b: str) -> None:
        self.joined[self.find(a)] = self.find(b)

    def find(self, a: str) -> str:
        while a in self.joined:
            a = self.joined[a]
        return a

    def solve(
        self, a: str, b: str, sense: list[tuple[str, str]]
    ) -> tuple[complex | None, list[complex]]:
        """Ohms between ``a`` and ``b`` (None when apart) and volts at ``sense`` for one ampere."""
        a, b = self.find(a), self.find(b)
        near: dict[str, list[tuple[str, complex]]] = {}
        for x, y, z in self.branches:
            x, y = self.find(x), self.find(y)
            if x != y:
                near.setdefault(x, []).append((y, 1.0 / z))
                near.setdefault(y, []).append((x, 1.0 / z))
        seen, todo = {b}, [b]
        while todo:
            for to, _ in near.get(todo.pop(), ()):
                if to not in seen:
                    seen.add(to)
                    todo.append(to)
        if a not in seen:
            return None, [0j] * len(sense)
        if a == b:
            return 0j, [0j] * len(sense)
        names = sorted(seen - {b})
        index = {name: i for i, name in enumerate(names)}
        matrix = np.zeros((len(names), len(names)), dtype=complex)
        for x, links in near.items():
            if x not in index:
                continue
            i = index[x]
            for y, g in links:
                matrix[i, i] += g
                if y in index:
                    matrix[i, index[y]] -= g
        push = np.zeros(len(names), dtype=complex)
        push[index[a]] = 1.0
        volts = np.linalg.solve(matrix, push)

        def at(n: str) -> complex:
            n = self.find(n)
            return complex(volts[index[n]]) if n in index else 0j

        known = [
            at(x) - at(y) if self.find(x) in seen and self.find(y) in seen else 0j for x, y in sense
        ]
        return at(a), known


def circuit(
    system: System, kind: str, powered: bool, parted: str = "", joined: str = ""
) -> Circuit:
    """The true circuit (``kind`` dc, holding or inrush), a coil parted or a pair joined."""
    net = Circuit()
    mids: dict[tuple[str, str], list[TrueFault]] = {}
    for fault in system.faults:
        if fault.part == "wire":
            mids.setdefault((fault.on, fault.segment), []).append(fault)
            if fault.kind == "leak":
                mids.setdefault((fault.other, fault.segment), []).append(fault)
    after = {b: p for b, p, _ in system.boxes}
    metres = {b: m * system.true_len[b] for b, _, m in system.boxes}
    for name, awg in [*system.commons, *((s, w) for s, _, _, w in system.stations)]:
        for seg in system.segments(name):
            _stretch(
                net,
                name,
                seg,
                after[seg],
                metres[seg],
                wire_ohm(awg) * system.wire,
                mids.get((name, seg), []),
            )
    for number, fault in enumerate(system.faults):
        if fault.kind == "leak":
            net.add(
                f"{fault.on}~{fault.segment}~{_tag(fault)}",
                f"{fault.other}~{fault.segment}~{_tag(fault)}",
                fault.ohm,
            )
        if fault.kind == "earth":
            net.add(f"{fault.on}~{fault.segment}~{_tag(fault)}", "earth", fault.ohm)
        assert number < 3
    for s, box, common, _ in system.stations:
        _coil(net, system, s, box, common, kind, parted == s, joined == s)
    if powered:
        for c, _ in system.commons:
            net.join(f"{c}@controller", "com")
    net.add(f"{system.commons[0][0]}@controller", "earth", EARTH_INSULATION)
    return net


def _tag(fault: TrueFault) -> str:
    return f"{fault.kind}{fault.on}{fault.other}{fault.position:.6f}"


def _stretch(
    net: Circuit,
    name: str,
    seg: str,
    after: str,
    metres: float,
    ohm: float,
    faults: list[TrueFault],
) -> None:
    """One stretch of one wire, cut where faults sit in it."""
    here, at = f"{name}@{after}", 0.0
    for number, fault in enumerate(sorted(faults, key=lambda f: f.position)):
        spot = f"{name}~{seg}~{_tag(fault)}"
        step = (fault.position - at) * metres
        net.add(here, spot, max(ohm * step, 1e-9), step)
        here, at = spot, fault.position
        if fault.kind in ("open-wire", "series-wire"):
            here = f"{spot}+{number}"
            if fault.kind == "series-wire":
                net.add(spot, here, fault.ohm)
    step = (1.0 - at) * metres
    net.add(here, f"{name}@{seg}", max(ohm * step, 1e-9), step)


def _coil(
    net: Circuit,
    system: System,
    s: str,
    box: str,
    common: str,
    kind: str,
    parted: bool,
    joined: bool,
) -> None:
    hot_ohm = return_ohm = system.splice
    hot, ret = f"{s}@{box}", f"{common}@{box}"
    ohm: complex
    if kind == "dc":
        ohm = complex(system.coil_dc * system.true_dc[s])
    else:
        ohm = (system.coil_hold if kind == "holding" else system.coil_in) * system.true_ac[s]
    apart = set()
    for f in system.faults:
        if f.on != s or f.part == "wire":
            continue
        if f.kind == "double":
            hot = f"{f.other}@{box}"
        elif f.kind == "wrong-common":
            ret = f"{f.other}@{box}"
        elif f.kind == "part-short":
            ohm *= f.left if kind == "dc" else f.left_ac
        elif f.kind == "open-coil":
            apart.add("coil")
        elif f.kind == "open-splice":
            apart.add(f.part)
        elif f.kind == "series-splice" and f.part == "hot":
            hot_ohm += f.ohm
        elif f.kind == "series-splice":
            return_ohm += f.ohm
    if joined:
        net.join(hot, ret)
        return
    if "hot" not in apart:
        net.add(hot, f"{s}.hot", hot_ohm)
    if "return" not in apart:
        net.add(ret, f"{s}.ret", return_ohm)
    if "coil" not in apart and not parted:
        net.add(f"{s}.hot", f"{s}.ret", ohm)


@dataclass(frozen=True)
class Meter:
    """How far a meter errs, as a factor on the usual two-sigma limits."""

    scale: float = 1.0


LIMITS = {
    "ohms": (0.015, 0.3),
    "volts": (0.015, 0.2),
    "amps": (0.03, 0.01),
    "insulation": (0.10, 1000.0),
    "capacitance": (0.08, 0.3e-9),
    "transfer": (0.01, 0.005),
    "transfer-earth": (0.01, 0.02),
}


def terminal(system: System, name: str) -> str:
    """The node behind a terminal: two changed-over wires are found behind each other's label."""
    for f in system.faults:
        if f.kind == "swap" and name in (f.on, f.other):
            name = f.other if name == f.on else f.on
    return "earth" if name == "earth" else f"{name}@controller"


def noisy(dice: Random, value: float, function: str, meter: Meter) -> float:
    rel, fixed = LIMITS[function]
    return value + dice.gauss(0, 1) * 0.5 * meter.scale * (rel * abs(value) + fixed)


def measure(
    system: System,
    dice: Random,
    kind: str,
    a: str,
    b: str = "",
    box: str = "",
    sense: tuple[str, str] = ("", ""),
    meter: Meter | None = None,
) -> float | str | frozenset[str]:
    """What the meter shows for one test of the true system."""
    meter = meter or Meter()
    if kind == "moves":
        return frozenset(_moves(system, a, dice))
    if kind == "capacitance":
        return _capacitance(system, a, dice, meter)
    if kind == "transfer":
        return _transfer(system, (a, b), sense, dice, meter)
    if kind == "coil":
        net = circuit(system, "dc", False)
        net.branches = [z for z in net.branches if {z[0], z[1]} == {f"{a}.hot", f"{a}.ret"}]
        return _shown(net.solve(f"{a}.hot", f"{a}.ret", [])[0], 2e7, "ohms", dice, meter)
    if kind in ("ohms", "parted", "joined"):
        net = circuit(
            system, "dc", False, a if kind == "parted" else "", a if kind == "joined" else ""
        )
        z, _ = net.solve(terminal(system, a), terminal(system, b or system.common_of(a)), [])
        return _shown(z, 2e7, "ohms", dice, meter)
    if kind == "insulation":
        station = a in {s for s, *_ in system.stations}
        net = circuit(system, "dc", False, a if station else "")
        return _shown(
            net.solve(terminal(system, a), "earth", [])[0], 2e8, "insulation", dice, meter
        )
    return _powered(system, kind, a, box, dice, meter)


def _shown(
    z: complex | None, limit: float, function: str, dice: Random, meter: Meter
) -> float | str:
    if z is None or z.real > limit:
        return "OL"
    return noisy(dice, z.real, function, meter)


def _moves(system: System, a: str, dice: Random) -> list[str]:
    net = circuit(system, "inrush", True)
    sense = [(f"{s}.hot", f"{s}.ret") for s, *_ in system.stations]
    z, volts = net.solve(terminal(system, a), "com", sense)
    if z is None:
        return []
    amps = system.volts / (z + system.source)
    return [
        s
        for (s, *_), v in zip(system.stations, volts, strict=True)
        if abs(amps * v) > system.pull[s] and not _coil_dead(system, s)
    ]


def _coil_dead(system: System, s: str) -> bool:
    return any(f.kind == "open-coil" and f.on == s for f in system.faults)


def _capacitance(system: System, a: str, dice: Random, meter: Meter) -> float | str:
    net = circuit(system, "dc", False)
    start, end = terminal(system, a), terminal(system, system.common_of(a))
    near: dict[str, list[str]] = {}
    for x, y, z in net.branches:
        if abs(z) < 1e6 and "earth" not in (x, y):
            near.setdefault(x, []).append(y)
            near.setdefault(y, []).append(x)
    seen, todo = {start}, [start]
    while todo:
        for to in near.get(todo.pop(), ()):
            if to not in seen:
                seen.add(to)
                todo.append(to)
    if end in seen:
        return "INVALID"
    metres = sum(m for x, _, m in net.lengths if x in seen)
    return max(noisy(dice, metres * system.cap_per_m * system.cap, "capacitance", meter), 0.0)


def _transfer(
    system: System, drive: tuple[str, str], sense: tuple[str, str], dice: Random, meter: Meter
) -> float | str:
    net = circuit(system, "dc", False)
    across = (terminal(system, sense[0]), terminal(system, sense[1]))
    net.add(*across, 1e7)
    z, volts = net.solve(terminal(system, drive[0]), terminal(system, drive[1]), [across])
    if z is None or z.real > 500.0:
        return "OL"
    return noisy(dice, volts[0].real, "transfer-earth" if "earth" in sense else "transfer", meter)


def _powered(system: System, kind: str, a: str, box: str, dice: Random, meter: Meter) -> float:
    net = circuit(system, "holding", True, a if kind == "volts-wires" else "")
    start, home = terminal(system, a), system.box_of(a)
    common = system.common_of(a)
    sense = {
        "volts-coil": (f"{a}.hot", f"{a}.ret"),
        "volts-wires": (f"{a}@{home}", f"{common}@{home}"),
        "volts-box": (f"{a}@{box}", f"{common}@{box}"),
    }.get(kind, (start, "com"))
    net.add(*sense, 1e7)
    z, volts = net.solve(start, "com", [sense])
    amps = 0j if z is None else system.volts / (z + system.source)
    if kind == "amps":
        return max(noisy(dice, abs(amps), "amps", meter), 0.0)
    return max(noisy(dice, abs(amps * volts[0]), "volts", meter), 0.0)
