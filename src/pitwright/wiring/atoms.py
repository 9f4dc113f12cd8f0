"""Hypotheses spelt out for the arithmetic: changed edges, added loops, severity and position.

A *family* is one fault (or pair); its *atoms* are cells of position and severity. Series ohms are
linear in what a meter shows, so their cells carry a spread in ohms; leaks carry a spread in the
logarithm of their ohms. Both are marginalised as shared unknowns, never left out.

Source: circuit theory; the cells are judgement.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import exp, log, sqrt

from pitwright.wiring.faults import Fault
from pitwright.wiring.network import OPEN_OHM, Network

__all__ = ["Atom", "Grid", "Loop", "Point", "atoms_of", "loop_of", "node_point", "wire_point"]


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells of severity and position. Ohms; edges of the coil's remaining fraction. Judgement."""

    series: tuple[float, float, int] = (2.0, 20_000.0, 10)
    leak: tuple[float, float, int] = (0.5, 20_000.0, 14)
    earth: tuple[float, float, int] = (200.0, 2e6, 8)
    coil: tuple[float, ...] = (0.012, 0.03, 0.06, 0.11, 0.2, 0.3, 0.42, 0.55, 0.68, 0.82)
    positions: int = 4
    far_leak: float = 60.0
    """Above this a leak's position moves no ohmmeter: one position is enough. [Ω]"""


@dataclass(frozen=True, slots=True)
class Point:
    """A point on the edge above ``child``: at the parent when ``down`` is 0, at the child at 1."""

    parent: int
    child: int
    down: float


@dataclass(frozen=True, slots=True)
class Loop:
    """One added path between two points with ``ohm`` in it. [Ω]"""

    x: Point
    y: Point
    ohm: float


@dataclass(frozen=True, slots=True)
class Atom:
    """One cell of one hypothesis.

    ``share`` of its family's weight; ``series`` as (edge, ohms added, and, when not zero, the
    share of the edge's own impedance added instead on alternating current); ``loops``;
    ``spread`` one sigma of severity inside the cell (ohms for a series fault, natural logarithm
    of ohms for a leak); ``position`` share of the segment from the controller's side and
    ``position_sd`` its one sigma; ``swap`` the two stations changed over; ``severity``
    the cell's middle (ohms, or the share of a coil that is left); ``spread2`` the spread of the
    second fault of a pair.
    """

    share: float
    series: tuple[tuple[int, float, float], ...] = ()
    loops: tuple[Loop, ...] = ()
    spread: float = 0.0
    position: float = 0.5
    position_sd: float = 0.0
    swap: tuple[str, str] = ("", "")
    severity: float = 0.0
    spread2: float = 0.0


def node_point(net: Network, node: int) -> Point:
    """A node as a point."""
    return Point(net.parent[node], node, 1.0)


def wire_point(net: Network, conductor: str, segment: str, share: float) -> Point:
    """The point ``share`` of the way along a segment, counted from the controller's side."""
    near = net.wire[conductor, net.harness.box(segment).after]
    far = net.wire[conductor, segment]
    if net.parent[near] == far:
        return Point(far, near, 1.0 - share)
    return Point(near, far, share)


def cells(low: float, high: float, count: int) -> list[tuple[float, float, float]]:
    """Logarithmic cells: centre, spread in the logarithm [-], spread in the value itself. [Ω]"""
    width = log(high / low) / count
    middle = [low * exp(width * (k + 0.5)) for k in range(count)]
    # a uniform cell's standard deviation, in the logarithm and in the value
    return [
        (m, width / sqrt(12.0), m * (exp(width / 2) - exp(-width / 2)) / sqrt(12.0)) for m in middle
    ]


def loop_of(net: Network, fault: Fault, share: float, ohm: float) -> Loop:
    """The path a leak or an earth leak adds, ``share`` of the way along its segment."""
    x = wire_point(net, fault.on, fault.segment, share)
    if fault.kind == "earth":
        return Loop(x, node_point(net, net.earth), ohm)
    return Loop(x, wire_point(net, fault.other, fault.segment, share), ohm)


