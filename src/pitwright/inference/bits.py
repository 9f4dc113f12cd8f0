"""Bits: how unsure a list of chances leaves us, and what one test is expected to tell.

Source: information theory [Shannon 1948].
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from math import log, log2
from typing import Any

__all__ = ["Outcomes", "entropy", "information"]

_NAT = log(2.0)
Outcomes = Mapping[Any, float]
"""Chance of each outcome of a test under one hypothesis; the chances sum to one."""


def entropy(chances: Iterable[float]) -> float:
    """Shannon's entropy of chances that sum to one. [bit]"""
    return -sum(p * log2(p) for p in chances if p > 0.0)


def information(
    weights: Sequence[float], groups: Sequence[Hashable], outcomes: Sequence[Outcomes]
) -> float:
    """Mutual information between the group a hypothesis belongs to and a test's outcome. [bit]

    Parameters
    ----------
    weights : sequence of float, one a hypothesis
        Chance of each hypothesis; they are normalised here. [-]
    groups : sequence of hashable, one a hypothesis
        What we want to know (a place, a cause); hypotheses of one group need no telling apart.
    outcomes : sequence of mapping, one a hypothesis
        Chance of each outcome under that hypothesis. [-]

    Notes
    -----
    I = H(outcome) - Σ P(group)·H(outcome | group) [Shannon 1948].
    """
    total = sum(weights)
    if total <= 0.0:
        return 0.0
    # hypotheses of one group that share one table of outcomes count as one
    merged: dict[Hashable, dict[int, float]] = {}
    tables: dict[int, Outcomes] = {}
    for weight, group, chances in zip(weights, groups, outcomes, strict=True):
        mine = merged.setdefault(group, {})
        key = id(chances)
        tables[key] = chances
        mine[key] = mine.get(key, 0.0) + weight / total
    overall: dict[Hashable, float] = {}
    left = 0.0
    for mine in merged.values():
        share = sum(mine.values())
        if share <= 0.0:
            continue
        sums: dict[Hashable, float] = {}
        for key, weight in mine.items():
            for outcome, p in tables[key].items():
                sums[outcome] = sums.get(outcome, 0.0) + weight * p
        nats = 0.0
        for outcome, p in sums.items():
            overall[outcome] = overall.get(outcome, 0.0) + p
            if p > 0.0:
                nats -= p * log(p)
        # share times the entropy of the shares within the group
        left += nats + share * log(share)
    whole = -sum([p * log(p) for p in overall.values() if p > 0.0])
    return max((whole - left) / _NAT, 0.0)
