"""Which marks of the tape to cut at, so that the roundings cancel instead of adding up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import product

from pitwright.closing.rebuild import close_pieces, rebuilt
from pitwright.geometry.vector import Vec, norm
from pitwright.trains.cut_list import CutList, cut_list, exact_cuts
from pitwright.trains.train import Misfit, Train
from pitwright.units.inches import SIXTEENTH

__all__ = ["best_marks"]

_ON_MARK = 1e-4
"""A cut closer to a mark than this share of a sixteenth is cut there. [-]"""
_MOST_CUTS = 9


def _choices(cut: float) -> tuple[int, ...]:
    marks = cut / SIXTEENTH
    near = round(marks)
    if abs(marks - near) < _ON_MARK:
        return (near,)
    return (near, math.floor(marks) if near > marks else math.ceil(marks))


def best_marks(
    train: Train,
    ends: Sequence[tuple[Vec, Vec]],
    gap: float,
    most_cut: Sequence[float],
) -> tuple[CutList, Misfit] | None:
    """The rounded cut list that misses least when it is built, and how it misses. [m, rad]

    Every cut goes to a mark beside it. ``ends`` are (tip, outward) of inlet and outlet, ``gap``
    the bare pipe a least nipple leaves, ``most_cut`` what may come off each stub, all in metres.
    None when no rounding keeps every piece long enough. Ties go to the nearest marks,
    then to the smallest.
    Source: exhaustive search over the marks on either side.
    """
    exact = exact_cuts(train)
    choices = [_choices(c) for c in exact]
    if len(exact) > _MOST_CUTS:
        choices = [c[:1] for c in choices]
    best: tuple[tuple[float, float, tuple[int, ...]], CutList, Misfit] | None = None
    for marks in product(*choices):
        if any(m * SIXTEENTH > c + 1e-6 for m, c in zip(marks[:2], most_cut, strict=True)):
            continue
        cuts = cut_list(train, marks)
        if close_pieces(cuts, gap):
            continue
        way, angle = rebuilt(cuts, ends[0], ends[1])
        off = math.hypot(*(m * SIXTEENTH - c for m, c in zip(marks, exact, strict=True)))
        key = (round(norm(way), 6), round(off, 6), marks)
        if best is None or key < best[0]:
            best = (key, cuts, Misfit(norm(way), angle))
    return None if best is None else best[1:]
