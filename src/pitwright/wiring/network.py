"""The harness as a tree, and what one meter sees of it.

With the field wires lifted a healthy harness is a tree, so the impedance between two ports is a
sum over the edges both paths share, K(p, q) = Σ r·s_p·s_q, with s = -1, 0 or +1: no matrix is
inverted [circuit theory]. An edge carries the number of its lower node (the one farther from the
root). Path vectors are bit masks; K(p, ·) is one walk that gives every node its potential.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from pitwright.survey.harness import CONTROLLER, Harness
from pitwright.wiring.copper import COPPER_COEFFICIENT, ohm_per_metre

__all__ = [
    "CLOSED",
    "EARTH_OHM",
    "LINK_OHM",
    "OPEN_OHM",
    "Network",
    "Port",
    "Setup",
    "View",
    "network",
]

OPEN_OHM = 1e11
"""An open in an ohms test: beside it a leak of 20 kΩ errs by 2e-7, and digits suffice. [Ω]"""
LINK_OHM = 1e11
"""What ties a lifted wire or a second common to the tree, so that there is one tree. [Ω]"""
MEGOHM_OPEN = 1e12
"""An open in an insulation test, over the 200 MΩ of the tester. [Ω]"""
METER_OHM = 1e7
"""Input of a voltmeter: what is left where a coil is parted and a meter put in its stead. [Ω]"""
EARTH_OHM = 5e8
"""Insulation of a whole sound harness to earth. [Ω] Judgement."""
CLOSED = 1e-7
"""Two commons on one terminal, and a closed sensor's contact. [Ω] Judgement."""


@dataclass(frozen=True, slots=True)
class Setup:
    """How the harness is held during one test.

    ``powered``: field wires on their terminals, one station on; else all lifted. ``kind`` is "dc",
    "megohm", "holding" or "inrush". ``parted`` and ``joined`` are edges opened and bridged.
    """

    powered: bool = False
    kind: str = "dc"
    parted: tuple[int, ...] = ()
    joined: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Port:
    """Two nodes between which a meter or a source is put."""

    a: int
    b: int


@dataclass(slots=True)
class Network:
    """The tree: per node its parent, ohms of the edge above it, and what that edge is.

    ``dc`` ohms, ``inrush`` and ``holding`` impedance [Ω] per edge, ``metres`` of wire per edge.
    ``mask`` holds for each node the edges on its way to the root as bits.
    """

    harness: Harness
    parent: list[int] = field(default_factory=list)
    dc: list[float] = field(default_factory=list)
    inrush: list[complex] = field(default_factory=list)
    holding: list[complex] = field(default_factory=list)
    metres: list[float] = field(default_factory=list)
    mask: list[int] = field(default_factory=list)
    wire: dict[tuple[str, str], int] = field(default_factory=dict)
    """(conductor, box or "controller") -> node."""
    hot: dict[str, int] = field(default_factory=dict)
    """Station -> node of the coil's fed lead."""
    ret: dict[str, int] = field(default_factory=dict)
    """Station -> node of the coil's return lead."""
    coil_mask: int = 0
    coil_index: dict[int, int] = field(default_factory=dict)
    """Coil edge -> number of its station."""
    links: set[int] = field(default_factory=set)
    sensor: int = 1
    """Edge of the sensors' contacts, between the controller's own common and the field's."""
    downward: set[int] = field(default_factory=set)
    earth: int = -1
    views: dict[tuple[Setup, Port], View] = field(default_factory=dict)
    grounds: dict[Setup, tuple[list[float] | list[complex], list[float] | list[complex]]] = field(
        default_factory=dict
    )

    def add(self, parent: int, ohm: float, inrush: complex, holding: complex, metres: float) -> int:
        """A new node below ``parent``; returns its number."""
        node = len(self.parent)
        self.parent.append(parent)
        self.dc.append(ohm)
        self.inrush.append(inrush)
        self.holding.append(holding)
        self.metres.append(metres)
        self.mask.append(0 if parent < 0 else self.mask[parent] | (1 << node))
        return node

    def plain(self, parent: int, ohm: float, metres: float = 0.0) -> int:
        """A new node whose edge is a pure resistance."""
        return self.add(parent, ohm, complex(ohm), complex(ohm), metres)

    def ancestor(self, a: int, b: int) -> int:
        """The last node the two ways to the root have in common."""
        shared = self.mask[a] & self.mask[b]
        return shared.bit_length() - 1 if shared else 0

    def hot_edge(self, station: str) -> int:
        """Edge of the splice between station wire and coil."""
        return self.wire[station, self.harness.station(station).box]

    def coil_edge(self, station: str) -> int:
        """Edge of the coil."""
        return self.hot[station]

    def return_edge(self, station: str) -> int:
        """Edge of the splice between coil and common."""
        return self.ret[station]

    def wire_edge(self, conductor: str, segment: str) -> int:
        """Edge of one conductor in one segment."""
        near = self.wire[conductor, self.harness.box(segment).after]
        far = self.wire[conductor, segment]
        return near if self.parent[near] == far else far

    def wire_down(self, edge: int) -> bool:
        """Whether a wire's edge has its controller side uppermost (commons) or not (stations)."""
        return edge in self.downward

    def near(self, edge: int) -> int:
        """The end of a wire's edge that lies toward the controller."""
        return self.parent[edge] if edge in self.downward else edge

    def ground(
        self, setup: Setup
    ) -> tuple[list[float] | list[complex], list[float] | list[complex]]:
        """Ohms of every edge and ohms from every node to the root, held as ``setup`` says."""
        known = self.grounds.get(setup)
        if known is None:
            known = self.grounds[setup] = self._ground(setup)
        return known

    def _ground(
        self, setup: Setup
    ) -> tuple[list[float] | list[complex], list[float] | list[complex]]:
        ohms: list[float] | list[complex]
        if setup.kind == "inrush":
            ohms = list(self.inrush)
        else:
            ohms = list(self.holding) if setup.kind == "holding" else list(self.dc)
        parted = MEGOHM_OPEN if setup.kind == "megohm" else OPEN_OHM
        if setup.powered:
            parted = METER_OHM
        for edge in self.links:
            if edge != self.earth:
                tied = setup.powered and edge in self._commons()
                ohms[edge] = CLOSED if tied else max(parted, LINK_OHM)
        for edge in setup.parted:
            ohms[edge] = parted
        for edge in setup.joined:
            ohms[edge] = 0.0
        depth = [0 * ohms[0]] * len(ohms)
        for node in range(1, len(ohms)):
            depth[node] = depth[self.parent[node]] + ohms[node]
        return ohms, depth

    def _commons(self) -> set[int]:
        return {self.wire[c.id, CONTROLLER] for c in self.harness.commons}

    def view(self, setup: Setup, port: Port) -> View:
        """Potentials of all nodes for one unit of current through ``port`` (kept once made)."""
        known = self.views.get((setup, port))
        if known is None:
            known = self.views[setup, port] = self._view(setup, port)
        return known

    def _view(self, setup: Setup, port: Port) -> View:
        ohms, depth = self.ground(setup)
        plus = self.mask[port.a] & ~self.mask[port.b]
        minus = self.mask[port.b] & ~self.mask[port.a]
        rise = [0 * ohms[0]] * len(ohms)
        both, parent = plus | minus, self.parent
        for node in range(1, len(ohms)):
            above = rise[parent[node]]
            if both >> node & 1:
                above = above + ohms[node] if plus >> node & 1 else above - ohms[node]
            rise[node] = above
        held = 0
        for edge in (*setup.parted, *setup.joined):
            held |= 1 << edge
        return View(rise, rise[port.a] - rise[port.b], plus, minus, ohms, depth, held)


