"""Stubs: ends that new work can join, inlet or outlet, and the bare path behind them."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from enum import Enum

from pitwright.catalogue.parts import JointKind, Pipe
from pitwright.catalogue.shelf import Shelf
from pitwright.errors import Contradiction, Malformed, Missing
from pitwright.findings import Finding, StubId, Weight, finding
from pitwright.geometry.vector import Vec, angle_between, minus
from pitwright.survey.directions import (
    Facing,
    facing_from_vector,
    facing_in_words,
    facing_through,
)
from pitwright.survey.lines import path_of
from pitwright.survey.readings import Located, Reading
from pitwright.survey.section import Section

__all__ = ["CONDITIONS", "Measured", "Side", "Straight", "Stub", "read_stub"]

CONDITIONS = ("sound", "old", "sun-struck", "chalky", "cracked")
_ENDS = {
    "pipe": JointKind.PIPE,
    "socket": JointKind.SOCKET,
    "male thread": JointKind.MALE_THREAD,
    "female thread": JointKind.FEMALE_THREAD,
}
_MOST_OD = 0.35
"""No pipe in a valve box is thicker. [m]"""
_PIPE_HINT = 'name it ("1 in schedule 40 PVC"), or write "unknown" and what was measured'
_BARE_HINT = 'write it as ["12", "18 down"]: along the pipe, then after each elbow its way'
_STRAIGHT = re.compile(r"(?P<size>.*?)\s+(?P<way>(?:right|left|up|down|upstream|downstream)\b.*)\Z")


class Side(Enum):
    """Which side of the valve a stub is on."""

    INLET = "inlet"
    OUTLET = "outlet"


@dataclass(frozen=True, slots=True)
class Straight:
    """One straight of a stub's bare path: unit direction away from the tip, length [m]."""

    direction: Vec
    length: float
    reading: Reading


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured and seen of a pipe: diameters and walls [m], and words as typed."""

    calliper: Reading | None
    across: Reading | None
    around: Reading | None
    string: Reading | None
    wall: Reading | None
    bore: Reading | None
    material: str
    colour: str
    stiffness: str


@dataclass(frozen=True, slots=True)
class Stub:
    """An end that new work can join.

    ``outward`` points out of the pipe toward the gap, ``outward_sigma`` is one sigma to any side
    [rad]; ``cut_back`` says how far it may be cut back, 0 where a fitting sits right behind [m];
    ``bare`` runs from the tip back to where the soil holds it; ``seeps`` [m³/s] or None.
    """

    id: StubId
    side: Side
    tip: Located
    outward: Vec
    outward_sigma: float
    outward_readings: tuple[Reading, ...]
    through: Located | None
    pipe: Pipe | None
    measured: Measured | None
    candidates: tuple[object, ...]
    end: JointKind
    end_size: str
    cut_back_reading: Reading
    bare: tuple[Straight, ...]
    condition: str
    seeps_reading: Reading | None
    note: str
    findings: tuple[Finding, ...]

    @property
    def path(self) -> str:
        """Its key path in the survey."""
        return path_of("stub", self.id)

    @property
    def tip_path(self) -> str:
        """The key path of its tip."""
        return path_of("stub", self.id, "tip")

    @property
    def cut_back(self) -> float:
        """How far it may be cut back. [m]"""
        return self.cut_back_reading.value

    @property
    def seeps(self) -> float | None:
        """What runs out of it, None when dry or not known. [m³/s]"""
        return self.seeps_reading.value if self.seeps_reading else None


def read_stub(name: str, section: Section, shelf: Shelf) -> Stub:
    """One section [stub.name]. Raises BadInput. SI."""
    word = section.choice("side", ("inlet", "outlet"), None)
    tip = section.located("tip", "measure the middle of its open end from the datum")
    through = section.located("through", "") if section.has("through") else None
    facing, findings = _facing(name, section, tip, through)
    pipe, measured = _pipe(section, shelf)
    cut_back = section.need_reading(
        "cut_back", "say how far it may be cut back; 0 where a fitting sits right behind", low=0.0
    )
    condition = section.choice("condition", CONDITIONS, "") if section.has("condition") else ""
    if not condition:
        findings = (*findings, finding("condition-not-given", Weight.CHECK, names={"stub": name}))
    seeps = section.reading("seeps", tool="cup", unit="mL/min", low=0.0, high=0.01)
    return Stub(
        StubId(name),
        Side(word),
        tip,
        facing.direction,
        facing.sigma,
        facing.readings,
        through,
        pipe,
        measured,
        (),
        _ENDS[section.choice("end", tuple(_ENDS), "pipe")],
        section.text("end_size"),
        cut_back,
        _bare(section, facing.direction, cut_back),
        condition or "old",
        seeps,
        section.text("note"),
        findings,
    )


def _facing(
    name: str, section: Section, tip: Located, through: Located | None
) -> tuple[Facing, tuple[Finding, ...]]:
    """The surer of ``faces`` and ``through``; where both are given they must agree."""
    tools, where = section.bench.tools, section.at("faces")
    told: Facing | None = None
    if section.has("faces"):
        value = section.table["faces"]
        if isinstance(value, str):
            told = facing_in_words(value, tools, where=where)
        elif isinstance(value, list):
            told = facing_from_vector(value, tools["eye"], where=where)
        else:
            raise Malformed(
                where, value, "must be words or three numbers", 'such as "upstream, 3 deg right"'
            )
    if through is None:
        if told is None:
            raise Missing(
                where, "say which way its open end faces, or measure a second point (through)"
            )
        return told, ()
    taken = facing_through(tip, through, where=section.at("through"))
    if told is None:
        return taken, ()
    apart = angle_between(taken.direction, told.direction)
    if apart > math.pi / 2:
        raise Contradiction(
            section.at("through"),
            ", ".join(r.text for r in through.readings),
            "must lie on the pipe behind the tip, away from where the open end faces",
            "swap tip and through, or turn faces round",
        )
    doubt = math.hypot(taken.sigma, told.sigma)
    found: tuple[Finding, ...] = ()
    if apart > 3.0 * doubt:
        numbers = {"apart": apart, "doubt": doubt}
        found = (
            finding("directions-disagree", Weight.CHECK, numbers=numbers, names={"stub": name}),
        )
    return (taken if taken.sigma <= told.sigma else told), found


def _pipe(section: Section, shelf: Shelf) -> tuple[Pipe | None, Measured | None]:
    """The pipe by name, or None with what was measured of it."""
    value = section.need("pipe", _PIPE_HINT)
    if not isinstance(value, str):
        raise Malformed(
            section.at("pipe"), value, "must be the name of a pipe in quotes", _PIPE_HINT
        )
    table = section.sub("measured", "stub.*.measured")
    measured = _measured(table) if table else None
    if value.strip().casefold() != "unknown":
        return shelf.pipe(value, section.at("pipe")), measured
    if measured is None or not (measured.calliper or measured.across or measured.around):
        raise Missing(
            section.at("measured"),
            'an unknown pipe needs its calliper, across or around, as in { around = "2.75 in" }',
        )
    return None, measured


def _measured(table: Section) -> Measured:
    def of(key: str, tool: str, most: float) -> Reading | None:
        return table.reading(key, tool=tool, low=0.0005, high=most)

    return Measured(
        of("calliper", "calliper", _MOST_OD),
        of("across", "tape", _MOST_OD),
        of("around", "string", math.pi * _MOST_OD),
        table.reading("string", tool="calliper", low=0.0, high=0.01),
        of("wall", "calliper", _MOST_OD / 2),
        of("bore", "calliper", _MOST_OD),
        table.text("material"),
        table.text("colour"),
        table.text("stiffness"),
    )


def _bare(section: Section, outward: Vec, cut_back: Reading) -> tuple[Straight, ...]:
    """The bare path: first along the pipe, then after every elbow a length and its way."""
    value = section.table.get("bare", [])
    where = section.at("bare")
    if not isinstance(value, list) or len(value) > 20:
        raise Malformed(where, value, "must be a list of straights", _BARE_HINT)
    straights: list[Straight] = []
    for i, piece in enumerate(value):
        direction, size = minus(outward), piece
        if i:
            found = _STRAIGHT.match(piece.strip()) if isinstance(piece, str) else None
            if not found:
                raise Malformed(f"{where}.{i}", piece, "must be a length and its way", _BARE_HINT)
            size = found["size"]
            way = facing_in_words(found["way"], section.bench.tools, where=f"{where}.{i}")
            direction = way.direction
        length = section.read(size, f"{where}.{i}", low=0.0, high=60.0)
        straights.append(Straight(direction, length.value, length))
    if straights and cut_back.value > straights[0].length + 1e-9:
        raise Contradiction(
            section.at("cut_back"),
            cut_back.text,
            f"must not pass the first bare straight ({straights[0].reading.text})",
            "a cut needs bare pipe; measure both again",
        )
    return tuple(straights)
