"""Tests one can make with a meter, each defined by physical nodes, and their cost in minutes.

Source: circuit theory; minutes and meters are judgement, in the tables.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.survey.harness import CONTROLLER, Harness
from pitwright.wiring.network import Network, Port, Setup
from pitwright.wiring.tables import meter, minutes

__all__ = [
    "BOX_TESTS",
    "EARTH",
    "KINDS",
    "MeterTest",
    "Reading",
    "Site",
    "layout",
    "meter_function",
]

EARTH = "earth"
"""A rod in wet soil, as one side of a test."""

KINDS = (
    "ohms",
    "transfer",
    "insulation",
    "capacitance",
    "volts",
    "amps",
    "moves",
    "volts-coil",
    "volts-wires",
    "volts-box",
    "coil",
    "parted",
    "joined",
)
BOX_TESTS = frozenset(("volts-coil", "volts-wires", "volts-box", "coil", "parted", "joined"))
"""Tests made, at least in part, at a box; the rest are made at the controller."""


@dataclass(frozen=True, slots=True, order=True)
class MeterTest:
    """One test.

    ``a``, ``b``: conductors whose terminals are used (``b`` also "earth"). ``box``: where, for
    "volts-box". ``sense``: the two conductors (or "earth") whose volts a "transfer" test reads
    while a battery drives a current from ``a`` to ``b``.
    """

    kind: str
    a: str
    b: str = ""
    box: str = ""
    sense: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class Reading:
    """What a test showed: a number [Ω, V, A or F], "OL", "INVALID", or the stations that moved.

    ``rel`` and ``fixed`` are the meter's two-sigma limits, ``limit`` where it shows OL; zero means
    the default of ``wiring/data/meters.csv``. ``text`` is what the person typed.
    """

    test: MeterTest
    value: float | str | frozenset[str]
    rel: float = 0.0
    fixed: float = 0.0
    limit: float = 0.0
    text: str = ""


@dataclass(frozen=True, slots=True)
class Site:
    """What is already open: boxes, and the controller. Decides what the next test costs."""

    boxes: frozenset[str] = frozenset()
    controller: bool = False

    def cost(self, harness: Harness, test: MeterTest) -> float:
        """Minutes for ``test`` from here. [min]"""
        total = minutes(
            meter_function(test) if test.kind == "transfer" else _cost_row(harness, test)
        )
        if not self.controller:
            total += minutes("open-controller")
        box = box_of(harness, test)
        if box:
            total += minutes("next-box" if box in self.boxes else "open-box")
        return total

    def after(self, harness: Harness, test: MeterTest) -> Site:
        """The site once ``test`` has been made."""
        box = box_of(harness, test)
        return Site(self.boxes | {box} if box else self.boxes, True)


def _cost_row(harness: Harness, test: MeterTest) -> str:
    stations = {s.id for s in harness.stations}
    if test.kind == "insulation" and test.a in stations:
        return "insulation-wire"
    return test.kind


def box_of(harness: Harness, test: MeterTest) -> str:
    """The box a test needs open, "" for none."""
    stations = {s.id for s in harness.stations}
    if test.kind == "volts-box":
        return test.box
    if test.kind in BOX_TESTS or (test.kind == "insulation" and test.a in stations):
        return harness.station(test.a).box
    return ""


def meter_function(test: MeterTest) -> str:
    """The row of ``meters.csv`` that a test uses."""
    if test.kind == "transfer":
        return "transfer-earth" if EARTH in test.sense else "transfer"
    if test.kind in ("ohms", "coil", "parted", "joined"):
        return "ohms"
    return "volts" if test.kind.startswith("volts") else test.kind


def meter_of(reading: Reading) -> tuple[float, float, float]:
    """Two-sigma limits and over-range point of a reading's meter, its own before the table's."""
    rel, fixed, limit = meter(meter_function(reading.test))
    return reading.rel or rel, reading.fixed or fixed, reading.limit or limit


def layout(
    net: Network, test: MeterTest, swap: tuple[str, str] = ("", "")
) -> tuple[Setup, Port, Port]:
    """How the harness is held, where the current goes in, and where the volts are read.

    ``swap``: two stations whose wires are changed over at the terminals.
    """
    other = {swap[0]: swap[1], swap[1]: swap[0]} if swap[0] else {}

    def terminal(name: str) -> int:
        if name == EARTH:
            return net.earth
        return net.wire[other.get(name, name), CONTROLLER]

    kind, a = test.kind, test.a
    if kind == "transfer":
        drive = Port(terminal(a), terminal(test.b))
        return Setup(), drive, Port(terminal(test.sense[0]), terminal(test.sense[1]))
    if kind == "coil":
        port = Port(net.hot[a], net.ret[a])
        return Setup(parted=(net.hot_edge(a), net.return_edge(a))), port, port
    if kind in ("ohms", "capacitance", "insulation"):
        station = a in net.hot
        to = test.b or (EARTH if kind == "insulation" else net.harness.station(a).common)
        held = (net.coil_edge(a),) if kind == "insulation" and station else ()
        port = Port(terminal(a), terminal(to))
        return Setup(kind="megohm" if kind == "insulation" else "dc", parted=held), port, port
    station_of = net.harness.station(a)
    if kind in ("parted", "joined"):
        edges = (net.hot_edge(a), net.coil_edge(a), net.return_edge(a))
        setup = Setup(parted=(edges[1],)) if kind == "parted" else Setup(joined=edges)
        port = Port(terminal(a), terminal(station_of.common))
        return setup, port, port
    drive = Port(terminal(a), 0)
    if kind == "moves":
        return Setup(True, "inrush"), drive, drive
    setup = Setup(True, "holding")
    if kind == "volts-coil":
        return setup, drive, Port(net.hot[a], net.ret[a])
    if kind == "volts-wires":
        held = (net.coil_edge(a),)
        far = Port(net.wire[a, station_of.box], net.wire[station_of.common, station_of.box])
        return Setup(True, "holding", parted=held), drive, far
    if kind == "volts-box":
        return setup, drive, Port(net.wire[a, test.box], net.wire[station_of.common, test.box])
    return setup, drive, drive
