"""How well a hypothesis explains the readings so far: one Cholesky row a reading.

Readings share unknowns (a coil's true ohms, the wire's true ohms, the fault's own severity), so
they are not independent. A *state* is ``(log_likelihood, rows)``; a row is the new line of the
Cholesky factor of the readings' covariance, the reading's derivatives, and its whitened residual.
Adding readings one by one or all at once gives the same state.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import exp, log, pi, sqrt

from pitwright.wiring.predict import Prediction

__all__ = ["EMPTY", "State", "expected", "learn", "learn_moves", "moves_log"]

Row = tuple[tuple[float, ...], dict[int, float], float]
State = tuple[float, tuple[Row, ...]]
EMPTY: State = (0.0, ())

_TWO_PI = 2.0 * pi
_DECADES = 19.0
"""Natural logarithm of the span over which a slip of the meter may fall. Judgement."""
MOVE_LEAST = 0.01
"""Least chance that a valve moves without volts, or does not with them. Judgement."""


def expected(state: State, prediction: Prediction) -> tuple[float, float, tuple[float, ...]]:
    """Mean and variance of the next reading given the readings so far, and its Cholesky row."""
    _, mean, variance, shares = prediction
    for _, share in shares:
        variance += share * share
    row: list[float] = []
    for lower, known, z in state[1]:
        c = 0.0
        for name, share in shares:
            if name in known:
                c += share * known[name]
        for mine, theirs in zip(row, lower, strict=False):
            c -= mine * theirs
        if c:
            c /= lower[-1]
            mean += c * z
            variance -= c * c
        row.append(c)
    return mean, variance, tuple(row)


def learn(state: State, prediction: Prediction, value: float | str) -> State:
    """The state after one more ohm, volt, amp or farad reading ("OL" and "INVALID" included)."""
    over = prediction[0]
    if isinstance(value, str):
        return state[0] + log(over), state[1]
    if over > 0.5:
        # a number where over-range was expected: a slip, unlikely but never impossible
        return state[0] + log(1.0 - over) - log(_DECADES * max(abs(value), 1e-12)), state[1]
    mean, variance, row = expected(state, prediction)
    deviation = sqrt(variance)
    z = (value - mean) / deviation
    gain = log(1.0 - over) - 0.5 * z * z - 0.5 * log(_TWO_PI * variance)
    return state[0] + gain, (*state[1], ((*row, deviation), dict(prediction[3]), z))


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
    """The state after watching the valves."""
    return state[0] + gain, state[1]
