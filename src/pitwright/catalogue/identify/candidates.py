"""Every pipe that the readings allow, ranked, each with how far off it is."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from pitwright.catalogue.identify.hazards import hazards_of
from pitwright.catalogue.identify.question import Choice, Question, questions
from pitwright.catalogue.identify.readings import Clues, Reading
from pitwright.catalogue.parts import Pipe
from pitwright.catalogue.shelf import Shelf
from pitwright.findings import Finding
from pitwright.units.kinds import INCH

__all__ = ["Candidate", "Group", "Identified", "identify"]

OLD_THIN = 0.030 * INCH
"""How far one diameter of old thin wall may lie from the mean one. [m] [ASTM-D2241], memory"""
OLD_STIFF = 0.015 * INCH
"""The same of other old pipe. [m] judgement"""
AGAINST = {"colour": 0.1, "stiffness": 0.05}
"""Weight left to a pipe whose usual colour or stiffness is another. [-] judgement"""
NEAREST = 3


@dataclass(frozen=True, slots=True)
class Candidate:
    """One pipe the readings allow.

    ``off`` is the first reading less the pipe's typical size [m], ``sigmas`` the same in sigmas of
    reading and part together [-], ``beyond`` how far the reading lies outside the pipe's own range
    [m]. ``fits`` is False where a reading lies between one and three sigmas beyond it, or a colour
    or stiffness speaks against. ``weight`` is relative, summing to 1 over all candidates. [-]
    """

    pipe: Pipe
    off: float
    sigmas: float
    beyond: float
    fits: bool
    weight: float
    against: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Group:
    """Candidates of one size and system, which share an outside; the likeliest comes first. [-]"""

    system: str
    size: str
    schedule: str
    candidates: tuple[Candidate, ...]
    weight: float
    fits: bool


@dataclass(frozen=True, slots=True)
class Identified:
    """What the pipe can be: groups, best first; ``nearest`` is filled where nothing fits."""

    clues: Clues
    groups: tuple[Group, ...]
    nearest: tuple[Candidate, ...]
    questions: tuple[Question, ...]
    findings: tuple[Finding, ...]

    @property
    def fitting(self) -> tuple[Group, ...]:
        """The groups that fit without stretching a reading."""
        return tuple(g for g in self.groups if g.fits)

    @property
    def pipes(self) -> tuple[Pipe, ...]:
        """Every pipe it can be, likeliest group first."""
        return tuple(c.pipe for g in self.groups for c in g.candidates)


def identify(shelf: Shelf, clues: Clues) -> Identified:
    """Every pipe of the shelf within the readings, ranked; hazards; the next question.

    Ranking: how likely the readings are of that pipe, times its prior; ties by the shelf's order.
    Raises Missing where nothing was measured. Source: the shelf; rules of ranking are judgement.
    """
    clues.checked()
    judged = [_judge(p, clues) for p in shelf.pipes if clues.material in (None, p.material)]
    kept = [c for c, within in judged if within]
    total = sum(c.weight for c in kept)
    weighed = [
        Candidate(c.pipe, c.off, c.sigmas, c.beyond, c.fits, c.weight / total, c.against)
        for c in kept
        if total > 0
    ]
    choices = [Choice(c.pipe, c.weight) for c in weighed]
    groups = _grouped(weighed)
    return Identified(
        clues,
        groups,
        () if weighed else _nearest([c for c, _ in judged]),
        questions(choices, clues),
        hazards_of([c.pipe for c in weighed if c.fits] or [c.pipe for c in weighed], clues),
    )


def oval(pipe: Pipe, clues: Clues) -> float:
    """How far the one diameter read may lie from the pipe's mean diameter. [m]

    Nothing for a string, or for diameters taken crosswise. Source: [ASTM-D1785], [ASTM-D2241].
    """
    reading = clues.outside
    if reading is None or reading.crossed or reading.tool is None or reading.tool.value == "around":
        return 0.0
    allowed = pipe.out_of_round.high if pipe.out_of_round else 0.0
    if not clues.old:
        return allowed
    return max(allowed, OLD_THIN if "thin wall" in pipe.hazards else OLD_STIFF)


def bore_range(pipe: Pipe) -> tuple[float, float]:
    """Least and most bore of a pipe. [m] Source: its own OD and wall, or the controlled bore."""
    if pipe.bore:
        return pipe.bore.low, pipe.bore.high
    return pipe.od.low - 2 * pipe.wall.high, pipe.od.high - 2 * pipe.wall.low


def _readings(pipe: Pipe, clues: Clues) -> list[tuple[Reading, float, float, float]]:
    """Each reading with the pipe's own range and its typical value."""
    found = []
    if clues.outside:
        found.append((clues.outside, pipe.od.low, pipe.od.high, pipe.od.value))
    if clues.bore:
        found.append((clues.bore, *bore_range(pipe), pipe.average_bore))
    if clues.wall:
        found.append((clues.wall, pipe.wall.low, pipe.wall.high, pipe.wall.value))
    return found


def _judge(pipe: Pipe, clues: Clues) -> tuple[Candidate, bool]:
    """The pipe as a candidate with its bare weight, and whether it is within the readings."""
    weight, fits, within, worst = pipe.prior, True, True, 0.0
    extra = oval(pipe, clues)
    for reading, low, high, _typical in _readings(pipe, clues):
        slack = extra if reading is clues.outside else 0.0
        beyond = max(low - reading.value, reading.value - high, 0.0)
        excess = max(0.0, beyond - slack)
        fits = fits and excess <= reading.near + 1e-12
        within = within and excess <= reading.far + 1e-12
        worst = max(worst, beyond)
        weight *= reading.density(low, high, slack / sqrt(3))
    against = tuple(
        what
        for what, said, usual in (
            ("colour", clues.colour, pipe.colours),
            ("stiffness", clues.stiffness, (pipe.stiffness,)),
        )
        if said is not None and said not in usual
    )
    for what in against:
        weight *= AGAINST[what]
    first, low, high, typical = _readings(pipe, clues)[0]
    off = first.value - typical
    spread = sqrt(first.sigma**2 + (high - low) ** 2 / 12)
    candidate = Candidate(
        pipe, off, off / spread, worst, fits and not against, max(weight, 1e-300), against
    )
    return candidate, within


def _grouped(candidates: list[Candidate]) -> tuple[Group, ...]:
    by_key: dict[tuple[str, str, str], list[Candidate]] = {}
    for c in candidates:
        # bore-controlled pipe has another outside in every class
        own = c.pipe.schedule if c.pipe.bore else ""
        by_key.setdefault((c.pipe.system, c.pipe.size, own), []).append(c)
    groups = [
        Group(
            *key,
            tuple(sorted(members, key=lambda c: (not c.fits, -c.weight, c.pipe.rank))),
            max(c.weight for c in members),
            any(c.fits for c in members),
        )
        for key, members in by_key.items()
    ]
    return tuple(
        sorted(groups, key=lambda g: (not g.fits, -g.weight, g.candidates[0].pipe.rank, g.size))
    )


def _nearest(candidates: list[Candidate]) -> tuple[Candidate, ...]:
    """The nearest pipes, one for each size and outside."""
    seen: set[tuple[str, str, float]] = set()
    found = []
    for c in sorted(candidates, key=lambda c: (c.beyond, abs(c.off), c.pipe.rank, c.pipe.id)):
        key = (c.pipe.system, c.pipe.size, c.pipe.od.value)
        if key not in seen:
            seen.add(key)
            found.append(c)
    return tuple(found[:NEAREST])
