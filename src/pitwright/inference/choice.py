"""The next test: most bits about what we want to know, per minute of work.

Source: none; a rule of this house.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from pitwright.inference.bits import Outcomes, entropy, information

__all__ = ["Offer", "Worth", "worth_of"]

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Offer(Generic[T]):
    """A test that could be made: what it costs [min], and its outcomes under each hypothesis.

    ``outcomes`` is called only when the test could still be among the best.
    """

    test: T
    minutes: float
    outcomes: Callable[[], Sequence[Outcomes]]


@dataclass(frozen=True, slots=True)
class Worth(Generic[T]):
    """What a test is expected to tell [bit] and its cost [min]."""

    test: T
    bits: float
    minutes: float

    @property
    def rate(self) -> float:
        """Bits per minute. [bit/min]"""
        return self.bits / self.minutes


def worth_of(
    offers: Iterable[Offer[T]],
    weights: Sequence[float],
    groups: Sequence[Hashable],
    keep: int = 3,
) -> tuple[Worth[T], ...]:
    """The ``keep`` best tests by bits per minute, best first; ties by fewer minutes, then by order.

    A test cannot tell more than the entropy of the groups, so one whose bound by cost is already
    beaten is skipped unevaluated; the answer is the same.
    """
    total = sum(weights)
    share: dict[Hashable, float] = {}
    for w, g in zip(weights, groups, strict=True):
        share[g] = share.get(g, 0.0) + w / total
    most = entropy(share.values())
    best: list[tuple[float, float, int, Worth[T]]] = []
    ordered = sorted(enumerate(offers), key=lambda pair: (pair[1].minutes, pair[0]))
    for order, offer in ordered:
        if len(best) >= keep and most / offer.minutes < -best[keep - 1][0]:
            break
        worth = Worth(offer.test, information(weights, groups, offer.outcomes()), offer.minutes)
        best.append((-worth.rate, offer.minutes, order, worth))
        best.sort(key=lambda b: b[:3])
        del best[keep:]
    return tuple(b[3] for b in best)
