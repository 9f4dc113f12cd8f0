"""The wiring as found: controller, boxes, conductors, splices, coils, spare wires and clues.

Lengths are metres, ohms are ohms at 20 °C. Nothing is worked out here; see ``wiring``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from pitwright.errors import Duplicate, OutOfRange, UnknownName

__all__ = [
    "CONTROLLER",
    "CONTROLS",
    "SPLICE_KINDS",
    "Box",
    "Clue",
    "Coil",
    "Common",
    "Harness",
    "Source",
    "Spare",
    "Station",
    "ThroughSplice",
]

CONTROLLER = "controller"
"""Where every route begins: the name a box's ``after`` may give instead of another box."""

CONTROLS = ("24 V AC", "latching", "decoder", "hydraulic", "unknown")
"""Kinds of control a harness file may name."""

SPLICE_KINDS = ("sealed", "taped", "bare", "unknown")
"""Kinds of splice: wet-rated and sealed, twisted and taped, bare, or nobody looked."""


@dataclass(frozen=True, slots=True)
class Coil:
    """One coil: ohmmeter reading and impedance are different things and both are kept.

    ``dc_ohm`` [Ω at 20 °C], ``inrush`` and ``holding`` as R + jX [Ω], ``pull_in`` volts and its one
    sigma [V]. Defaults: middle of the ranges of ``wiring/data/coil_ranges.csv``.
    """

    dc_ohm: float = 28.0
    inrush: complex = complex(33.0, 50.1)
    holding: complex = complex(47.25, 93.8)
    pull_in: float = 17.0
    pull_in_sd: float = 1.0


@dataclass(frozen=True, slots=True)
class Source:
    """What feeds the field: open-circuit volts [V], internal ohms [Ω] and rated load [VA]."""

    volts_open: float = 27.5
    ohm: float = 1.4
    va: float = 30.0


@dataclass(frozen=True, slots=True)
class Box:
    """One box and the stretch of route that leads to it: ``length`` and its one sigma [m]."""

    id: str
    after: str
    length: float
    length_sd: float = 0.0


@dataclass(frozen=True, slots=True)
class Common:
    """One common wire; ``colours`` by segment (the box each stretch leads to), "" for all."""

    id: str
    awg: int = 14
    colours: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Station:
    """One station: its own wire from a terminal to ``box``, its coil, and the common it returns by.

    ``role`` is "zone", "master" (master valve) or "pump" (pump relay).
    """

    id: str
    box: str
    common: str
    awg: int = 18
    coil: Coil = field(default_factory=Coil)
    role: str = "zone"
    hot_splice: str = "unknown"
    return_splice: str = "unknown"
    colours: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Spare:
    """A spare conductor that lies as far as ``box`` and is joined to nothing."""

    id: str
    box: str
    awg: int = 18
    colours: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class ThroughSplice:
    """A conductor joined where it passes a box (or in the ground before it)."""

    box: str
    conductor: str
    kind: str = "unknown"


@dataclass(frozen=True, slots=True)
class Clue:
    """Something seen: ``kind`` from ``wiring/data/clues.csv``, ``at`` a box, segment or station."""

    kind: str
    at: str = ""


