"""A harness file, ``*.harness.toml``: the wiring as found and the readings taken so far.

Its layout is our own and stands in ``docs/wiring.md``. Mistakes carry file, line and key path.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from pitwright.errors import BadInput, Malformed, Missing, OutOfRange, UnknownName
from pitwright.survey.harness import (
    CONTROLLER,
    CONTROLS,
    SPLICE_KINDS,
    Box,
    Clue,
    Coil,
    Common,
    Harness,
    Source,
    Spare,
    Station,
    ThroughSplice,
)
from pitwright.survey.lines import Lines, line_of, lines_of
from pitwright.survey.source import tables_of, text_of
from pitwright.units.kinds import FOOT
from pitwright.units.measure import measure

__all__ = ["HarnessFile", "load_harness", "read_harness"]

_KEYS: dict[str, tuple[str, ...]] = {
    "": (
        "name",
        "control",
        "unit",
        "temperature",
        "complaint",
        "opened",
        "controller",
        "coil",
        "box",
        "common",
        "station",
        "spare",
        "splice",
        "clue",
        "readings",
        "found",
        "distance",
    ),
    "controller": ("volts", "ohm", "va", "sensors", "nf_per_ft"),
    "coil": ("ohm", "inrush", "holding", "power_factor", "pull_in"),
    "box": ("id", "after", "length"),
    "common": ("id", "gauge", "colour", "colours"),
    "station": (
        "id",
        "box",
        "common",
        "gauge",
        "colour",
        "colours",
        "role",
        "coil",
        "hot_splice",
        "return_splice",
    ),
    "spare": ("id", "box", "gauge", "colour", "colours"),
    "splice": ("box", "conductor", "kind"),
    "clue": ("kind", "at"),
    "found": (
        "box",
        "mouth",
        "depth",
        "gravel",
        "wires_depth",
        "slack",
        "odd",
        "connector",
    ),
}
_ROLES = ("zone", "master", "pump")


@dataclass(frozen=True, slots=True)
class OpenedBox:
    """What is seen in an opened box: lengths [m] from its bottom or below ground, "odd" in words.

    ``gravel``: top of the gravel above the bottom; ``slack``: spare wire length; ``wires_depth``:
    how deep the incoming wire lies below ground.
    """

    box: str
    depth: float | None = None
    gravel: float | None = None
    wires_depth: float | None = None
    slack: float | None = None
    odd: tuple[str, ...] = ()
    connector: str = ""


@dataclass(frozen=True, slots=True)
class HarnessFile:
    """A harness, its readings as they were typed (and the line of each), and the opened boxes.

    ``distances``: readings for a distance, each its keys as typed, and its line.
    """

    harness: Harness
    readings: tuple[tuple[str, int | None], ...]
    opened: tuple[OpenedBox, ...]
    file: str
    distances: tuple[tuple[Mapping[str, str], int | None], ...] = ()


class _Table:
    """One table with known keys; every mistake names the whole key path."""

    def __init__(self, value: object, where: str, shape: str) -> None:
        if not isinstance(value, dict):
            raise Malformed(where, value, "must be a table", "see docs/wiring.md")
        self.value: dict[str, object] = value
        self.where = where
        for key in value:
            if key not in _KEYS[shape]:
                raise UnknownName(self.at(key), key, _KEYS[shape], "key here")

    def at(self, key: str) -> str:
        return f"{self.where}.{key}" if self.where else key

    def text(self, key: str, default: str | None = None) -> str:
        value = self.value.get(key, default)
        if value is None:
            raise Missing(self.at(key), "write it in quotes")
        if isinstance(value, int) and not isinstance(value, bool) and key == "id":
            value = str(value)
        if not isinstance(value, str) or (not value.strip() and default != ""):
            raise Malformed(self.at(key), value, "must be text", "write it in quotes")
        if len(value) > 200:
            raise Malformed(self.at(key), value, "is too long", "200 characters are plenty")
        return value.strip()

    def choice(self, key: str, options: tuple[str, ...], default: str) -> str:
        word = self.text(key, default)
        known = {o.lower(): o for o in options}
        if word.lower() not in known:
            raise UnknownName(self.at(key), word, options, "word here")
        return known[word.lower()]

    def number(self, key: str, low: float, high: float, default: float) -> float:
        value = self.value.get(key, default)
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise Malformed(self.at(key), value, "must be a number", "write it without quotes")
        if not low <= value <= high:
            raise OutOfRange(self.at(key), value, low, high, "read it again")
        return float(value)

    def length(self, key: str, unit: str, low: float, high: float) -> tuple[float, float] | None:
        """A length and one sigma of its limits, in metres; None when not written."""
        value = self.value.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            raise Malformed(self.at(key), value, "must be a length", 'write it like "150 ft"')
        got = measure(value, default=unit, where=self.at(key), low=low, high=high)
        return got.si, (got.limit.half / 2.0 if got.limit else 0.0)

    def words(self, key: str) -> tuple[str, ...]:
        value = self.value.get(key, [])
        if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
            raise Malformed(self.at(key), value, "must be a list of texts", 'like ["one", "two"]')
        return tuple(str(v).strip() for v in value)

    def tables(self, key: str) -> list[_Table]:
        value = self.value.get(key, [])
        if not isinstance(value, list):
            raise Malformed(self.at(key), value, "must be a list of tables", f"write [[{key}]]")
        if len(value) > 300:
            raise OutOfRange(self.at(key), len(value), 0, 300, "one file is one controller")
        return [_Table(v, f"{self.at(key)}.{i}", key) for i, v in enumerate(value)]


def load_harness(path: str | Path) -> HarnessFile:
    """The harness of a file. Raises Unreadable and every other BadInput, with file and line."""
    text = text_of(path)
    return read_harness(text, str(path))


def read_harness(text: str, file: str = "harness") -> HarnessFile:
    """The harness of a text. Raises BadInput with the line where it is known."""
    lines: Lines | None = None
    try:
        tables = tables_of(text)
        lines = lines_of(text)
        return _read(_Table(tables, "", ""), file, lines)
    except BadInput as mistake:
        raise mistake.at(
            file, line_of(mistake.where, lines) if lines is not None else None
        ) from None


def _read(root: _Table, file: str, lines: Lines) -> HarnessFile:
    unit = root.choice("unit", ("ft", "m"), "ft")
    coil = _coil(_Table(root.value.get("coil", {}), "coil", "coil"), Coil())
    box = _Table(root.value.get("controller", {}), "controller", "controller")
    if not root.tables("box") or not root.tables("station"):
        raise Missing("box and station", "a harness needs one of each; see docs/wiring.md")
    commons = tuple(_common(t) for t in root.tables("common")) or (Common("C1"),)
    nf = box.number("nf_per_ft", 0.0, 1.0, 0.0)
    harness = Harness(
        root.text("name", "harness"),
        tuple(_box(t, unit) for t in root.tables("box")),
        commons,
        tuple(_station(t, commons[0].id, coil) for t in root.tables("station")),
        tuple(
            Spare(t.text("id"), t.text("box"), _gauge(t, 18), _colours(t))
            for t in root.tables("spare")
        ),
        tuple(
            ThroughSplice(
                t.text("box"), t.text("conductor"), t.choice("kind", SPLICE_KINDS, "unknown")
            )
            for t in root.tables("splice")
        ),
        tuple(Clue(t.text("kind"), t.text("at", "")) for t in root.tables("clue")),
        box.words("sensors"),
        root.choice("control", CONTROLS, "24 V AC"),
        Source(
            box.number("volts", 12.0, 40.0, 27.5),
            box.number("ohm", 0.0, 20.0, 1.4),
            box.number("va", 5.0, 500.0, 30.0),
        ),
        temperature=root.number("temperature", -30.0, 60.0, 20.0),
        cap_per_m=nf * 1e-9 / FOOT if nf else None,
        opened=root.words("opened"),
        complaint=root.text("complaint", ""),
    )
    for number, name in enumerate(harness.opened):
        if name not in {b.id for b in harness.boxes}:
            raise UnknownName(f"opened.{number}", name, [b.id for b in harness.boxes], "box")
    line = line_of("readings", lines)
    readings = tuple((said, line) for said in root.words("readings"))
    distances = tuple(
        (asked, line_of(f"distance.{number}", lines))
        for number, asked in enumerate(_distances(root))
    )
    return HarnessFile(harness, readings, _opened(root, harness, unit), file, distances)


def _distances(root: _Table) -> list[dict[str, str]]:
    """Each ``[[distance]]`` with its values as text; the methods say which keys they take."""
    value = root.value.get("distance", [])
    if not isinstance(value, list) or not all(isinstance(v, dict) for v in value):
        raise Malformed("distance", value, "must be a list of tables", "write [[distance]]")
    if len(value) > 300:
        raise OutOfRange("distance", len(value), 0, 300, "one file is one controller")
    found = []
    for number, table in enumerate(value):
        for key, said in table.items():
            if isinstance(said, bool) or not isinstance(said, str | int | float):
                where = f"distance.{number}.{key}"
                raise Malformed(where, said, "must be text or a number", 'like "30.5 ohm"')
        found.append({key: str(said) for key, said in table.items()})
    return found


def _gauge(table: _Table, default: int) -> int:
    value = table.number("gauge", 4, 26, default)
    if value != int(value):
        raise Malformed(table.at("gauge"), value, "must be a whole number", "read the jacket")
    return int(value)


def _colours(table: _Table) -> tuple[tuple[str, str], ...]:
    found = [("", table.text("colour", ""))] if table.value.get("colour") else []
    changes = table.value.get("colours", {})
    if not isinstance(changes, dict) or not all(isinstance(v, str) for v in changes.values()):
        raise Malformed(
            table.at("colours"), changes, "must be colours by segment", '{ B2 = "red" }'
        )
    return (*found, *((str(k), str(v)) for k, v in changes.items()))


def _box(table: _Table, unit: str) -> Box:
    after = table.text("after", CONTROLLER)
    length = table.length("length", unit, 0.1, 5000.0)
    if length is None:
        raise Missing(table.at("length"), 'route from the box before, like "150 ft +- 10 ft"')
    return Box(table.text("id"), after, *length)


def _common(table: _Table) -> Common:
    return Common(table.text("id"), _gauge(table, 14), _colours(table))


def _station(table: _Table, common: str, coil: Coil) -> Station:
    return Station(
        table.text("id"),
        table.text("box"),
        table.text("common", common),
        _gauge(table, 18),
        _coil(_Table(table.value.get("coil", {}), table.at("coil"), "coil"), coil),
        table.choice("role", _ROLES, "zone"),
        table.choice("hot_splice", SPLICE_KINDS, "unknown"),
        table.choice("return_splice", SPLICE_KINDS, "unknown"),
        _colours(table),
    )


def _coil(table: _Table, default: Coil) -> Coil:
    """A coil: ohms, and impedance magnitudes with one power factor (0.5 when not known)."""
    if not table.value:
        return default
    ohm = table.number("ohm", 0.5, 500.0, default.dc_ohm)
    factor = table.number("power_factor", 0.05, 1.0, 0.5)
    inrush = table.number("inrush", 1.0, 2000.0, 0.0) if "inrush" in table.value else 0.0
    holding = table.number("holding", 1.0, 4000.0, 0.0) if "holding" in table.value else 0.0
    return Coil(
        ohm,
        _phasor(inrush, factor) if inrush else default.inrush,
        _phasor(holding, factor) if holding else default.holding,
        table.number("pull_in", 5.0, 30.0, default.pull_in),
    )


def _phasor(size: float, factor: float) -> complex:
    return complex(size * factor, size * (1.0 - factor * factor) ** 0.5)


def _opened(root: _Table, harness: Harness, unit: str) -> tuple[OpenedBox, ...]:
    found = []
    for table in root.tables("found"):
        name = table.text("box")
        if name not in {b.id for b in harness.boxes}:
            raise UnknownName(table.at("box"), name, [b.id for b in harness.boxes], "box")
        sizes = {
            key: got[0] if (got := table.length(key, "in", 0.0, 5.0)) else None
            for key in ("depth", "gravel", "wires_depth", "slack")
        }
        found.append(
            OpenedBox(
                name,
                sizes["depth"],
                sizes["gravel"],
                sizes["wires_depth"],
                sizes["slack"],
                table.words("odd"),
                table.text("connector", ""),
            )
        )
    return tuple(found)
