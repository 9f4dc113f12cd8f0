"""Bits: how unsure a list of chances leaves us, and what one test is expected to tell."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from math import log2

__all__ = ["Outcomes", "entropy", "information"]

Outcomes = Mapping[Hashable, float]
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
    overall: dict[Hashable, float] = {}
    by_group: dict[Hashable, dict[Hashable, float]] = {}
    share: dict[Hashable, float] = {}
    for weight, group, chances in zip(weights, groups, outcomes, strict=True):
        w = weight / total
        share[group] = share.get(group, 0.0) + w
        mine = by_group.setdefault(group, {})
        for outcome, p in chances.items():
            mine[outcome] = mine.get(outcome, 0.0) + w * p
    for mine in by_group.values():
        for outcome, p in mine.items():
            overall[outcome] = overall.get(outcome, 0.0) + p
    left = 0.0
    for group, mine in by_group.items():
        if share[group] > 0.0:
            left += share[group] * entropy(p / share[group] for p in mine.values())
    return max(entropy(overall.values()) - left, 0.0)
