"""Zones: which stubs they join, which new valve they ask for, and what they water."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from pitwright.errors import Contradiction, Malformed, Missing, UnknownName
from pitwright.findings import StubId, ZoneId
from pitwright.survey.readings import Reading
from pitwright.survey.section import Section

__all__ = ["KINDS_OF_HEAD", "Heads", "Zone", "read_zone"]

KINDS_OF_HEAD = ("spray", "rotor", "rotating stream", "bubbler", "drip", "other")


@dataclass(frozen=True, slots=True)
class Heads:
    """Like heads or emitters: how many, flow of one [m³/s] at a pressure [Pa], height [m]."""

    kind: str
    count: int
    flow: Reading | None
    at: Reading | None
    up: Reading | None


@dataclass(frozen=True, slots=True)
class Zone:
    """One zone and its station. It asks for a new valve when ``valve`` names one, and to have its
    two stubs joined without any when ``join`` is set. ``shut_off`` names the body that may be put
    in ahead of it as a shut-off, None when nobody has one.
    """

    id: ZoneId
    name: str
    inlet: StubId
    outlet: StubId
    valve: str | None
    heads: tuple[Heads, ...]
    note: str
    join: bool = False
    shut_off: str | None = None

    @property
    def planned(self) -> bool:
        """Whether it asks for anything."""
        return self.join or self.valve is not None


def read_zone(key: str, section: Section, stubs: Collection[str], valves: Collection[str]) -> Zone:
    """One section [zone.name]. Raises Missing, Contradiction and those of a reading. SI."""
    inlet = _known(section, "inlet", stubs, "stub")
    outlet = _known(section, "outlet", stubs, "stub")
    if not inlet or not outlet:
        missing = "outlet" if inlet else "inlet"
        raise Missing(section.at(missing), f"name the stub the water {_WAY[missing]} by")
    if inlet == outlet:
        raise Contradiction(
            section.at("outlet"),
            outlet,
            "must be another stub than the inlet",
            "a zone joins two stubs; name the other one",
        )
    valve = _known(section, "valve", valves, "valve")
    join = section.flag("join", False)
    if join and valve:
        hint = "leave out join: a new valve joins both stubs; or leave out valve"
        raise Contradiction(
            section.at("join"), join, f'must not stand beside valve "{valve}"', hint
        )
    return Zone(
        ZoneId(key),
        section.text("name") or key,
        StubId(inlet),
        StubId(outlet),
        valve or None,
        _heads(section),
        section.text("note"),
        join,
        _known(section, "shut_off", valves, "valve") or None,
    )


_WAY = {"inlet": "comes in", "outlet": "goes out"}


def _known(section: Section, key: str, names: Collection[str], what: str) -> str:
    name = section.text(key)
    if name and name not in names:
        raise UnknownName(section.at(key), name, names, what)
    return name


def _heads(section: Section) -> tuple[Heads, ...]:
    value = section.table.get("heads", [])
    where = section.at("heads")
    if not isinstance(value, list) or len(value) > 50:
        hint = 'write it as [{ kind = "spray", count = 6, flow = "2 gpm", at = "30 psi" }]'
        raise Malformed(where, value, "must be a list of tables", hint)
    heads: list[Heads] = []
    for i, entry in enumerate(value):
        table = Section(entry, f"{where}.{i}", "zone.*.heads", section.bench)
        heads.append(
            Heads(
                table.choice("kind", KINDS_OF_HEAD, None),
                table.count("count", 1, 10_000, 1),
                table.reading("flow", tool="sheet flow", unit="gpm", low=0.0, high=0.1),
                table.reading("at", tool="sheet pressure", unit="psi", low=0.0, high=2e6),
                table.reading("up", low=-200.0, high=200.0),
            )
        )
    return tuple(heads)
