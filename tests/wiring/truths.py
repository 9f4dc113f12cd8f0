"""A drawn true fault as a hypothesis of the engine, and its circuit in another library."""

from __future__ import annotations

from typing import Any

import skrf
from skrf.circuit import Circuit as SkCircuit

from bench.truth.harness import System, TrueFault
from bench.truth.meter import Circuit
from pitwright.wiring.atoms import Atom, Grid, atoms_of, edge_of, loop_of, part_short_atom
from pitwright.wiring.faults import Fault
from pitwright.wiring.network import OPEN_OHM, Network

Z0 = 50.0


def fault_of(true: TrueFault) -> Fault:
    """The engine's name for a drawn fault."""
    kind = {
        "series-splice": "series",
        "series-wire": "series",
        "open-splice": "open",
        "open-wire": "open",
        "open-coil": "open",
    }.get(true.kind, true.kind)
    return Fault(kind, true.on, true.part, true.segment, true.other)


def atom_of(net: Network, true: TrueFault) -> Atom:
    """Exactly the drawn severity and position, with no spread."""
    fault = fault_of(true)
    if true.kind == "part-short":
        plain = part_short_atom(net, true.on, true.left, 1.0, 0.0)
        edge, ohm, _ = plain.series[0]
        return Atom(1.0, ((edge, ohm, true.left_ac - 1.0),), severity=true.left)
    if true.kind in ("leak", "earth"):
        return Atom(1.0, (), (loop_of(net, fault, true.position, true.ohm),))
    if fault.kind in ("series", "open"):
        ohm = OPEN_OHM if fault.kind == "open" else true.ohm
        return Atom(1.0, ((edge_of(net, fault), ohm, 0.0),))
    return atoms_of(net, fault, Grid())[0]


def plain(system: System) -> System:
    """The system with nothing hidden but its fault: nominal coils, wire and lengths."""
    for s, *_ in system.stations:
        system.true_dc[s] = system.true_ac[s] = 1.0
    for b, *_ in system.boxes:
        system.true_len[b] = 1.0
    system.wire = 1.0
    return system


def other_library(net: Circuit, a: str, b: str) -> tuple[Any, Any]:
    """The same branches as a microwave circuit with one port between two nodes, ready to solve.

    ``b`` is its ground. Returns the circuit and the frequency; see :func:`impedance`.
    """
    frequency = skrf.Frequency(1, 1, 1, unit="hz")
    nodes: dict[str, list[tuple[Any, int]]] = {}
    a, b = net.find(a), net.find(b)
    reached = _component(net, a)
    for number, (x, y, z) in enumerate(net.branches):
        x, y = net.find(x), net.find(y)
        if x == y or x not in reached:
            continue
        part = SkCircuit.SeriesImpedance(frequency, z, f"z{number}", z0=Z0)
        nodes.setdefault(x, []).append((part, 0))
        nodes.setdefault(y, []).append((part, 1))
    port = SkCircuit.Port(frequency, "port", z0=Z0)
    ground = SkCircuit.Ground(frequency, "ground", z0=Z0)
    nodes.setdefault(a, []).append((port, 0))
    nodes.setdefault(b, []).append((ground, 0))
    joints = []
    for number, ends in enumerate(nodes.values()):
        if len(ends) == 1:
            ends = [*ends, (SkCircuit.Open(frequency, f"end{number}", z0=Z0), 0)]
        joints.append(ends)
    return SkCircuit(joints), frequency


def impedance(made: Any) -> complex:
    """Impedance at the port of a circuit of the other library. [Ω]"""
    s = complex(made.s_external[0, 0, 0])
    return Z0 * (1.0 + s) / (1.0 - s)


def _component(net: Circuit, start: str) -> set[str]:
    near: dict[str, list[str]] = {}
    for x, y, _ in net.branches:
        x, y = net.find(x), net.find(y)
        near.setdefault(x, []).append(y)
        near.setdefault(y, []).append(x)
    seen, todo = {start}, [start]
    while todo:
        for to in near.get(todo.pop(), ()):
            if to not in seen:
                seen.add(to)
                todo.append(to)
    return seen
