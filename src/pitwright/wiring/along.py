"""Distance readings as people give them: which method, which wires, what was read, how far it is.

Each method of ``wiring.distance`` gets its lengths and ohms per metre from the harness; what a
person types is the method's name and the readings it takes. A distance stands for itself: it does
not move the chances of the places.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import hypot

from pitwright.errors import BadInput, Malformed, Missing, OutOfRange, UnknownName
from pitwright.findings import Refusal, Short
from pitwright.survey.harness import Harness
from pitwright.wiring.copper import ohm_per_metre
from pitwright.wiring.distance import (
    Distance,
    by_both_ends,
    by_capacitance,
    by_capacitance_both_ends,
    by_loop_ohms,
    by_murray,
    by_varley,
    by_volt_drop,
)
from pitwright.wiring.measuring import MeterTest, Reading, meter_of
from pitwright.wiring.readings import parse_shown

__all__ = ["METHODS", "UPPER", "Along", "Method", "along"]

UPPER = "no farther than"
"""The kind of a distance that is only an upper bound."""


@dataclass(frozen=True, slots=True)
class Along:
    """One distance along ``wire`` from the controller, or why there is none.

    ``mate``: the other wire of the pair or loop, "" for none; ``to``: the box at the far end, with
    ``length`` of the bad wire's route that far [m]. ``typed``: the readings as they came.
    ``segments``: those the band reaches into, nearest first; ``segment`` holds the place itself.
    """

    method: str
    wire: str
    mate: str
    to: str
    length: float
    typed: tuple[tuple[str, str], ...]
    got: Distance | None = None
    refusal: Refusal | None = None
    segment: str = ""
    segments: tuple[str, ...] = ()

    @property
    def low(self) -> float:
        """Where the 95 % band begins: 0 for an upper bound. [m]"""
        if self.got is None or self.got.kind == UPPER:
            return 0.0
        return min(max(self.got.metres - self.got.band, 0.0), self.length)

    @property
    def high(self) -> float:
        """Where the 95 % band ends, at most the far end. [m]"""
        if self.got is None:
            return self.length
        return min(self.got.metres + self.got.band, self.length)

    @property
    def past_end(self) -> bool:
        """Whether an upper bound lies past the wire's end, so that it says nothing."""
        return self.got is not None and self.got.kind == UPPER and self.high >= self.length


@dataclass(frozen=True, slots=True)
class Method:
    """One way to a distance: the readings it takes, by key, and what each is.

    ``mate``: "good" wire joined to the bad one far away, the "pair" of a loop, or "" for none.
    """

    readings: tuple[tuple[str, str], ...]
    mate: str
    work: Callable[[_Bench], Distance]


@dataclass(frozen=True, slots=True)
class _Bench:
    """What a method works with: readings in SI, the route [m], ohms per metre [Ω/m]."""

    values: Mapping[str, Reading]
    wire_rel: float
    bad: float
    good: float
    length: float
    length_sd: float

    def value(self, key: str) -> float:
        """A reading's number. [SI]"""
        return float(self.values[key].value)  # type: ignore[arg-type]

    def sd(self, key: str) -> float:
        """One sigma of a reading, from its meter's two-sigma limits. [SI]"""
        rel, fixed, _ = meter_of(self.values[key])
        return 0.5 * (rel * self.value(key) + fixed)

    def rel(self, default: float) -> float:
        """One sigma of the worst reading that names its meter's class, else ``default``. [-]"""
        return max((r.rel / 2.0 for r in self.values.values() if r.rel), default=default)


def _loop_ohms(b: _Bench) -> Distance:
    return by_loop_ohms(b.value("ohm"), b.bad + b.good, b.sd("ohm"), b.wire_rel)


def _both_ends(b: _Bench) -> Distance:
    near, far, pair = b.value("near"), b.value("far"), b.bad + b.good
    got = by_both_ends(near, far, pair, b.length, max(b.sd("near"), b.sd("far")), b.length_sd)
    return replace(got, sd=hypot(got.sd, b.wire_rel * (near - far) / (2.0 * pair)))


def _murray(b: _Bench) -> Distance:
    arms = b.value("near_arm"), b.value("far_arm")
    return by_murray(*arms, b.length, b.bad, b.good, length_sd=b.length_sd)


def _varley(b: _Bench) -> Distance:
    """The loop itself tells the bad wire's ohms per metre: its heat and gauge drop out."""
    per_metre = b.value("loop") / (b.length * (1.0 + b.good / b.bad))
    got = by_varley(b.value("loop"), b.value("balance"), per_metre)
    return replace(got, sd=hypot(got.sd, got.metres / b.length * b.length_sd))


