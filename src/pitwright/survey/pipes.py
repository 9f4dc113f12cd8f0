"""What pipe a stub is: by name, or unknown with what was measured of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from pitwright.catalogue.identify.candidates import Identified, identify, oval
from pitwright.catalogue.identify.hazards import hazards_of
from pitwright.catalogue.identify.readings import Clues, Tool, known_word
from pitwright.catalogue.identify.readings import Reading as Clue
from pitwright.catalogue.parts import Pipe
from pitwright.catalogue.shelf import Shelf
from pitwright.errors import Malformed, Missing, OutOfRange, UnknownName
from pitwright.findings import Finding, Weight, finding
from pitwright.survey.readings import Reading
from pitwright.survey.section import Section
from pitwright.units.kinds import INCH

__all__ = ["Measured", "StubPipe", "outside", "read_pipe"]

_LEAST_OD, _MOST_OD = 0.2 * INCH, 8.0 * INCH
"""No pipe in a valve box lies outside. [m] The range of the shelf's own identification."""
_MOST_STRING = INCH / 4
_HINT = 'name it ("1 in schedule 40 PVC"), or write "unknown" and what was measured'
_SURE = 3.0
"""Sigmas beyond which a measurement speaks against a name. [-] Judgement."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured and seen of a pipe: lengths [m], and words as the shelf knows them.

    Several diameters by one tool are taken crosswise, for old pipe is out of round.
    """

    calliper: tuple[Reading, ...]
    across: tuple[Reading, ...]
    around: Reading | None
    string: Reading | None
    wall: Reading | None
    bore: Reading | None
    material: str | None
    colour: str | None
    stiffness: str | None


@dataclass(frozen=True, slots=True)
class StubPipe:
    """The pipe by name, or None with what it can be; findings on hazards and contradictions."""

    pipe: Pipe | None
    measured: Measured | None
    identified: Identified | None
    findings: tuple[Finding, ...]


def read_pipe(name: str, section: Section, shelf: Shelf, old: bool) -> StubPipe:
    """The keys ``pipe`` and ``measured`` of a stub called ``name``.

    ``old`` says that the pipe may be out of round. Raises Malformed, Missing, UnknownName with
    the nearest names, and those of a reading. Source: the shelf.
    """
    value = section.need("pipe", _HINT)
    if not isinstance(value, str):
        raise Malformed(section.at("pipe"), value, "must be the name of a pipe in quotes", _HINT)
    table = section.sub("measured", "stub.*.measured")
    measured = _measured(table) if table else None
    clues = _clues(measured, old)
    if value.strip().casefold() == "unknown":
        if clues.outside is None:
            raise Missing(
                section.at("measured"),
                'an unknown pipe needs its calliper, across or around, as in { around = "2.75" }',
            )
        found = identify(shelf, clues)
        hazards = tuple(_of_stub(f, name) for f in found.findings)
        return StubPipe(None, measured, found, (_unknown(found, name), *hazards))
    pipe = shelf.pipe(value, section.at("pipe"))
    told = [_of_stub(f, name) for f in hazards_of([pipe], clues)]
    return StubPipe(pipe, measured, None, (*told, *_otherwise(name, pipe, clues)))


def outside(measured: Measured) -> Clue | None:
    """The outside diameter as the surest tool gave it, with its sigma. [m]

    A string is as long as its own middle: OD = around / pi - thickness. Crosswise diameters are
    averaged and their number narrows the sigma. Source: geometry.
    """
    for tool, readings in ((Tool.CALLIPER, measured.calliper), (Tool.ACROSS, measured.across)):
        if tool is Tool.ACROSS and measured.around:
            return _around(measured.around, measured.string)
        if readings:
            return _diameter(tool, readings)
    return _around(measured.around, measured.string) if measured.around else None


def _around(around: Reading, string: Reading | None) -> Clue:
    thick, doubt = (string.value, string.sigma.one) if string else (0.0, 0.0)
    sigma = math.hypot(around.sigma.one / math.pi, doubt)
    limit = sigma * math.sqrt(3.0) if around.given else None
    value = around.value / math.pi - thick
    return Clue("outside", around.text, value, sigma, limit, Tool.AROUND)


