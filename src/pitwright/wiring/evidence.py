"""How well a hypothesis explains the readings so far, their shared unknowns taken into account.

Readings share unknowns (a coil's true ohms, the wire's true ohms, the fault's own severity), so
they are not independent. A *state* is ``(log_likelihood, residuals, known)``: the whitened residual
of every finite reading, and for each unknown the row of whitened derivatives (the Cholesky factor
of the readings' covariance, seen from the unknowns). Adding readings one by one or all at once
gives the same state.

Source: Gaussian likelihood by Cholesky factor, a textbook result.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import exp, log, pi, sqrt
from operator import mul

from pitwright.wiring.predict import Prediction

__all__ = [
    "DROPPED",
    "EMPTY",
    "HOPELESS",
    "State",
    "expected",
    "learn",
    "learn_moves",
    "moves_log",
    "shortfall",
]

State = tuple[float, tuple[float, ...], dict[int, tuple[float, ...]], float]
"""Log likelihood [nat], whitened residuals, derivatives by unknown, and a perfect fit [nat]."""
EMPTY: State = (0.0, (), {}, 0.0)

HOPELESS = 45.0
"""A cell this far behind the best is dropped, to be taken up again if nothing fits. [nat]"""
DROPPED: State = (-1e9, (), {}, 0.0)
"""The state of a dropped cell."""

_TWO_PI = 2.0 * pi
_DECADES = 19.0
"""Natural logarithm of the span over which a slip of the meter may fall. Judgement."""
MOVE_LEAST = 0.01
"""Least chance that a valve moves without volts, or does not with them. Judgement."""


def expected(state: State, prediction: Prediction) -> tuple[float, float, list[float]]:
    """Mean and variance of the next reading given those so far, and its covariance. [SI]"""
    _, mean, variance, shares = prediction
    known = state[2]
    row: list[float] = []
    for name, share in shares:
        variance += share * share
        line = known.get(name)
        if line is not None:
            if row:
                row = [x + share * y for x, y in zip(row, line, strict=True)]
            else:
                row = [share * y for y in line]
    if row:
        mean += sum(map(mul, row, state[1]))
        variance -= sum(map(mul, row, row))
    return mean, variance, row


def learn(state: State, prediction: Prediction, value: float | str) -> State:
    """The state after one more ohm, volt, amp or farad reading ("OL" and "INVALID" included)."""
    over = prediction[0]
    if isinstance(value, str):
        return state[0] + log(over), *state[1:]
    if over > 0.5:
        # a number where over-range was expected: a slip, unlikely but never impossible
        slip = log(1.0 - over) - log(_DECADES * max(abs(value), 1e-12))
        return state[0] + slip, *state[1:]
    mean, variance, row = expected(state, prediction)
    deviation = sqrt(variance)
    z = (value - mean) / deviation
    peak = -0.5 * log(_TWO_PI * variance)
    gain = log(1.0 - over) - 0.5 * z * z + peak
    _, residuals, known, peaks = state
    own = dict(prediction[3])
    fresh: dict[int, tuple[float, ...]] = {}
    for name, line in known.items():
        share = own.pop(name, 0.0)
        if row:
            share -= sum(map(mul, row, line))
        fresh[name] = (*line, share / deviation)
    nothing = (0.0,) * len(residuals)
    for name, share in own.items():
        fresh[name] = (*nothing, share / deviation)
    return state[0] + gain, (*residuals, z), fresh, peaks + peak


def shortfall(state: State) -> float:
    """How far a state's likelihood lies below a perfect fit of the same readings. [nat]"""
    return state[3] - state[0]


def moves_log(
    volts: Mapping[int, float], moved: frozenset[int], pull: tuple[tuple[float, float], ...]
) -> float:
    """Log chance that exactly ``moved`` stations move, given volts at their coils. [nat]

    ``pull`` holds pull-in volts and their one sigma by station; a logistic of that width.
    """
    total = 0.0
    for number, (pull_in, width) in enumerate(pull):
        p = chance_to_move(volts.get(number, 0.0), pull_in, width)
        total += log(p if number in moved else 1.0 - p)
    return total


def chance_to_move(volts: float, pull_in: float, width: float) -> float:
    """Chance that a valve moves at ``volts``. [-]"""
    t = (volts - pull_in) / width
    p = 1.0 / (1.0 + exp(-t)) if t > -40.0 else 0.0
    return min(max(p, MOVE_LEAST), 1.0 - MOVE_LEAST)


def learn_moves(state: State, gain: float) -> State:
    """The state after watching the valves; ``gain`` is their log chance. [nat]"""
    return state[0] + gain, *state[1:]
