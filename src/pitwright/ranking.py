"""Which option is better: one fixed key, in the order a fitter would argue.

What needs no digging comes first, then what has no body that slides; then fewer bends, joints
that hold thrust, fewer parts, and what bends old pipe least; old pipe given up and length decide
last. Nothing here weighs what nobody has worked out yet: whether an option can be put in is
judged elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["KEY", "Merits", "ranked"]

KEY = (
    "digging",
    "slides",
    "bends",
    "unsure_parts",
    "parts",
    "strain",
    "misfit",
    "cut_off",
    "length",
)
"""The fields of :class:`Merits` in the order they are compared."""
_SIXTEENTH = 0.0254 / 16
_TENTH = 0.1


@dataclass(frozen=True, slots=True)
class Merits:
    """What one option is compared by: counts [-], lengths [m]; less is better.

    ``digging`` is pipe that must be bared first; ``slides`` are telescoping and stop-less bodies;
    ``unsure_parts`` are gripping bodies that hold no thrust; ``strain`` is the worst ratio to
    what old pipe and hands bear [-]; ``misfit`` is left to be taken up; ``cut_off`` is old pipe
    given up; ``name`` breaks the last tie.
    """

    digging: float
    slides: int
    bends: int
    unsure_parts: int
    parts: int
    strain: float
    misfit: float
    cut_off: float
    length: float
    name: str

    @property
    def key(self) -> tuple[float | str, ...]:
        """Compared in order; lengths to a sixteenth, digging to two inches, ratios to a tenth."""
        return (
            round(self.digging / (32 * _SIXTEENTH)),
            self.slides,
            self.bends,
            self.unsure_parts,
            self.parts,
            round(self.strain / _TENTH),
            round(self.misfit / _SIXTEENTH),
            round(self.cut_off / _SIXTEENTH),
            round(self.length / _SIXTEENTH),
            self.name,
        )


def ranked(merits: Sequence[Merits]) -> tuple[int, ...]:
    """The places of the options, best first. [-] Source: the key above, our judgement."""
    return tuple(sorted(range(len(merits)), key=lambda i: merits[i].key))


def better_by(first: Merits, second: Merits) -> str:
    """The field that decides between two options, "" when only the name does. [-]

    Source: the key above, our judgement.
    """
    for field, a, b in zip(KEY, first.key, second.key, strict=False):
        if a != b:
            return field
    return ""
