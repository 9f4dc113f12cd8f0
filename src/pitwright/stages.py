"""From one stage of a zone's work to the next: a resumed plan is built on as the plan was.

The first stage is the plan. Each time the work is resumed another begins: with the same train and
what of it still counts, or with another train on what is glued.
"""

from __future__ import annotations

from dataclasses import replace

from pitwright.findings import Refusal
from pitwright.renewal.going_on import with_lengths
from pitwright.renewal.option import Option
from pitwright.resuming import Base, Stage, ZoneResumed
from pitwright.survey.progress import ZoneProgress

__all__ = ["after", "as_built", "way_of"]


def way_of(got: ZoneResumed, key: str) -> Option | None:
    """The option of that name among those of an answer; None when it is not there."""
    if isinstance(got.answer, Refusal):
        return None
    return next((o for o in got.answer if o.key == key), None)


def after(stage: Stage, got: ZoneResumed, begun: Option, done: ZoneProgress) -> Stage:
    """The stage that begins with ``begun``, one of the options of ``got``. [m]

    ``done`` is what was done in ``stage``, from which ``got`` was worked out. Source: none needed.
    """
    assert not isinstance(got.answer, Refusal)  # it has options
    options = (begun, *(o for o in got.answer if o is not begun))
    bases = _still(stage.bases, got.cleared)
    if not got.same:
        if got.base is not None and any(got.base.held):
            bases = (*bases, got.base)
        return Stage(
            stage.number + 1, got.survey, got.zone, stage.root, options,
            valve_on=got.valve_on, bases=bases, came=got,
        )  # fmt: skip
    cut = {**dict(stage.cut), **{k: r.value for k, r in done.cut}}
    kept = dict(got.fixed)
    marked = {k for k, _ in done.marked if k not in dict(done.cut)}
    anew = {name for name, _ in got.recut} | marked | {k for k in cut if k not in kept}
    left = tuple((k, v) for k, v in kept.items() if k in cut and k not in anew)
    return Stage(
        stage.number + 1, got.survey, got.zone, stage.root, options, got.done, left, got.firm,
        got.valve_on, bases, frozenset(anew), got,
    )  # fmt: skip


def _still(bases: tuple[Base, ...], cleared: tuple[bool, bool]) -> tuple[Base, ...]:
    """What earlier trains left standing, without the sides that are gone."""
    kept = (
        replace(b, held=(0 if cleared[0] else b.held[0], 0 if cleared[1] else b.held[1]))
        for b in bases
    )
    return tuple(b for b in kept if any(b.held))


def as_built(stage: Stage, done: ZoneProgress) -> Option:
    """What is built at a stage, with every length as it was really cut, or else marked. [m]

    Source: none needed.
    """
    noted = {k: r.value for k, r in (*done.marked, *done.cut)}
    lengths = {**dict(stage.cut), **noted}
    return replace(stage.option, cuts=with_lengths(stage.option.cuts, lengths))
