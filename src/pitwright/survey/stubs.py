"""Stubs: ends that new work can join, inlet or outlet, and the bare path behind them."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from enum import Enum

from pitwright.catalogue.identify.candidates import Candidate, Identified
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
from pitwright.survey.pipes import Measured, read_pipe
from pitwright.survey.readings import Located, Reading
from pitwright.survey.section import Section
from pitwright.survey.soil import Soil, read_soil

__all__ = ["BEHIND", "CONDITIONS", "Glued", "Side", "Straight", "Stub", "read_stub"]

BEHIND = ("tee", "elbow", "coupling", "other fitting")
"""What may sit right behind the first straight."""
CONDITIONS = ("sound", "old", "sun-struck", "chalky", "cracked")
_ENDS = {
    "pipe": JointKind.PIPE,
    "socket": JointKind.SOCKET,
    "male thread": JointKind.MALE_THREAD,
    "female thread": JointKind.FEMALE_THREAD,
}
_BARE_HINT = 'write it as ["12", "18 down"]: along the pipe, then after each elbow its way'
_DRIPS = re.compile(r"\b(?:drip|drop)s?\b", re.IGNORECASE)
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
class Glued:
    """What stands on an old stub since the work began: the old stub, what came off it [m], and
    how many joints were made on it. Only the old pipe bends.
    """

    old: Stub
    cut: float
    joints: int


@dataclass(frozen=True, slots=True)
class ReliefEnd:
    """A low end of a stub's own pipe that can be opened (a test hole, drain or union): the middle
    of its mouth, and its clear bore.
    """

    mouth: Located
    bore_reading: Reading

    @property
    def bore(self) -> float:
        """Its clear bore. [m]"""
        return self.bore_reading.value


@dataclass(frozen=True, slots=True)
class Stub:
    """An end that new work can join.

    ``outward`` points out of the pipe toward the gap, ``outward_sigma`` is one sigma to any side
    [rad]; ``cut_back`` says how far it may be cut back, 0 where a fitting sits right behind [m];
    ``bare`` runs from the tip back to where the soil holds it; ``held`` says that the bends of
    that path are backed against thrust; ``seeps`` [m³/s] or None; ``proved_dry`` says that it
    seeped and that the water was then stopped and the end seen dry; ``glued`` says that it is not
    the old pipe's end any more but that of new work standing on it; ``behind`` names the fitting
    that the first straight ends in; ``soil`` is what its bare path goes into, None where that is
    said of the whole pit or not at all; ``relief`` is its relief end, or None.
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
    identified: Identified | None
    end: JointKind
    end_size: str
    cut_back_reading: Reading
    bare: tuple[Straight, ...]
    condition: str
    seeps_reading: Reading | None
    note: str
    findings: tuple[Finding, ...]
    held: bool = False
    glued: Glued | None = None
    behind: str = ""
    soil: Soil | None = None
    relief: ReliefEnd | None = None
    proved_dry: bool = False

    @property
    def path(self) -> str:
        """Its key path in the survey."""
        return path_of("stub", self.id)

    @property
    def tip_path(self) -> str:
        """The key path of its tip."""
        return path_of("stub", self.id, "tip")

    @property
    def candidates(self) -> tuple[Candidate, ...]:
        """What an unknown pipe can be, likeliest first; none for a pipe that has a name."""
        groups = self.identified.groups if self.identified else ()
        return tuple(c for g in groups for c in g.candidates)

    @property
    def cut_back(self) -> float:
        """How far it may be cut back. [m]"""
        return self.cut_back_reading.value

    @property
    def seeps(self) -> float | None:
        """What runs out of it, None when dry, proved dry or not known. [m³/s]"""
        if self.seeps_reading is None or self.proved_dry:
            return None
        return self.seeps_reading.value


def read_stub(name: str, section: Section, shelf: Shelf) -> Stub:
    """One section [stub.name]. Raises BadInput. SI."""
    word = section.choice("side", ("inlet", "outlet"), None)
    tip = section.located("tip", "measure the middle of its open end from the datum")
    through = section.located("through", "") if section.has("through") else None
    facing, findings = _facing(name, section, tip, through)
    cut_back = section.need_reading(
        "cut_back", "say how far it may be cut back; 0 where a fitting sits right behind", low=0.0
    )
    condition = section.choice("condition", CONDITIONS, "") if section.has("condition") else ""
    pipe = read_pipe(name, section, shelf, condition != "sound")
    findings = (*findings, *pipe.findings)
    if not condition:
        findings = (*findings, finding("condition-not-given", Weight.CHECK, names={"stub": name}))
    seeps, proved_dry = _seep(section), section.flag("proved_dry", False)
    if seeps is not None and seeps.value > 0.0 and proved_dry:
        numbers = {"flow": seeps.value}
        told = finding("seep-proved-dry", Weight.CHECK, numbers=numbers, names={"stub": name})
        findings = (*findings, told)
    return Stub(
        StubId(name),
        Side(word),
        tip,
        facing.direction,
        facing.sigma,
        facing.readings,
        through,
        pipe.pipe,
        pipe.measured,
        pipe.identified,
        _ENDS[section.choice("end", tuple(_ENDS), "pipe")],
        section.text("end_size"),
        cut_back,
        _bare(section, facing.direction, cut_back),
        condition or "old",
        seeps,
        section.text("note"),
        findings,
        section.flag("held", False),
        behind=section.choice("behind", BEHIND, "") if section.has("behind") else "",
        soil=read_soil(section),
        relief=_relief(section),
        proved_dry=proved_dry,
    )


def _relief(section: Section) -> ReliefEnd | None:
    """Where its water can be let out; bore and place go together. Raises Missing or BadInput."""
    if not (section.has("relief") or section.has("relief_bore")):
        return None
    mouth = section.located("relief", "say where the relief end's mouth is: a point")
    bore = section.need_reading(
        "relief_bore", "say how wide it opens: its clear bore", low=0.001, high=0.2
    )
    return ReliefEnd(mouth, bore)


def _seep(section: Section) -> Reading | None:
    """What runs out of it: timed into a cup, or drips counted. [m³/s]"""
    typed = section.table.get("seeps")
    counted = isinstance(typed, str) and _DRIPS.search(typed) is not None
    tool = "drips" if counted else "cup"
    return section.reading("seeps", tool=tool, unit="mL/min", low=0.0, high=0.01)


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