@dataclass(slots=True)
class View:
    """One port of one setup: ``rise`` K(port, node), ``own`` K(port, port), path bits, ohms.

    ``held`` marks edges the setup itself opened or bridged: a fault there changes nothing.
    """

    rise: list[float] | list[complex]
    own: float | complex
    plus: int
    minus: int
    ohms: list[float] | list[complex]
    depth: list[float] | list[complex]
    held: int

    def sign(self, edge: int) -> int:
        """-1, 0 or +1: whether and which way the port's path takes an edge."""
        if self.plus >> edge & 1:
            return 1
        return -1 if self.minus >> edge & 1 else 0


def network(harness: Harness) -> Network:
    """The tree of a harness (ohms at its temperature). Node 0 is the controller's own common."""
    net = Network(harness)
    bus = net.plain(net.plain(-1, 0.0), CLOSED)
    for number, common in enumerate(harness.commons):
        # the first common hangs on the bus by next to nothing, so that there is one tree
        net.wire[common.id, CONTROLLER] = top = net.plain(bus, LINK_OHM if number else CLOSED)
        if number:
            net.links.add(top)
        for segment in harness.segments(common.id):
            box = harness.box(segment)
            above = net.wire[common.id, box.after]
            per_metre = ohm_per_metre(common.awg, harness.temperature)
            net.wire[common.id, segment] = node = net.plain(
                above, per_metre * box.length, box.length
            )
            net.downward.add(node)
    for number, station in enumerate(harness.stations):
        coil = station.coil
        warm = 1.0 + COPPER_COEFFICIENT * (harness.temperature - 20.0)
        ret = net.plain(net.wire[station.common, station.box], harness.splice_ohm)
        hot = net.add(ret, coil.dc_ohm * warm, coil.inrush, coil.holding, 0.0)
        net.ret[station.id], net.hot[station.id] = ret, hot
        net.coil_mask |= 1 << hot
        net.coil_index[hot] = number
        node = net.plain(hot, harness.splice_ohm)
        net.wire[station.id, station.box] = node
        _lay(net, station.id, station.awg, node, station.box)
    for spare in harness.spares:
        node = net.plain(bus, LINK_OHM)
        net.links.add(node)
        net.wire[spare.id, spare.box] = node
        _lay(net, spare.id, spare.awg, node, spare.box)
    net.earth = net.plain(bus, EARTH_OHM)
    net.links.add(net.earth)
    return net


def _lay(net: Network, name: str, awg: int, node: int, box: str) -> None:
    """Run a wire from its far end back to its terminal, one edge a segment."""
    per_metre = ohm_per_metre(awg, net.harness.temperature)
    for segment in reversed(net.harness.route(box)):
        stretch = net.harness.box(segment)
        node = net.plain(node, per_metre * stretch.length, stretch.length)
        net.wire[name, stretch.after] = node
