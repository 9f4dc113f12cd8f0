from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from pitwright.errors import Contradiction, Malformed, OutOfRange
from pitwright.tolerance.chance import chance_within, trimmed_last
from pitwright.units.kinds import INCH
from pitwright.units.spread import Sigma

Rows = tuple[tuple[float, float, float], ...]
CASE_23: Rows = (
    (0.03561331082837561, 0.0, -0.0591639612581962),
    (0.0, 0.21486113594785494, 0.0),
    (-0.0591639612581962, 0.0, 0.2379369636347901),
)
CASE_25: Rows = (
    (0.0146171302, 0.0, 0.0),
    (0.0, 0.013185951285037538, 0.0),
    (0.0, 0.0, 0.013185951285037538),
)
CASE_26: Rows = ((0.0068046302, 0.0, 0.0), (0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
X = (1.0, 0.0, 0.0)
SLANT = (0.7071067811865476, 0.0, 0.7071067811865476)
sizes = st.floats(0.01, 3.0)


def metres(rows: Rows) -> list[list[float]]:
    return [[v * INCH * INCH for v in row] for row in rows]


@pytest.mark.parametrize(
    ("rows", "chance"),
    [
        (CASE_23, 0.014523674263965058),
        (CASE_25, 0.23369383737386118),
        (CASE_26, 0.8703116112397131),
    ],
    ids=["23 offset", "25 straight", "26 length only"],
)
def test_chances_of_the_design_study(rows: Rows, chance: float) -> None:
    """Within 1/8 in; the study's own two ways agree to 1e-6."""
    assert chance_within(metres(rows), 0.125 * INCH) == pytest.approx(chance, abs=2e-6)


@pytest.mark.parametrize(
    ("rows", "axis", "chance"),
    [
        (CASE_23, X, 0.029798827194252753),
        (CASE_23, SLANT, 0.03278496682),
        (CASE_25, X, 0.4016275455902731),
        (CASE_26, X, 0.9953168137521249),
    ],
)
def test_what_a_trim_last_piece_gains_in_the_design_study(
    rows: Rows, axis: tuple[float, float, float], chance: float
) -> None:
    after = trimmed_last(metres(rows), [axis], Sigma(0.0442 * INCH))
    assert chance_within(after, 0.125 * INCH) == pytest.approx(chance, abs=2e-6)


@given(st.floats(0.001, 100.0), st.floats(0.0, 6.0))
def test_equal_errors_all_round_follow_the_closed_formula(sigma: float, times: float) -> None:
    s = sigma * sigma
    even = [[s, 0.0, 0.0], [0.0, s, 0.0], [0.0, 0.0, s]]
    exact = stats.chi(3).cdf(times)
    assert chance_within(even, times * sigma) == pytest.approx(exact, abs=3e-7)


@given(st.floats(0.1, 8.0))
def test_errors_in_one_line_or_one_plane_follow_theirs(times: float) -> None:
    line = [[1.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
    assert chance_within(line, times) == pytest.approx(math.erf(times / math.sqrt(2)), abs=3e-7)
    plane = [[1.0, 0.0, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 1.0]]
    assert chance_within(plane, times) == pytest.approx(-math.expm1(-times * times / 2), abs=3e-7)


@pytest.mark.parametrize(
    "sigmas",
    [(1.0, 0.5, 0.2), (3.0, 0.1, 0.1), (5.0, 5.0, 0.05), (0.3, 0.3, 0.25), (8.0, 2.0, 1.0)],
)
def test_numeric_integration_agrees(sigmas: tuple[float, float, float]) -> None:
    """Nested adaptive quadrature over the unit ball in plain coordinates."""
    a, b, c = sigmas

    def inner(y: float, x: float) -> float:
        rest = math.sqrt(max(0.0, 1.0 - x * x - y * y))
        density = math.exp(-0.5 * ((x / a) ** 2 + (y / b) ** 2)) / (2 * math.pi * a * b)
        return density * math.erf(rest / (c * math.sqrt(2)))

    theirs, _ = integrate.dblquad(
        inner,
        -1,
        1,
        lambda x: -math.sqrt(1 - x * x),
        lambda x: math.sqrt(1 - x * x),
        epsabs=1e-9,
    )
    ours = chance_within([[a * a, 0, 0], [0, b * b, 0], [0, 0, c * c]], 1.0)
    assert ours == pytest.approx(theirs, abs=3e-7)


@given(sizes, sizes, sizes, st.integers(0, 2**32 - 1), st.floats(0.05, 5.0))
def test_turning_the_pit_changes_no_chance(
    a: float, b: float, c: float, seed: int, radius: float
) -> None:
    q, _ = np.linalg.qr(np.random.default_rng(seed).standard_normal((3, 3)))
    turned = q @ np.diag([a * a, b * b, c * c]) @ q.T
    straight = chance_within([[a * a, 0, 0], [0, b * b, 0], [0, 0, c * c]], radius)
    again = chance_within(((turned + turned.T) / 2).tolist(), radius)
    assert again == pytest.approx(straight, abs=3e-7)


@given(sizes, sizes, sizes, st.floats(0.0, 5.0), st.floats(1.0, 2.0))
def test_a_wider_ball_or_smaller_errors_never_lessen_the_chance(
    a: float, b: float, c: float, radius: float, more: float
) -> None:
    def chance(by: float, r: float) -> float:
        return chance_within([[by * a * a, 0, 0], [0, b * b, 0], [0, 0, c * c]], r)

    assert 0.0 <= chance(1.0, radius) <= chance(1.0, radius * more) + 5e-7
    assert chance(1.0, radius * more) <= 1.0
    assert chance(more, radius) <= chance(1.0, radius) + 5e-7


def test_no_error_is_always_within_and_no_radius_never() -> None:
    nothing = [[0.0] * 3] * 3
    assert chance_within(nothing, 0.0) == 1.0
    assert chance_within(CASE_25, 0.0) == 0.0


def test_two_trim_last_pieces_take_out_their_plane() -> None:
    after = np.array(trimmed_last(CASE_25, [X, (0.0, 3.0, 0.0)], Sigma(0.0)))
    assert after == pytest.approx(np.diag([0.0, 0.0, CASE_25[2][2]]), abs=1e-15)
    assert np.array(trimmed_last(CASE_25, [], Sigma(0.1))) == pytest.approx(np.array(CASE_25))


def test_what_cannot_be_a_covariance_is_named() -> None:
    with pytest.raises(Malformed, match="must be 3 x 3"):
        chance_within([[1.0]], 1.0)
    with pytest.raises(OutOfRange, match="radius"):
        chance_within(CASE_25, -1.0)
    with pytest.raises(Contradiction, match="no negative axis"):
        chance_within([[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, 1.0]], 1.0)
