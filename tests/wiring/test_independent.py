"""The path form against two others: our nodal solver, and another circuit library."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import pytest

from bench.truth.harness import KINDS, System, draw_fault, draw_system
from bench.truth.meter import Circuit, circuit, terminal
from bench.wiring_trial import as_found
from pitwright.wiring.impedance import bench, currents
from pitwright.wiring.measuring import MeterTest
from pitwright.wiring.network import network
from tests.wiring.truths import atom_of, impedance, other_library, plain

TOLERANCE = 1e-6
OVER = 2e7
"""Beyond this a meter shows OL and both only have to agree that it does. [Ω]"""


def faulted(seed: int) -> tuple[System, Random]:
    dice = Random(seed)
    system = plain(draw_system(dice, dice.randint(3, 8), dice.randint(2, 4)))
    system.faults.append(draw_fault(system, dice, {KINDS[seed % len(KINDS)]: 1.0, "leak": 0.01}))
    return system, dice


def pairs_of(
    seed: int,
) -> Iterator[tuple[MeterTest, complex, complex | None, tuple[Circuit, str, str]]]:
    """(test, ours, nodal solver, other library or None) for some ports, dc and ac."""
    system, dice = faulted(seed)
    net = network(as_found(system))
    atom = atom_of(net, system.faults[0])
    names = [s for s, *_ in system.stations]
    first = system.faults[0].on if system.faults[0].on in names else dice.choice(names)
    second = dice.choice([n for n in names if n != first])
    for test in (
        MeterTest("ohms", first),
        MeterTest("ohms", first, second),
        MeterTest("parted", first),
        MeterTest("volts", first),
        MeterTest("moves", first),
    ):
        b = bench(net, test, atom.swap)
        ours = complex(currents(b, atom)[0])
        kind = {"volts": "holding", "moves": "inrush"}.get(test.kind, "dc")
        powered = test.kind in ("volts", "moves")
        true = circuit(system, kind, powered, first if test.kind == "parted" else "")
        start = terminal(system, first)
        end = "com" if powered else terminal(system, test.b or system.common_of(first))
        nodal, _ = true.solve(start, end, [])
        yield test, ours, nodal, (true, start, end)


@pytest.mark.parametrize("seed", range(44))
def test_paths_agree_with_the_nodal_solver_on_random_faults(seed: int) -> None:
    for test, ours, nodal, _ in pairs_of(seed):
        if nodal is None or abs(nodal) > OVER:
            assert abs(ours) > OVER, test
        else:
            assert abs(ours - nodal) <= TOLERANCE * abs(nodal) + 2e-6, (test, ours, nodal)


@pytest.mark.parametrize("seed", range(11))
def test_paths_agree_with_another_circuit_library_dc_and_ac(seed: int) -> None:
    """scikit-rf solves the same branches by scattering parameters."""
    for test, ours, nodal, (true, start, end) in pairs_of(seed):
        if nodal is None or abs(nodal) > 1e5:
            continue
        theirs = impedance(other_library(true, start, end)[0])
        assert abs(ours - theirs) <= TOLERANCE * abs(theirs) + 2e-6, (test, ours, theirs)
