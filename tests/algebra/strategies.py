"""Small matrices to try: plain, of low rank, badly scaled, nearly singular."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

Rows = list[list[float]]


@st.composite
def matrices(draw: st.DrawFn, m: int, n: int) -> Rows:
    """A matrix (m, n) of any rank, its columns stretched by up to a thousand."""
    dice = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    kind = draw(
        st.sampled_from(["plain", "low rank", "nearly low rank", "stretched", "whole numbers"])
    )
    a = dice.standard_normal((m, n))
    if kind.endswith("low rank") and min(m, n) > 1:
        r = int(dice.integers(1, min(m, n)))
        noise = 1e-6 * a if kind == "nearly low rank" else 0.0
        a = noise + dice.standard_normal((m, r)) @ dice.standard_normal((r, n))
    elif kind == "stretched":
        a = a * 10.0 ** dice.uniform(-3, 3, n)
    elif kind == "whole numbers":
        a = np.round(a)
    rows: Rows = a.tolist()
    return rows


@st.composite
def shapes_and_matrices(draw: st.DrawFn, most: int = 8) -> Rows:
    m, n = draw(st.integers(1, most)), draw(st.integers(1, most))
    return draw(matrices(m, n))


@st.composite
def symmetric_positive(draw: st.DrawFn, most: int = 12) -> Rows:
    """Symmetric, with eigenvalues spread over as much as ten decades."""
    n = draw(st.integers(1, most))
    dice = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    spread = draw(st.floats(0.0, 10.0))
    q, _ = np.linalg.qr(dice.standard_normal((n, n)))
    a = (q * 10.0 ** dice.uniform(-spread, 0.0, n)) @ q.T
    rows: Rows = ((a + a.T) / 2.0).tolist()
    return rows