def _volt_drop(b: _Bench) -> Distance:
    volts = b.value("near"), b.value("far")
    rel = 2.0 * b.rel(0.0025)
    return by_volt_drop(*volts, b.length, b.bad, b.good, rel, length_sd=b.length_sd)


def _capacitance(b: _Bench) -> Distance:
    farads = b.value("bad"), b.value("good")
    return by_capacitance(*farads, b.length, b.rel(0.05), b.length_sd)


def _capacitance_both(b: _Bench) -> Distance:
    farads = b.value("near"), b.value("far")
    return by_capacitance_both_ends(*farads, b.length, b.rel(0.03), b.length_sd)


_OHMS, _VOLTS, _FARADS = "ohms", "volts", "capacitance"
METHODS: Mapping[str, Method] = {
    "loop-ohms": Method((("ohm", _OHMS),), "pair", _loop_ohms),
    "both-ends": Method((("near", _OHMS), ("far", _OHMS)), "pair", _both_ends),
    "murray": Method((("near_arm", _OHMS), ("far_arm", _OHMS)), "good", _murray),
    "varley": Method((("loop", _OHMS), ("balance", _OHMS)), "good", _varley),
    "volt-drop": Method((("near", _VOLTS), ("far", _VOLTS)), "good", _volt_drop),
    "capacitance": Method((("bad", _FARADS), ("good", _FARADS)), "good", _capacitance),
    "capacitance-both-ends": Method((("near", _FARADS), ("far", _FARADS)), "", _capacitance_both),
}
"""Every method by the name a person gives it."""
_MOST = 1e9
"""No reading of a meter is larger, in ohms, volts or divisions."""
_MAY_BE_ZERO = ("ohm", "balance", "bad")


def along(harness: Harness, asked: Mapping[str, str], where: str = "distance") -> Along:
    """The distance one set of readings gives along its wire. [m]

    ``asked``: ``method``, ``wire``, ``with`` (the other wire), ``to`` (the box at the far end, else
    the wire's own) and the method's readings, as typed. Raises Missing, UnknownName, Malformed
    and OutOfRange with the key; an open asked for by ohms, a ratio that lies off the wire and a
    capacitance without a reading are refused in the result.
    """
    name = _method(asked, where)
    method = METHODS[name]
    wire = _conductor(harness, asked, "wire", where)
    mate = _mate(harness, asked, wire, method, where)
    route, length = _route(harness, wire, asked if name != "capacitance" else {}, where)
    measured, far = (route, length)
    if name == "capacitance":
        measured, far = _route(harness, mate, asked, where)
    elif mate:
        _reaches(harness, mate, route[-1], f"{where}.with")
    values = {k: _value(asked, k, kind, wire, harness, where) for k, kind in method.readings}
    typed = tuple((k, asked[k].strip()) for k, _ in method.readings)
    found = Along(name, wire, mate, measured[-1], length, typed)
    for key, reading in values.items():
        if isinstance(reading.value, str):
            code = "distance.open" if reading.value == "OL" else "distance.no-capacitance"
            lift = "measure-capacitance" if reading.value == "OL" else "dry-or-megger"
            return replace(found, refusal=_refusal(code, key, 0.0, 0.0, lift))
    sd = hypot(*(harness.box(s).length_sd for s in measured))
    bad = ohm_per_metre(harness.awg(wire), harness.temperature)
    good = ohm_per_metre(harness.awg(mate), harness.temperature) if mate else bad
    try:
        got = method.work(_Bench(values, harness.wire_rel, bad, good, far, sd))
    except BadInput as mistake:
        mistake.where = f"{where}.{mistake.where}"
        raise
    return _placed(harness, replace(found, got=got), route)


def _placed(harness: Harness, found: Along, route: tuple[str, ...]) -> Along:
    """The result with its segments, or refused when the place lies off the wire."""
    got = found.got
    if got is None:
        return found
    if got.kind != UPPER:
        if got.metres - got.band > found.length:
            short = _refusal(
                "distance.past-end", found.wire, got.metres, found.length, "take-again"
            )
            return replace(found, got=None, refusal=short)
        if got.metres + got.band < 0.0:
            short = _refusal("distance.before-start", found.wire, got.metres, 0.0, "take-again")
            return replace(found, got=None, refusal=short)
    at = min(max(got.metres, 0.0), found.length)
    ends = [(s, harness.length_to(s)) for s in route]
    within = next((s for s, end in ends if at <= end), route[-1])
    inside = [s for s, end in ends if end - harness.box(s).length < found.high and end > found.low]
    return replace(found, segment=within, segments=tuple(inside) or (within,))


