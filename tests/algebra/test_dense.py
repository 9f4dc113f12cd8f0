from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given

from pitwright.algebra.dense import (
    checked_matrix,
    checked_vector,
    identity,
    product,
    times,
    transposed,
)
from pitwright.errors import Malformed
from tests.algebra.strategies import Rows, shapes_and_matrices


@given(shapes_and_matrices())
def test_products_agree_with_a_numeric_library(a: Rows) -> None:
    other = transposed(a)
    assert np.allclose(product(a, other), np.array(a) @ np.array(a).T, rtol=1e-13, atol=1e-12)
    x = other[0]
    ours = times(other, x)
    assert np.allclose(ours, np.array(a).T @ np.array(x), rtol=1e-13, atol=1e-12)


@given(shapes_and_matrices())
def test_the_unit_matrix_changes_nothing(a: Rows) -> None:
    assert product(identity(len(a)), a) == a


def test_a_ragged_matrix_is_named_with_its_row() -> None:
    with pytest.raises(Malformed, match=r"gauges\[1\] must have 2 columns \(got 3\)"):
        checked_matrix([[1.0, 2.0], [1.0, 2.0, 3.0]], "gauges")


def test_a_number_that_is_not_finite_is_named_with_its_place() -> None:
    with pytest.raises(Malformed, match=r"gauges\[0\]\[1\] must be a finite number \(got nan\)"):
        checked_matrix([[1.0, math.nan]], "gauges")


def test_an_oblong_matrix_is_refused_where_a_square_one_is_needed() -> None:
    with pytest.raises(Malformed, match="must be square"):
        checked_matrix([[1.0, 2.0]], "gauges", square=True)


def test_a_vector_of_the_wrong_length_is_refused() -> None:
    with pytest.raises(Malformed, match="must have 3 entries"):
        checked_vector([1.0], "sights", 3)
