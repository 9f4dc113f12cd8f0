"""In which order the zones of a pit are worked, so that water returns soonest.

One pair of hands works the zones one after the other; what a zone must then wait for (cement that
cures) passes while the next is worked. So what waits longest comes first, unless something stands
in its way.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

__all__ = ["Sequenced", "Spell", "sequence"]


@dataclass(frozen=True, slots=True)
class Spell:
    """One zone's work: hands busy for ``hands``, then ``wait`` before it may see water. [s]"""

    hands: float
    wait: float


@dataclass(frozen=True, slots=True)
class Sequenced:
    """The zones in the order they are worked; ``water`` is when it may return to all. [s]"""

    order: tuple[int, ...]
    water: float


def sequence(spells: Sequence[Spell], before: Collection[tuple[int, int]] = ()) -> Sequenced | None:
    """The order in which water returns soonest, or None where there is no order at all. [s]

    ``before`` holds pairs (first, second): the first must be worked before the second. Of equal
    waits the one named first is worked first. Source: Lawler's rule for one machine with
    precedence and the latest finish as cost (textbook): the last is whatever waits least.
    """
    left = set(range(len(spells)))
    order: list[int] = []
    water = 0.0
    while left:
        free = [n for n in left if not any(a == n and b in left for a, b in before)]
        if not free:
            return None
        done = sum(spells[n].hands for n in left)
        last = min(free, key=lambda n: (spells[n].wait, -n))
        water = max(water, done + spells[last].wait)
        order.append(last)
        left.remove(last)
    return Sequenced(tuple(reversed(order)), water)