def atoms_of(net: Network, fault: Fault, grid: Grid) -> tuple[Atom, ...]:
    """All cells of one fault; their shares sum to one."""
    kind = fault.kind
    if kind == "none":
        return (Atom(1.0),)
    if kind == "swap":
        return (Atom(1.0, swap=(fault.on, fault.other)),)
    if kind == "double":
        station = net.harness.station(fault.on)
        hot = node_point(net, net.hot[fault.on])
        wire = node_point(net, net.wire[fault.other, station.box])
        edge = net.hot_edge(fault.on)
        return (Atom(1.0, ((edge, OPEN_OHM, 0.0),), (Loop(hot, wire, net.harness.splice_ohm),)),)
    if kind == "wrong-common":
        station = net.harness.station(fault.on)
        ret = node_point(net, net.ret[fault.on])
        wire = node_point(net, net.wire[fault.other, station.box])
        edge = net.return_edge(fault.on)
        return (Atom(1.0, ((edge, OPEN_OHM, 0.0),), (Loop(ret, wire, net.harness.splice_ohm),)),)
    if kind == "part-short":
        return _part_short(net, fault, grid)
    if kind in ("open", "series"):
        return _series(net, fault, grid)
    return _leak(net, fault, grid)


def edge_of(net: Network, fault: Fault) -> int:
    """The edge an open or series fault changes."""
    if fault.part == "sensor":
        return net.sensor
    if fault.part == "wire":
        return net.wire_edge(fault.on, fault.segment)
    if fault.part == "coil":
        return net.coil_edge(fault.on)
    return net.hot_edge(fault.on) if fault.part == "hot" else net.return_edge(fault.on)


def _series(net: Network, fault: Fault, grid: Grid) -> tuple[Atom, ...]:
    edge = edge_of(net, fault)
    if fault.kind == "series":
        return tuple(
            Atom(1.0 / grid.series[2], ((edge, ohm, 0.0),), (), sd, severity=ohm)
            for ohm, _, sd in cells(*grid.series)
        )
    if fault.part != "wire":
        return (Atom(1.0, ((edge, OPEN_OHM, 0.0),)),)
    count = grid.positions
    return tuple(
        Atom(
            1.0 / count,
            ((edge, OPEN_OHM, 0.0),),
            position=(k + 0.5) / count,
            position_sd=1.0 / count / sqrt(12.0),
        )
        for k in range(count)
    )


def part_short_atom(net: Network, station: str, left: float, share: float, sd: float) -> Atom:
    """A coil of which ``left`` of the turns' ohms remain.

    Ohms fall with the turns; impedance falls faster, for the shorted turns are a loaded secondary:
    taken as the square of the fraction (judgement), with the alternating readings' own spread.
    """
    edge = net.coil_edge(station)
    ohm = net.dc[edge]
    return Atom(
        share, ((edge, (left - 1.0) * ohm, left * left - 1.0),), (), sd * ohm, severity=left
    )


def _part_short(net: Network, fault: Fault, grid: Grid) -> tuple[Atom, ...]:
    edges = grid.coil
    pairs = list(pairwise(edges))
    return tuple(
        part_short_atom(net, fault.on, (a + b) / 2, 1.0 / len(pairs), (b - a) / sqrt(12.0))
        for a, b in pairs
    )


def _leak(net: Network, fault: Fault, grid: Grid) -> tuple[Atom, ...]:
    low, high, count = grid.earth if fault.kind == "earth" else grid.leak
    found: list[Atom] = []
    for ohm, sd, _ in cells(low, high, count):
        many = grid.positions
        if fault.kind == "leak" and ohm > grid.far_leak:
            many = 1
        found += [
            Atom(
                1.0 / count / many,
                (),
                (loop_of(net, fault, (k + 0.5) / many, ohm),),
                sd,
                (k + 0.5) / many,
                1.0 / many / sqrt(12.0),
                severity=ohm,
            )
            for k in range(many)
        ]
    return tuple(found)
