"""Water: pressure and where it was read, flow and how it was timed, source, heights."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import Contradiction, Malformed
from pitwright.survey.readings import Reading
from pitwright.survey.section import Section

__all__ = ["SOURCES", "Bucket", "PumpPoint", "Tank", "Water", "read_water"]

SOURCES = ("meter", "well", "tank", "other")
_MOST_PRESSURE, _MOST_FLOW, _MOST_RISE = 2e6, 0.1, 200.0
"""[Pa], [m³/s], [m]"""


@dataclass(frozen=True, slots=True)
class Bucket:
    """A timed bucket: volume [m³], time [s], the pressure beside it [Pa] when it was read."""

    volume: Reading
    time: Reading
    pressure: Reading | None

    @property
    def flow(self) -> float:
        """Volume over time. [m³/s]"""
        return self.volume.value / self.time.value


@dataclass(frozen=True, slots=True)
class PumpPoint:
    """One point of a pump's curve: flow [m³/s], pressure it makes [Pa]."""

    flow: Reading
    pressure: Reading


@dataclass(frozen=True, slots=True)
class Tank:
    """A pressure tank: volume [m³], switch-on and switch-off pressure [Pa]."""

    volume: Reading | None
    on: Reading | None
    off: Reading | None


@dataclass(frozen=True, slots=True)
class Water:
    """What is known of the supply. Heights count up from the datum [m]; pressures [Pa].

    ``elevation`` is the height of the tap where the pressure was read.
    """

    source: str
    static: Reading | None
    static_at: str
    running: Reading | None
    running_at: str
    flow: Reading | None
    bucket: Bucket | None
    elevation: Reading | None
    pump: tuple[PumpPoint, ...]
    tank: Tank | None
    note: str


def read_water(section: Section) -> Water:
    """The section [water]. SI. Raises Contradiction and those of a reading."""
    static, running = _pressure(section, "static"), _pressure(section, "running")
    if static and running and running.value > static.value:
        raise Contradiction(
            section.at("running"),
            running.text,
            f"must not be above the static pressure ({static.text})",
            "read both again at one tap, nothing running for the static one",
        )
    return Water(
        section.choice("source", SOURCES, "other"),
        static,
        section.text("static_at"),
        running,
        section.text("running_at"),
        section.reading("flow", tool="flow meter", unit="gpm", low=0.0, high=_MOST_FLOW),
        _bucket(section),
        section.reading("elevation", low=-_MOST_RISE, high=_MOST_RISE),
        _pump(section),
        _tank(section),
        section.text("note"),
    )


def _pressure(section: Section, key: str) -> Reading | None:
    return section.reading(key, tool="gauge", unit="psi", low=0.0, high=_MOST_PRESSURE)


def _bucket(section: Section) -> Bucket | None:
    table = section.sub("bucket", "water.bucket")
    if table is None:
        return None
    volume = table.need_reading(
        "volume", "say what the bucket holds", tool="bucket", unit="gal", low=1e-5, high=2.0
    )
    time = table.need_reading(
        "time", "say how long it took to fill", tool="watch", unit="s", low=0.5, high=86400.0
    )
    return Bucket(volume, time, _pressure(table, "pressure"))


def _tank(section: Section) -> Tank | None:
    table = section.sub("tank", "water.tank")
    if table is None:
        return None
    volume = table.reading("volume", tool="bucket", unit="gal", low=0.0, high=50.0)
    on, off = _pressure(table, "on"), _pressure(table, "off")
    if on and off and off.value <= on.value:
        raise Contradiction(
            table.at("off"),
            off.text,
            f"must be above the switch-on pressure ({on.text})",
            "read the switch again",
        )
    return Tank(volume, on, off)


def _pump(section: Section) -> tuple[PumpPoint, ...]:
    value = section.table.get("pump", [])
    where, hint = section.at("pump"), 'write it as [["0 gpm", "70 psi"], ["10 gpm", "52 psi"]]'
    if not isinstance(value, list) or len(value) > 60:
        raise Malformed(where, value, "must be a list of pairs, flow and pressure", hint)
    points: list[PumpPoint] = []
    for i, pair in enumerate(value):
        if not isinstance(pair, list) or len(pair) != 2:
            raise Malformed(f"{where}.{i}", pair, "must be a flow and its pressure", hint)
        flow = section.read(
            pair[0], f"{where}.{i}.0", tool="sheet flow", unit="gpm", low=0.0, high=_MOST_FLOW
        )
        made = section.read(
            pair[1],
            f"{where}.{i}.1",
            tool="sheet pressure",
            unit="psi",
            low=0.0,
            high=5 * _MOST_PRESSURE,
        )
        if points and (
            flow.value <= points[-1].flow.value or made.value > points[-1].pressure.value
        ):
            raise Contradiction(
                f"{where}.{i}",
                f"{flow.text}, {made.text}",
                "must have more flow and no more pressure than the line before",
                hint,
            )
        points.append(PumpPoint(flow, made))
    return tuple(points)