@dataclass(frozen=True, slots=True)
class Harness:
    """All of it. Names are checked when it is made; the order of stations is the terminals' order.

    ``coil_rel`` and ``wire_rel`` are one-sigma scatter of coil ohms and wire ohms [-];
    ``splice_ohm`` a sound splice [Ω]; ``temperature`` of wire and coils [°C]; ``cap_per_m`` farads
    per metre measured on a good wire, or None. ``sensors`` stand in series with the common at the
    controller. ``opened`` are boxes already open; ``complaint`` the words that brought you here.

    Raises Duplicate, UnknownName and OutOfRange.
    """

    name: str
    boxes: tuple[Box, ...]
    commons: tuple[Common, ...]
    stations: tuple[Station, ...]
    spares: tuple[Spare, ...] = ()
    throughs: tuple[ThroughSplice, ...] = ()
    clues: tuple[Clue, ...] = ()
    sensors: tuple[str, ...] = ()
    control: str = "24 V AC"
    source: Source = field(default_factory=Source)
    splice_ohm: float = 0.02
    coil_rel: float = 0.05
    wire_rel: float = 0.04
    temperature: float = 20.0
    cap_per_m: float | None = None
    opened: tuple[str, ...] = ()
    complaint: str = ""

    def __post_init__(self) -> None:
        _no_twice("box", [b.id for b in self.boxes])
        _no_twice(
            "conductor",
            [c.id for c in self.commons]
            + [s.id for s in self.stations]
            + [s.id for s in self.spares],
        )
        seen: set[str] = {CONTROLLER}
        for box in self.boxes:
            if box.after not in seen:
                raise UnknownName(f"box.{box.id}.after", box.after, seen, "box named before it")
            seen.add(box.id)
            if not 0.0 < box.length < 20_000.0:
                raise OutOfRange(f"box.{box.id}.length", box.length, "0 m", "20 km", "measure it")
        boxes = {b.id for b in self.boxes}
        commons = {c.id for c in self.commons}
        for station in self.stations:
            if station.box not in boxes:
                raise UnknownName(f"station.{station.id}.box", station.box, boxes, "box")
            if station.common not in commons:
                raise UnknownName(f"station.{station.id}.common", station.common, commons, "common")
        for spare in self.spares:
            if spare.box not in boxes:
                raise UnknownName(f"spare.{spare.id}.box", spare.box, boxes, "box")
        for through in self.throughs:
            if through.box not in boxes:
                raise UnknownName("splice.box", through.box, boxes, "box")
            if through.conductor not in self.conductors():
                raise UnknownName(
                    "splice.conductor", through.conductor, self.conductors(), "conductor"
                )

    def station(self, name: str) -> Station:
        """The station called ``name``; raises UnknownName with the nearest names."""
        for station in self.stations:
            if station.id == name:
                return station
        raise UnknownName("station", name, [s.id for s in self.stations], "station")

    def box(self, name: str) -> Box:
        """The box called ``name``; raises UnknownName with the nearest names."""
        for box in self.boxes:
            if box.id == name:
                return box
        raise UnknownName("box", name, [b.id for b in self.boxes], "box")

    def route(self, box: str) -> tuple[str, ...]:
        """Segments from the controller to ``box``, nearest first, named by the box they lead to."""
        after: Mapping[str, str] = {b.id: b.after for b in self.boxes}
        found: list[str] = []
        while box != CONTROLLER:
            found.append(box)
            box = after[box]
        return tuple(reversed(found))

    def conductors(self) -> tuple[str, ...]:
        """Names of all conductors: commons, then stations, then spares."""
        return (
            *(c.id for c in self.commons),
            *(s.id for s in self.stations),
            *(s.id for s in self.spares),
        )

    def segments(self, conductor: str) -> tuple[str, ...]:
        """Segments a conductor lies in, nearest the controller first. Raises UnknownName."""
        ends = {w.id: w.box for w in self.stations} | {w.id: w.box for w in self.spares}
        if conductor in ends:
            return self.route(ends[conductor])
        if conductor not in {c.id for c in self.commons}:
            raise UnknownName("conductor", conductor, self.conductors(), "conductor")
        needed: set[str] = set()
        for station in self.stations:
            if station.common == conductor:
                needed.update(self.route(station.box))
        return tuple(b.id for b in self.boxes if b.id in needed)

    def wires(self) -> dict[str, tuple[int, tuple[tuple[str, str], ...]]]:
        """Gauge and colours by conductor: commons, then stations, then spares."""
        found = {w.id: (w.awg, w.colours) for w in self.commons}
        found |= {w.id: (w.awg, w.colours) for w in self.stations}
        return found | {w.id: (w.awg, w.colours) for w in self.spares}

    def awg(self, conductor: str) -> int:
        """American wire gauge of a conductor. Raises UnknownName."""
        wires = self.wires()
        if conductor not in wires:
            raise UnknownName("conductor", conductor, wires, "conductor")
        return wires[conductor][0]

    def colour(self, conductor: str, segment: str) -> str:
        """The colour a conductor has in one segment, "" when nobody wrote it down."""
        wires = self.wires()
        if conductor not in wires:
            raise UnknownName("conductor", conductor, wires, "conductor")
        colours = dict(wires[conductor][1])
        return colours.get(segment, colours.get("", ""))

    def length_to(self, box: str) -> float:
        """Route length from the controller to ``box``. [m]"""
        return sum(self.box(b).length for b in self.route(box))


def _no_twice(what: str, names: list[str]) -> None:
    for name in names:
        if names.count(name) > 1:
            raise Duplicate(f"{what}.{name}", name, "is there twice", "give each its own name")
