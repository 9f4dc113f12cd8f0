"""Directions and chain measures in words: "upstream, 3 deg right", "4 1/2 right, 13 downstream".

The six words are the pit's own axes: right and left (x), downstream and upstream (y), up and
down (z).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from pitwright.errors import Contradiction, Malformed, Missing, OutOfRange, UnknownName
from pitwright.geometry.vector import Vec, add, dot, norm, scale, sub, unit
from pitwright.survey.readings import (
    LONGEST,
    Located,
    Reading,
    Tool,
    diagonal,
    joined,
    read_one,
)

__all__ = [
    "WORDS",
    "Facing",
    "chain",
    "facing_from_vector",
    "facing_in_words",
    "facing_through",
    "leans",
    "turn_in_words",
]

WORDS: Mapping[str, Vec] = {
    "right": (1.0, 0.0, 0.0),
    "left": (-1.0, 0.0, 0.0),
    "downstream": (0.0, 1.0, 0.0),
    "upstream": (0.0, -1.0, 0.0),
    "up": (0.0, 0.0, 1.0),
    "down": (0.0, 0.0, -1.0),
}
AXES = (("right", "left"), ("downstream", "upstream"), ("up", "down"))
MOST_LEAN = math.radians(60)
"""A direction leans no more from its first word: beyond that another word is meant. [rad]"""
LEAST_BASE = 0.0254
"""Two points on a pipe nearer than this give no direction. [m] Judgement."""

_STEP = re.compile(r"(?P<size>.*\S)\s+(?P<word>[a-z]+)\Z", re.IGNORECASE)
_FROM = re.compile(r"(?:start at|from)\s+(?P<name>.*\S)\s*\Z", re.IGNORECASE)
_BY = re.compile(r"by\s+(?P<tool>.*\S)\s*\Z", re.IGNORECASE)
_CHAIN = 'write it as "from corner A, 4 1/2 right, 13 downstream, 2 1/4 down"'
_TURNED = 'write it as "2 deg right": how its walls lean away from the pipes'
_FACING = 'write it as "upstream, 3 deg right, 2 deg down"'


@dataclass(frozen=True, slots=True)
class Facing:
    """A unit direction, its one sigma to any side [rad], and the readings behind it."""

    direction: Vec
    sigma: float
    readings: tuple[Reading, ...]


def chain(
    text: str, points: Mapping[str, Located], tape: Tool, *, unit_name: str, where: str
) -> Located:
    """A point reached step by step from a named point, or from the datum. [m]

    Each step is a length and one of the six words; all three axes must be named ("0 up" when
    level). Raises Malformed, Missing, UnknownName and those of a reading, naming ``where``.
    Source: our own grammar.
    """
    parts = [p.strip() for p in text.split(",")]
    start, name = Located((0.0, 0.0, 0.0), diagonal(0.0, 0.0, 0.0), ()), ""
    found = _FROM.match(parts[0])
    if found:
        name = found["name"]
        if name.casefold() == "datum":
            name = ""
        elif name not in points:
            raise UnknownName(where, name, points, "point under [points]")
        else:
            start = points[name]
        parts = parts[1:]
    mean, readings, named = start.mean, [], set()
    variance = [0.0, 0.0, 0.0]
    for i, part in enumerate(parts):
        size, axis, word = _step(part, where)
        step = read_one(
            size, tape, unit=unit_name, where=f"{where}.{i}", low=-LONGEST, high=LONGEST
        )
        mean = add(mean, scale(word, step.value))
        variance[axis] += step.sigma.one**2
        named.add(axis)
        readings.append(step)
    for axis, (plus, minus) in enumerate(AXES):
        if axis not in named:
            raise Missing(where, f'say how far {plus} or {minus}; write "0 {plus}" for none')
    return Located(mean, joined(start.covariance, diagonal(*variance)), tuple(readings), name)


def _step(part: str, where: str) -> tuple[str, int, Vec]:
    """The length as typed, the axis, and the unit vector of one step."""
    found = _STEP.match(part)
    word = found["word"].casefold() if found else ""
    if not found or word not in WORDS:
        raise Malformed(where, part, f"must be steps, each a length and {_listed()}", _CHAIN)
    axis = next(i for i, pair in enumerate(AXES) if word in pair)
    return found["size"], axis, WORDS[word]


def _listed() -> str:
    return ", ".join(list(WORDS)[:-1]) + f" or {list(WORDS)[-1]}"


def facing_in_words(text: str, tools: Mapping[str, Tool], *, where: str) -> Facing:
    """A direction as one of the six words, leaning some degrees toward others. [-]

    The direction is that of base + tan(a) side + tan(b) other side. The last part may name the
    tool ("by protractor"). Raises Malformed, UnknownName, Contradiction, or those of a reading,
    naming ``where``. Source: our own grammar.
    """
    parts = [p.strip() for p in text.split(",")]
    tool = tools["eye"]
    by = _BY.match(parts[-1])
    if by and len(parts) > 1:
        name = by["tool"].casefold()
        angular = [t for t in tools if tools[t].kind is tool.kind]
        if name not in angular:
            raise UnknownName(where, name, angular, "tool for angles")
        tool, parts = tools[name], parts[:-1]
    word = parts[0].casefold()
    if word not in WORDS:
        raise Malformed(where, parts[0], f"must begin with {_listed()}", _FACING)
    direction, used = WORDS[word], [WORDS[word]]
    readings: list[Reading] = []
    for i, part in enumerate(parts[1:]):
        size, _, side = _step(part, where)
        if any(dot(side, u) != 0.0 for u in used):
            raise Contradiction(
                where, text, "must lean to each side once, and square to its first word", _FACING
            )
        used.append(side)
        lean = read_one(
            size, tool, unit="deg", where=f"{where}.{i}", low=-MOST_LEAN, high=MOST_LEAN
        )
        direction = add(direction, scale(side, math.tan(lean.value)))
        readings.append(lean)
    sigmas = [r.sigma.one for r in readings] + ([tool.sigma.one] if len(readings) < 2 else [])
    return Facing(unit(direction), max(sigmas), tuple(readings))


def facing_from_vector(values: list[object], eye: Tool, *, where: str) -> Facing:
    """A direction as three numbers of any common size. [-] Raises Malformed, OutOfRange."""
    numbers: list[float] = []
    for i, value in enumerate(values):
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise Malformed(f"{where}.{i}", value, "must be a plain number", _FACING)
        if not math.isfinite(value) or abs(value) > 1e6:
            raise OutOfRange(f"{where}.{i}", value, -1e6, 1e6, _FACING)
        numbers.append(float(value))
    if len(numbers) != 3:
        raise Malformed(where, len(numbers), "must have three numbers", _FACING)
    vector = (numbers[0], numbers[1], numbers[2])
    if norm(vector) < 1e-9:
        raise OutOfRange(
            where, values, "some length", "any length", "a zero direction faces nowhere; " + _FACING
        )
    return Facing(unit(vector), eye.sigma.one, ())


def facing_through(tip: Located, through: Located, *, where: str) -> Facing:
    """The direction from a second point on the pipe's axis out through the tip.

    sigma = sqrt(mean variance of tip + that of the second point) / distance: sqrt(2) sigma / L
    for two points of one sigma [small angles]. Raises OutOfRange when the points are nearer than
    an inch. [rad]
    """
    apart = sub(tip.mean, through.mean)
    base = norm(apart)
    if base < LEAST_BASE:
        raise OutOfRange(
            where,
            f"{base * 1000:.0f} mm",
            "25 mm",
            "any distance from the tip",
            "take the second point as far along the pipe as can be reached",
        )
    along = scale(apart, 1.0 / base)
    sideways = 0.0
    for covariance in (tip.covariance, through.covariance):
        trace = covariance[0][0] + covariance[1][1] + covariance[2][2]
        own = sum(along[i] * covariance[i][j] * along[j] for i in range(3) for j in range(3))
        sideways += (trace - own) / 2.0
    return Facing(along, math.sqrt(sideways) / base, through.readings)


def turn_in_words(value: object, eye: Tool, *, where: str) -> Reading:
    """A turn in plan seen from above, "2 deg right": to the left counts up. [rad]

    Raises Malformed and those of a reading. Source: our own grammar.
    """
    found = _STEP.match(value.strip()) if isinstance(value, str) else None
    side = found["word"].casefold() if found else ""
    if not found or side not in ("right", "left"):
        raise Malformed(where, value, "must be an angle to the right or left", _TURNED)
    turn = read_one(found["size"], eye, unit="deg", where=where, low=0.0, high=math.pi / 2)
    return replace(turn, text=str(value), value=turn.value if side == "left" else -turn.value)


def leans(direction: Vec) -> tuple[str, tuple[tuple[float, str], ...]]:
    """A unit direction in words: the nearest of the six, and how far it leans to others. [rad]

    The inverse of :func:`facing_in_words`: tan(lean) = share to that side / share along the word.
    Source: trigonometry.
    """
    word = max(WORDS, key=lambda w: dot(direction, WORDS[w]))
    along = dot(direction, WORDS[word])
    sides: list[tuple[float, str]] = []
    for plus, minus in AXES:
        share = dot(direction, WORDS[plus])
        if word not in (plus, minus):
            sides.append((math.atan2(abs(share), along), plus if share >= 0.0 else minus))
    return word, tuple(sides)