def _diameter(tool: Tool, readings: tuple[Reading, ...]) -> Clue:
    values = [r.value for r in readings]
    worst = max(readings, key=lambda r: r.sigma.one)
    return Clue(
        "outside",
        ", ".join(r.text for r in readings),
        sum(values) / len(values),
        worst.sigma.one / math.sqrt(len(values)),
        worst.sigma.one * math.sqrt(3.0) if worst.given else None,
        tool,
        len(values) > 1,
        max(values) - min(values),
    )


def _clues(measured: Measured | None, old: bool) -> Clues:
    if measured is None:
        return Clues(old=old)
    wall, bore = (
        Clue(what, r.text, r.value, r.sigma.one, r.sigma.one * math.sqrt(3.0) if r.given else None)
        if r
        else None
        for what, r in (("wall", measured.wall), ("bore", measured.bore))
    )
    return Clues(
        outside(measured), wall, bore, measured.material, measured.colour, measured.stiffness, old
    )


def _measured(table: Section) -> Measured:
    string = table.reading("string", tool="calliper", low=0.0, high=_MOST_STRING)
    around = table.reading(
        "around", tool="string", low=math.pi * _LEAST_OD, high=math.pi * (_MOST_OD + _MOST_STRING)
    )
    if around and string and around.value / math.pi - string.value < _LEAST_OD:
        raise OutOfRange(
            table.at("string"), string.text, "0 in", "well under the pipe's own", "read it again"
        )
    return Measured(
        tuple(_several(table, "calliper", "calliper")),
        tuple(_several(table, "across", "tape")),
        around,
        string,
        table.reading("wall", tool="calliper", low=0.0005, high=_MOST_OD / 2),
        table.reading("bore", tool="calliper", low=0.001, high=_MOST_OD),
        _word(table, "material"),
        _word(table, "colour"),
        _word(table, "stiffness"),
    )


def _several(table: Section, key: str, tool: str) -> Iterator[Reading]:
    """One diameter, or a list of them taken crosswise."""
    value = table.table.get(key)
    if value is None:
        return
    if not isinstance(value, list):
        yield table.read(value, table.at(key), tool=tool, low=_LEAST_OD, high=_MOST_OD)
        return
    if not 1 <= len(value) <= 8:
        raise Malformed(
            table.at(key), value, "must be one to eight diameters", 'as in ["1.31", "1.29"]'
        )
    for i, one in enumerate(value):
        yield table.read(one, f"{table.at(key)}.{i}", tool=tool, low=_LEAST_OD, high=_MOST_OD)


def _word(table: Section, key: str) -> str | None:
    try:
        return known_word(key, table.text(key) or None)
    except UnknownName as mistake:
        mistake.where = table.at(key)
        raise


def _of_stub(found: Finding, name: str) -> Finding:
    """A finding on a pipe, with the stub it concerns."""
    return finding(
        found.code,
        found.weight,
        numbers=dict(found.numbers),
        names={**dict(found.names), "stub": name},
        source=found.source,
    )


def _unknown(found: Identified, name: str) -> Finding:
    """The pipe has no name yet: how many sizes it can be."""
    code = "pipe-unknown" if found.groups else "pipe-fits-nothing"
    return finding(
        code, Weight.CHECK, numbers={"count": float(len(found.fitting))}, names={"stub": name}
    )


def _otherwise(name: str, pipe: Pipe, clues: Clues) -> Iterator[Finding]:
    """Whether the pipe as named can measure what was measured, oval and all."""
    got = clues.outside
    if got is None:
        return
    spare = _SURE * got.sigma + oval(pipe, clues)
    if not pipe.od.low - spare <= got.value <= pipe.od.high + spare:
        yield finding(
            "pipe-measures-otherwise",
            Weight.CHECK,
            numbers={"diameter": got.value, "low": pipe.od.low, "high": pipe.od.high},
            names={"stub": name, "pipe": pipe.name},
        )
