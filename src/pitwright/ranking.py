"""Which option is better: one fixed key, in the order a fitter would argue.

Fewer joints that must be made in the pit come before fewer parts, parts before what is left to be
bent, that before old pipe given up, and length decides last. Nothing here weighs what nobody has
worked out yet: whether an option can be put in is judged elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

__all__ = ["KEY", "Merits", "ranked"]

KEY = ("bends", "parts", "unsure_parts", "misfit", "angle", "cut_off", "length")
"""The fields of :class:`Merits` in the order they are compared."""
_SIXTEENTH = 0.0254 / 16
_DEGREE = 0.017453292519943295


@dataclass(frozen=True, slots=True)
class Merits:
    """What one option is compared by: counts [-], lengths [m], angle [rad]; less is better.

    ``unsure_parts`` are gripping bodies that hold no thrust; ``misfit`` and ``angle`` are left to
    be taken up; ``cut_off`` is old pipe given up; ``name`` breaks the last tie.
    """

    bends: int
    parts: int
    unsure_parts: int
    misfit: float
    angle: float
    cut_off: float
    length: float
    name: str

    @property
    def key(self) -> tuple[float | str, ...]:
        """Compared in order; lengths to a sixteenth and angles to a degree, for less is noise."""
        return (
            self.bends,
            self.parts,
            self.unsure_parts,
            round(self.misfit / _SIXTEENTH),
            round(self.angle / _DEGREE),
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
