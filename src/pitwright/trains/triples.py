"""Solving for three legs at a time by triple products, shared among all triples of a chain.

For legs i, j, k with determinant d = [i j k] = w_i . (w_j x w_k), Cramer's rule says how much of a
way D each takes: D . (w_j x w_k) / d and so on; and the same with another leg's direction in the
place of D is another determinant of the same chain. So ten cross products and ten determinants
serve all triples of five legs.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import combinations
from typing import NamedTuple

from pitwright.geometry.vector import Vec

__all__ = ["Triple", "determinants", "shares", "triples"]


class Triple(NamedTuple):
    """One triple of legs: which are solved and which placed, where its three cross products stand
    among the pairs, and for each placed leg the sign and place of its three determinants. [-]"""

    solved: tuple[int, int, int]
    placed: tuple[int, ...]
    pairs: tuple[int, int, int]
    columns: tuple[tuple[tuple[float, int], tuple[float, int], tuple[float, int]], ...]


@cache
def triples(legs: int) -> tuple[Triple, ...]:
    """Every triple of a chain of so many legs, in order. [-] Source: arithmetic."""
    pair_at = {pair: n for n, pair in enumerate(combinations(range(legs), 2))}
    triple_at = {triple: n for n, triple in enumerate(combinations(range(legs), 3))}

    def signed(i: int, j: int, k: int) -> tuple[float, int]:
        swaps = (i > j) + (i > k) + (j > k)
        a, b, c = sorted((i, j, k))
        return (-1.0 if swaps % 2 else 1.0, triple_at[a, b, c])

    made = []
    for i, j, k in triple_at:
        placed = tuple(n for n in range(legs) if n not in (i, j, k))
        columns = tuple((signed(n, j, k), signed(i, n, k), signed(i, j, n)) for n in placed)
        pairs = (pair_at[j, k], pair_at[i, k], pair_at[i, j])
        made.append(Triple((i, j, k), placed, pairs, columns))
    return tuple(made)


def determinants(directions: Sequence[Vec]) -> tuple[list[Vec], list[float]]:
    """Cross products of all pairs and determinants of all triples, in order. [-]

    Source: arithmetic.
    """
    pairs = [
        (b * r - c * q, c * p - a * r, a * q - b * p)
        for (a, b, c), (p, q, r) in combinations(directions, 2)
    ]
    found = []
    for triple in triples(len(directions)):
        a, b, c = directions[triple.solved[0]]
        p, q, r = pairs[triple.pairs[0]]
        found.append(a * p + b * q + c * r)
    return pairs, found


def shares(pairs: Sequence[Vec], way: Vec) -> list[float]:
    """The way's product with each pair's cross product. [m] Source: arithmetic."""
    x, y, z = way
    return [a * x + b * y + c * z for a, b, c in pairs]
