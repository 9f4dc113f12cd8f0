"""Words of a drawing placed one by one, each where it covers least of what is there. [px]"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, hypot

__all__ = ["Labels"]

_Box = tuple[float, float, float, float]
_FAR = (0.0, 14.0, 28.0, 42.0, 60.0)
_STEP = 8.0
"""A pipe is counted as boxes so far apart along it. [px]"""
_PIPE = 0.6
"""Covering a pipe weighs so much of covering other words. [-] Judgement."""


class Labels:
    """Where the words of one drawing stand; ``dots`` are what a thumb must see. [px]"""

    def __init__(self, dots: Sequence[tuple[float, float]], wide: float, high: float) -> None:
        self.wide, self.high = wide, high
        self.taken: list[_Box] = [(x - 9, y - 9, x + 9, y + 9) for x, y in dots]
        self.pipes: list[_Box] = []

    def pipe(self, a: tuple[float, float], b: tuple[float, float], thick: float) -> None:
        """A pipe lies from ``a`` to ``b``. [px]"""
        half = max(thick, 3.0) / 2
        parts = max(1, ceil(hypot(b[0] - a[0], b[1] - a[1]) / _STEP))
        for n in range(parts):
            (x0, y0), (x1, y1) = (
                (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
                for t in (n / parts, (n + 1) / parts)
            )
            self.pipes.append(
                (min(x0, x1) - half, min(y0, y1) - half, max(x0, x1) + half, max(y0, y1) + half)
            )

    def shift(self, at: tuple[float, float], words: str) -> tuple[float, float]:
        """How far the middle of the words stands from their point."""
        half = 3.9 * len(words) + 2
        best: tuple[float, float, float] | None = None
        for far in _FAR:
            for dx, dy in (
                (0, -14 - far),
                (0, 24 + far),
                (half + 12, 5 - far),
                (-half - 12, 5 - far),
                (half + 12 + far, 5),
                (-half - 12 - far, 5),
                (half + 6, 18 + far),
                (-half - 6, 18 + far),
            ):
                cost = self._cost(at, dx, dy, half) + far
                if best is None or cost < best[0]:
                    best = (cost, dx, dy)
        assert best is not None  # the loops are never empty
        dx, dy = best[1], best[2]
        self.taken.append(_box(at, dx, dy, half))
        return dx, dy

    def _cost(self, at: tuple[float, float], dx: float, dy: float, half: float) -> float:
        box = _box(at, dx, dy, half)
        out = max(0.0, -box[0]) + max(0.0, box[2] - self.wide)
        out += 2 * max(0.0, -box[1]) + 2 * max(0.0, box[3] - self.high)
        words = sum(_shared(box, other) for other in self.taken)
        return words + _PIPE * sum(_shared(box, pipe) for pipe in self.pipes) + 40 * out


def _box(at: tuple[float, float], dx: float, dy: float, half: float) -> _Box:
    return (at[0] + dx - half, at[1] + dy - 12, at[0] + dx + half, at[1] + dy + 3)


def _shared(a: _Box, b: _Box) -> float:
    wide = min(a[2], b[2]) - max(a[0], b[0])
    high = min(a[3], b[3]) - max(a[1], b[1])
    return wide * high if wide > 0 and high > 0 else 0.0
