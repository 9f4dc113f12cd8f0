"""Readings as people write them: "0.04 on 20K", "OL", "24v no load", "runs 2 and 3".

A line is ``what: shown``. The part before the colon names the test, the part after it what the
meter (or the eye) said. Nothing is guessed silently: what is unclear is asked about.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from pitwright.errors import Malformed, OutOfRange, UnknownName
from pitwright.survey.harness import Harness
from pitwright.wiring.measuring import EARTH, MeterTest, Reading, meter_function

__all__ = ["parse_line", "parse_shown", "parse_test"]

_NUMBER = re.compile(r"^[<>~]?\s*(-?\d+(?:[.,]\d+)?|\.\d+)\s*([a-zA-ZµΩ]*)")
_RANGE = re.compile(r"\bon\s+(?:the\s+)?(\d+(?:\.\d+)?)\s*([kKmM]?)\b")
_LEADS = re.compile(r"\bleads?\s+(\d+(?:\.\d+)?)\b")
_CLASS = re.compile(r"(?:\bmeter|\bclass|±|\+-)\s*(\d+(?:\.\d+)?)\s*%")
_OVER = re.compile(
    r"^(ol|o\.l\.?|0l|o/l|1 ?\.|inf\w*|∞|over ?load\w*|over ?range|open line)(?=$|[\s,;])", re.I
)
_FACTORS = {"": 1.0, "k": 1e3, "m": 1e6}
_OHM_UNITS = {
    "": 1.0,
    "ohm": 1.0,
    "ohms": 1.0,
    "Ω": 1.0,
    "r": 1.0,
    "k": 1e3,
    "kohm": 1e3,
    "kΩ": 1e3,
    "M": 1e6,
    "Mohm": 1e6,
    "meg": 1e6,
    "MΩ": 1e6,
    "mohm": 1e-3,
    "mΩ": 1e-3,
}
_UNITS = {
    "volts": {
        "": 1.0,
        "v": 1.0,
        "volt": 1.0,
        "volts": 1.0,
        "vac": 1.0,
        "vdc": 1.0,
        "mv": 1e-3,
    },
    "amps": {"": 1.0, "a": 1.0, "A": 1.0, "amp": 1.0, "amps": 1.0, "ma": 1e-3, "mA": 1e-3},
    "capacitance": {"": 1e-9, "nf": 1e-9, "nF": 1e-9, "uf": 1e-6, "µF": 1e-6, "pf": 1e-12},
}
_VAGUE = {
    "short": "people say short for any wire fault",
    "shorted": "people say short for any wire fault",
    "dead": "dead may be an open, a short or no volts",
    "open": "open may mean over-range, or a low reading on the wrong range",
    "bad": "bad says nothing a meter shows",
    "good": "good says nothing a meter shows",
    "beeps": "a beep only says less than some 30 to 50 ohm",
    "nothing": "nothing may be 0, over-range or a flat battery",
}


@dataclass(frozen=True, slots=True)
class _Words:
    """Names a person may use for the conductors of one harness, in lower case."""

    known: dict[str, str]

    def find(self, word: str, where: str) -> str:
        """The conductor meant by ``word``; raises UnknownName with the nearest names."""
        name = self.known.get(word.strip().lower())
        if name is None:
            raise UnknownName(where, word.strip(), self.known.values(), "wire or station")
        return name


def _words(harness: Harness) -> _Words:
    known: dict[str, str] = {"earth": EARTH, "ground": EARTH, "rod": EARTH}
    for number, station in enumerate(harness.stations, 1):
        known.setdefault(str(number), station.id)
        known.setdefault(f"station {number}", station.id)
        known.setdefault(f"zone {number}", station.id)
    for name in harness.conductors():
        known[name.lower()] = name
        digits = re.search(r"\d+$", name)
        if digits and name in {s.id for s in harness.stations}:
            for form in ("{}", "station {}", "zone {}"):
                known[form.format(int(digits.group()))] = name
    if len(harness.commons) == 1:
        known["common"] = known["c"] = harness.commons[0].id
    return _Words(known)


def parse_line(text: str, harness: Harness, where: str = "reading") -> Reading:
    """One reading as it was written, ``S2 to C1: OL on 20K``.

    Raises Malformed, OutOfRange or UnknownName. Ohms, volts, amps and farads inside.
    """
    if ":" not in text:
        raise Malformed(where, text, "needs a colon", 'write it like "S2 to C1: 30.5 on 200"')
    what, _, shown = text.partition(":")
    reading = parse_shown(shown, parse_test(what, harness, where), harness, where)
    return replace(reading, text=text.strip())


def parse_test(text: str, harness: Harness, where: str = "reading") -> MeterTest:
    """The test a person names: "S1 to C1", "coil S2", "S2 parted", "S2 on", "S2 at B1" …

    Raises Malformed or UnknownName. Source: none; the words are this room's own.
    """
    words = _words(harness)
    said = " ".join(text.split())
    for pattern, kind in _FORMS:
        match = re.fullmatch(pattern, said, re.I)
        if match is not None:
            return _made(kind, match.groups(), words, harness, where)
    raise Malformed(
        where,
        text.strip(),
        "is no test known here",
        '"S1 to C1", "S1 to S2", "C1 to earth", "coil S1", "S1 parted", "S1 joined", "S1 on", '
        '"S1 at valve", "S1 at B1", "S1 capacitance", "drive S1 C1 sense S2 C1"',
    )


_W = r"((?:station |zone )?[\w.-]+)"
_FORMS: tuple[tuple[str, str], ...] = (
    (rf"drive {_W} (?:to )?{_W},? sense {_W} (?:to )?{_W}", "transfer"),
    (rf"coil (?:of )?{_W}(?: alone)?", "coil"),
    (rf"{_W} coil(?: alone)?", "coil"),
    (rf"{_W} parted", "parted"),
    (rf"{_W} joined", "joined"),
    (rf"{_W} capacitance", "capacitance"),
    (rf"{_W} on", "on"),
    (rf"{_W} at (?:the )?valve", "valve"),
    (rf"{_W} at {_W}", "box"),
    (rf"{_W} (?:to|and|-) {_W}", "pair"),
)


def _made(
    kind: str, groups: tuple[str, ...], words: _Words, harness: Harness, where: str
) -> MeterTest:
    stations = {s.id for s in harness.stations}
    a = words.find(groups[0], where)
    if kind == "transfer":
        b, c, d = (words.find(g, where) for g in groups[1:])
        return MeterTest("transfer", a, b, sense=(c, d))
    if kind == "pair":
        b = words.find(groups[1], where)
        if EARTH in (a, b):
            return MeterTest("insulation", a if b == EARTH else b)
        if a == b:
            raise Malformed(where, f"{a} to {b}", "names one wire twice", "name two wires")
        if a not in stations and b in stations:
            a, b = b, a
        if a in stations and b == harness.station(a).common:
            b = ""
        return MeterTest("ohms", a, b)
    if a not in stations:
        raise UnknownName(where, groups[0], stations, "station")
    if kind == "box":
        boxes = {b.id.lower(): b.id for b in harness.boxes}
        if groups[1].lower() not in boxes:
            raise UnknownName(where, groups[1], boxes.values(), "box")
        box = boxes[groups[1].lower()]
        if box not in harness.segments(a):
            raise Malformed(
                where, f"{a} at {box}", "wire does not pass there", "name a box on its way"
            )
        return MeterTest("volts-box", a, box=box)
    return MeterTest({"on": "volts", "valve": "volts-coil"}.get(kind, kind), a)


def parse_shown(text: str, test: MeterTest, harness: Harness, where: str = "reading") -> Reading:
    """What was shown, for a test that is known: "30.5", "0.04 on 20K", "OL", "runs 2 and 3".

    The words may settle the test itself: "no load" at a valve means its coil was parted, "runs"
    means the valves were watched. Raises Malformed, OutOfRange or UnknownName.
    """
    said = text.strip()
    lower = said.lower().rstrip(".!")
    if not said:
        raise Malformed(where, said, "is empty", "type what the meter showed")
    first = lower.split()[0] if lower else ""
    watched = first == "nothing" and (test.kind == "moves" or lower.split()[1:2] == ["runs"])
    if first in _VAGUE and not watched:
        raise Malformed(
            where,
            said,
            f"is not a reading ({_VAGUE[first]})",
            "give the number and the range, or OL",
        )
    if test.kind in ("volts", "moves") and _watched(lower, test):
        return Reading(replace(test, kind="moves"), _runs(lower, harness, where), text=said)
    if test.kind == "volts" and re.search(r"\d\s*m?a(mps?)?\b", lower):
        test = replace(test, kind="amps")
    if re.search(r"\bno load\b|\bunloaded\b|coil (off|parted)", lower):
        if test.kind not in ("volts-coil", "volts-wires"):
            raise Malformed(
                where,
                said,
                "was taken with no load",
                "unloaded volts prove nothing here; read it with the coil connected and on",
            )
        test = replace(test, kind="volts-wires")
    if re.search(r"not lifted|wires on\b|not disconnected", lower) and test.kind in (
        "ohms",
        "transfer",
        "insulation",
        "capacitance",
        "parted",
        "joined",
    ):
        raise Malformed(
            where,
            said,
            "was read with the field wires on their terminals",
            "the controller's own parts are in the reading; lift all field wires and read again",
        )
    return _number(said, lower, test, where)


def _watched(lower: str, test: MeterTest) -> bool:
    return test.kind == "moves" or bool(re.search(r"\b(runs?|opens?|moves?|works?)\b", lower))


def _runs(lower: str, harness: Harness, where: str) -> frozenset[str]:
    if re.search(r"\b(nothing|none|no valve)\b", lower) or lower in ("0", "-"):
        return frozenset()
    rest = re.sub(r"\b(only|runs?|opens?|moves?|works?|valves?|stations?|zones?)\b", " ", lower)
    names = [w for w in re.split(r"[\s,;&+]+|\band\b", rest) if w and w != "and"]
    if not names:
        raise Malformed(where, lower, "names no station", 'write "runs 2 and 3", or "none"')
    words = _words(harness)
    found = frozenset(words.find(w, where) for w in names)
    stations = {s.id for s in harness.stations}
    for name in found - stations:
        raise UnknownName(where, name, stations, "station")
    return found


def _number(said: str, lower: str, test: MeterTest, where: str) -> Reading:
    function = meter_function(test)
    ohms = function in ("ohms", "insulation", "transfer", "transfer-earth")
    span = _RANGE.search(said)
    factor, limit = 1.0, 0.0
    if span is not None:
        factor = _FACTORS[span.group(2).lower()]
        limit = float(span.group(1)) * factor
    if _OVER.match(said) or _OVER.match(lower):
        if function in ("volts", "amps"):
            raise Malformed(where, said, "is over-range", "choose a higher range and read again")
        return Reading(test, "OL", limit=limit if ohms else 0.0, text=said)
    if test.kind == "capacitance" and lower.startswith(("invalid", "no reading", "---")):
        return Reading(test, "INVALID", text=said)
    leads = _LEADS.search(said)
    share = _CLASS.search(said)
    match = _NUMBER.match(said)
    if match is None:
        raise Malformed(where, said, "is not a number", "give the number and the range, or OL")
    digits = match.group(1).replace(",", ".")
    unit = match.group(2)
    if unit.lower() == "on":
        unit = ""
    table = _OHM_UNITS if ohms else _UNITS.get(function, {"": 1.0})
    if unit not in table and unit.lower() not in table:
        raise Malformed(
            where,
            said,
            f"has the unit {unit}",
            f"a test like this reads {', '.join(filter(None, table))}",
        )
    scale = table[unit] if unit in table else table[unit.lower()]
    if ohms and not unit and span is not None:
        scale = factor
    value = float(digits) * scale
    if leads is not None and ohms:
        value -= float(leads.group(1))
    if value < 0.0 and test.kind != "transfer":
        raise OutOfRange(where, digits, 0, "any", "turn the leads round and read again")
    if limit and ohms and value > 1.05 * limit:
        raise OutOfRange(
            where, said, 0, f"the range's {limit:g} ohm", "check the range the meter stood on"
        )
    fixed = 0.0
    if ohms and span is not None:
        # the last digit shown is as fine as this range goes
        fixed = 10.0 ** -len(digits.partition(".")[2]) * scale
        fixed = fixed if fixed > 0.3 else 0.0
    rel = float(share.group(1)) / 100.0 if share is not None else 0.0
    return Reading(test, value, rel=rel, fixed=fixed, limit=limit if ohms else 0.0, text=said)
