from __future__ import annotations

import math

import numpy as np
import pytest

from pitwright.errors import Malformed
from pitwright.geometry.vector import Vec, add, cross, scale, sub
from pitwright.tolerance.chance import chance_within
from pitwright.tolerance.covariance import (
    ErrorSource,
    added_up,
    bend_error,
    best_trim,
    direction_error,
    length_error,
    point_error,
    shares,
)
from pitwright.units.kinds import INCH
from pitwright.units.spread import Sigma

X: Vec = (1.0, 0.0, 0.0)
Y: Vec = (0.0, 1.0, 0.0)
SLANT: Vec = (0.7071067811865476, 0.0, 0.7071067811865476)
CUT = SEAT = 0.03125 * INCH
TURN = 0.02174 * INCH
MARK = Sigma(0.0442 * INCH)


def inches(x: float, y: float, z: float) -> Vec:
    return (x * INCH, y * INCH, z * INCH)


def tape(sigma: float) -> list[list[float]]:
    s = (sigma * INCH) ** 2
    return [[s, 0.0, 0.0], [0.0, s, 0.0], [0.0, 0.0, s]]


def lengths(axis: Vec, cuts: int, seats: int, threads: int = 0) -> list[ErrorSource]:
    return [
        length_error("cut", axis, CUT, cuts),
        length_error("seat", axis, SEAT, seats),
        length_error("thread stop", axis, TURN, threads),
    ]


def offset() -> list[ErrorSource]:
    """Case 23: a 45 offset, two bends, a valve on the last leg."""
    end = inches(26.071067811865476, 0.0, 7.0710678118654755)
    fitting = math.radians(0.3)
    return [
        point_error("tape A", tape(0.0625)),
        point_error("tape B", tape(0.0625)),
        direction_error("direction A", X, end, math.radians(1.0)),
        bend_error("bend 1", Y, sub(end, inches(3.0, 0.0, 0.0)), fitting),
        bend_error(
            "bend 2", Y, sub(end, inches(10.071067811865476, 0.0, 7.0710678118654755)), fitting
        ),
        *lengths(X, 1, 2),
        *lengths(SLANT, 1, 2),
        *lengths(X, 2, 4, 2),
    ]


def straight(sigma_tape: float, degrees: float) -> list[ErrorSource]:
    """Cases 25 and 26: a valve between two stubs 14 in apart."""
    return [
        point_error("tape A", tape(sigma_tape)),
        point_error("tape B", tape(sigma_tape)),
        direction_error("direction A", X, inches(14.0, 0.0, 0.0), math.radians(degrees)),
        *lengths(X, 2, 4, 2),
    ]


CASES = {
    "23": (
        offset(),
        [
            [0.03561331082837561, 0.0, -0.0591639612581962],
            [0.0, 0.21486113594785494, 0.0],
            [-0.0591639612581962, 0.0, 0.2379369636347901],
        ],
        [X, SLANT, X],
        1,
        0.01826129480018379,
    ),
    "25": (
        straight(0.0625, 0.3),
        np.diag([0.0146171302, 0.013185951285037538, 0.013185951285037538]).tolist(),
        [X],
        0,
        0.1679337082164119,
    ),
    "26": (straight(0.0, 0.0), np.diag([0.0068046302, 0.0, 0.0]).tolist(), [X], 0, 0.12500520251),
}


@pytest.mark.parametrize("name", CASES)
def test_covariance_and_best_piece_to_trim_are_the_design_studys(name: str) -> None:
    sources, expected, pieces, best, gain = CASES[name]
    total = added_up(sources)
    assert np.array(total) / INCH**2 == pytest.approx(np.array(expected), rel=1e-9, abs=1e-12)
    trims = best_trim(total, pieces, MARK, 0.125 * INCH)
    assert trims[0].piece == best
    assert trims[0].gain == pytest.approx(gain, abs=2e-6)
    assert [t.gain for t in trims] == sorted((t.gain for t in trims), reverse=True)


def test_the_angle_at_the_first_stub_is_most_of_it() -> None:
    """Design study: 88 % of the variance of its offset."""
    ranked = shares(offset())
    assert ranked[0][0] == "direction A"
    assert ranked[0][1] == pytest.approx(0.88, abs=0.02)
    assert sum(part for _, part in ranked) == pytest.approx(1.0)
    assert shares([]) == ()


def test_the_linear_covariance_agrees_with_drawn_errors() -> None:
    """200,000 draws of every error, turned and shifted as vectors."""
    dice = np.random.default_rng(4)
    end = (0.6, 0.1, 0.2)
    bend_at, normal = (0.2, 0.0, 0.1), (0.0, 0.6, 0.8)
    sources = [
        point_error("tape", np.diag([1e-6, 4e-6, 9e-6]).tolist()),
        direction_error("direction", X, end, 0.01),
        bend_error("bend", normal, sub(end, bend_at), 0.02),
        length_error("cut", SLANT, 0.001, 3),
    ]
    n = 200_000
    drawn = dice.standard_normal((n, 3)) * [1e-3, 2e-3, 3e-3]
    turns = np.zeros((n, 3))
    turns[:, 1:] = dice.standard_normal((n, 2)) * 0.01
    drawn -= np.cross(turns, end)
    drawn -= np.cross(
        dice.standard_normal((n, 1)) * 0.02 * np.array(normal), np.array(sub(end, bend_at))
    )
    for _ in range(3):
        drawn -= dice.standard_normal((n, 1)) * 0.001 * np.array(SLANT)
    ours = np.array(added_up(sources))
    assert np.abs(np.cov(drawn.T) - ours).max() <= 0.02 * np.trace(ours)
    within = float((np.linalg.norm(drawn, axis=1) <= 0.01).mean())
    assert chance_within(ours.tolist(), 0.01) == pytest.approx(within, abs=0.005)


def test_a_direction_error_is_the_same_whichever_axes_are_picked_across() -> None:
    lever = (0.3, -0.2, 0.5)
    ours = np.array(direction_error("d", SLANT, lever, 0.02).covariance)
    one = (0.0, 1.0, 0.0)
    two = cross(SLANT, one)
    mixed = [add(scale(one, 0.6), scale(two, 0.8)), add(scale(one, -0.8), scale(two, 0.6))]
    rows = [np.array(cross(scale(a, 0.02), lever)) for a in mixed]
    assert ours == pytest.approx(sum(np.outer(r, r) for r in rows), abs=1e-15)


def test_a_covariance_that_is_none_is_named() -> None:
    with pytest.raises(Malformed, match="tape A covariance must be 3 x 3"):
        point_error("tape A", [[1.0]])
