"""How much more pipe must be bare so that its end can safely be moved."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from pitwright.errors import OutOfRange
from pitwright.findings import Refusal, Short
from pitwright.flex.flexed import ALL_HELD, Flexed, Held, moved
from pitwright.flex.path import BarePath
from pitwright.geometry.vector import dot

__all__ = ["Dig", "dig"]

_STEP = 0.00635
"""A quarter inch: coarser than this a window could be missed, finer nobody digs. [m]"""
_FINE = 1e-6
"""How closely the least length is found. [m]"""
_ALONG = math.cos(math.radians(45.0))


@dataclass(frozen=True, slots=True)
class Dig:
    """``extra`` [m] more must be bare, then the movement is safe, at least up to ``safe_to`` [m].

    ``now`` and ``then`` are the ratios [-] before and after (<= 1 is safe); ``flexed`` is the
    dug path under that movement.
    """

    extra: float
    safe_to: float
    now: float
    then: float
    flexed: Flexed


def dig(
    path: BarePath,
    movement: tuple[float, float, float, float, float, float],
    strain_limit: float,
    *,
    hands: float | None = None,
    held: Held = ALL_HELD,
    most: float = 1.524,
) -> Dig | Refusal:
    """The least extra bare length [m] at the soil end that makes a movement of the tip safe.

    movement (u, theta) [m, rad] along ``held``; ``strain_limit`` [-]; ``hands`` [N], None leaves
    the push out; ``most`` [m] is as far as anybody would dig. The strain does not always fall
    with length in a bent path, so all lengths are scanned in quarter inches and the first safe
    one is refined; what is returned was itself found safe. When none is: a Refusal that says how
    near it came, with the part that spares the digging as ``lift``. Raises OutOfRange when
    ``most`` is negative. Source: textbook mechanics.
    """
    if not 0.0 <= most < math.inf:
        raise OutOfRange("most to dig", most, 0.0, "any length", "give it in metres")

    def ratio(extra: float) -> float:
        longer = path.dug(extra) if extra > 0.0 else path
        return moved(longer, movement, held).ratio(strain_limit, hands)

    now = best = ratio(0.0)
    steps = math.ceil(most / _STEP - 1e-9)
    lengths = [0.0, *(min(i * _STEP, most) for i in range(1, steps + 1))]
    extra = 0.0 if now <= 1.0 else None
    start = 0
    while extra is None and start < steps:
        start += 1
        here = ratio(lengths[start])
        best = min(best, here)
        if here <= 1.0:
            extra = _refined(ratio, lengths[start - 1], lengths[start])
    if extra is None:
        return _never(path, movement, strain_limit, best, len(lengths))
    safe_to = extra
    for length in lengths[start:]:
        if length > extra:
            if ratio(length) > 1.0:
                break
            safe_to = length
    longer = path.dug(extra) if extra > 0.0 else path
    flexed = moved(longer, movement, held)
    return Dig(extra, safe_to, now, flexed.ratio(strain_limit, hands), flexed)


def _refined(ratio: Callable[[float], float], low: float, high: float) -> float:
    """The safe end of the step in which the ratio falls to 1."""
    while high - low > _FINE:
        middle = 0.5 * (low + high)
        if ratio(middle) <= 1.0:
            high = middle
        else:
            low = middle
    return high


def _never(
    path: BarePath, movement: tuple[float, ...], strain_limit: float, best: float, tried: int
) -> Refusal:
    """Never by digging: which part takes the movement up instead."""
    u = (movement[0], movement[1], movement[2])
    size = math.sqrt(dot(u, u))
    along = size > 0.0 and abs(dot(u, path.outward)) >= _ALONG * size
    if strain_limit <= 0.0:
        lift = "cut it out"
    elif along:
        lift = "telescoping coupling"
    else:
        lift = "elbow box"
    missed = best - 1.0
    return Refusal((Short("NEVER_BY_DIGGING", "bare path", best, 1.0, missed, "1", lift),), tried)
