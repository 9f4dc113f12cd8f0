"""Fault signatures: what a meter shows for ten faults of one small harness."""

from __future__ import annotations

import pytest

from pitwright.survey.harness import CONTROLLER, Box, Coil, Common, Harness, Station
from pitwright.wiring.atoms import Atom, Grid, Loop, atoms_of, edge_of, loop_of, node_point
from pitwright.wiring.copper import FOOT
from pitwright.wiring.faults import Fault
from pitwright.wiring.impedance import bench, currents
from pitwright.wiring.measuring import MeterTest
from pitwright.wiring.network import OPEN_OHM, Network, network

OL = 1e7


def harness() -> Harness:
    """Three coils of 40 ohm at 200, 205 and 210 ft of 18 AWG, common from valve to valve."""
    coil = Coil(40.0)
    boxes = (
        Box("A", CONTROLLER, 200 * FOOT),
        Box("B", "A", 5 * FOOT),
        Box("C", "B", 5 * FOOT),
    )
    stations = tuple(
        Station(f"S{i}", box, "C1", 18, coil) for i, box in enumerate(("A", "B", "C"), 1)
    )
    return Harness("signatures", boxes, (Common("C1", 18),), stations, splice_ohm=0.0)


def opened(net: Network, fault: Fault) -> Atom:
    return Atom(1.0, ((edge_of(net, fault), OPEN_OHM, 0.0),))


def hypotheses(net: Network) -> dict[str, Atom]:
    coil = net.coil_edge("S1")
    near = Fault("leak", "S1", "wire", "A", "S2")
    common = Fault("leak", "C1", "wire", "A", "S1")
    second = Loop(node_point(net, net.wire["S1", "A"]), node_point(net, net.wire["C1", "A"]), 40.0)
    return {
        "none": Atom(1.0),
        "open common before valve 1": opened(net, Fault("open", "C1", "wire", "A")),
        "open common between valves 1 and 2": opened(net, Fault("open", "C1", "wire", "B")),
        "station 2 wire open": opened(net, Fault("open", "S2", "wire", "A")),
        "coil 1 open": opened(net, Fault("open", "S1", "coil")),
        "coil 1 shorted to 2 ohm": Atom(1.0, ((coil, -38.0, 0.0),)),
        "second 40 ohm valve on station 1": Atom(1.0, (), (second,)),
        "20 ohm splice on station 2": Atom(1.0, ((net.hot_edge("S2"), 20.0, 0.0),)),
        "stations 1 and 2 shorted at 100 ft": Atom(1.0, (), (loop_of(net, near, 0.5, 0.0),)),
        "station 1 shorted to common at 100 ft": Atom(1.0, (), (loop_of(net, common, 0.5, 0.0),)),
    }


TESTS = (
    MeterTest("ohms", "S1"),
    MeterTest("ohms", "S2"),
    MeterTest("ohms", "S3"),
    MeterTest("ohms", "S1", "S2"),
    MeterTest("ohms", "S2", "S3"),
)
SIGNATURES = {
    "none": ("42.6", "42.6", "42.7", "82.6", "82.7"),
    "open common before valve 1": ("OL", "OL", "OL", "82.6", "82.7"),
    "open common between valves 1 and 2": ("42.6", "OL", "OL", "OL", "82.7"),
    "station 2 wire open": ("42.6", "OL", "42.7", "OL", "OL"),
    "coil 1 open": ("OL", "42.6", "42.7", "OL", "82.7"),
    "coil 1 shorted to 2 ohm": ("4.6", "42.6", "42.7", "44.6", "82.7"),
    "second 40 ohm valve on station 1": ("22.6", "42.6", "42.7", "62.6", "82.7"),
    "20 ohm splice on station 2": ("42.6", "62.6", "42.7", "102.6", "102.7"),
    "stations 1 and 2 shorted at 100 ft": ("22.3", "22.3", "42.7", "1.3", "62.3"),
    "station 1 shorted to common at 100 ft": ("1.3", "42.6", "42.7", "42.6", "82.7"),
}


@pytest.mark.parametrize("name", SIGNATURES)
def test_every_signature_of_the_study_to_its_last_digit(name: str) -> None:
    """Design study's matrix, printed to 0.1 ohm."""
    net = network(harness())
    atom = hypotheses(net)[name]
    for test, printed in zip(TESTS, SIGNATURES[name], strict=True):
        z = currents(bench(net, test), atom)[0].real
        if printed == "OL":
            assert z > OL
        else:
            assert abs(z - float(printed)) <= 0.0751, (test, z)


def test_a_station_wire_on_the_common_terminal_reads_double_elsewhere() -> None:
    """Wire 1 and the common changed over: the other stations read twice a coil."""
    net = network(harness())
    z = currents(bench(net, MeterTest("ohms", "S1", "S2")), Atom(1.0))[0].real
    assert abs(z - 82.6) <= 0.0501


def test_every_kind_of_fault_has_cells_whose_shares_sum_to_one() -> None:
    net = network(harness())
    for kind, on, part, segment, other in (
        ("open", "S1", "wire", "A", ""),
        ("series", "S1", "hot", "", ""),
        ("part-short", "S1", "coil", "", ""),
        ("leak", "S1", "wire", "A", "S2"),
        ("earth", "C1", "wire", "A", ""),
        ("double", "S1", "hot", "", "S2"),
        ("swap", "S1", "", "", "S2"),
    ):
        atoms = atoms_of(net, Fault(kind, on, part, segment, other), Grid())
        assert abs(sum(a.share for a in atoms) - 1.0) < 1e-12
