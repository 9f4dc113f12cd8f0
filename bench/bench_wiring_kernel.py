"""Impedance of one hypothesis: the path form beside another circuit library, in process.

Both solve the same harness of 12 stations and 6 boxes. The library's circuit is built beforehand;
only its solving is timed, as only our predictions are.
"""

from __future__ import annotations

import time
from random import Random
from typing import Any

from skrf import Frequency
from skrf.circuit import Circuit as Other

from bench.truth.harness import TrueFault, draw_system
from bench.truth.meter import circuit
from bench.wiring_trial import as_found
from pitwright.wiring.atoms import Atom
from pitwright.wiring.belief import fed, model
from pitwright.wiring.measuring import MeterTest
from pitwright.wiring.predict import predict

Z0 = 50.0
ROUNDS = 20


def other_circuits(count: int) -> list[Any]:
    """The library's circuits for ``count`` bad splices, one port each, ready to be solved."""
    made = []
    for number in range(count):
        system = draw_system(Random(7), 12, 6)
        station = system.stations[number % 12][0]
        system.faults.append(TrueFault("series-splice", station, "hot", ohm=10.0 + number))
        net = circuit(system, "dc", False)
        made.append(_built(net, f"{station}@controller", f"{system.common_of(station)}@controller"))
    return made


def _built(net: Any, a: str, b: str) -> Any:
    frequency = Frequency(1, 1, 1, unit="hz")
    nodes: dict[str, list[tuple[Any, int]]] = {}
    for number, (x, y, z) in enumerate(net.branches):
        part = Other.SeriesImpedance(frequency, z, f"z{number}", z0=Z0)
        nodes.setdefault(net.find(x), []).append((part, 0))
        nodes.setdefault(net.find(y), []).append((part, 1))
    nodes[a].append((Other.Port(frequency, "port", z0=Z0), 0))
    nodes[b].append((Other.Ground(frequency, "ground", z0=Z0), 0))
    ends = [
        n if len(n) > 1 else [*n, (Other.Open(frequency, f"end{i}", z0=Z0), 0)]
        for i, n in enumerate(nodes.values())
    ]
    return Other(ends)


def ours() -> tuple[float, int]:
    """Seconds for one reading's predictions under every hypothesis, and how many there are."""
    system = draw_system(Random(7), 12, 6)
    made = model(as_found(system))
    tests = [MeterTest("ohms", s) for s, *_ in system.stations]
    benches = [made.bench(t) for t in tests]
    count = sum(len(f.atoms) for f in made.families)
    sound = Atom(1.0)
    began = time.perf_counter()
    for b in benches:
        predict(b, sound)
        for family in made.families:
            if fed(b, family):
                swap = family.atoms[0].swap
                at = made.bench(b.test, swap) if swap[0] else b
                for atom in family.atoms:
                    predict(at, atom)
    return (time.perf_counter() - began) / len(benches), count


def main() -> None:
    best, count = min(ours() for _ in range(ROUNDS // 4))
    circuits = other_circuits(ROUNDS)
    began = time.perf_counter()
    for one in circuits:
        _ = one.s_external
    theirs = (time.perf_counter() - began) / len(circuits)
    each = best / count
    print("| one hypothesis of a 12-station harness | microseconds |")
    print("|---|---|")
    print(f"| path form, {count} hypotheses with all derivatives | {1e6 * each:.2f} |")
    print(f"| scikit-rf, circuit built beforehand | {1e6 * theirs:.0f} |")
    print(f"\nratio {theirs / each:,.0f}")


if __name__ == "__main__":
    main()
