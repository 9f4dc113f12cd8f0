from __future__ import annotations

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from pitwright.algebra.three import determinant3, inverse3, solve3
from tests.strategies import points


@given(points, points, points, points)
def test_three_equations_agree_with_a_numeric_library(
    a: tuple[float, float, float],
    b: tuple[float, float, float],
    c: tuple[float, float, float],
    d: tuple[float, float, float],
) -> None:
    matrix = np.array([a, b, c]).T
    assume(all(np.linalg.norm(v) > 1e-3 for v in (a, b, c)))
    ours = solve3(a, b, c, d, flat=1e-6)
    with np.errstate(all="ignore"):  # numbers near 1e-300 make its determinant complain
        volume = float(np.linalg.det(matrix))
    assert np.isclose(determinant3(a, b, c), volume, rtol=1e-9, atol=1e-15)
    if ours is None:
        edges = np.prod([np.linalg.norm(v) for v in (a, b, c)])
        assert abs(volume) <= 1.01e-6 * edges
        return
    slack = 1e-14 * float(np.linalg.cond(matrix)) ** 2
    theirs = np.linalg.solve(matrix, d)
    assert np.linalg.norm(ours - theirs) <= slack * max(1e-300, float(np.linalg.norm(theirs)))


@given(points, points, points)
def test_the_inverse_undoes_the_matrix(
    a: tuple[float, float, float], b: tuple[float, float, float], c: tuple[float, float, float]
) -> None:
    assume(all(np.linalg.norm(v) > 1e-3 for v in (a, b, c)))
    inverse = inverse3((a, b, c), flat=1e-4)
    if inverse is not None:
        m = np.array([a, b, c])
        slack = 1e-14 * float(np.linalg.cond(m)) ** 2
        assert np.allclose(np.array(inverse) @ m, np.eye(3), rtol=0.0, atol=slack)


@given(points, points, st.floats(-2.0, 2.0), st.floats(-2.0, 2.0))
def test_three_columns_of_one_plane_solve_nothing(
    a: tuple[float, float, float], b: tuple[float, float, float], x: float, y: float
) -> None:
    c = (x * a[0] + y * b[0], x * a[1] + y * b[1], x * a[2] + y * b[2])
    assume(np.linalg.norm(c) > 1e-3 and np.linalg.norm(a) > 1e-3 and np.linalg.norm(b) > 1e-3)
    assert solve3(a, b, c, (1.0, 2.0, 3.0), flat=1e-10) is None
    assert inverse3((a, b, c), flat=1e-10) is None
