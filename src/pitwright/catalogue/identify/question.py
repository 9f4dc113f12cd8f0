"""The one further question or measurement that tells the candidates apart best for its trouble."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import log2

from pitwright.catalogue.identify.readings import INSIDE_SIGMA, SIGMA, Clues, Reading, Tool
from pitwright.catalogue.parts import Pipe

__all__ = ["Choice", "Question", "questions"]

TROUBLE = {"material": 1.0, "calliper": 2.0, "wall": 2.5, "bore": 3.0}
"""What a question costs against a look at the material: a cut end is needed for the last two.
[-] judgement"""
LEAST_BITS = 0.05
"""A question that promises less than this is not asked. [bit] judgement"""


@dataclass(frozen=True, slots=True)
class Choice:
    """One pipe it can be, and how likely. [-]"""

    pipe: Pipe
    weight: float


@dataclass(frozen=True, slots=True)
class Question:
    """What to ask or measure next, what it promises [bit], and per unit of trouble [bit]."""

    what: str
    bits: float
    worth: float


def questions(choices: list[Choice], clues: Clues) -> tuple[Question, ...]:
    """Every question not yet answered, the most telling for its trouble first.

    Expected gain: each candidate in turn is taken for the true one and its typical answer
    weighed against all. [bit] Source: Shannon's information; trouble is judgement.
    """
    asked: dict[str, Callable[[Pipe, Pipe], float]] = {}
    if clues.material is None:
        asked["material"] = lambda true, other: float(true.material == other.material)
    rough = clues.outside is None or clues.outside.sigma > 1.5 * SIGMA[Tool.CALLIPER]
    if rough:
        asked["calliper"] = lambda true, other: _seen(
            true.od.value, other.od.low, other.od.high, SIGMA[Tool.CALLIPER]
        )
    if clues.wall is None:
        asked["wall"] = lambda true, other: _seen(
            true.wall.value, other.wall.low, other.wall.high, INSIDE_SIGMA
        )
    if clues.bore is None:
        asked["bore"] = lambda true, other: _seen(
            true.average_bore,
            other.least_bore,
            other.bore.high if other.bore else other.od.high - 2 * other.wall.low,
            INSIDE_SIGMA,
        )
    found = []
    for what, likelihood in asked.items():
        bits = _gain(choices, likelihood)
        if bits >= LEAST_BITS:
            found.append(Question(what, bits, bits / TROUBLE[what]))
    return tuple(sorted(found, key=lambda q: (-round(q.worth, 9), TROUBLE[q.what])))


def _seen(value: float, low: float, high: float, sigma: float) -> float:
    return Reading("", "", value, sigma, None).density(low, high)


def _gain(choices: list[Choice], likelihood: Callable[[Pipe, Pipe], float]) -> float:
    """Expected bits about which pipe it is."""
    bits = 0.0
    for true in choices:
        own = likelihood(true.pipe, true.pipe)
        every = sum(c.weight * likelihood(true.pipe, c.pipe) for c in choices)
        if own > 0 and every > 0:
            bits += true.weight * log2(own / every)
    return bits