def _refusal(code: str, where: str, have: float, need: float, lift: str) -> Refusal:
    return Refusal((Short(code, where, have, need, abs(have - need), "m", lift),), 1)


def _method(asked: Mapping[str, str], where: str) -> str:
    name = asked.get("method", "").strip()
    if not name:
        raise Missing(f"{where}.method", f"one of {', '.join(METHODS)}")
    if name not in METHODS:
        raise UnknownName(f"{where}.method", name, METHODS, "method")
    method = METHODS[name]
    allowed = ["method", "wire", *(["with"] if method.mate else []), "to"]
    allowed += [key for key, _ in method.readings]
    for key in asked:
        if key not in allowed:
            raise UnknownName(f"{where}.{key}", key, allowed, f"key of {name}")
    return name


def _conductor(harness: Harness, asked: Mapping[str, str], key: str, where: str) -> str:
    said = asked.get(key, "").strip()
    if not said:
        hint = "name the bad wire" if key == "wire" else "name the good wire joined or compared"
        raise Missing(f"{where}.{key}", f'{hint}, like {key} = "{harness.conductors()[-1]}"')
    known = {name.lower(): name for name in harness.conductors()}
    if said.lower() not in known:
        raise UnknownName(f"{where}.{key}", said, harness.conductors(), "wire or station")
    return known[said.lower()]


def _mate(harness: Harness, asked: Mapping[str, str], wire: str, method: Method, where: str) -> str:
    if not method.mate:
        return ""
    commons = {s.id: s.common for s in harness.stations}
    if method.mate == "pair" and "with" not in asked and wire in commons:
        return commons[wire]
    mate = _conductor(harness, asked, "with", where)
    if mate == wire:
        raise Malformed(f"{where}.with", mate, "must be another wire", "name two wires")
    return mate


def _route(
    harness: Harness, wire: str, asked: Mapping[str, str], where: str
) -> tuple[tuple[str, ...], float]:
    """Segments of a wire up to the far end that is meant, and their length. [m]"""
    segments = harness.segments(wire)
    to = asked.get("to", "").strip()
    if to:
        boxes = {b.id.lower(): b.id for b in harness.boxes}
        if to.lower() not in boxes:
            raise UnknownName(f"{where}.to", to, boxes.values(), "box")
        to = boxes[to.lower()]
        _reaches(harness, wire, to, f"{where}.to")
    elif not segments:
        raise Malformed(f"{where}.wire", wire, "leads nowhere", "name a wire that leaves the box")
    elif harness.route(segments[-1]) != segments:
        raise Missing(f"{where}.to", f"{wire} branches: name the box at its far end")
    return harness.route(to or segments[-1]), harness.length_to(to or segments[-1])


def _reaches(harness: Harness, wire: str, box: str, where: str) -> None:
    if box not in harness.segments(wire):
        raise Malformed(where, f"{wire} to {box}", "wire does not lie there", "name one that does")


def _value(
    asked: Mapping[str, str], key: str, kind: str, wire: str, harness: Harness, where: str
) -> Reading:
    """One reading in SI. Raises Missing, Malformed or OutOfRange."""
    path = f"{where}.{key}"
    said = asked.get(key, "").strip()
    if not said:
        unit = {_OHMS: "ohms", _VOLTS: "volts", _FARADS: "nF"}[kind]
        raise Missing(path, f"give what was read, in {unit}, like {key}=30.5")
    reading = parse_shown(said, MeterTest(kind, wire), harness, path)
    if not isinstance(reading.value, float):
        if isinstance(reading.value, str) and (reading.value, kind) != ("OL", _FARADS):
            return reading
        raise Malformed(path, said, "is no number", "choose a higher range and read again")
    if reading.test.kind != kind:
        raise Malformed(path, said, "has another unit", "this method reads volts")
    if reading.value < 0.0 or (reading.value == 0.0 and key not in _MAY_BE_ZERO):
        raise OutOfRange(path, said, "more than 0", "any", "read it again")
    if reading.value > _MOST or 0.0 < reading.value < 1.0 / _MOST**2:
        raise OutOfRange(path, said, "of a size", "that a meter shows", "read it again")
    return reading
