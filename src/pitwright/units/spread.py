"""One sigma and plus-or-minus limits: two types, so that nobody mixes them."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Limit", "Sigma", "sigma_from"]


@dataclass(frozen=True, slots=True)
class Sigma:
    """One standard deviation, in the unit of the value beside it."""

    one: float


@dataclass(frozen=True, slots=True)
class Limit:
    """Plus or minus: the value lies no farther away than this, in the unit of the value."""

    half: float


def sigma_from(limit: Limit) -> Sigma:
    """One sigma of a value that lies anywhere within its limits alike.

    sigma = half width / sqrt(3), the standard deviation of a uniform distribution
    [GUM, JCGM 100:2008, 4.3.7]. Unit: that of the limit.
    """
    return Sigma(limit.half / math.sqrt(3.0))
